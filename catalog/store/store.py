"""The store as the rest of the program sees it: parts in, parts and records out.

Each call is one short transaction, and calls are serialised, so a store can be handed to a
worker. Nothing that belongs to the database leaves it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from typing import Self

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from catalog.codec import Part, content_hash, decode_part
from catalog.errors import UserError, user_error
from catalog.library import PartKind
from catalog.message import Message
from catalog.parts.fields import QuantityName
from catalog.parts.sender import Sender
from catalog.quantities.numerals import shown
from catalog.store import schema
from catalog.store.connect import WRITES
from catalog.store.failures import explained
from catalog.store.queries import (
    UNSTORABLE,
    count_where,
    history_of,
    names_where,
    record_of,
    records_where,
    revision_of,
    revisions_where,
    row_of,
    search_conditions,
)
from catalog.store.records import Change, Found, NamedPart, PartRecord, RevisionRecord
from catalog.store.revisions import (
    add_revision,
    document_of,
    hash_of,
    make_current,
    new_row,
    next_user_place,
)
from catalog.store.tables import PartRow, RevisionRow

_MOST_DECODED = 4096


def utc_now() -> str:
    """Return the present moment in UTC, ISO 8601, to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds")


class Store:
    """The catalogue: shipped parts and the user's own, with every revision of each.

    Parameters
    ----------
    engine : Engine
        Database whose tables are up to date; the store closes it.
    place : str
        What to call it in messages: the path of its file.
    closed_to : Message, optional
        Why nothing can be saved here; None where it can.
    clock : callable
        Returns the time of a new revision.
    """

    def __init__(
        self,
        engine: Engine,
        place: str,
        *,
        closed_to: Message | None = None,
        clock: Callable[[], str] = utc_now,
    ) -> None:
        self._engine = engine
        self._place = place
        self._closed_to = closed_to
        self._clock = clock
        self._lock = threading.RLock()
        self._decoded: dict[tuple[str, int, str], Part] = {}

    @property
    def place(self) -> str:
        """What the store is called in messages."""
        return self._place

    @property
    def read_only(self) -> bool:
        """Whether nothing can be saved here."""
        return self._closed_to is not None

    def close(self) -> None:
        """Let go of the database; the store can't be used after that."""
        with self._lock:
            self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # --- reading --------------------------------------------------------------------------------

    def search(
        self,
        words: str = "",
        *,
        quantity: QuantityName | None = None,
        kind: PartKind | None = None,
        include_retired: bool = False,
        limit: int | None = 200,
    ) -> Found:
        """Return the parts whose key, name and notes hold every one of the words.

        Parameters
        ----------
        words : str
            Words or parts of words, in any case and order; an empty text lists all.
        quantity, kind : str, optional
            Only parts for this quantity, of this kind.
        include_retired : bool
            Whether retired parts are found too.
        limit : int or None
            How many at most; None for all.

        Raises
        ------
        UserError
            ``store.search_long`` for a text longer than any search.
        """
        conditions = search_conditions(words, quantity, kind)
        if conditions is None:
            return Found((), more=False)
        if not include_retired:
            conditions.append(PartRow.retired_by.is_(None))
        with self._reading() as session:
            found = records_where(session, conditions, None if limit is None else limit + 1)
        return Found(found[:limit], more=limit is not None and len(found) > limit)

    def names(
        self,
        words: str = "",
        *,
        quantity: QuantityName | None = None,
        kind: PartKind | None = None,
        limit: int | None = None,
    ) -> tuple[NamedPart, ...]:
        """Return the parts that `search` finds by name alone, the retired left out.

        Raises as `search` does.
        """
        conditions = search_conditions(words, quantity, kind)
        if conditions is None:
            return ()
        with self._reading() as session:
            return names_where(session, [*conditions, PartRow.retired_by.is_(None)], limit)

    def count(self, *, quantity: QuantityName | None = None, kind: PartKind | None = None) -> int:
        """Return how many parts there are, the retired left out."""
        conditions = search_conditions("", quantity, kind) or []
        with self._reading() as session:
            return count_where(session, [*conditions, PartRow.retired_by.is_(None)])

    def whole(self, keys: Sequence[str]) -> tuple[Part, ...]:
        """Return the parts of some keys, whole, in the order of lists; others are left out.

        Parameters
        ----------
        keys : sequence of str
            Some hundreds at most: databases bound what one question may hold.

        Raises
        ------
        UserError
            With a message for each problem of each part that can't be read.
        """
        with self._reading() as session:
            rows = revisions_where(session, [PartRow.key.in_(keys)])
        return self._decoded_all(rows)

    def parts(
        self, *, quantity: QuantityName | None = None, kind: PartKind | None = None
    ) -> tuple[Part, ...]:
        """Return the parts that are not retired, whole, in the order of `search`.

        Raises
        ------
        UserError
            With a message for each problem of each part that can't be read.
        """
        conditions = search_conditions("", quantity, kind) or []
        with self._reading() as session:
            rows = revisions_where(session, [*conditions, PartRow.retired_by.is_(None)])
        return self._decoded_all(rows)

    def _decoded_all(self, rows: Sequence[RevisionRow]) -> tuple[Part, ...]:
        problems: list[Message] = []
        parts: list[Part] = []
        for row in rows:
            try:
                parts.append(self._decode(row))
            except UserError as error:
                problems += error.messages
        if problems:
            raise UserError(problems)
        return tuple(parts)

    def record(self, key: str) -> PartRecord:
        """Return what a list shows of one part.

        Raises
        ------
        UserError
            ``store.no_part`` when there is none.
        """
        with self._reading() as session:
            return record_of(session, key)

    def part(self, key: str, revision: int | None = None) -> Part:
        """Return a part, whole.

        Parameters
        ----------
        key : str
            Key of the part.
        revision : int, optional
            One of its revisions; the current one when left out.

        Raises
        ------
        UserError
            ``store.no_part`` or ``store.no_revision``, or with what is wrong in its document.
        """
        with self._reading() as session:
            found = revision_of(session, key, revision)
        return self._decode(found)

    def history(self, key: str) -> tuple[RevisionRecord, ...]:
        """Return the revisions of a part, newest first; raises as `record` does."""
        with self._reading() as session:
            return history_of(session, key)

    # --- writing --------------------------------------------------------------------------------

    def save(self, part: Part, label: str, *, revision: int | None = None) -> PartRecord:
        """Save a part as a new revision; one that is saved already makes none.

        Parameters
        ----------
        part : Sender or Gauge
            The part as it should be.
        label : str
            Who or why, for the history.
        revision : int, optional
            Revision that the edit began with; left out for a new part.

        Returns
        -------
        PartRecord
            As the part is now.

        Raises
        ------
        UserError
            ``store.stale`` when it has got another revision meanwhile, ``store.taken`` when a
            new part has the key of another, ``store.other_kind``, ``store.no_key``,
            ``store.bad_text``, ``store.read_only``, or what the database refused.
        """
        with self._writing() as session:
            self._put(session, part, label, revision)
            return record_of(session, part.key)

    def save_all(self, changes: Sequence[Change], label: str) -> tuple[PartRecord, ...]:
        """Save many parts in one transaction: all of them, or none.

        Parameters
        ----------
        changes : sequence of Change
            The parts, in the order in which new ones are to stand in lists; no key twice.
        label : str
            Who or why, for the history of each.

        Returns
        -------
        tuple of PartRecord
            Each part as it is now, in the same order.

        Raises
        ------
        UserError
            As `save`, with a message for each part that cannot be saved; nothing is saved then.
        """
        problems: list[Message] = []
        with self._writing() as session:
            # Always in one order, so that two copies of the program cannot wait for each other.
            for key in sorted(change.part.key for change in changes):
                try:
                    self._locked(session, key)
                except UserError as error:
                    problems += error.messages
            if problems:
                raise UserError(problems)
            for change in changes:
                try:
                    self._put(session, change.part, label, change.revision)
                except UserError as error:
                    problems += error.messages
            if problems:
                raise UserError(problems)
            return tuple(record_of(session, change.part.key) for change in changes)

    def revert(self, key: str, revision: int, label: str) -> PartRecord:
        """Bring back an old revision as a new one, so that this too can be undone.

        Going back to what the program ships makes the part a shipped one again, which
        follows the next upgrade. Raises as `part` and `save` do.
        """
        with self._writing() as session:
            row = row_of(session, key)
            part = self._decode(revision_of(session, key, revision))
            if not _says(session, row, part):
                self._edit(session, row, part, label)
            return record_of(session, key)

    def duplicate(
        self, key: str, new_key: str, label: str, *, name: str | None = None
    ) -> PartRecord:
        """Save a copy of a part under a new key, as the user's own; raises as `save` does."""
        part = self.part(key)
        copy = replace(part, key=new_key, name=part.name if name is None else name)
        with self._writing() as session:
            if self._locked(session, new_key) is not None:
                raise user_error("store.taken", part=shown(new_key))
            self._add(session, copy, label)
            return record_of(session, new_key)

    def retire(self, key: str) -> PartRecord:
        """Take a part out of the lists; nothing of it is deleted. Raises as `record` does."""
        return self._set_retired(key, "user")

    def unretire(self, key: str) -> PartRecord:
        """Put a retired part back into the lists. Raises as `record` does."""
        return self._set_retired(key, None)

    def _set_retired(self, key: str, by: str | None) -> PartRecord:
        with self._writing() as session:
            row = row_of(session, key)
            if (row.retired_by is None) != (by is None):
                row.retired_by = by
            return record_of(session, key)

    def _put(self, session: Session, part: Part, label: str, revision: int | None) -> None:
        """Save a part within a transaction; says `save`'s refusals."""
        row = self._locked(session, part.key)
        if row is None:
            if revision is not None:
                raise user_error("store.no_part", part=shown(part.key))
            self._add(session, part, label)
        elif not _says(session, row, part):
            if revision is None:
                raise user_error("store.taken", part=shown(part.key))
            if revision != row.revision:
                raise user_error("store.stale", part=part.key, began=revision, current=row.revision)
            self._edit(session, row, part, label)

    def _add(self, session: Session, part: Part, label: str) -> None:
        _check_text(part, label)
        new_row(session, part, next_user_place(session, part), own=True)
        add_revision(session, part, "user", label, self._clock())

    def _edit(self, session: Session, row: PartRow, part: Part, label: str) -> None:
        _check_text(part, label)
        if row.kind != ("sender" if isinstance(part, Sender) else "gauge"):
            raise user_error("store.other_kind", part=part.key, kind=row.kind)
        shipped = hash_of(session, row.key, row.shipped_revision)
        own = shipped != content_hash(part)
        if not (row.own and own):
            row.edited_from = row.shipped_revision if own else None
        number = add_revision(session, part, "user", label, self._clock())
        make_current(row, part, number, own=own)

    # --- within a transaction -------------------------------------------------------------------

    @contextmanager
    def _reading(self) -> Iterator[Session]:
        with self._lock, explained(self._place), Session(self._engine) as session:
            yield session

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        if self._closed_to is not None:
            raise user_error("store.read_only", problem=self._closed_to)
        engine = self._engine.execution_options(**{WRITES: True})
        with self._lock, explained(self._place), Session(engine) as session, session.begin():
            # A newer copy of the program may have migrated the store while this one was open.
            if schema.recorded(session.connection(), self._place) != schema.CURRENT:
                raise user_error("store.newer", path=self._place)
            yield session

    def _locked(self, session: Session, key: str) -> PartRow | None:
        if not key.strip() or len(key) > 200 or UNSTORABLE.search(key):
            raise user_error("store.no_key", part=shown(key))
        return session.get(PartRow, key, with_for_update=True)

    def _decode(self, found: RevisionRow) -> Part:
        """Return the part of a revision: the same object each time, which plans' memory likes."""
        name = (found.key, found.number, found.content_hash)
        with self._lock:
            part = self._decoded.get(name)
            if part is None:
                part = decode_part(found.document, found.key)
                if len(self._decoded) >= _MOST_DECODED:
                    self._decoded.clear()
                self._decoded[name] = part
            return part


def _says(session: Session, row: PartRow, part: Part) -> bool:
    """Whether the current revision says the same as a part."""
    return hash_of(session, row.key, row.revision) == content_hash(part)


def _check_text(part: Part, label: str) -> None:
    texts = [label, *_texts(document_of(part))]
    if any(UNSTORABLE.search(text) for text in texts):
        raise user_error("store.bad_text", part=shown(part.key))


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)
