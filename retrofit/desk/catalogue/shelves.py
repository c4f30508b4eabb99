"""The catalogue as its page works in it: all parts at hand, every change a revision in the store.

Changes are made one after another in jobs, so that typing never waits for a disk. What could
not be saved is kept and said, and what was still waiting when the window closes is saved then.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from PySide6.QtCore import QObject, Signal

from catalog.codec import Part
from catalog.errors import UserError
from catalog.home import left_for_later
from catalog.message import Message, message
from catalog.parts.facts import facts_of
from catalog.shelf import Kept, Shelf, kept
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.reader import Reader
from retrofit.desk.stock import Stock

Work = Callable[[Any, Shelf], Sequence[str]]
"""Changes the store, given the parts as they were; returns the keys that it touched."""

_PORTION = 200
"""Parts that are read at a time: each question to the database costs a worker its turn."""


@dataclass
class Change:
    """One change of the catalogue, waiting or under way.

    Attributes
    ----------
    label : Message
        What it does.
    work : callable
        Does it; runs in a job.
    merge : str
        A waiting change with the same non-empty text gives way to it.
    going_back : bool
        Whether it takes a change back, and is not itself offered for that.
    part : Sender or Gauge, optional
        What is to be saved, where it is one part.
    """

    label: Message
    work: Work
    merge: str = ""
    going_back: bool = False
    part: Part | None = None


@dataclass(frozen=True)
class Made:
    """A change that was made, and how the parts were before.

    Attributes
    ----------
    label : Message
        What it did.
    before : mapping of str to (Kept or None)
        The parts that it touched, as they were.
    """

    label: Message
    before: Mapping[str, Kept | None]


@dataclass(frozen=True)
class _Done:
    parts: tuple[Kept, ...]
    keys: tuple[str, ...]


class Shelves(QObject):
    """All parts of the catalogue, and the changes that are made to them.

    Parameters
    ----------
    stock : Stock
        Where the store is opened.
    executor : Executor
        Loads and saves aside.
    reader : Reader
        Words for the history of a part.
    """

    changed = Signal()
    """Other parts, or parts that say something else: list them again."""

    made = Signal(object)
    """A change was made: its keys (a tuple of str)."""

    failed = Signal(str)
    """A change could not be made: the sentence. `try_again` and `give_up` go on from there."""

    def __init__(
        self, stock: Stock, executor: Executor, reader: Reader, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.shelf = Shelf()
        self.loaded = False
        self.loading: Progress | None = None
        self._stock, self._executor, self._reader = stock, executor, reader
        self._waiting: list[Change] = []
        self._running: Change | None = None
        self._halted = False
        self._back: list[Made] = []
        self._wanted = self._telling = False
        stock.ready.connect(self._opened)

    # --- what is there --------------------------------------------------------------------------

    @property
    def can_save(self) -> bool:
        """Whether parts can be changed: the user's catalogue is open and can be written."""
        store = self._stock.store
        return store is not None and not store.read_only

    @property
    def last(self) -> Made | None:
        """The change that would be taken back, None where there is none."""
        return self._back[-1] if self._back else None

    @property
    def unsaved(self) -> bool:
        """Whether a change waits, is under way, or could not be made."""
        return bool(self._waiting) or self._running is not None

    def load(self) -> None:
        """Get all parts, in a job; once asked for they are kept up to date."""
        self._wanted = True
        if self.loading is not None:
            self.loading.cancel()
        store, stock = self._stock.store, self._stock
        self.loading = Progress()
        job = Job(
            lambda progress: _all_parts(store, stock, progress),
            self._arrived,
            self._not_loaded,
            self.loading,
        )
        self._executor.run(job)

    def _opened(self) -> None:
        if self._wanted and not self._telling:
            self.load()

    def _arrived(self, found: tuple[Shelf, Sequence[Message]]) -> None:
        self.loading, self.loaded = None, True
        self.shelf = found[0]
        self.changed.emit()
        said = [self._reader.sentence(one) for one in found[1]]
        if left_for_later().exists():
            said.append(self._reader.text("shelves.left", path=str(left_for_later())))
        if said:
            self.failed.emit("\n".join(said))

    def _not_loaded(self, error: Exception) -> None:
        self.loading = None
        if not isinstance(error, UserError):
            raise error
        self.failed.emit(self._reader.error(error))

    # --- changes --------------------------------------------------------------------------------

    def save(self, part: Part, label: Message) -> None:
        """Save a part as its next revision, or as a new part."""
        words = self._reader.sentence(label)

        def work(store: Any, shelf: Shelf) -> Sequence[str]:
            known = shelf.get(part.key)
            store.save(part, words, revision=None if known is None else known.revision)
            return (part.key,)

        self.do(Change(label, work, merge=f"save {part.key}", part=part))

    def revert(self, key: str, revision: int) -> None:
        """Bring an old revision of a part back, as a new one."""
        label = message("shelves.revert", part=self._name(key), revision=revision)
        words = self._reader.sentence(label)

        def work(store: Any, shelf: Shelf) -> Sequence[str]:
            del shelf
            store.revert(key, revision, words)
            return (key,)

        self.do(Change(label, work))

    def retire(self, key: str, *, retired: bool = True) -> None:
        """Take a part out of the lists, or put it back."""

        def work(store: Any, shelf: Shelf) -> Sequence[str]:
            del shelf
            (store.retire if retired else store.unretire)(key)
            return (key,)

        name = self._name(key)
        if retired:
            self.do(Change(message("shelves.retire", part=name), work))
        else:
            self.do(Change(message("shelves.unretire", part=name), work))

    def take_back(self) -> None:
        """Take the last change back; it stays in the history of each part."""
        if not self._back or self.unsaved:
            return
        last = self._back.pop()
        words = self._reader.text("shelves.taken_back")

        def work(store: Any, shelf: Shelf) -> Sequence[str]:
            for key, before in last.before.items():
                _put_back(store, shelf.get(key), key, before, words)
            return tuple(last.before)

        self.do(Change(last.label, work, going_back=True))

    def do(self, change: Change) -> None:
        """Make a change after those that wait."""
        if change.merge:
            self._waiting = [one for one in self._waiting if one.merge != change.merge]
        self._waiting.append(change)
        self._halted = False
        self._go_on()

    def try_again(self) -> None:
        """Make the change that failed again, upon what the store says by now."""
        store = self._stock.store
        for change in self._waiting if store is not None else ():
            if change.part is not None and self.shelf.get(change.part.key) is not None:
                with suppress(UserError):
                    self.shelf = self.shelf.with_parts(_fresh(store, [change.part.key]))
        self._halted = False
        self._go_on()

    def give_up(self) -> None:
        """Forget what could not be saved, and show what the store says."""
        self._waiting.clear()
        self._halted = False
        self.load()

    def finish(self) -> None:
        """Save what still waits, now that no job runs any more; the window is closing.

        What cannot be saved even now is written beside the catalogue, to be brought in later.
        """
        store = self._stock.store
        left = [*([self._running] if self._running is not None else []), *self._waiting]
        self._running, self._waiting = None, []
        if store is None:
            return
        lost: list[Part] = []
        for change in left:
            # One whose end was not told any more is made again, which changes nothing.
            try:
                keys = change.work(store, self.shelf)
                self.shelf = self.shelf.with_parts(_fresh(store, keys))
            except UserError:
                lost += [] if change.part is None else [change.part]
        if lost:
            # Seldom needed, and what it needs takes long to load.
            import_module("retrofit.desk.catalogue.left_over").keep_for_later(lost)

    def _go_on(self) -> None:
        if self._running is not None or self._halted or not self._waiting:
            return
        change, store, shelf = self._waiting.pop(0), self._stock.store, self.shelf
        if store is None:
            self._waiting.insert(0, change)
            self._halted = True
            self.failed.emit(self._reader.text("shelves.not_open"))
            return
        self._running = change

        def work(progress: Progress) -> _Done:
            progress.step(0, 1)
            keys = tuple(change.work(store, shelf))
            return _Done(_fresh(store, keys), keys)

        self._executor.run(Job(work, self._saved, self._not_saved))

    def _saved(self, done: _Done) -> None:
        change, self._running = self._running, None
        assert change is not None
        before = {key: self.shelf.get(key) for key in done.keys}
        self.shelf = self.shelf.with_parts(done.parts)
        if done.keys and not change.going_back and _differ(before, done.parts):
            self._back.append(Made(change.label, before))
        self.made.emit(done.keys)
        self.changed.emit()
        self._telling = True  # what the others have to hear is known here already
        self._stock.ready.emit()
        self._telling = False
        self._go_on()

    def _not_saved(self, error: Exception) -> None:
        change, self._running = self._running, None
        assert change is not None
        if not change.merge or all(one.merge != change.merge for one in self._waiting):
            self._waiting.insert(0, change)
        self._halted = True
        if not isinstance(error, UserError):
            raise error
        self.failed.emit(self._reader.error(error))

    def _name(self, key: str) -> str:
        found = self.shelf.get(key)
        return key if found is None else found.part.name


