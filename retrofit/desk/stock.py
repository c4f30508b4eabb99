"""The parts that can be chosen from: the user's catalogue, the shipped files until it is open.

Opening the catalogue means loading the database library, which takes longer than the whole
first paint may; so it is opened by a job after the window is there, and until then, or where
it cannot be opened at all, the shipped files serve.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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

_FIRST, _PORTION = 200, 500
"""Parts that `Stock.every` gives at first, so that somebody sees something, and then at a time."""

_MOST_KEPT = 20_000
"""Whole parts that are kept in memory: reading one takes longer than a database's whole search."""


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


@dataclass(frozen=True)
class Listed:
    """One part as a list names it.

    Attributes
    ----------
    key, name, notes : str
        As in the part; of a large catalogue the notes are left out.
    own : bool
        Whether it is the user's.
    like : Likeness
        How well it answers what was typed.
    """

    key: str
    name: str
    notes: str
    own: bool
    like: Likeness = EXACT


class _Record(Protocol):
    """What is needed of a record of the store."""

    @property
    def key(self) -> str: ...
    @property
    def own(self) -> bool: ...
    @property
    def revision(self) -> int: ...


class _Named(_Record, Protocol):
    """What a search by name gives."""

    @property
    def name(self) -> str: ...


class _Store(Protocol):
    """What is needed of ``catalog.store``, which is not imported at the start."""

    def names(
        self, words: str, *, quantity: QuantityName, kind: PartKind, limit: int | None
    ) -> Sequence[_Named]: ...
    def count(self, *, quantity: QuantityName, kind: PartKind) -> int: ...
    def whole(self, keys: Sequence[str]) -> Sequence[Part]: ...
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
        self._kept: dict[tuple[str, int], Stocked] = {}

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

    def listed(self, words: str, quantity: QuantityName, kind: PartKind) -> tuple[Listed, ...]:
        """Return the parts on offer that answer the words by name, as `search` orders them.

        No part of a large catalogue is read for it: it has to be done within a key press.

        Raises
        ------
        UserError
            For a text longer than any search, or a catalogue that can no longer be read.
        """
        if self._store is None or not self._large(quantity, kind):
            found = self.search(words, quantity, kind)
            return tuple(
                Listed(one.part.key, one.part.name, one.part.notes, one.own, one.like)
                for one in found
            )
        names = self._store.names(words, quantity=quantity, kind=kind, limit=MOST)
        return tuple(Listed(one.key, one.name, "", one.own) for one in names)

    @property
    def store(self) -> Any:
        """The user's catalogue; None until it is open."""
        return self._store

    @property
    def files(self) -> Library:
        """The parts that the program ships."""
        return self._files

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
        # Too many to look at one by one: the database looks for the words.
        large = self._large(quantity, kind)
        wanted = words if large else ""
        found = self._store.names(wanted, quantity=quantity, kind=kind, limit=MOST)
        stocked = self._whole(self._store, found)
        return tuple(stocked) if large else _nearest(stocked, words)

    def every(self, quantity: QuantityName, kind: PartKind) -> tuple[int, Iterator[list[Stocked]]]:
        """Return how many parts are on offer, and all of them, a portion at a time.

        Raises
        ------
        UserError
            For a catalogue that can no longer be read; also while the portions are taken.
        """
        if self._store is None:
            shipped = [
                Stocked(part, False, 1)
                for part in self._files.search("", quantity=quantity, kind=kind)
            ]
            return len(shipped), iter([shipped])
        count = self._store.count(quantity=quantity, kind=kind)
        return count, self._portions(self._store, quantity, kind)

    def _portions(
        self, store: _Store, quantity: QuantityName, kind: PartKind
    ) -> Iterator[list[Stocked]]:
        # The names of all of a large catalogue take longer than the first rows may.
        first = store.names("", quantity=quantity, kind=kind, limit=_FIRST)
        yield self._whole(store, first)
        if len(first) < _FIRST:
            return
        given = {one.key for one in first}
        names = store.names("", quantity=quantity, kind=kind, limit=None)
        others = [one for one in names if one.key not in given]
        for start in range(0, len(others), _PORTION):
            yield self._whole(store, others[start : start + _PORTION])

    def _large(self, quantity: QuantityName, kind: PartKind) -> bool:
        """Return whether there are more parts than a search shows."""
        assert self._store is not None
        first = self._store.names("", quantity=quantity, kind=kind, limit=MOST + 1)
        return len(first) > MOST

    def _whole(self, store: _Store, names: Sequence[_Named]) -> list[Stocked]:
        """Return parts whole, in the order of their names."""
        there = {one.key: self._kept.get((one.key, one.revision)) for one in names}
        lacking = [key for key, found in there.items() if found is None]
        if lacking:
            by_key = {one.key: one for one in names}
            for part in store.whole(lacking):
                one = by_key[part.key]
                stocked = Stocked(part, one.own, one.revision)
                there[part.key] = stocked
                if len(self._kept) < _MOST_KEPT:
                    self._kept[one.key, one.revision] = stocked
        return [found for found in there.values() if found is not None]

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
