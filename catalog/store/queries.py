"""What is looked up within an open transaction: rows by key, revisions, searches, records."""

from __future__ import annotations

import re
from typing import cast

from sqlalchemy import ColumnElement, and_, func, or_, select
from sqlalchemy.orm import Session

from catalog.direction import DIRECTIONS
from catalog.errors import user_error
from catalog.library import PartKind, folded
from catalog.parts.fields import QuantityName
from catalog.quantities.numerals import shown
from catalog.store.records import NamedPart, Origin, PartRecord, RevisionRecord
from catalog.store.revisions import hash_of
from catalog.store.tables import PartRow, RevisionRow

UNSTORABLE = re.compile("[\0\ud800-\udfff]")
"""Characters that no database and no file can hold."""

_LONGEST_SEARCH = 500  # characters; anything longer was pasted by mistake
_CURRENT = (RevisionRow.key == PartRow.key) & (RevisionRow.number == PartRow.revision)


def search_conditions(
    words: str, quantity: QuantityName | None, kind: PartKind | None
) -> list[ColumnElement[bool]] | None:
    """Return what a part must meet to be found; None where no part can.

    Raises
    ------
    UserError
        ``store.search_long`` for a text longer than any search.
    """
    wanted = folded(words).split()
    if sum(map(len, wanted)) > _LONGEST_SEARCH:
        raise user_error("store.search_long", limit=_LONGEST_SEARCH)
    if any(UNSTORABLE.search(word) for word in wanted):
        return None
    rarest_first = sorted(set(wanted), key=lambda word: (-len(word), word))
    conditions = [_answers(word) for word in rarest_first]
    if quantity is not None:
        conditions.append(PartRow.quantity == quantity)
    if kind is not None:
        conditions.append(PartRow.kind == kind)
    return conditions


def _answers(word: str) -> ColumnElement[bool]:
    """Return that a part answers a word: by its text, of a direction by the way it runs."""
    written = PartRow.search.contains(word, autoescape=True)
    if word not in DIRECTIONS:
        return written
    return or_(PartRow.rising.is_(DIRECTIONS[word]), and_(PartRow.rising.is_(None), written))


def records_where(
    session: Session, conditions: list[ColumnElement[bool]], limit: int | None
) -> tuple[PartRecord, ...]:
    """Return the records of the parts that meet conditions, in the order of lists."""
    query = select(PartRow, RevisionRow.content_hash).join(RevisionRow, _CURRENT)
    query = query.where(*conditions).order_by(PartRow.place).limit(limit)
    return tuple(_record(row, digest) for row, digest in session.execute(query))


def names_where(
    session: Session, conditions: list[ColumnElement[bool]], limit: int | None
) -> tuple[NamedPart, ...]:
    """Return the names of the parts that meet conditions, in the order of lists.

    Plain columns of one table: making whole rows of them would take longer than the search.
    """
    query = select(PartRow.key, PartRow.name, PartRow.revision, PartRow.own)
    query = query.where(*conditions).order_by(PartRow.place).limit(limit)
    return tuple(NamedPart(*row) for row in session.execute(query))


def count_where(session: Session, conditions: list[ColumnElement[bool]]) -> int:
    """Return how many parts meet conditions."""
    return session.scalar(select(func.count()).select_from(PartRow).where(*conditions)) or 0


def revisions_where(
    session: Session, conditions: list[ColumnElement[bool]]
) -> tuple[RevisionRow, ...]:
    """Return the current revisions of the parts that meet conditions, in the order of lists."""
    query = select(RevisionRow).join(PartRow, _CURRENT).where(*conditions).order_by(PartRow.place)
    return tuple(session.scalars(query))


def row_of(session: Session, key: str) -> PartRow:
    """Return the row of a part; UserError ``store.no_part`` when there is none."""
    row = None if UNSTORABLE.search(key) else session.get(PartRow, key)
    if row is None:
        raise user_error("store.no_part", part=shown(key))
    return row


def record_of(session: Session, key: str) -> PartRecord:
    """Return the record of a part; raises as `row_of` does."""
    session.flush()
    row = row_of(session, key)
    return _record(row, hash_of(session, key, row.revision) or "")


def revision_of(session: Session, key: str, number: int | None) -> RevisionRow:
    """Return a revision of a part, the current one for None.

    Raises
    ------
    UserError
        ``store.no_part`` or ``store.no_revision``.
    """
    row = row_of(session, key)
    wanted = row.revision if number is None else number
    found = session.get(RevisionRow, (key, wanted)) if 0 < wanted < 2**31 else None
    if found is None:
        raise user_error("store.no_revision", part=shown(key), revision=wanted)
    return found


def history_of(session: Session, key: str) -> tuple[RevisionRecord, ...]:
    """Return the revisions of a part, newest first; raises as `row_of` does."""
    current = row_of(session, key).revision
    query = select(RevisionRow).where(RevisionRow.key == key)
    return tuple(
        RevisionRecord(
            key=key,
            number=row.number,
            content_hash=row.content_hash,
            made_at=row.made_at,
            label=row.label,
            origin=cast(Origin, row.origin),
            current=row.number == current,
        )
        for row in session.scalars(query.order_by(RevisionRow.number.desc()))
    )


def _record(row: PartRow, digest: str) -> PartRecord:
    newer = row.own and row.shipped_revision != row.edited_from
    return PartRecord(
        key=row.key,
        kind=cast(PartKind, row.kind),
        name=row.name,
        quantity=cast(QuantityName, row.quantity),
        revision=row.revision,
        content_hash=digest,
        own=row.own,
        retired=row.retired_by is not None,
        available=row.shipped_revision if newer else None,
        ohms_low=row.ohms_low,
        ohms_high=row.ohms_high,
        rising=row.rising,
        stations=row.stations,
        signal=row.signal,
        movement=row.movement,
    )
