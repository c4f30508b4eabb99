"""A curve whose points can be dragged, by the mouse or by the keys."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, Unit
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.svg_view import PIXELS_PER_MM, LayeredView
from retrofit.drawing.curves_chart import CurvesDrawing, CurvesLook, DrawnCurve, curves_chart
from retrofit.drawing.look import Look, in_unit

_NEAR = 14.0
"""How near to a point the mouse must be to take it [logical pixels]."""

_HANDLE = 5.0
_STEPS = 250.0
"""Into how many steps the plane is divided: a point moves in round numbers of about that size."""

Pair = tuple[float, float]


def rounded(value: float, step: float) -> float:
    """Return a number at the nearest multiple of a step.

    Examples
    --------
    >>> rounded(103.42, 0.5), rounded(0.1234, 0.01)
    (103.5, 0.12)
    """
    return float(f"{round(value / step) * step:.12g}")


def fine_step(span: float) -> float:
    """Return the round step that is about a 250th of a span: 1, 2 or 5 times a power of ten.

    Examples
    --------
    >>> fine_step(250.0), fine_step(1.0)
    (1.0, 0.005)
    """
    wanted = abs(span) / _STEPS or 1e-6
    power = 10.0 ** math.floor(math.log10(wanted))
    return float(
        f"{min((1.0, 2.0, 5.0, 10.0), key=lambda f: abs(f * power - wanted)) * power:.12g}"
    )


class CurveChart(LayeredView):
    """Shows one curve with its points, or several side by side; the points of one can be moved.

    Parameters
    ----------
    reader, theme : Reader, Theme
        Units and colours.
    """

    moved = Signal(int, object, bool)
    """A point is being moved: its number, its new pair of Amount, and whether more follows."""

    looked_at = Signal(int)
    """Another point is the one that the keys move."""

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader, self._theme = reader, theme
        self._curves: tuple[DrawnCurve, ...] = ()
        self._kinds = (Kind.LEVEL, Kind.RESISTANCE)
        self._units: tuple[Unit, Unit] | None = None
        self._drawing: CurvesDrawing | None = None
        self._point = -1
        self._held = False
        self._key = False
        theme.changed.connect(self.draw)
        reader.changed.connect(self.draw)

    # --- what is asked of it --------------------------------------------------------------------

    def show_curves(
        self, curves: Sequence[DrawnCurve], kind: Kind, signal: Kind, *, key: bool = False
    ) -> None:
        """Show curves of one quantity and one signal."""
        self._curves, self._kinds, self._key = tuple(curves), (kind, signal), key
        if self._point >= len(self.points):
            self._point = -1
        self.draw()

    def let_move(self, units: tuple[Unit, Unit] | None) -> None:
        """Let the points of the first curve be moved, in round numbers of these units."""
        self._units = units
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus if units is None else Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(units is not None)

    @property
    def points(self) -> tuple[Pair, ...]:
        """The points that can be moved [SI, SI]."""
        return self._curves[0].points if self._curves else ()

    @property
    def point(self) -> int:
        """Number of the point that the keys move, −1 for none."""
        return self._point

    def look_at(self, number: int) -> None:
        """Let the keys move another point."""
        if number != self._point and number < len(self.points):
            self._point = number
            self.looked_at.emit(number)
            self._say()
            self.update()

    def place_of(self, number: int) -> QPointF:
        """Return where a point is in the widget [logical pixels]."""
        assert self._drawing is not None
        x, y = self._drawing.place(self.points[number])
        box, scale = self.box, self.box.width() / self._drawing.width
        return QPointF(box.left() + x * scale, box.top() + y * scale)

    def draw(self) -> None:
        """Draw the curves for the size, units and colours at hand."""
        if self._held and self._drawing is not None:
            return  # the plane must not change under the hand
        look = Look(self._theme.palette, self._reader.renderer)
        size = max(self.width(), 180) / PIXELS_PER_MM, max(self.height(), 110) / PIXELS_PER_MM
        axes = CurvesLook(look, *self._kinds)
        self._drawing = curves_chart(self._curves, axes, size, key=self._key)
        self.show_ground(self._drawing)
        self._say()

    # --- moving ---------------------------------------------------------------------------------

    def _say(self) -> None:
        if self._drawing is None:
            return
        said = self._drawing.desc
        if 0 <= self._point < len(self.points):
            at, gives = self.points[self._point]
            words = (
                self._reader.value(at, self._kinds[0]),
                self._reader.value(gives, self._kinds[1]),
            )
            said = self._reader.text(
                "curve.point", number=self._point + 1, at=words[0], gives=words[1]
            )
        self.setAccessibleDescription(said)

    def _steps(self) -> Pair:
        """Return the steps of a move, in the units of the points."""
        assert self._drawing is not None
        assert self._units is not None
        plot = self._drawing.plot
        across = (plot.x_high - plot.x_low) / self._units[0].factor
        ohms = [gives / self._units[1].factor for _, gives in self.points]
        if self._drawing.log and 0 <= self._point < len(ohms):
            return fine_step(across), fine_step(2.0 * ohms[self._point])
        return fine_step(across), fine_step((plot.y_high - plot.y_low) / self._units[1].factor)

    def _move(self, pair: Pair, *, more: bool) -> None:
        assert self._units is not None
        steps = self._steps()
        amounts = tuple(
            Amount(rounded(in_unit(si, unit), step), unit.symbol)
            for si, unit, step in zip(pair, self._units, steps, strict=True)
        )
        self.moved.emit(self._point, amounts, more)

    def _nearest(self, at: QPointF) -> int:
        """Return the point under the mouse, −1 for none."""
        far = [
            math.hypot(place.x() - at.x(), place.y() - at.y())
            for place in (self.place_of(number) for number in range(len(self.points)))
        ]
        best = min(range(len(far)), key=far.__getitem__, default=-1)
        return best if best >= 0 and far[best] <= _NEAR else -1

    def _pair_at(self, at: QPointF) -> Pair:
        assert self._drawing is not None
        box, scale = self.box, self.box.width() / self._drawing.width
        return self._drawing.pair(((at.x() - box.left()) / scale, (at.y() - box.top()) / scale))

    # --- Qt -------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for room in which a curve can be read."""
        return QSize(420, 230)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Draw anew for the size."""
        super().resizeEvent(event)
        self.draw()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Take the point under the mouse."""
        if self._units is None or event.button() is not Qt.MouseButton.LeftButton:
            super().mousePressEvent(event)
            return
        found = self._nearest(event.position())
        self._held = found >= 0
        if self._held:
            self.look_at(found)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Move the point that is held."""
        if self._units is None:
            return
        if self._held:
            self._move(self._pair_at(event.position()), more=True)
        over = self._held or self._nearest(event.position()) >= 0
        self.setCursor(Qt.CursorShape.SizeAllCursor if over else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Let the point go."""
        if self._held:
            self._held = False
            if 0 <= self._point < len(self.points):
                self._move(self.points[self._point], more=False)
            self.draw()
        super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Choose a point with the page keys, Home and End; move it with the arrows."""
        moves = {
            Qt.Key.Key_Left: (-1, 0),
            Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Up: (0, 1),
            Qt.Key.Key_Down: (0, -1),
        }
        key, last = Qt.Key(event.key()), len(self.points) - 1
        chosen = {
            Qt.Key.Key_PageDown: min(self._point + 1, last),
            Qt.Key.Key_PageUp: max(self._point - 1, 0),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
        }
        if self._units is None or last < 0:
            super().keyPressEvent(event)
        elif key in chosen:
            self.look_at(chosen[key])
        elif key in moves and 0 <= self._point <= last:
            steps, (dx, dy) = self._steps(), moves[key]
            at, gives = self.points[self._point]
            pair = (
                at + dx * steps[0] * self._units[0].factor,
                gives + dy * steps[1] * self._units[1].factor,
            )
            self._move(pair, more=event.isAutoRepeat())
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Begin with the first point."""
        super().focusInEvent(event)
        if self._point < 0 and self.points:
            self.look_at(0)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Show that the keys go elsewhere."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the curves, and the point that the keys move."""
        super().paintEvent(event)
        if self._units is None or self._drawing is None:
            return
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            colours = self._theme.palette
            if 0 <= self._point < len(self.points):
                painter.setPen(QPen(QColor(colours.card), 1.5))
                painter.setBrush(QColor(colours.true))
                painter.drawEllipse(self.place_of(self._point), _HANDLE, _HANDLE)
            if self.hasFocus():
                painter.setPen(QPen(QColor(colours.true), 2.0))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                box = self.rect().toRectF().adjusted(1.0, 1.0, -1.0, -1.0)
                painter.drawRoundedRect(box, 6.0, 6.0)
