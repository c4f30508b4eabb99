"""A list that never gets lower than a few of its rows."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListView

ROWS = 3
"""Rows that are seen at least, where there are as many."""

_EMPTY = 110
"""Least height while there is no row [logical pixels]."""


class RowsView(QListView):
    """A list whose least height is that of a few rows as they are at its width."""

    # --- Qt -------------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Return the usual width, and the height of a few rows."""
        row = self.sizeHintForRow(0)
        tall = ROWS * row + 2 * self.frameWidth() if row > 0 else _EMPTY
        return QSize(super().minimumSizeHint().width(), tall)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Ask for another height where the rows have other ones at this width."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()