def _all_parts(store: Any, stock: Stock, progress: Progress) -> tuple[Shelf, Sequence[Message]]:
    """Return every part of the store, and what is wrong with those that cannot be read."""
    if store is None:
        library = stock.files
        parts: tuple[Part, ...] = (*library.senders, *library.gauges)
        return Shelf(map(kept, parts)).prepared(), ()
    records = store.search(include_retired=True, limit=None).records
    found: list[Kept] = []
    problems: list[Message] = []
    for start in range(0, len(records), _PORTION):
        progress.step(start, len(records))
        some = {record.key: record for record in records[start : start + _PORTION]}
        found += [_kept(part, some[part.key]) for part in _readable(store, list(some), problems)]
    return Shelf(found).prepared(), problems


def _readable(store: Any, keys: Sequence[str], problems: list[Message]) -> Sequence[Part]:
    """Return the parts that can be read; those that cannot are told and left out."""
    try:
        return tuple(store.whole(keys))
    except UserError as error:
        problems += error.messages
    found: list[Part] = []
    for key in keys:
        with suppress(UserError):
            found.append(store.part(key))
    return found


def _kept(part: Part, record: Any) -> Kept:
    return Kept(part, facts_of(part), record.own, record.retired, record.revision, record.available)


def _fresh(store: Any, keys: Sequence[str]) -> tuple[Kept, ...]:
    return tuple(_kept(store.part(key), store.record(key)) for key in keys)


def _differ(before: Mapping[str, Kept | None], after: Sequence[Kept]) -> bool:
    def state(one: Kept | None) -> object:
        return None if one is None else (one.revision, one.retired)

    return any(state(before[one.key]) != state(one) for one in after)


def _put_back(store: Any, now: Kept | None, key: str, before: Kept | None, label: str) -> None:
    if before is None:
        store.retire(key)
        return
    if now is None or now.revision != before.revision:
        store.revert(key, before.revision, label)
    if now is not None and now.retired != before.retired:
        (store.retire if before.retired else store.unretire)(key)
