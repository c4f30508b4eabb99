"""How a part looks in a list: its mark, two lines, the small error curve, the worst error."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from retrofit.desk.models.part_list_model import PartRole
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import paint_verdict
from retrofit.desk.widgets.svg_view import FAINT
from retrofit.plan.checks.check import Verdict

_EDGE, _GAP, _AIR = 12.0, 10.0, 9.0
_MARK = 11.0
_LEAD = 2.0
_CURVE = QSize(92, 30)
_WORDS = 230.0
"""Room for the words [logical pixels] below which the curve gives way."""

_NARROW = 600
"""Width of a list [logical pixels] below which the name takes the whole of a row's first line, and
the reason two lines beside the curve."""

_SMALL = 0.9
"""Size of the second line, as a share of the first."""

_CORRIDOR = 3.0
"""The small curve is cut off at this many times the allowed error."""

Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True)
class Places:
    """Where the pieces of a row go; an empty box is left out."""

    mark: QRectF
    name: QRectF
    why: QRectF
    curve: QRectF
    worst: QRectF


def places(row: QRectF, upper: float, worst: float, *, curve: bool) -> Places:
    """Return where the pieces of a row go.

    Parameters
    ----------
    row : QRectF
        The whole row [logical pixels].
    upper : float
        Height of the name's line [logical pixels].
    worst : float
        Width of the text of the worst error [logical pixels], 0 for none.
    curve : bool
        Whether there is a curve; it goes first where the row is very narrow.
    """
    inside = row.adjusted(_EDGE, _AIR, -_EDGE, -_AIR)
    mark = QRectF(inside.left(), inside.top() + 3.0, _MARK, _MARK)
    left = mark.right() + _GAP
    narrow = row.width() < _NARROW
    beside = inside.adjusted(0.0, upper, 0.0, 0.0) if narrow else inside
    right = inside.right()
    at_end = QRectF()
    if worst:
        at_end = QRectF(right - worst, beside.top(), worst, beside.height())
        right = at_end.left() - _GAP
    drawn = QRectF()
    if curve and right - left > _WORDS + _CURVE.width():
        top = beside.center().y() - _CURVE.height() / 2.0
        drawn = QRectF(right - _CURVE.width(), top, _CURVE.width(), _CURVE.height())
        right = drawn.left() - _GAP
    end = inside.right() if narrow else right
    name = QRectF(left, inside.top(), max(0.0, end - left), upper)
    why = QRectF(left, name.bottom(), max(0.0, right - left), inside.bottom() - name.bottom())
    return Places(mark, name, why, drawn, at_end)


def curve_points(errors: Sequence[float], limit: float, box: QRectF) -> list[list[QPointF]]:
    """Return the pieces of a small error curve in a box; where an error is NaN it is cut.

    Parameters
    ----------
    errors : sequence of float
        Needle errors at equal steps.
    limit : float
        Error at the top edge of the box, > 0; larger ones run along the edge.
    """
    step = box.width() / max(1, len(errors) - 1)
    half = box.height() / 2.0
    pieces = []
    for known, group in groupby(enumerate(errors), key=lambda pair: not math.isnan(pair[1])):
        if known:
            pieces.append(
                [
                    QPointF(
                        box.left() + step * place,
                        box.center().y() - half * max(-1.0, min(1.0, error / limit)),
                    )
                    for place, error in group
                ]
            )
    return pieces


def star(centre: QPointF, radius: float) -> QPolygonF:
    """Return a star with five points, one of them up."""
    corners = []
    for corner in range(10):
        far = radius if corner % 2 == 0 else 0.42 * radius
        turn = math.pi * corner / 5.0
        corners.append(centre + QPointF(far * math.sin(turn), -far * math.cos(turn)))
    return QPolygonF(corners)


def _name_of(index: Index) -> str:
    return str(index.data(Qt.ItemDataRole.DisplayRole) or "")


class PartListDelegate(QStyledItemDelegate):
    """Paints the rows of a `PartListModel`.

    Parameters
    ----------
    theme : Theme
        Colours.
    own : str
        The word that stands before the second line of the user's own parts.
    """

    def __init__(self, theme: Theme, own: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._own = own
        self._widest = ""

    def make_room_for(self, texts: Iterable[str]) -> None:
        """Keep room for the widest of these worst errors, so that all curves stand in line."""
        self._widest = max(texts, key=len, default="")

    def _fonts(self, option: QStyleOptionViewItem) -> tuple[QFont, QFont]:
        name, detail = QFont(option.font), QFont(option.font)
        name.setWeight(QFont.Weight.DemiBold)
        if detail.pointSizeF() > 0.0:
            detail.setPointSizeF(detail.pointSizeF() * _SMALL)
        else:
            detail.setPixelSize(max(1, round(detail.pixelSize() * _SMALL)))
        for font in (name, detail):
            font.setFeature(QFont.Tag("tnum"), 1)  # figures of one width, whatever the font
        return name, detail

    def _paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        row = QRectF(option.rect)
        state = option.state
        name_font, detail_font = self._fonts(option)
        self._paint_ground(painter, row, state)
        worst = str(index.data(PartRole.WORST) or "")
        metrics = QFontMetricsF(name_font)
        width = max(map(metrics.horizontalAdvance, (worst, self._widest))) if worst else 0.0
        width = min(math.ceil(width), row.width() / 3.0)
        errors = index.data(PartRole.ERRORS)
        at = places(row, metrics.height(), width, curve=bool(errors))
        verdict = index.data(PartRole.VERDICT)
        self._paint_text(painter, at.name, _name_of(index), name_font)
        painter.setOpacity(FAINT if index.data(PartRole.STALE) else 1.0)
        if verdict:
            paint_verdict(painter, at.mark, Verdict(verdict), self._theme)
        self._paint_why(painter, at, index, detail_font)
        if index.data(PartRole.STARRED):
            self._paint_star(painter, at)
        if at.curve.isValid():
            colour = (
                self._theme.palette.ink if not verdict else self._theme.verdict(Verdict(verdict))
            )
            self._paint_curve(painter, at.curve, errors, index.data(PartRole.ALLOWED), colour)
        if worst:
            self._paint_text(painter, at.worst, worst, name_font, end=True)
        painter.setOpacity(1.0)
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(self._theme.palette.true), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(row.adjusted(2.0, 2.0, -2.0, -2.0), 4.0, 4.0)

    def _paint_ground(self, painter: QPainter, row: QRectF, state: QStyle.StateFlag) -> None:
        colours = self._theme.palette
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(row, QColor(colours.corridor))
            bar = QRectF(row.left(), row.top(), 3.0, row.height())
            painter.fillRect(bar, QColor(colours.true))
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(row, QColor(colours.paper))
        painter.setPen(QPen(QColor(colours.line), 1.0))
        painter.drawLine(row.bottomLeft(), row.bottomRight())

    def _paint_star(self, painter: QPainter, at: Places) -> None:
        """Paint the mark of what nothing else beats, under the mark of the verdict."""
        centre = QPointF(at.mark.center().x(), at.why.top() + at.mark.height())
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self._theme.palette.true))
        painter.drawPolygon(star(centre, at.mark.width() / 2.0 + 1.0))

    def _paint_why(self, painter: QPainter, at: Places, index: Index, font: QFont) -> None:
        detail = str(index.data(PartRole.DETAIL) or "")
        if index.data(PartRole.OWN):
            detail = f"{self._own} · {detail}" if detail else self._own
        line = QFontMetricsF(font).height()
        box = at.why.adjusted(0.0, _LEAD, 0.0, 0.0)
        for part in self._lines(detail, font, at.why.width(), int(box.height() // line)):
            box.setHeight(line)
            self._paint_text(painter, box, part, font, muted=True)
            box.translate(0.0, line)

    @staticmethod
    def _lines(text: str, font: QFont, width: float, most: int) -> list[str]:
        """Break a text into at most so many lines; the last one holds all the rest."""
        metrics = QFontMetricsF(font)
        lines = [""]
        for word in text.split(" "):
            longer = f"{lines[-1]} {word}".lstrip()
            if len(lines) < most and lines[-1] and metrics.horizontalAdvance(longer) > width:
                lines.append(word)
            else:
                lines[-1] = longer
        return lines

    def _paint_text(
        self,
        painter: QPainter,
        box: QRectF,
        text: str,
        font: QFont,
        *,
        muted: bool = False,
        end: bool = False,
    ) -> None:
        colours = self._theme.palette
        painter.setFont(font)
        painter.setPen(QColor(colours.muted if muted else colours.ink))
        # A name says at both ends what tells it from its neighbours; a reason begins with it.
        where = Qt.TextElideMode.ElideRight if muted else Qt.TextElideMode.ElideMiddle
        elided = QFontMetricsF(font).elidedText(text, where, box.width() + 0.5)
        side = Qt.AlignmentFlag.AlignRight if end else Qt.AlignmentFlag.AlignLeft
        painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter, elided)

    def _paint_curve(
        self,
        painter: QPainter,
        box: QRectF,
        errors: Sequence[float],
        allowed: float | None,
        colour: str,
    ) -> None:
        colours = self._theme.palette
        known = [abs(error) for error in errors if not math.isnan(error)]
        limit = allowed * _CORRIDOR if allowed else max(known, default=0.0) or 1.0
        if allowed:
            half = box.height() / (2.0 * _CORRIDOR)
            corridor = QRectF(box.left(), box.center().y() - half, box.width(), 2.0 * half)
            shade = QColor(colours.corridor_edge)
            shade.setAlphaF(0.30)
            painter.fillRect(corridor, shade)
        painter.setPen(QPen(QColor(colours.corridor_edge), 1.0))
        painter.drawLine(
            QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y())
        )
        pen = QPen(QColor(colour), 1.8)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        for piece in curve_points(errors, limit, box):
            painter.drawPolyline(QPolygonF(piece))

    # --- Qt -------------------------------------------------------------------------------------

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one row."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint(painter, option, index)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: N802
        """Return the room for two lines, in a narrow list for three."""
        del index
        name, detail = self._fonts(option)
        view = option.widget
        narrow = isinstance(view, QListView) and view.viewport().width() < _NARROW
        lines = QFontMetricsF(detail).height() * (2.0 if narrow else 1.0)
        lines += QFontMetricsF(name).height() + _LEAD
        return QSize(200, math.ceil(lines + 2.0 * _AIR))
