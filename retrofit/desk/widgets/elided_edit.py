"""A line edit whose last sign says that there is more, while nobody types in it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLineEdit, QStyle, QStyleOptionFrame, QToolTip

_BEFORE_TEXT = 2
"""Room that a line edit leaves at either side of its text [logical pixels]."""


class ElidedEdit(QLineEdit):
    """A line edit whose text ends in … where it does not fit; a tip then shows all of it."""

    @property
    def shown(self) -> str:
        """The text as it is seen while nobody types here."""
        end = Qt.TextElideMode.ElideRight
        return self.fontMetrics().elidedText(self.text(), end, self._inside().width())

    def _inside(self) -> QRect:
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        part = QStyle.SubElement.SE_LineEditContents
        found = self.style().subElementRect(part, option, self)
        return found.adjusted(_BEFORE_TEXT, 0, -_BEFORE_TEXT, 0)

    # --- Qt -------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Show the whole text as a tip where it is not seen."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            tip = self.text() if self.shown != self.text() else self.toolTip()
            QToolTip.showText(event.globalPos(), tip, self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the frame and the shortened text, or as usual while somebody types."""
        shown = self.shown
        if self.hasFocus() or shown == self.text():
            super().paintEvent(event)
            return
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        with QPainter(self) as painter:
            frame = QStyle.PrimitiveElement.PE_PanelLineEdit
            self.style().drawPrimitive(frame, option, painter, self)
            painter.setPen(self.palette().text().color())
            side = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(self._inside(), side, shown)
