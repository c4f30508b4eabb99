"""The shapes that carry meaning: true, shown, and the four verdicts. Told apart without colour."""

from __future__ import annotations

import math

from catalog.message import message
from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.palette import Palette
from retrofit.drawing.svg import Element, Pen, Point, circle, document, group, number, path, polygon
from retrofit.plan.checks.check import Verdict

_WORDS = {
    Verdict.STOP: message("drawing.verdict.stop"),
    Verdict.CAUTION: message("drawing.verdict.caution"),
    Verdict.UNKNOWN: message("drawing.verdict.unknown"),
    Verdict.GOOD: message("drawing.verdict.good"),
}


def triangle(centre: Point, size: float) -> tuple[Point, ...]:
    """Return the corners of an upright triangle, `size` wide [mm], about a place."""
    (x, y), half, height = centre, size / 2.0, size * 0.87
    low = y + height * 0.5
    return ((x, low - height), (x + half, low), (x - half, low))


def diamond(centre: Point, size: float) -> tuple[Point, ...]:
    """Return the corners of a diamond, `size` high [mm], about a place."""
    (x, y), half = centre, size / 2.0
    return ((x, y - half), (x + half * 0.86, y), (x, y + half), (x - half * 0.86, y))


def arrow_head(tip: Point, size: float, *, up: bool) -> tuple[Point, ...]:
    """Return the corners of an arrow head with its tip at a place, `size` long [mm]."""
    (x, y), back = tip, size if up else -size
    return ((x, y), (x + size * 0.55, y + back), (x - size * 0.55, y + back))


def true_sign(centre: Point, size: float, palette: Palette) -> Element:
    """Return the triangle that stands for the true value."""
    return polygon(triangle(centre, size), palette.true)


def shown_sign(centre: Point, size: float, palette: Palette) -> Element:
    """Return the diamond that stands for what the needle shows."""
    return polygon(diamond(centre, size), palette.shown)


def _square(centre: Point, size: float, colour: str) -> Element:
    (x, y), half = centre, size * 0.44
    corners = (
        (x - half, y - half),
        (x + half, y - half),
        (x + half, y + half),
        (x - half, y + half),
    )
    return polygon(corners, colour)


def _question(centre: Point, size: float, colour: str) -> tuple[Element, ...]:
    (x, y), r = centre, size * 0.145
    pen = Pen(colour, size * 0.105, round=True)
    top, bend = y - size * 0.085, y + size * 0.09
    start = f"{number(x - r)} {number(top)}"
    turn = f"{number(x + r * 0.55)} {number(top + r * 0.84)}"
    end = f"{number(x)} {number(top + r * 1.1)} {number(x)} {number(bend)}"
    hook = f"M{start} A{number(r)} {number(r)} 0 1 1 {turn} Q{end}"
    ring = circle(centre, size * 0.44, "none", Pen(colour, size * 0.1))
    return ring, path(hook, pen=pen), circle((x, y + size * 0.235), size * 0.062, colour)


def verdict_sign(verdict: Verdict, centre: Point, size: float, palette: Palette) -> Element:
    """Return the mark of a verdict: square, triangle, ring with ?, disc, `size` high [mm]."""
    colour = palette.verdict(verdict)
    if verdict is Verdict.STOP:
        shapes: tuple[Element, ...] = (_square(centre, size, colour),)
    elif verdict is Verdict.CAUTION:
        shapes = (polygon(triangle(centre, size), colour),)
    elif verdict is Verdict.GOOD:
        shapes = (circle(centre, size * 0.44, colour),)
    else:
        shapes = _question(centre, size, colour)
    return group(f"verdict-{verdict.value}", shapes)


def verdict_drawing(verdict: Verdict, look: Look, size_mm: float) -> Drawing:
    """Return the mark of a verdict as a drawing of its own, for lists."""
    word = look.say(_WORDS[verdict])
    centre = (size_mm / 2.0, size_mm / 2.0)
    sign = verdict_sign(verdict, centre, size_mm, look.palette)
    svg = document((size_mm, size_mm), word, word, (sign,))
    return Drawing(svg, size_mm, size_mm, word, word)


def turned(points: tuple[Point, ...], about: Point, degrees: float) -> tuple[Point, ...]:
    """Return places turned clockwise about a centre [mm, °]."""
    angle = math.radians(degrees)
    cos, sin = math.cos(angle), math.sin(angle)
    return tuple(
        (
            about[0] + (x - about[0]) * cos - (y - about[1]) * sin,
            about[1] + (x - about[0]) * sin + (y - about[1]) * cos,
        )
        for x, y in points
    )
