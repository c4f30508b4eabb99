"""The search of the finder in the window: started, stopped, its rows in order as they arrive."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal

from catalog.errors import UserError
from retrofit.desk.finder_run import Asked, Basket, run
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.stock import Stock
from retrofit.finder.ranking import Ranking


class FinderSearch(QObject):
    """At most one search; one that was stopped is never heard of again.

    Parameters
    ----------
    stock : Stock
        The parts on offer.
    executor : Executor
        Runs it aside.
    """

    begun = Signal()
    """Another search begins: what was known of the rows before is void."""

    arrived = Signal()
    """More rows are there."""

    moved = Signal(float)
    """How far it is [1]; comes in the thread of the window."""

    ended = Signal()
    """All is found, it was stopped, or it could not be done (`trouble`)."""

    _knocked = Signal()
    _stepped = Signal(float)

    def __init__(self, stock: Stock, executor: Executor, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._stock, self._executor = stock, executor
        self._progress: Progress | None = None
        self._run = 0
        self.asked: Asked | None = None
        self.basket = Basket()
        self.ranking = Ranking()
        self.trouble: UserError | None = None
        self.complete = False
        # Both come from the thread of the search.
        self._knocked.connect(self._look, Qt.ConnectionType.QueuedConnection)
        self._stepped.connect(self._step, Qt.ConnectionType.QueuedConnection)

    @property
    def running(self) -> bool:
        """Whether a search runs."""
        return self._progress is not None

    def start(self, asked: Asked) -> None:
        """Search anew; what was found before is forgotten."""
        self.stop(quiet=True)
        number, basket, stock = self._run, Basket(), self._stock
        self.asked, self.basket, self.ranking = asked, basket, Ranking()
        self.trouble, self.complete = None, False
        progress = self._progress = Progress(self._advance)
        self.begun.emit()

        def work(running: Progress) -> None:
            run(asked, stock, basket, running, self._knocked.emit)

        def succeed(_: None) -> None:
            if number == self._run:
                self._end(complete=True)

        def fail(error: Exception) -> None:
            if number == self._run:
                self._fail(error)

        self._executor.run(Job(work, succeed, fail, progress))

    def stop(self, *, quiet: bool = False) -> None:
        """Stop; what has been found stays."""
        self._run += 1
        if self._progress is None:
            return
        self._progress.cancel()
        self._progress = None
        if not quiet:
            self._look()
            self.ended.emit()

    def _advance(self, done: int, total: int) -> None:
        """Tell how far the search is; runs in its thread."""
        self._stepped.emit(done / max(total, 1))

    def _step(self, share: float) -> None:
        if self.running:
            self.moved.emit(share)

    def _look(self) -> None:
        """Take in what has arrived."""
        found = list(self.basket.take())
        for one in found:
            self.ranking.take(one)
        if found:
            self.arrived.emit()

    def _end(self, *, complete: bool) -> None:
        self._progress = None
        self.complete = complete
        self._look()
        self.ended.emit()

    def _fail(self, error: Exception) -> None:
        if isinstance(error, UserError):
            self.trouble = error
        self._end(complete=False)
        if not isinstance(error, UserError):
            raise error
