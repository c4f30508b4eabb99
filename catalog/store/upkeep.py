"""What opening a store does to it: makes it, migrates it, takes in what the program ships.

All of it happens in one transaction, or not at all. Before what the user typed is rewritten,
a copy of the file is kept beside it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, Engine, select
from sqlalchemy.orm import Session

from catalog.codec import content_hash, decode_part
from catalog.errors import UserError, user_error
from catalog.store import schema
from catalog.store.connect import WRITES
from catalog.store.documents import DOCUMENTS, migrated
from catalog.store.failures import explained
from catalog.store.index import INDEX, fill
from catalog.store.shipment import Shipment, take_in, taken_in
from catalog.store.tables import PartRow, RevisionRow

_BATCH = 500


def check_health(engine: Engine, place: str) -> None:
    """Let SQLite look through its file; other databases look after themselves.

    Raises
    ------
    UserError
        ``store.damaged``, with what it found first.
    """
    if engine.dialect.name != "sqlite":
        return
    with explained(place), engine.connect() as connection:
        found = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar()
    if found != "ok":
        raise user_error("store.damaged", path=place, reason=str(found).replace("\n", " "))


def is_up_to_date(engine: Engine, place: str, shipment: Shipment | None) -> bool:
    """Whether a store can be used as it is.

    Parameters
    ----------
    engine : Engine
        The database.
    place : str
        What to call it in messages.
    shipment : Shipment or None
        What the program ships; None where that does not matter.
    """
    with explained(place), engine.connect() as connection:
        if not schema.stored(connection, place).current:
            return False
        with Session(connection) as session:
            return shipment is None or taken_in(session, shipment)


def bring_up_to_date(engine: Engine, place: str, shipment: Shipment, now: str) -> None:
    """Make, migrate and fill a store as far as it needs any of it.

    Raises
    ------
    UserError
        With the reason; the store is then as it was before.
    """
    with explained(place):
        _keep_a_copy(engine, place)
        writing = engine.execution_options(**{WRITES: True})
        # Another copy of the program may have been faster: look again under the lock.
        with writing.begin() as connection, Session(connection) as session:
            _migrate(connection, session, place)
            if not taken_in(session, shipment):
                take_in(session, shipment, now)
            session.commit()


def _migrate(connection: Connection, session: Session, place: str) -> None:
    state = schema.stored(connection, place)
    if state.tables is None:
        schema.create(connection)
        return
    if state.tables != schema.HEAD:
        schema.upgrade(connection, state.tables)
        state = schema.recorded(connection, place)
    if state.documents < DOCUMENTS:
        _migrate_documents(session, state.documents)
        schema.stamp(connection, "documents", DOCUMENTS)
    if state.index < INDEX or state.documents < DOCUMENTS:
        _derive_index(session)
        schema.stamp(connection, "index", INDEX)


def _migrate_documents(session: Session, form: int) -> None:
    for revision in session.scalars(select(RevisionRow).execution_options(yield_per=_BATCH)):
        revision.document = migrated(revision.document, form)
        try:
            revision.content_hash = content_hash(decode_part(revision.document, revision.key))
        except UserError:
            # A part that this program can't read is no reason to keep the others from the user:
            # it stays as it is, and says what is wrong with it when it is asked for.
            continue
    session.flush()


def _derive_index(session: Session) -> None:
    current = (RevisionRow.key == PartRow.key) & (RevisionRow.number == PartRow.revision)
    rows = select(PartRow, RevisionRow.document).join(RevisionRow, current)
    for row, document in session.execute(rows).all():
        try:
            fill(row, decode_part(document, row.key))
        except UserError:
            continue  # as above
    session.flush()


def _keep_a_copy(engine: Engine, place: str) -> None:
    if engine.dialect.name != "sqlite":
        return
    with engine.connect() as connection:
        state = schema.stored(connection, place)
        if not state.must_be_kept:
            return
        raw = connection.connection.driver_connection
        if not isinstance(raw, sqlite3.Connection):
            return
        connection.rollback()
        copy = _free_name(Path(place), f"{state.tables}-{state.documents}")
        try:
            with closing(sqlite3.connect(copy)) as target:
                raw.backup(target)
        except sqlite3.Error:
            copy.unlink(missing_ok=True)
            raise


def _free_name(path: Path, form: str) -> Path:
    number = 1
    while True:
        suffix = f"-{number}" if number > 1 else ""
        copy = path.with_name(f"{path.name}.form-{form}{suffix}")
        if not copy.exists():
            return copy
        number += 1
