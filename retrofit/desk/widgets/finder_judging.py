"""The rows on screen put into their plan and judged, then banded: aside, a few at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from PySide6.QtCore import QObject, Signal

from catalog.errors import UserError
from retrofit.desk.finder_run import Asked, Basket
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.finder.judged import JudgedRow, banded, judged_row
from retrofit.finder.rows import Row

_AT_ONCE = {"judge": 8, "band": 2}
"""Rows in one job: some hundred milliseconds of work at most."""

Task = tuple[Literal["judge", "band"], Row]


class FinderJudging(QObject):
    """What is known of the rows so far.

    Parameters
    ----------
    executor : Executor
        Runs the work.
    """

    judged = Signal()
    """More rows are judged or banded."""

    def __init__(self, executor: Executor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._executor = executor
        self._found: dict[str, JudgedRow] = {}
        self._asked: Asked | None = None
        self._basket = Basket()
        self._tasks: list[Task] = []
        self._banded: set[str] = set()
        self._progress: Progress | None = None
        self._run = 0
        self._pumping = False

    def of(self, key: str) -> JudgedRow | None:
        """Return what is known of a row."""
        return self._found.get(key)

    @property
    def found(self) -> Mapping[str, JudgedRow]:
        """What is known of the rows, by their keys."""
        return self._found

    @property
    def bands(self) -> dict[str, float]:
        """The likely bands that are known, by the keys of the rows."""
        return {key: one.row.band for key, one in self._found.items() if one.row.band is not None}

    def begin(self, asked: Asked, basket: Basket) -> None:
        """Judge the rows of another search from now on."""
        self.stop()
        self._asked, self._basket = asked, basket
        self._found.clear()
        self._banded.clear()

    def stop(self) -> None:
        """Stop; what is known stays."""
        self._run += 1
        self._tasks = []
        if self._progress is not None:
            self._progress.cancel()
            self._progress = None

    def at_once(self, row: Row) -> JudgedRow | None:
        """Return a row judged, here and now; None where it cannot be put in."""
        asked = self._asked
        if asked is not None and row.key not in self._found:
            self._found.update(_done([("judge", row)], asked, self._basket, {}, Progress()))
        return self._found.get(row.key)

    def want(self, rows: Sequence[Row], banded: Sequence[Row]) -> None:
        """Judge these rows and then find the likely bands of some, as far as not known."""
        self.stop()
        self._tasks = [("judge", row) for row in rows if row.key not in self._found]
        self._tasks += [("band", row) for row in banded if row.key not in self._banded]
        self._pump()

    def _pump(self) -> None:
        """Start one job after the other; a loop, for an inline executor ends each within `run`."""
        if self._pumping:
            return
        self._pumping = True
        try:
            while self._tasks and self._progress is None and self._asked is not None:
                kind = self._tasks[0][0]
                some = [task for task in self._tasks[: _AT_ONCE[kind]] if task[0] == kind]
                self._tasks = self._tasks[len(some) :]
                self._start(some, self._asked)
        finally:
            self._pumping = False

    def _start(self, tasks: Sequence[Task], asked: Asked) -> None:
        run, basket, known = self._run, self._basket, dict(self._found)
        self._progress = Progress()

        def work(progress: Progress) -> dict[str, JudgedRow]:
            return _done(tasks, asked, basket, known, progress)

        take, fail = self._taker(run, tasks), self._failer(run)
        self._executor.run(Job(work, take, fail, self._progress))

    def _taker(self, run: int, tasks: Sequence[Task]) -> Callable[[dict[str, JudgedRow]], None]:
        def take(found: dict[str, JudgedRow]) -> None:
            if run != self._run:
                return
            self._progress = None
            self._found.update(found)
            self._banded.update(row.key for kind, row in tasks if kind == "band")
            self.judged.emit()
            self._pump()

        return take

    def _failer(self, run: int) -> Callable[[Exception], None]:
        def fail(error: Exception) -> None:
            if run == self._run:
                self.stop()
                raise error

        return fail


def _done(
    tasks: Sequence[Task],
    asked: Asked,
    basket: Basket,
    known: dict[str, JudgedRow],
    progress: Progress,
) -> dict[str, JudgedRow]:
    """Judge or band some rows; runs in a thread. One that cannot be put in stays without."""
    found: dict[str, JudgedRow] = {}
    for number, (kind, row) in enumerate(tasks):
        progress.step(number, len(tasks))
        plan, label, trim = asked.plan, asked.label, asked.wishes.trim
        try:
            if kind == "judge":
                origins = basket.origins(row)
                found[row.key] = judged_row(plan, label, row, trim, origins)
            elif row.key in known:
                found[row.key] = banded(known[row.key], label)
        except UserError:
            continue
    return found
