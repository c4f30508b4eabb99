"""Curves of parts over the value, up to four of them, told apart without colour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import SMALL, Drawing, Look, from_unit, in_unit
from retrofit.drawing.plot import Plot, runs
from retrofit.drawing.scale import apart, nice_ticks
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    Type,
    circle,
    document,
    group,
    line,
    polygon,
    polyline,
    rectangle,
    text,
)

MOST_CURVES = 4
"""Curves that can be told apart by their dashes and the signs of their points."""

_DASHES: tuple[tuple[float, ...], ...] = ((), (2.4, 1.1), (0.5, 0.9), (3.2, 0.9, 0.5, 0.9))
_TITLE = SMALL * 1.75
_BELOW = SMALL * 1.75
_KEY = SMALL * 1.6
_TICK = 0.9
_RIGHT = 2.4
_FINE = 0.18
_SIGN = 0.95
_SAMPLE = 9.0
_DECADE = 20.0
"""Ratio of the largest to the least signal from which the scale is logarithmic."""

Pair = tuple[float, float]


@dataclass(frozen=True)
class DrawnCurve:
    """One curve.

    Attributes
    ----------
    name : str
        What it is, for the key.
    x, y : array, shape (N,)
        Values [SI] and what the part gives or needs there [SI]; NaN where nobody knows.
    points : tuple of (float, float)
        Points that are stated, not drawn through [SI, SI].
    """

    name: str
    x: Array
    y: Array
    points: tuple[Pair, ...] = ()


@dataclass(frozen=True)
class CurvesLook:
    """What the axes of the chart are.

    Attributes
    ----------
    look : Look
        Palette, language and units.
    kind, signal : Kind
        What is read across, and what upwards.
    """

    look: Look
    kind: Kind
    signal: Kind


@dataclass(frozen=True)
class CurvesDrawing(Drawing):
    """A chart of curves with what is needed to move points on it.

    Attributes
    ----------
    plot : Plot
        The plane; upwards it counts in `height_of`'s numbers.
    log : bool
        Whether it is logarithmic upwards.
    """

    plot: Plot
    log: bool

    def place(self, pair: Pair) -> Point:
        """Return the place of a point [SI, SI → mm]."""
        return self.plot.x_of(pair[0]), self.plot.held_y(_height(pair[1], log=self.log))

    def pair(self, place: Point) -> Pair:
        """Return the point at a place, held within the plane [mm → SI, SI]."""
        plot = self.plot
        share = (plot.bottom - place[1]) / (plot.bottom - plot.top)
        height = plot.y_low + min(max(share, 0.0), 1.0) * (plot.y_high - plot.y_low)
        return plot.value_of(place[0]), 10.0**height if self.log else height


def curves_chart(
    curves: Sequence[DrawnCurve], axes: CurvesLook, size_mm: Point, *, key: bool = True
) -> CurvesDrawing:
    """Draw up to four curves over the value.

    Parameters
    ----------
    curves : sequence of DrawnCurve
        At most `MOST_CURVES`; all of one quantity and one signal.
    axes : CurvesLook
        What is read across and upwards.
    size_mm : (float, float)
        Width and height [mm]; from about 50 by 30.
    key : bool
        Whether the names stand below.

    Returns
    -------
    CurvesDrawing
        The drawing and its plane. Each curve has a dash and a sign of its own, so that they
        are told apart in grey as well. Upwards it is logarithmic where the signals run over
        more than a factor of twenty and none is zero.
    """
    curves = curves[:MOST_CURVES]
    rows = len(curves) if key else 0
    log = _is_log(curves)
    plot = _plot(curves, axes, size_mm, rows, log=log)
    drawn = [
        group("plane", (_frame(plot, axes),)),
        group("axes", _axes(plot, axes, log=log)),
        group("title", (_heading(axes, size_mm[0]),)),
    ]
    for place, curve in enumerate(curves):
        drawn.append(group(f"curve-{place}", _curve(curve, place, plot, axes, log=log)))
    if key:
        drawn.append(group("key", _key(curves, axes, size_mm)))
    title = axes.look.say(message("drawing.curves.title"))
    desc = " ".join(_says(curve, axes) for curve in curves)
    svg = document(size_mm, title, desc, drawn)
    return CurvesDrawing(svg, *size_mm, title, desc, plot, log)


def point_sign(place: int, at: Point, size: float, colour: str, ground: str) -> Element:
    """Return the sign of the points of the curve at a place among the others."""
    x, y = at
    pen = Pen(colour, 0.32)
    if place == 0:
        return circle(at, size, ground, pen)
    corners = {
        1: ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)),
        2: ((0.0, -1.3), (1.2, 0.9), (-1.2, 0.9)),
        3: ((0.0, -1.35), (1.35, 0.0), (0.0, 1.35), (-1.35, 0.0)),
    }[place]
    scale = 0.9 * size
    return polygon([(x + scale * dx, y + scale * dy) for dx, dy in corners], ground, pen)


def _height(value: float, *, log: bool) -> float:
    return math.log10(value) if log else value


def _all(curves: Sequence[DrawnCurve]) -> Array:
    found = [curve.y[np.isfinite(curve.y)] for curve in curves]
    found += [np.array([y for _, y in curve.points]) for curve in curves if curve.points]
    return np.concatenate(found) if found else np.array([])


def _is_log(curves: Sequence[DrawnCurve]) -> bool:
    known = _all(curves)
    return bool(known.size and known.min() > 0.0 and known.max() > _DECADE * known.min())


def _ranges(curves: Sequence[DrawnCurve], *, log: bool) -> tuple[Pair, Pair]:
    across = [float(x) for curve in curves for x in (curve.x[:1], curve.x[-1:]) for x in x]
    across += [x for curve in curves for x, _ in curve.points]
    known = _all(curves)
    low, high = (0.0, 1.0) if not known.size else (float(known.min()), float(known.max()))
    if log:
        low, high = math.log10(low), math.log10(high)
        room = 0.06 * (high - low)
        return _wide(across), (low - room, high + room)
    low = min(low, 0.0) if low < 0.3 * high else low
    room = 0.06 * (high - low) or 0.5 * abs(high) or 1.0
    return _wide(across), (low if low == 0.0 else low - room, high + room)


def _wide(across: Sequence[float]) -> Pair:
    low, high = (min(across), max(across)) if across else (0.0, 1.0)
    return (low, high) if high > low else (low - 0.5, high + 0.5)


def _plot(
    curves: Sequence[DrawnCurve], axes: CurvesLook, size_mm: Point, rows: int, *, log: bool
) -> Plot:
    across, up = _ranges(curves, log=log)
    bottom = size_mm[1] - _BELOW - _KEY * rows
    rough = Plot(0.0, _TITLE, size_mm[0], bottom, *across, *up)
    left = max((width(words, SMALL) for _, words in _up(rough, axes, log=log)), default=0.0)
    return Plot(left + _TICK + 0.9, _TITLE, size_mm[0] - _RIGHT, bottom, *across, *up)


def _frame(plot: Plot, axes: CurvesLook) -> Element:
    corners = (plot.left, plot.top), (plot.right, plot.bottom)
    return rectangle(*corners, "none", Pen(axes.look.palette.line, _FINE), "plot")


def _heading(axes: CurvesLook, room: float) -> Element:
    signal = axes.look.say(message(f"drawing.curves.{axes.signal.value}"))
    words = axes.look.say(
        message("drawing.curves.heading", signal=signal, unit=axes.look.unit(axes.signal).symbol)
    )
    kind = Type(SMALL, axes.look.palette.ink, bold=True)
    return text((0.0, SMALL * 0.6), shorten(words, SMALL, room, bold=True), kind)


def _up(plot: Plot, axes: CurvesLook, *, log: bool) -> list[tuple[float, str]]:
    """Return height and number of each tick upwards."""
    unit, look = axes.look.unit(axes.signal), axes.look
    if log:
        low, high = 10.0**plot.y_low / unit.factor, 10.0**plot.y_high / unit.factor
        numbers = _decades(low, high, max(2, int((plot.bottom - plot.top) / (SMALL * 2.1))))
        return [
            (math.log10(n * unit.factor), look.figure(n * unit.factor, axes.signal, n / 10.0))
            for n in numbers
        ]
    most = max(2, int((plot.bottom - plot.top) / (SMALL * 2.1)))
    ticks = nice_ticks(plot.y_low / unit.factor, plot.y_high / unit.factor, most)
    values = [number * unit.factor for number in ticks.major]
    return [(value, look.figure(value, axes.signal, ticks.step)) for value in values]


def _decades(low: float, high: float, most: int) -> list[float]:
    """Return round numbers over a logarithmic scale, as many as have room."""
    found: list[float] = []
    for figures in ((1.0, 2.0, 3.0, 5.0), (1.0, 2.0, 5.0), (1.0, 3.0), (1.0,)):
        powers = range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 1)
        found = [f * 10.0**p for p in powers for f in figures if low <= f * 10.0**p <= high]
        if len(found) <= most:
            break
    return found


def _axes(plot: Plot, axes: CurvesLook, *, log: bool) -> list[Element]:
    palette = axes.look.palette
    thin, faint = Pen(palette.muted, _FINE), Pen(palette.line, 0.12)
    drawn = [line((plot.left, plot.bottom), (plot.right, plot.bottom), thin)]
    for k, (height, words) in enumerate(_up(plot, axes, log=log)):
        y = plot.y_of(height)
        drawn.append(line((plot.left, y), (plot.right, y), faint))
        drawn.append(line((plot.left - _TICK, y), (plot.left, y), thin))
        drawn.append(
            text((plot.left - _TICK - 0.6, y), words, Type(SMALL, palette.muted, "end"), f"y-{k}")
        )
    middle = plot.bottom + _TICK + 0.55 * SMALL + 0.3
    for k, (x, words, start) in enumerate(_across(plot, axes)):
        drawn.append(line((x, plot.bottom), (x, plot.bottom + _TICK), thin))
        drawn.append(text((start, middle), words, Type(SMALL, palette.muted), f"x-{k}"))
    return drawn


def _across(plot: Plot, axes: CurvesLook) -> list[tuple[float, str, float]]:
    """Return place, number and where the number starts, of each tick across [mm]."""
    unit, look = axes.look.unit(axes.kind), axes.look
    low, high = in_unit(plot.x_low, unit), in_unit(plot.x_high, unit)
    found: list[tuple[float, str, float]] = []
    for most in range(10, 1, -1):
        ticks = nice_ticks(low, high, most)
        found = []
        for number in ticks.major:
            value = from_unit(number, unit)
            words = look.figure(value, axes.kind, ticks.step)
            start = plot.x_of(value) - width(words, SMALL) / 2.0
            if number == ticks.major[-1]:
                words += f"\N{NO-BREAK SPACE}{unit.symbol}"
            start = min(start, plot.right + _RIGHT - width(words, SMALL))
            found.append((plot.x_of(value), words, start))
        if apart([(start, start + width(words, SMALL)) for _, words, start in found], 1.6):
            break
    return found


def _colour(place: int, axes: CurvesLook) -> str:
    palette = axes.look.palette
    return (palette.true, palette.shown, palette.ink, palette.good)[place]


def _curve(
    curve: DrawnCurve, place: int, plot: Plot, axes: CurvesLook, *, log: bool
) -> list[Element]:
    colour = _colour(place, axes)
    pen = Pen(colour, 0.5, _DASHES[place], round=not _DASHES[place])
    known = np.isfinite(curve.y)
    drawn: list[Element] = []
    with np.errstate(divide="ignore", invalid="ignore"):
        heights = np.log10(curve.y) if log else curve.y
    for k, (a, b) in enumerate(runs(known)):
        pieces = plot.cut(curve.x[a:b], heights[a:b]) if b - a > 1 else []
        drawn += [polyline(piece, pen, f"line-{k}") for piece in pieces]
    for x, y in curve.points:
        at = plot.x_of(x), plot.held_y(_height(y, log=log))
        drawn.append(point_sign(place, at, _SIGN, colour, axes.look.palette.card))
    return drawn


def _key(curves: Sequence[DrawnCurve], axes: CurvesLook, size_mm: Point) -> list[Element]:
    drawn: list[Element] = []
    for place, curve in enumerate(curves):
        y = size_mm[1] - _KEY * (len(curves) - place - 0.5)
        colour = _colour(place, axes)
        pen = Pen(colour, 0.5, _DASHES[place])
        drawn.append(line((0.0, y), (_SAMPLE, y), pen))
        at = _SAMPLE / 2.0, y
        drawn.append(point_sign(place, at, _SIGN, colour, axes.look.palette.card))
        words = shorten(curve.name, SMALL, size_mm[0] - _SAMPLE - 1.6)
        drawn.append(text((_SAMPLE + 1.6, y), words, Type(SMALL, axes.look.palette.ink)))
    return drawn


def _says(curve: DrawnCurve, axes: CurvesLook) -> str:
    known = np.flatnonzero(np.isfinite(curve.y))
    if not known.size:
        return axes.look.say(message("drawing.curves.unknown", name=curve.name))
    a, b = known[0], known[-1]
    return axes.look.say(
        message(
            "drawing.curves.says",
            name=curve.name,
            low=SiValue(float(curve.x[a]), axes.kind),
            high=SiValue(float(curve.x[b]), axes.kind),
            at_low=SiValue(float(curve.y[a]), axes.signal),
            at_high=SiValue(float(curve.y[b]), axes.signal),
        )
    )
