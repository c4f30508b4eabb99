"""A slider that the wheel moves only once it was chosen: who scrolls past changes nothing."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QSlider, QWidget


class CalmSlider(QSlider):
    """A horizontal slider that leaves the wheel to the page unless it has the focus."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    # --- Qt -------------------------------------------------------------------------------------

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """Leave the wheel to the page unless the slider has the focus."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class RangeSlider(CalmSlider):
    """A slider over the range of the duty, with the marks that matter under the page keys.

    Parameters
    ----------
    steps : int
        Its places, from 0 to this.
    """

    def __init__(self, steps: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setRange(0, steps)
        self.setSingleStep(steps // 200)
        self.setPageStep(steps // 20)
        self._stations: tuple[int, ...] = ()

    def set_stations(self, stations: tuple[int, ...]) -> None:
        """Set the places to which the page keys jump."""
        self._stations = tuple(sorted(stations))

    # --- Qt -------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Jump from mark to mark with the page keys."""
        key, here = event.key(), self.value()
        above = [s for s in self._stations if s > here]
        below = [s for s in self._stations if s < here]
        if key == Qt.Key.Key_PageUp and above:
            self.setValue(above[0])
        elif key == Qt.Key.Key_PageDown and below:
            self.setValue(below[-1])
        else:
            super().keyPressEvent(event)
