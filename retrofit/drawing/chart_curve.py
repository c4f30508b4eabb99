"""What is drawn on the plane of an error chart: corridor, bands, curve, signs of the marks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.quantities.kinds import Kind
from retrofit.drawing.look import Look
from retrofit.drawing.plot import Plot, runs
from retrofit.drawing.signs import diamond
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    line,
    polygon,
    polyline,
    rectangle,
)
from retrofit.plan.mark_readings import MarkReading
from retrofit.reading import Band, Reading

_NOTHING = 1e-6
"""Share of the range below which a band has no width worth drawing."""

_HATCH = 1.7
LEAD, DASH = 0.5, (1.5, 1.0)
"""Width of the curve, and its pattern while a stop holds the needle [mm]."""

DOTTED, DOTS = 0.22, (0.3, 0.7)
"""Width and pattern of the edges of the worst case [mm]."""


@dataclass(frozen=True)
class Board:
    """Where to draw, and how: plane, look, kind of the values."""

    plot: Plot
    look: Look
    kind: Kind


def has_width(low: Array, high: Array, span: float) -> bool:
    """Return whether a band, each edge of shape (N,) [SI], is wide enough to be seen."""
    apart = high - low
    known = apart[np.isfinite(apart)]
    return bool(known.size and np.abs(known).max() > _NOTHING * span)


def corridor(board: Board, allowed: float) -> list[Element]:
    """Return the ground of the allowed error over the whole range."""
    plot, palette = board.plot, board.look.palette
    top, bottom = plot.held_y(allowed), plot.held_y(-allowed)
    return [rectangle((plot.left, top), (plot.right, bottom), palette.corridor, name="corridor")]


def corridor_edges(board: Board, allowed: float) -> list[Element]:
    """Return the edges of the corridor, drawn over the bands."""
    plot, pen = board.plot, Pen(board.look.palette.corridor_edge, 0.18)
    heights = (plot.held_y(allowed), plot.held_y(-allowed))
    return [line((plot.left, y), (plot.right, y), pen) for y in heights]


def allowed_boxes(
    board: Board, marks: tuple[MarkReading, ...], general: float | None
) -> list[Element]:
    """Return a bracket at each mark that allows another error than the rest."""
    plot, palette = board.plot, board.look.palette
    drawn: list[Element] = []
    for mark in marks:
        if mark.allowed is None or mark.allowed == general:
            continue
        x, half = plot.x_of(mark.at), 1.3
        corner = (max(x - half, plot.left), plot.held_y(mark.allowed))
        opposite = (min(x + half, plot.right), plot.held_y(-mark.allowed))
        pen = Pen(palette.true, 0.22)
        drawn.append(rectangle(corner, opposite, "none", pen))
    return drawn


def shape_band(board: Board, x: Array, band: Band) -> list[Element]:
    """Return the band 'shape unknown' at true values, shape (N,) [SI], with its edges."""
    palette = board.look.palette
    pen = Pen(palette.shown, 0.13)
    low, high = band.low - x, band.high - x
    drawn: list[Element] = []
    for a, b in runs(np.isfinite(low) & np.isfinite(high)):
        drawn.append(polygon(_outline(board.plot, x[a:b], low[a:b], high[a:b]), palette.band))
        for edge in (low, high):
            drawn += [polyline(p, pen) for p in board.plot.cut(x[a:b], edge[a:b])]
    return drawn


def likely_band(board: Board, x: Array, low: Array, high: Array) -> list[Element]:
    """Return the ground of the likely band at true values, each shape (N,) [SI]."""
    found = runs(np.isfinite(low) & np.isfinite(high))
    fill = board.look.palette.likely
    return [
        polygon(_outline(board.plot, x[a:b], (low - x)[a:b], (high - x)[a:b]), fill)
        for a, b in found
    ]


def worst_edges(board: Board, x: Array, low: Array, high: Array) -> list[Element]:
    """Return the two dotted edges of the worst case at true values, each shape (N,) [SI]."""
    pen = Pen(board.look.palette.shown, DOTTED, DOTS)
    drawn: list[Element] = []
    for a, b in runs(np.isfinite(low) & np.isfinite(high)):
        for edge in (low, high):
            drawn += [polyline(p, pen) for p in board.plot.cut(x[a:b], (edge - x)[a:b])]
    return drawn


def supply_band(board: Board, reading: Reading) -> list[Element]:
    """Return what the supply does: upright hatching between its two edges."""
    plot, palette, x = board.plot, board.look.palette, reading.x
    one, other = reading.supply_low - x, reading.supply_high - x
    edge, hatch = Pen(palette.supply, 0.18), Pen(palette.supply, 0.09)
    drawn: list[Element] = []
    for a, b in runs(np.isfinite(one) & np.isfinite(other)):
        for side in (one, other):
            drawn += [polyline(p, edge) for p in plot.cut(x[a:b], side[a:b])]
        first, last = plot.x_of(float(x[a])), plot.x_of(float(x[b - 1]))
        for k in range(int((last - first) / _HATCH) + 1):
            at = first + (k + 0.5) * _HATCH
            value = plot.value_of(at)
            ends = [plot.held_y(float(np.interp(value, x[a:b], s[a:b]))) for s in (one, other)]
            if at < last and abs(ends[0] - ends[1]) > 0.15:
                drawn.append(line((at, ends[0]), (at, ends[1]), hatch))
    return drawn


def _outline(plot: Plot, x: Array, low: Array, high: Array) -> list[Point]:
    across = [plot.x_of(float(v)) for v in x]
    tops = [plot.held_y(float(v)) for v in high]
    bottoms = [plot.held_y(float(v)) for v in low]
    there = list(zip(across, tops, strict=True))
    return there + list(zip(across, bottoms, strict=True))[::-1]


def error_curve(board: Board, reading: Reading) -> list[Element]:
    """Return the curve of the needle error: solid, dashed while a stop holds the needle."""
    palette, error = board.look.palette, reading.error
    on_stop = np.nan_to_num(reading.held)
    drawn: list[Element] = []
    for a, b in runs(np.isfinite(error)):
        start = a
        while start < b - 1:
            end = start + 1
            dashed = bool(on_stop[start] and on_stop[start + 1])
            while end < b - 1 and bool(on_stop[end] and on_stop[end + 1]) is dashed:
                end += 1
            span = slice(start, end + 1)
            pen = Pen(palette.shown, LEAD, DASH if dashed else (), round=not dashed)
            for piece in board.plot.cut(reading.x[span], error[span]):
                drawn.append(polyline(piece, pen, f"error-{len(drawn)}"))
            start = end
    return drawn


def mark_signs(board: Board, marks: tuple[MarkReading, ...]) -> list[Element]:
    """Return a diamond at the error of each mark, where it is known and on the chart."""
    plot, palette = board.plot, board.look.palette
    drawn: list[Element] = []
    for k, mark in enumerate(marks):
        if not np.isfinite(mark.error) or not plot.y_low <= mark.error <= plot.y_high:
            continue
        at = (plot.x_of(mark.at), plot.y_of(mark.error))
        rim = Pen(palette.card, 0.25)
        drawn.append(polygon(diamond(at, 2.5), palette.shown, rim, f"mark-{k}"))
    return drawn
