"""The small error curve in a row of a list: its shape tells more than the number beside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.drawing.chart_range import allowed_most
from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.plot import Plot, runs
from retrofit.drawing.signs import arrow_head
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    document,
    group,
    line,
    polygon,
    polyline,
    rectangle,
)
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import SEVERITY, Verdict

ROW_SIZE = (40.0, 8.0)
"""Size of a curve in a list [mm]."""

_MOST_CORRIDORS = 3.0
"""Errors are shown up to so many times the allowed one: the same scale in every row."""

_NEEDLE_CHECKS = ("mark", "flatters", "direction", "signal", "range")
_FREE = 0.25
"""Share of the span that a row shows where nobody said what is allowed."""


@dataclass(frozen=True)
class RowCurve:
    """What a small curve shows.

    Attributes
    ----------
    x : array, shape (N,)
        True values [SI]; at least two.
    error : array, shape (N,)
        Needle errors [SI difference]; NaN where not known.
    allowed : float or None
        Allowed error [SI difference]; None where nobody said.
    verdict : Verdict
        What the needle error amounts to; it colours the curve.
    kind : Kind
        Kind of the true values.
    """

    x: Array
    error: Array
    allowed: float | None
    verdict: Verdict
    kind: Kind


def needle_verdict(assessment: Assessment) -> Verdict:
    """Return the worst verdict of the checks about what the needle shows."""
    found = [c.verdict for c in assessment.checks if c.name in _NEEDLE_CHECKS]
    return min(found, key=lambda verdict: SEVERITY[verdict], default=Verdict.UNKNOWN)


def row_curve(assessment: Assessment, look: Look, size_mm: Point = ROW_SIZE) -> Drawing:
    """Draw the error curve of an assessment for a row of a list [mm]."""
    duty, reading = assessment.plan.duty, assessment.reading
    x = np.array(duty.span) if reading is None else reading.x
    error = np.full_like(x, np.nan) if reading is None else reading.error
    shown = RowCurve(x, error, allowed_most(assessment), needle_verdict(assessment), duty.kind)
    return draw_row(shown, look, size_mm)


def draw_row(row: RowCurve, look: Look, size_mm: Point = ROW_SIZE) -> Drawing:
    """Draw a small error curve, with arrows where it leaves its scale."""
    palette, (wide, high) = look.palette, size_mm
    span = float(row.x[-1] - row.x[0])
    limit = _FREE * span if row.allowed is None else _MOST_CORRIDORS * row.allowed
    ends = float(row.x[0]), float(row.x[-1])
    plot = Plot(0.4, 0.6, wide - 0.4, high - 0.6, *ends, -limit, limit)
    drawn: list[Element] = []
    if row.allowed is not None:
        corners = (plot.left, plot.y_of(row.allowed)), (plot.right, plot.y_of(-row.allowed))
        drawn.append(rectangle(*corners, palette.corridor, name="corridor"))
        edge = Pen(palette.corridor_edge, 0.12)
        drawn += [line((plot.left, y), (plot.right, y), edge) for _, y in corners]
    zero = plot.y_of(0.0)
    drawn.append(line((plot.left, zero), (plot.right, zero), Pen(palette.muted, 0.12)))
    drawn += _unknown(row, plot, look)
    pen = Pen(palette.verdict(row.verdict), 0.45, round=True)
    for a, b in runs(np.isfinite(row.error)):
        pieces = plot.cut(row.x[a:b], row.error[a:b])
        drawn += [polyline(p, pen, f"error-{a + k}") for k, p in enumerate(pieces)]
    drawn += _arrows(row, plot, look)
    title = look.say(message("drawing.chart.title"))
    desc = _desc(row, look)
    return Drawing(document(size_mm, title, desc, (group("row", drawn),)), wide, high, title, desc)


def _unknown(row: RowCurve, plot: Plot, look: Look) -> list[Element]:
    """Return dots along zero where nothing is known."""
    zero = plot.y_of(0.0)
    drawn: list[Element] = []
    pen = Pen(look.palette.unknown, 0.6, (0.6, 1.2))
    for k, (a, b) in enumerate(runs(np.isnan(row.error))):
        ends = row.x[max(a - 1, 0)], row.x[min(b, len(row.x) - 1)]
        first, last = plot.x_of(float(ends[0])), plot.x_of(float(ends[1]))
        corners = (first, plot.top), (last, plot.bottom)
        drawn.append(rectangle(*corners, look.palette.gap, name=f"gap-{k}"))
        drawn.append(line((first, zero), (last, zero), pen))
    return drawn


def _arrows(row: RowCurve, plot: Plot, look: Look) -> list[Element]:
    colour = look.palette.verdict(row.verdict)
    pen = Pen(colour, 0.25, (0.25, 0.9))
    drawn: list[Element] = []
    for up in (True, False):
        beyond = row.error > plot.y_high if up else row.error < plot.y_low
        for a, b in runs(beyond):
            edge = plot.top if up else plot.bottom
            ends = plot.x_of(float(row.x[a])), plot.x_of(float(row.x[b - 1]))
            drawn.append(line((ends[0], edge), (ends[1], edge), pen))
            x = sum(ends) / 2.0
            x = min(max(x, plot.left + 0.9), plot.right - 0.9)
            tip = (x, plot.top - 0.4 if up else plot.bottom + 0.4)
            drawn.append(polygon(arrow_head(tip, 1.5, up=up), colour))
    return drawn


def _desc(row: RowCurve, look: Look) -> str:
    known = row.error[np.isfinite(row.error)]
    if not known.size:
        return look.say(message("drawing.not_known"))
    apart = difference(row.kind)
    least, most = SiValue(float(known.min()), apart), SiValue(float(known.max()), apart)
    return look.say(message("drawing.row.says", least=least, most=most))
