"""The rating of listed parts: in chunks, aside, dropped when the plan has changed since."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, Signal

from catalog.errors import UserError
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.plan.candidates import Candidate

Rate = Callable[[str], Candidate]
"""Rates the part with a key; runs in a thread. Raises UserError where it can't be put in."""

CHUNK = 8
"""Parts in one job: some ten milliseconds of work, so that a stop is heard at once."""


class PartRating(QObject):
    """What is known so far of the parts of a list.

    Parameters
    ----------
    executor : Executor
        Runs the chunks.
    """

    rated = Signal(object)
    """These keys (a tuple) have been looked at; what can't be put in has no rating."""

    moved = Signal()
    """The progress changed: some more are done, all are done, or it was stopped."""

    def __init__(self, executor: Executor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._executor = executor
        self._rate: Rate | None = None
        self._found: dict[str, Candidate] = {}
        self._before: dict[str, Candidate] = {}
        self._tried: set[str] = set()
        self._wanted: list[str] = []
        self._total = 0
        self._run = 0
        self._progress: Progress | None = None
        self._pumping = False

    @property
    def running(self) -> bool:
        """Whether parts are being rated."""
        return self._progress is not None or bool(self._wanted)

    @property
    def done(self) -> int:
        """How many of the wanted parts have been looked at."""
        waiting = len(self._wanted) + (CHUNK if self._progress is not None else 0)
        return max(0, self._total - waiting)

    @property
    def total(self) -> int:
        """How many parts were wanted."""
        return self._total

    def of(self, key: str) -> Candidate | None:
        """Return what is known of a part."""
        return self._found.get(key)

    def before(self, key: str) -> Candidate | None:
        """Return what was known of a part before the plan changed; None: nothing, or more now."""
        return None if key in self._tried else self._before.get(key)

    def use(self, rate: Rate | None) -> None:
        """Rate with another function from now on: the plan has changed, what was known is old."""
        self.stop()
        self._rate = rate
        self._before.update(self._found)
        self._found.clear()
        self._tried.clear()

    def forget(self) -> None:
        """Forget all that is known and how it was found: it was of another plan."""
        self.stop()
        self._rate = None
        for known in (self._found, self._before, self._tried):
            known.clear()

    def want(self, keys: Sequence[str]) -> None:
        """Rate these parts, in this order, as far as they have not been rated yet."""
        self.stop()
        if self._rate is None:
            return
        self._wanted = [key for key in keys if key not in self._tried]
        self._total = len(self._wanted)
        self._pump()

    def stop(self) -> None:
        """Stop; what has been rated stays."""
        self._run += 1
        self._wanted = []
        self._total = 0
        if self._progress is not None:
            self._progress.cancel()
            self._progress = None
        self.moved.emit()

    def _pump(self) -> None:
        """Start chunk after chunk; a loop, since an inline executor ends each within `run`."""
        if self._pumping:
            return
        self._pumping = True
        try:
            while self._wanted and self._progress is None and self._rate is not None:
                chunk, self._wanted = self._wanted[:CHUNK], self._wanted[CHUNK:]
                self._start(chunk, self._rate)
        finally:
            self._pumping = False

    def _start(self, chunk: Sequence[str], rate: Rate) -> None:
        run = self._run
        self._progress = Progress()

        def work(progress: Progress) -> dict[str, Candidate]:
            return _rated(chunk, rate, progress)

        def succeed(found: dict[str, Candidate]) -> None:
            if run == self._run:
                self._take(chunk, found)

        def fail(error: Exception) -> None:
            if run == self._run:
                self.stop()
                raise error

        self._executor.run(Job(work, succeed, fail, self._progress))

    def _take(self, chunk: Sequence[str], found: dict[str, Candidate]) -> None:
        self._progress = None
        self._found.update(found)
        self._tried.update(chunk)
        self.rated.emit(tuple(chunk))
        self.moved.emit()
        self._pump()


def _rated(keys: Sequence[str], rate: Rate, progress: Progress) -> dict[str, Candidate]:
    """Rate some parts; runs in a thread. One that cannot be put in stays without a rating."""
    found = {}
    for number, key in enumerate(keys):
        progress.step(number, len(keys))
        try:
            found[key] = rate(key)
        except UserError:
            continue
    return found
