"""The error chart: needle error over the true value, with the corridor and what is not known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.drawing import chart_curve as curve
from retrofit.drawing import chart_notes as notes
from retrofit.drawing.chart_curve import Board
from retrofit.drawing.chart_names import ROW, NameTag, place_tags
from retrofit.drawing.chart_range import error_range, numbered
from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import SMALL, Drawing, Look, from_unit, in_unit
from retrofit.drawing.plot import Plot
from retrofit.drawing.scale import Ticks, apart, nice_ticks
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    Type,
    document,
    group,
    line,
    rectangle,
    text,
)
from retrofit.plan.assess import Assessment
from retrofit.plan.stages import supply_range

_TITLE = SMALL * 1.75
_BELOW = SMALL * 1.75
_KEY = SMALL * 1.6
_TICK = 0.9
_RIGHT = 2.2
_FINE = 0.18
_FOR_NAMES = 0.25
"""Largest share of the height that the rows of names take."""


@dataclass(frozen=True)
class ChartDrawing(Drawing):
    """An error chart with what is needed to paint a live scrubber on it.

    Attributes
    ----------
    plot : Plot
        The plane: `x_of`, `y_of` and, for clicks, `value_of` [mm, SI].
    """

    plot: Plot


@dataclass(frozen=True)
class _Key:
    """One entry of the key: what it looks like (a name of `_swatch`) and what it is."""

    sign: str
    words: str


def error_chart(assessment: Assessment, look: Look, size_mm: Point) -> ChartDrawing:
    """Draw the needle error over the range of the duty.

    Parameters
    ----------
    assessment : Assessment
        What was computed.
    look : Look
        Palette, language and units.
    size_mm : (float, float)
        Width and height [mm]; from about 50 by 30.

    Returns
    -------
    ChartDrawing
        The drawing and its plane. It holds the whole curve and every mark; only errors far
        beyond the gauge's scale are clipped and named by an arrow. Where nothing is known the
        plane says so.
    """
    kind = assessment.plan.duty.kind
    keys = _keys(assessment, look)
    rows = _key_rows(keys, size_mm[0])
    plot, tags = _layout(assessment, look, size_mm, len(rows))
    board = Board(plot, look, kind)
    drawn = [group("plane", _plane(board, assessment))]
    if assessment.reading is not None:
        drawn.append(group("marks", _verticals(board, tags)))
        drawn.append(group("curve", _curve(board, assessment, [tag.line for tag in tags])))
    drawn.append(group("axes", _axes(board, known=assessment.reading is not None)))
    drawn.append(group("title", (_heading(board, size_mm[0]),)))
    if rows:
        drawn.append(group("key", _key(board, rows, size_mm[1])))
    title = look.say(message("drawing.chart.title"))
    desc = " ".join(look.say(one) for one in _desc(assessment))
    svg = document(size_mm, title, desc, drawn)
    return ChartDrawing(svg, *size_mm, title, desc, plot)


def _layout(
    assessment: Assessment, look: Look, size_mm: Point, key_rows: int
) -> tuple[Plot, tuple[NameTag, ...]]:
    duty = assessment.plan.duty
    bottom = size_mm[1] - _BELOW - _KEY * key_rows
    unit = look.unit(difference(duty.kind))
    low, high = error_range(assessment)
    if assessment.reading is not None:
        low, high = numbered((low, high), unit, _most_numbers(_TITLE + ROW, bottom))
    rough = Plot(0.0, _TITLE, size_mm[0], bottom, *duty.span, low, high)
    board = Board(rough, look, duty.kind)
    left = max(width(words, SMALL) for _, words in _y_numbers(board))
    left += _TICK + 0.9
    first = _x_numbers(board)[1][:1]
    if first and first[0][0] <= duty.span[0]:
        half = width(first[0][1].removesuffix(_unit_behind(board)), SMALL) / 2.0
        left = max(left, width(_across(look), SMALL) + 1.2 + half)
    right = size_mm[0] - _RIGHT
    plot = Plot(left, _TITLE, right, bottom, *duty.span, low, high)
    marks = [(plot.x_of(mark.at.si(duty.kind)), mark.name) for mark in duty.marks]
    tags = place_tags(marks, left, size_mm[0], max(1, int(_FOR_NAMES * size_mm[1] / ROW)))
    if assessment.reading is None:
        tags = ()
    rows = 1 + max((tag.row for tag in tags), default=-1)
    top = _TITLE + rows * ROW
    return Plot(left, top, right, bottom, *duty.span, low, high), tags


def _plane(board: Board, assessment: Assessment) -> list[Element]:
    """Return what lies under the axes: frame, gaps, corridor, bands."""
    plot, palette = board.plot, board.look.palette
    corners = (plot.left, plot.top), (plot.right, plot.bottom)
    drawn: list[Element] = [rectangle(*corners, "none", Pen(palette.line, _FINE), "plot")]
    reading, band = assessment.reading, assessment.band
    if reading is None or band is None:
        return [*drawn, *notes.nothing_known(board, assessment)]
    allowed = assessment.plan.duty.allowed_at(None)
    drawn += notes.gaps(board, reading)
    if allowed is not None:
        drawn += curve.corridor(board, allowed)
    if plot.y_low < 0.0 < plot.y_high:
        zero = plot.y_of(0.0)
        drawn.append(line((plot.left, zero), (plot.right, zero), Pen(palette.muted, 0.2), "zero"))
    likely, spread = assessment.likely, assessment.spread
    if likely is not None and _wide(assessment, likely.low, likely.high):
        drawn += curve.likely_band(board, reading.x, likely.low, likely.high)
    if _shape_unknown(assessment):
        drawn += curve.shape_band(board, reading.x, band)
    if spread is not None and _wide(assessment, spread.low, spread.high):
        drawn += curve.worst_edges(board, reading.x, spread.low, spread.high)
    if _supply_moves(assessment):
        drawn += curve.supply_band(board, reading)
    if allowed is not None:
        drawn += curve.corridor_edges(board, allowed)
    return drawn


def _wide(assessment: Assessment, lower: Array, upper: Array) -> bool:
    low, high = assessment.plan.duty.span
    return curve.has_width(lower, upper, high - low)


def _seen(assessment: Assessment, lower: Array, upper: Array) -> bool:
    """Return whether a band is drawn: whether any of its width lies on the chart."""
    reading = assessment.reading
    if reading is None:
        return False
    low, high = error_range(assessment)
    ends = (np.clip(edge - reading.x, low, high) for edge in (lower, upper))
    return _wide(assessment, *ends)


def _shape_unknown(assessment: Assessment) -> bool:
    band = assessment.band
    return band is not None and _wide(assessment, band.low, band.high)


def _supply_moves(assessment: Assessment) -> bool:
    low, high = assessment.plan.duty.span
    reading = assessment.reading
    return reading is not None and curve.has_width(
        reading.supply_low, reading.supply_high, high - low
    )


def _curve(board: Board, assessment: Assessment, verticals: Sequence[float]) -> list[Element]:
    reading = assessment.reading
    if reading is None:
        return []
    obstacles = notes.obstacles_of(board, reading, verticals)
    return [
        *curve.allowed_boxes(board, assessment.marks, assessment.plan.duty.allowed_at(None)),
        *curve.error_curve(board, reading),
        *curve.mark_signs(board, assessment.marks),
        *notes.gap_words(board, reading),
        *notes.off_chart(board, reading, obstacles),
        *notes.stop_arrows(board, reading, obstacles),
    ]


def _y_numbers(board: Board) -> list[tuple[float, str]]:
    plot, kind = board.plot, difference(board.kind)
    unit = board.look.unit(kind)
    most = _most_numbers(plot.top, plot.bottom)
    ticks = nice_ticks(plot.y_low / unit.factor, plot.y_high / unit.factor, most)
    values = [number * unit.factor for number in ticks.major]
    return [(v, board.look.figure(v, kind, ticks.step, sign=True)) for v in values]


def _most_numbers(top: float, bottom: float) -> int:
    """Return how many numbers fit beside a plane of this height [mm]."""
    return max(2, int((bottom - top) / (SMALL * 1.8)))


def _across(look: Look) -> str:
    """Return what runs across."""
    return look.say(message("drawing.chart.across"))


def _x_numbers(board: Board) -> tuple[Ticks, list[tuple[float, str]]]:
    """Return the ticks across [reader's unit], and value and words of those with a number."""
    plot, look, kind = board.plot, board.look, board.kind
    unit = look.unit(kind)
    low, high = in_unit(plot.x_low, unit), in_unit(plot.x_high, unit)
    for most in range(12, 1, -1):
        ticks = nice_ticks(low, high, most)
        values = [from_unit(number, unit) for number in ticks.major]
        words = [look.figure(value, kind, ticks.step) for value in values]
        if words:
            words[-1] += _unit_behind(board)
        boxes = [_box(board, v, w) for v, w in zip(values, words, strict=True)]
        if apart(boxes, 1.6):
            break
    return ticks, list(zip(values, words, strict=True))


def _unit_behind(board: Board) -> str:
    return "\u00a0" + board.look.unit(board.kind).symbol


def _box(board: Board, value: float, words: str) -> tuple[float, float]:
    """Return where a number under the axis starts and ends [mm], held within the drawing."""
    wide, plot = width(words, SMALL), board.plot
    figure = words.removesuffix(_unit_behind(board))
    # The figure is centred under its tick; the unit hangs on behind it.
    start = plot.x_of(value) - width(figure, SMALL) / 2.0
    start = min(start, plot.right + _RIGHT - wide)
    return start, start + wide


def _axes(board: Board, *, known: bool) -> list[Element]:
    plot, palette = board.plot, board.look.palette
    thin = Pen(palette.muted, _FINE)
    drawn = [line((plot.left, plot.bottom), (plot.right, plot.bottom), thin)]
    numbers = Type(SMALL, palette.muted, "end")
    for k, (value, words) in enumerate(_y_numbers(board) if known else ()):
        y = plot.y_of(value)
        drawn.append(line((plot.left - _TICK, y), (plot.left, y), thin))
        drawn.append(text((plot.left - _TICK - 0.6, y), words, numbers, f"y-{k}"))
    ticks, written = _x_numbers(board)
    unit = board.look.unit(board.kind)
    for number in ticks.major:
        x = plot.x_of(from_unit(number, unit))
        drawn.append(line((x, plot.bottom), (x, plot.bottom + _TICK), thin))
    middle = plot.bottom + _TICK + 0.55 * SMALL + 0.3
    drawn.append(text((0.0, middle), _across(board.look), Type(SMALL, palette.true), "across"))
    for k, (value, words) in enumerate(written):
        start = _box(board, value, words)[0]
        drawn.append(text((start, middle), words, Type(SMALL, palette.muted), f"x-{k}"))
    return drawn


def _verticals(board: Board, tags: tuple[NameTag, ...]) -> list[Element]:
    plot, palette = board.plot, board.look.palette
    pen = Pen(palette.true, 0.22, (0.9, 0.7))
    drawn: list[Element] = []
    for tag in tags:
        top = plot.top - (tag.row + (0.9 if tag.words else 0.0)) * ROW
        drawn.append(line((tag.line, plot.bottom), (tag.line, top), pen))
        if tag.words:
            y = plot.top - (tag.row + 0.5) * ROW
            drawn.append(text((tag.start, y), tag.words, Type(SMALL, palette.true)))
    return drawn


def _heading(board: Board, room: float) -> Element:
    unit = board.look.unit(difference(board.kind)).symbol
    level = board.kind is Kind.LEVEL
    key = "drawing.chart.heading.level" if level else "drawing.chart.heading"
    words = board.look.say(message(key, unit=unit))
    kind = Type(SMALL, board.look.palette.ink, bold=True)
    return text((0.0, SMALL * 0.6), shorten(words, SMALL, room, bold=True), kind)


def _keys(assessment: Assessment, look: Look) -> tuple[_Key, ...]:
    found: list[_Key] = []
    if assessment.plan.duty.allowed is not None and assessment.reading is not None:
        found.append(_Key("corridor", look.say(message("drawing.key.allowed"))))
    reading = assessment.reading
    if reading is not None and np.any(np.nan_to_num(reading.held[:-1] * reading.held[1:])):
        found.append(_Key("at least", look.say(message("drawing.key.at_least"))))
    likely, spread = assessment.likely, assessment.spread
    if likely is not None and _seen(assessment, likely.low, likely.high):
        found.append(_Key("likely", look.say(message("drawing.key.likely"))))
    if spread is not None and _seen(assessment, spread.low, spread.high):
        found.append(_Key("worst", look.say(message("drawing.key.worst"))))
    band = assessment.band
    if band is not None and _seen(assessment, band.low, band.high):
        found.append(_Key("band", look.say(message("drawing.key.shape"))))
    ends = supply_range(assessment.pairing.installation.supply)
    if _supply_moves(assessment) and ends is not None:
        low, high = (SiValue(volts, Kind.VOLTAGE) for volts in ends)
        found.append(_Key("supply", look.say(message("drawing.key.supply", low=low, high=high))))
    return tuple(found)


_BESIDE, _BETWEEN = 5.2, 3.2
"""From the start of an entry of the key to its words, and from there to the next one [mm]."""


def _key_rows(keys: tuple[_Key, ...], wide: float) -> list[list[_Key]]:
    """Return the entries of the key row by row, as many in each as have room."""
    rows: list[list[_Key]] = []
    x = wide
    for key in keys:
        room = _BESIDE + width(key.words, SMALL)
        if x + room > wide:
            rows.append([])
            x = 0.0
        rows[-1].append(key)
        x += room + _BETWEEN
    return rows


def _key(board: Board, rows: list[list[_Key]], bottom: float) -> list[Element]:
    drawn: list[Element] = []
    for row, keys in enumerate(rows):
        x, y = 0.0, bottom - _KEY * (len(rows) - row - 0.5)
        for key in keys:
            words = shorten(key.words, SMALL, board.plot.right + _RIGHT - x - _BESIDE)
            drawn += _swatch(board, key.sign, (x, y))
            at = (x + _BESIDE, y)
            drawn.append(text(at, words, Type(SMALL, board.look.palette.muted)))
            x += _BESIDE + width(words, SMALL) + _BETWEEN
    return drawn


def _swatch(board: Board, sign: str, at: Point) -> list[Element]:
    palette, (x, y), half = board.look.palette, at, 0.9
    if sign == "at least":
        return [line((x, y), (x + 4.2, y), Pen(palette.shown, curve.LEAD, curve.DASH))]
    fill = {
        "corridor": palette.corridor,
        "likely": palette.likely,
        "band": palette.band,
        "worst": "none",
        "supply": "none",
    }[sign]
    pen = {
        "corridor": Pen(palette.corridor_edge, _FINE),
        "likely": Pen(palette.likely, _FINE),
        "band": Pen(palette.shown, _FINE),
        "worst": Pen(palette.shown, curve.DOTTED, curve.DOTS),
        "supply": Pen(palette.supply, _FINE),
    }[sign]
    drawn = []
    if fill != "none":
        drawn.append(rectangle((x, y - half), (x + 4.2, y + half), fill))
    ends = ((x, y - half), (x + 4.2, y - half)), ((x, y + half), (x + 4.2, y + half))
    drawn += [line(*pair, pen) for pair in ends]
    if sign == "supply":
        thin = Pen(palette.supply, 0.12)
        hatch = [x + 0.45 + 1.1 * k for k in range(4)]
        drawn += [line((at_x, y - half), (at_x, y + half), thin) for at_x in hatch]
    return drawn


def _desc(assessment: Assessment) -> list[Message]:
    kind = assessment.plan.duty.kind
    low, high = (SiValue(value, kind) for value in assessment.plan.duty.span)
    if assessment.reading is None:
        return [message("drawing.chart.nothing", low=low, high=high)]
    error = assessment.reading.error
    known = error[np.isfinite(error)]
    apart_kind = difference(kind)
    said: list[Message] = []
    if known.size:
        least, most = (
            SiValue(float(known.min()), apart_kind),
            SiValue(float(known.max()), apart_kind),
        )
        said.append(message("drawing.chart.says", low=low, high=high, least=least, most=most))
    if known.size < error.size:
        said.append(message("drawing.chart.gaps"))
    for mark in assessment.marks:
        if not math.isnan(mark.error):
            at, off = SiValue(mark.at, kind), SiValue(mark.error, apart_kind)
            said.append(message("drawing.chart.mark", mark=mark.mark.name, at=at, error=off))
    return said
