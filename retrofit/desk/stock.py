"""The parts that can be chosen from: the user's catalogue, the shipped files until it is open.

Opening the catalogue means loading the database library, which takes longer than the whole
first paint may; so it is opened by a job after the window is there, and until then, or where
it cannot be opened at all, the shipped files serve.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from importlib import import_module
from typing import Any, Protocol

from PySide6.QtCore import QObject, Signal

from catalog.codec import Part
from catalog.library import Library, PartKind, load_generic
from catalog.likeness import EXACT, Likeness, likeness
from catalog.parts.fields import QuantityName
from retrofit.desk.jobs import Executor, Job, Progress

MOST = 400
"""Parts that a search shows."""


@dataclass(frozen=True)
class Stocked:
    """One part on offer.

    Attributes
    ----------
    part : Sender or Gauge
        The part, whole.
    own : bool
        Whether it is the user's.
    revision : int
        Its revision in the catalogue.
    like : Likeness
        How well it answers what was typed.
    """

    part: Part
    own: bool
    revision: int
    like: Likeness = EXACT


class _Record(Protocol):
    """What is needed of a record of the store."""

    @property
    def key(self) -> str: ...
    @property
    def own(self) -> bool: ...
    @property
    def revision(self) -> int: ...


class _Found(Protocol):
    """What a search of the store gives."""

    @property
    def records(self) -> Sequence[_Record]: ...
    @property
    def more(self) -> bool: ...


class _Store(Protocol):
    """What is needed of ``catalog.store``, which is not imported at the start."""

    def search(
        self, words: str, *, quantity: QuantityName, kind: PartKind, limit: int
    ) -> _Found: ...
    def parts(self, *, quantity: QuantityName, kind: PartKind) -> Sequence[Part]: ...
    def part(self, key: str) -> Part: ...
    def record(self, key: str) -> _Record: ...
    def close(self) -> None: ...


class Stock(QObject):
    """The catalogue as the window sees it."""

    ready = Signal()
    """The user's catalogue is open: search again."""

    told = Signal(object)
    """A Message about the catalogue that the user has to read."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._store: _Store | None = None
        self._opened: _Store | None = None

    @cached_property
    def _files(self) -> Library:
        return load_generic()

    def open(self, executor: Executor) -> None:
        """Open the user's catalogue in a job; the shipped files serve until it is there."""
        executor.run(Job(self._open, self._use, self._fail))

    def _open(self, progress: Progress) -> Any:
        """Open the store in a worker; the database library is loaded here, not at the start."""
        progress.step(0, 1)
        opened = import_module("catalog.store.open").open_store_or_files()
        # Known at once: the window may close before it hears that the catalogue is open.
        self._opened = opened.store
        return opened

    def _use(self, opened: Any) -> None:
        self._store = opened.store
        for said in opened.messages:
            self.told.emit(said)
        self.ready.emit()

    def _fail(self, error: Exception) -> None:
        raise error

    def search(self, words: str, quantity: QuantityName, kind: PartKind) -> tuple[Stocked, ...]:
        """Return the parts on offer that answer the words, those with the nearest ohms first.

        Raises
        ------
        UserError
            For a text longer than any search, or a catalogue that can no longer be read.
        """
        if self._store is None:
            shipped: Sequence[Part] = self._files.search("", quantity=quantity, kind=kind)
            return _nearest([Stocked(part, False, 1) for part in shipped], words)
        found = self._store.search("", quantity=quantity, kind=kind, limit=MOST)
        if found.more:  # too many to look at one by one: the database looks for the words
            found = self._store.search(words, quantity=quantity, kind=kind, limit=MOST)
        # All at once, for a question a part would take longer than a key press may.
        whole = {part.key: part for part in self._store.parts(quantity=quantity, kind=kind)}
        records = (r for r in found.records if r.key in whole)
        stocked = [Stocked(whole[r.key], r.own, r.revision) for r in records]
        return tuple(stocked) if found.more else _nearest(stocked, words)

    def part(self, key: str) -> Stocked:
        """Return one part by its key.

        Raises
        ------
        UserError
            When there is none.
        """
        if self._store is None:
            return Stocked(self._files.part(key), False, 1)
        record = self._store.record(key)
        return Stocked(self._store.part(key), record.own, record.revision)

    def close(self) -> None:
        """Let the catalogue go; the executor that opened it has to be closed before."""
        if self._opened is not None:
            self._opened.close()
        self._store = self._opened = None


def _nearest(parts: Sequence[Stocked], words: str) -> tuple[Stocked, ...]:
    """Return the parts that answer the words, those with the nearest ohms first."""
    liked = [(part, likeness(part.part, words)) for part in parts]
    found = [replace(part, like=like) for part, like in liked if like is not None]
    return tuple(sorted(found, key=lambda part: part.like.far))
