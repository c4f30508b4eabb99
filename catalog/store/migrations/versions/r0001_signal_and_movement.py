"""Lists tell parts apart by signal and movement; the index derived anew fills the columns."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = "0000"


def upgrade() -> None:
    """Add the two columns, and the index that lists are read along."""
    op.add_column("parts", sa.Column("signal", sa.String(40)))
    op.add_column("parts", sa.Column("movement", sa.String(40)))
    op.create_index("parts_in_order", "parts", ["place"])
    op.execute("UPDATE stamps SET number = 0 WHERE name = 'index'")
