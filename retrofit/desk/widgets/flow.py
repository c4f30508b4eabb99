"""Widgets beside each other, on as many lines as they need."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Puts widgets from left to right and goes on in the next line where they no longer fit.

    Parameters
    ----------
    gap : int
        Room between them, either way [logical pixels].
    """

    def __init__(self, gap: int = 6, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap
        self.setContentsMargins(0, 0, 0, 0)

    def _laid(self, width: int, at: QPoint | None) -> int:
        """Return the height at a width; where a corner is given, put the widgets there."""
        x = y = tall = 0
        lines: list[tuple[QLayoutItem, int, int, QSize]] = []
        for item in self._items:
            widget = item.widget()
            if widget is not None and widget.isHidden():
                continue
            size = item.sizeHint()
            if x and x + size.width() > width:
                x, y, tall = 0, y + tall + self._gap, 0
            lines.append((item, x, y, size))
            x += size.width() + self._gap
            tall = max(tall, size.height())
        if at is not None:
            for item, left, top, size in lines:
                beside = [each.height() for _, _, line, each in lines if line == top]
                down = top + (max(beside) - size.height()) // 2
                item.setGeometry(QRect(at + QPoint(left, down), size))
        return y + tall

    # --- Qt -------------------------------------------------------------------------------------

    def addItem(self, item: QLayoutItem) -> None:  # noqa: N802
        """Add one."""
        self._items.append(item)

    def count(self) -> int:
        """Return how many there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        """Return one, None beyond the last."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        """Take one out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:  # noqa: N802
        """Ask for no more than is needed."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:  # noqa: N802
        """Say that the height hangs on the width."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802
        """Return the height at a width."""
        return self._laid(width, None)

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802
        """Put the widgets in a rectangle."""
        super().setGeometry(rect)
        self._laid(rect.width(), rect.topLeft())

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for the least."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:  # noqa: N802
        """Return the size of the largest one."""
        least = QSize()
        for item in self._items:
            least = least.expandedTo(item.minimumSize())
        return least
