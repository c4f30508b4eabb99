"""The likely band of what is shown, worked out aside after each edit."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer

from catalog.errors import BugError
from retrofit.desk.jobs import InlineExecutor, Job, Progress
from retrofit.desk.session import Change
from retrofit.desk.workplace import Workplace
from retrofit.plan.spread import Likely, likely_of

_PAUSE_MS = 250
"""How long the plan has to rest before the work starts [ms]: beside it each edit is slower."""


class LikelyBands(QObject):
    """Starts the work when an assessment lacks its likely band; a newer edit stops an older one.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    def __init__(self, place: Workplace, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._place = place
        self._run = 0
        self._progress: Progress | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        # Work that runs in the window's own thread has nothing to wait for.
        self._pause.setInterval(0 if isinstance(place.executor, InlineExecutor) else _PAUSE_MS)
        self._pause.timeout.connect(self.start)
        place.changed.connect(self._heard)

    def start(self) -> None:
        """Work out the likely band of the pairing that is shown, unless it is known."""
        self._stop()
        found = self._place.assessment()
        if found.spread is None or found.likely is not None:
            return
        self._progress = Progress()
        pairing, duty, run = found.pairing, found.plan.duty, self._run
        self._place.executor.run(
            Job(
                lambda progress: likely_of(pairing, duty, progress=progress.step),
                lambda result: self._arrived(run, result),
                self._failed,
                self._progress,
            )
        )

    def _stop(self) -> None:
        """Let what runs end after the block of draws that it is at, unheard."""
        self._run += 1
        if self._progress is not None:
            self._progress.cancel()
            self._progress = None

    def _arrived(self, run: int, result: Likely | None) -> None:
        if run == self._run and result is not None:
            self._progress = None
            self._place.settle()

    def _failed(self, error: Exception) -> None:
        raise BugError("the likely band") from error

    def _heard(self, change: Change) -> None:
        del change
        self._stop()
        if self._pause.interval():
            self._pause.start()
        else:
            self.start()
