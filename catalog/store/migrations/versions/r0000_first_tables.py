"""The first tables. No released program wrote them: they are where the tested way begins."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0000"
down_revision = None


def upgrade() -> None:
    """Make the tables of revision 0000."""
    op.create_table(
        "parts",
        sa.Column("key", sa.String(200), primary_key=True),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("quantity", sa.String(20), nullable=False),
        sa.Column("search", sa.Text, nullable=False),
        sa.Column("ohms_low", sa.Float(53)),
        sa.Column("ohms_high", sa.Float(53)),
        sa.Column("rising", sa.Boolean),
        sa.Column("stations", sa.Integer),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("own", sa.Boolean, nullable=False),
        sa.Column("shipped_revision", sa.Integer),
        sa.Column("edited_from", sa.Integer),
        sa.Column("retired_by", sa.String(20)),
        sa.Column("place", sa.Integer, nullable=False),
    )
    op.create_table(
        "revisions",
        sa.Column("key", sa.String(200), sa.ForeignKey("parts.key"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("document", sa.JSON, nullable=False),
        sa.Column("content_hash", sa.String(64), nullable=False),
        sa.Column("made_at", sa.String(40), nullable=False),
        sa.Column("label", sa.Text, nullable=False),
        sa.Column("origin", sa.String(20), nullable=False),
    )
    op.create_table(
        "shipments",
        sa.Column("fingerprint", sa.String(64), primary_key=True),
        sa.Column("taken_at", sa.String(40), nullable=False),
    )
    op.create_table(
        "stamps",
        sa.Column("name", sa.String(20), primary_key=True),
        sa.Column("number", sa.Integer, nullable=False),
    )
