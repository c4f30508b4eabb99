"""The ways to say which part it is: each tab is as long as it is, not as the longest of them."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QTabWidget, QWidget


class PartTabs(QTabWidget):
    """Tabs that ask for the height of the page that is shown.

    A QTabWidget is as high as its highest page, so that a long form would make the page of a list
    scroll, beside the list that scrolls by itself. Lists get what the window has to give.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setDocumentMode(True)
        self.currentChanged.connect(self.updateGeometry)

    # --- Qt -------------------------------------------------------------------------------------

    def hasHeightForWidth(self) -> bool:  # noqa: N802
        """Return True: lines break elsewhere at another width."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802
        """Return the least height of the page that is shown."""
        page = self.currentWidget()
        layout = None if page is None else page.layout()
        if page is None or layout is None:
            return self.tabBar().sizeHint().height()
        within = layout.minimumHeightForWidth(width) if layout.hasHeightForWidth() else 0
        return self.tabBar().sizeHint().height() + max(within, layout.minimumSize().height())

    def sizeHint(self) -> QSize:  # noqa: N802
        """Return the usual width and the height that goes with the width at hand."""
        return QSize(super().sizeHint().width(), self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Return the least width and the height that goes with the width at hand."""
        return QSize(super().minimumSizeHint().width(), self.heightForWidth(self.width()))
