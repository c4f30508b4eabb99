"""The words on the plane of an error chart: on a stop, off the chart, not known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from catalog.message import SiValue, message
from catalog.quantities.kinds import difference
from retrofit.drawing.chart_curve import Board
from retrofit.drawing.lettering import width, wrap
from retrofit.drawing.look import SMALL
from retrofit.drawing.plot import runs
from retrofit.drawing.signs import arrow_head, verdict_sign
from retrofit.drawing.svg import Element, Pen, Point, Type, line, polygon, rectangle, text
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Verdict
from retrofit.reading import Reading

_STEM = 3.6
_BESIDE = 1.4
_LEADING = SMALL * 1.4


@dataclass(frozen=True)
class Obstacles:
    """What words on the plane should keep clear of.

    Attributes
    ----------
    points : sequence of (float, float)
        Places along the curve [mm].
    verticals : sequence of float
        Places across of the verticals [mm].
    """

    points: Sequence[Point]
    verticals: Sequence[float]

    def hits(self, left: float, right: float, middle: float) -> int:
        """Return how often words between two places at a height [mm] run into something."""
        half = SMALL * 0.55
        low, high = middle - half, middle + half
        touched = sum(left <= x <= right and low <= y <= high for x, y in self.points)
        return touched + 4 * sum(left <= x <= right for x in self.verticals)


def obstacles_of(board: Board, reading: Reading, verticals: Sequence[float]) -> Obstacles:
    """Return the curve and the verticals of a chart as obstacles."""
    known = np.isfinite(reading.error)
    return Obstacles(board.plot.places(reading.x[known], reading.error[known]), verticals)


def _note(board: Board, words: str, anchor: Point, obstacles: Obstacles) -> Element:
    """Return words beside an anchor, where they run into least; the nearest such place."""
    plot, wide = board.plot, width(words, SMALL)
    top, bottom = plot.top + SMALL * 0.7, plot.bottom - SMALL * 0.7
    best, place = 10**6, (anchor[0] + _BESIDE, anchor[1])
    for order, (start, y) in enumerate(_places(anchor, wide)):
        middle = min(max(y, top), bottom)
        outside = start < plot.left + 0.3 or start + wide > plot.right - 0.3
        worth = 100 * outside + 10 * obstacles.hits(start, start + wide, middle) + order
        if worth < best:
            best, place = worth, (start, middle)
    palette = board.look.palette
    return text(place, words, Type(SMALL, palette.shown, halo=palette.card))


def _places(anchor: Point, wide: float) -> Iterator[Point]:
    for down in (0.0, 1.0, -1.0, 2.0, -2.0):
        for start in (anchor[0] + _BESIDE, anchor[0] - _BESIDE - wide):
            yield start, anchor[1] + down * _LEADING


def stop_arrows(board: Board, reading: Reading, obstacles: Obstacles) -> list[Element]:
    """Return, for each stretch on a stop, an arrow to where the error would go, and 'at least'."""
    drawn: list[Element] = []
    for sign in (-1.0, 1.0):
        for a, b in runs(np.nan_to_num(reading.held) == sign):
            middle = (a + b - 1) // 2
            x = board.plot.x_of(float(reading.x[middle]))
            y = board.plot.y_of(float(reading.error[middle]))
            if board.plot.top < y < board.plot.bottom:
                drawn += _arrow(board, (x, y), obstacles, up=sign > 0.0)
    return drawn


def _arrow(board: Board, foot: Point, obstacles: Obstacles, *, up: bool) -> list[Element]:
    plot, palette = board.plot, board.look.palette
    way = -1.0 if up else 1.0
    tip = min(max(foot[1] + way * _STEM, plot.top + 0.3), plot.bottom - 0.3)
    words = board.look.say(message("drawing.at_least"))
    return [
        line(foot, (foot[0], tip - way * 0.8), Pen(palette.shown, 0.3)),
        polygon(arrow_head((foot[0], tip), 1.3, up=up), palette.shown),
        _note(board, words, (foot[0], tip - way * 0.6), obstacles),
    ]


def off_chart(board: Board, reading: Reading, obstacles: Obstacles) -> list[Element]:
    """Return an arrow with the farthest error where the curve leaves the chart."""
    plot, palette, error = board.plot, board.look.palette, reading.error
    drawn: list[Element] = []
    for up in (True, False):
        for a, b in runs(error > plot.y_high if up else error < plot.y_low):
            farthest = a + int(np.argmax(np.abs(error[a:b])))
            x = plot.x_of(float(reading.x[(a + b - 1) // 2]))
            x = min(max(x, plot.left + 1.2), plot.right - 1.2)
            tip = plot.top + 0.4 if up else plot.bottom - 0.4
            drawn.append(polygon(arrow_head((x, tip), 1.8, up=up), palette.shown))
            value = SiValue(float(error[farthest]), difference(board.kind))
            held = bool(np.nan_to_num(reading.held[farthest]))
            words = board.look.say(
                message("drawing.off_chart_held" if held else "drawing.off_chart", error=value)
            )
            drawn.append(_note(board, words, (x, tip + (1.2 if up else -1.2)), obstacles))
    return drawn


def gaps(board: Board, reading: Reading) -> list[Element]:
    """Return the grounds of the stretches where nothing is known."""
    plot, palette = board.plot, board.look.palette
    return [
        rectangle((left, plot.top), (right, plot.bottom), palette.gap, name=f"gap-{k}")
        for k, (left, right) in enumerate(_gap_ends(board, reading))
    ]


def gap_words(board: Board, reading: Reading) -> list[Element]:
    """Return 'not known' over each such stretch that has room for the words."""
    plot, palette = board.plot, board.look.palette
    words = board.look.say(message("drawing.not_known"))
    kind = Type(SMALL, palette.muted, "middle", halo=palette.gap)
    return [
        text(((left + right) / 2.0, plot.bottom - SMALL), words, kind)
        for left, right in _gap_ends(board, reading)
        if width(words, SMALL) + 1.0 < right - left
    ]


def _gap_ends(board: Board, reading: Reading) -> Iterator[tuple[float, float]]:
    """Give where each gap starts and ends [mm]: at the known points next to it."""
    last = len(reading.x) - 1
    for a, b in runs(np.isnan(reading.shown)):
        ends = reading.x[max(a - 1, 0)], reading.x[min(b, last)]
        yield board.plot.x_of(float(ends[0])), board.plot.x_of(float(ends[1]))


def nothing_known(board: Board, assessment: Assessment) -> list[Element]:
    """Return the empty plane with the reason why nobody can tell."""
    plot, palette = board.plot, board.look.palette
    corners = (plot.left, plot.top), (plot.right, plot.bottom)
    drawn: list[Element] = [rectangle(*corners, palette.gap, name="gap-0")]
    why = assessment.reason or message("drawing.not_known")
    lines = wrap(board.look.say(why), SMALL, 0.86 * (plot.right - plot.left), 4)
    centre = (plot.left + plot.right) / 2.0
    y = (plot.top + plot.bottom - (len(lines) - 1) * _LEADING + 6.0) / 2.0
    drawn.append(verdict_sign(Verdict.UNKNOWN, (centre, y - 4.8), 4.8, palette))
    for k, words in enumerate(lines):
        at = (centre, y + k * _LEADING)
        drawn.append(text(at, words, Type(SMALL, palette.muted, "middle")))
    return drawn
