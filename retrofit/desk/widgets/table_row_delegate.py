"""How a row of a pasted table looks: a wrong one has a mark before it and its sentence behind."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from retrofit.desk.models.table_preview_model import PROBLEM, VALUE, PreviewRole
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import paint_verdict
from retrofit.plan.checks.check import Verdict

_AIR = QPoint(8, 5)
_MARK = 10.0
_LANE = 26
"""Width of the lane in which the marks stand [logical pixels]."""

Index = QModelIndex | QPersistentModelIndex


class TableRowDelegate(QStyledItemDelegate):
    """Paints the rows of a `TablePreviewModel`.

    Parameters
    ----------
    theme : Theme
        Colours.
    """

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme

    def _paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        box: QRect = option.rect
        state = option.state
        colours = self._theme.palette
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(box, QColor(colours.corridor))
        if index.column() == VALUE and index.data(PreviewRole.WRONG):
            mark = QRectF(box.left() + 8.0, box.top() + _AIR.y() + 4.0, _MARK, _MARK)
            paint_verdict(painter, mark, Verdict.STOP, self._theme)
        wrong = index.column() == PROBLEM
        painter.setFont(option.font)
        painter.setPen(QColor(colours.stop if wrong else colours.ink))
        painter.drawText(
            _inside(box, index.column()),
            _flags(index.column()),
            str(index.data(Qt.ItemDataRole.DisplayRole) or ""),
        )
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QColor(colours.true))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box.adjusted(0, 0, -1, -1))

    # --- Qt -------------------------------------------------------------------------------------

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        painter.save()
        self._paint(painter, option, index)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: N802
        """Return the room for a cell; a sentence takes as many lines as its column needs."""
        metrics = QFontMetrics(option.font)
        text = str(index.data(Qt.ItemDataRole.DisplayRole) or "")
        width = max(80, option.rect.width())
        inside = _inside(QRect(0, 0, width, 4000), index.column())
        words = metrics.boundingRect(inside, int(_flags(index.column())), text)
        height = max(metrics.height(), words.height()) + 2 * _AIR.y()
        lane = _LANE if index.column() == VALUE else _AIR.x()
        return QSize(words.width() + lane + _AIR.x(), height)


def _inside(box: QRect, column: int) -> QRect:
    return box.adjusted(_LANE if column == VALUE else _AIR.x(), _AIR.y(), -_AIR.x(), -_AIR.y())


def _flags(column: int) -> Qt.AlignmentFlag | Qt.TextFlag:
    if column == PROBLEM:
        return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
    return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
