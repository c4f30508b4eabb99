"""A list that never gets lower than a few of its rows, in a page that may scroll as well."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QListView, QScrollArea

ROWS = 3
"""Rows that are seen at least, where there are as many."""

_EMPTY = 110
"""Least height while there is no row [logical pixels]."""


class RowsView(QListView):
    """A list whose least height is that of a few rows as they are at its width.

    The wheel scrolls the page around it until that is at its end or somebody works in the list.
    """

    def _page_moves(self, *, down: bool) -> bool:
        """Return whether the page around the list can scroll further that way."""
        around = self.parentWidget()
        while around is not None and not isinstance(around, QScrollArea):
            around = around.parentWidget()
        if around is None:
            return False
        bar = around.verticalScrollBar()
        return bar.value() < bar.maximum() if down else bar.value() > bar.minimum()

    # --- Qt -------------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Return the usual width, and the height of a few rows."""
        row = self.sizeHintForRow(0)
        tall = ROWS * row + 2 * self.frameWidth() if row > 0 else _EMPTY
        return QSize(super().minimumSizeHint().width(), tall)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """Leave the wheel to the page where that can move and nobody works in the list."""
        turned = event.angleDelta().y() or event.pixelDelta().y()
        if turned and not self.hasFocus() and self._page_moves(down=turned < 0):
            event.ignore()
        else:
            super().wheelEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Ask for another height where the rows have other ones at this width."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()
