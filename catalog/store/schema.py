"""The revision of the tables: read, made anew, or brought up by Alembic's scripts.

A new database gets its tables at once; Alembic is imported only where a stored revision
differs from `HEAD`. The scripts lie in ``migrations/versions``, numbered; a new one needs its
number in `REVISIONS`.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, insert, inspect, select, update

from catalog.errors import user_error
from catalog.store.documents import DOCUMENTS
from catalog.store.index import INDEX
from catalog.store.tables import Base, StampRow, VersionRow

REVISIONS = ("0000", "0001")
HEAD = REVISIONS[-1]
MIGRATIONS = Path(__file__).resolve().parent / "migrations"


@dataclass(frozen=True)
class Stored:
    """In which form a database is.

    Attributes
    ----------
    tables : str or None
        Revision of its tables; None for an empty database.
    documents, index : int
        Form of the documents, and of the derived columns.
    """

    tables: str | None
    documents: int = 0
    index: int = 0

    @property
    def current(self) -> bool:
        """Whether this program can work with it as it is."""
        return (self.tables, self.documents, self.index) == (HEAD, DOCUMENTS, INDEX)

    @property
    def must_be_kept(self) -> bool:
        """Whether what it holds will be rewritten, so that a copy has to be kept first."""
        return self.tables is not None and (self.tables, self.documents) != (HEAD, DOCUMENTS)


CURRENT = Stored(HEAD, DOCUMENTS, INDEX)


def stored(connection: Connection, place: str) -> Stored:
    """Return in which form a database is.

    Raises
    ------
    UserError
        ``store.foreign`` where it holds something else, ``store.newer`` where a newer program
        wrote it.
    """
    found = inspect(connection)
    if not found.has_table(VersionRow.__tablename__):
        if found.get_table_names():
            raise user_error("store.foreign", path=place)
        return Stored(None)
    if not found.has_table(StampRow.__tablename__):
        raise user_error("store.foreign", path=place)
    return recorded(connection, place)


def recorded(connection: Connection, place: str) -> Stored:
    """Return in which form a store says it is; see `stored`."""
    version = connection.scalar(select(VersionRow.version_num))
    rows = connection.execute(select(StampRow.name, StampRow.number))
    numbers = {row.name: row.number for row in rows}
    state = Stored(version, numbers.get("documents", 0), numbers.get("index", 0))
    if version not in REVISIONS or state.documents > DOCUMENTS or state.index > INDEX:
        raise user_error("store.newer", path=place)
    return state


def create(connection: Connection) -> None:
    """Make all tables in an empty database."""
    Base.metadata.create_all(connection)
    connection.execute(insert(VersionRow).values(version_num=HEAD))
    stamps = [{"name": "documents", "number": DOCUMENTS}, {"name": "index", "number": INDEX}]
    connection.execute(insert(StampRow), stamps)


def stamp(connection: Connection, name: str, number: int) -> None:
    """Record the form of "documents" or "index"."""
    connection.execute(update(StampRow).where(StampRow.name == name).values(number=number))


def upgrade(connection: Connection, revision: str) -> None:
    """Bring the tables from an old revision to `HEAD`, within the caller's transaction."""
    # Alembic takes 0.1 s to import, and most starts do not need it.
    from alembic.operations import Operations
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    scripts = ScriptDirectory(str(MIGRATIONS))
    steps = list(scripts.iterate_revisions(HEAD, revision))
    context = MigrationContext.configure(connection)
    with Operations.context(context):
        for step in reversed(steps):
            step.module.upgrade()
            context.stamp(scripts, step.revision)
