"""How the parts of a wiring diagram look: lines and boxes after IEC 60617's habits, in grey too.

Each symbol is drawn along the way from its start to its end, upright or level. The signs are
those that wiring diagrams of vehicles and boats commonly use (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from retrofit.drawing.palette import Palette
from retrofit.drawing.schematic import Part, PartKind
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    Type,
    circle,
    line,
    number,
    path,
    polygon,
    polyline,
    text,
)

WIRE = 0.35
"""Width of a wire [mm]."""

_RUN = 0.75
_BODY: dict[PartKind, float] = {
    "battery": 4.6,
    "charger": 7.0,
    "coil": 8.0,
    "consumer": 8.0,
    "contact": 5.0,
    "fuse": 8.0,
    "lamp": 6.0,
    "motor": 7.0,
    "resistor": 9.0,
    "switch": 7.0,
    "transmitter": 9.0,
    "variable": 11.0,
}
"""Length of each symbol's body [mm]."""


@dataclass(frozen=True)
class Axis:
    """A part's own measure: so far along from its middle, so far to its left hand."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """From end to end [mm]."""
        return math.dist(self.start, self.end)

    def at(self, along: float, aside: float = 0.0) -> Point:
        """Return the place so far along from the middle and aside [mm]."""
        (x1, y1), (x2, y2) = self.start, self.end
        ux, uy = (x2 - x1) / self.length, (y2 - y1) / self.length
        middle_x, middle_y = (x1 + x2) / 2.0, (y1 + y2) / 2.0
        return middle_x + along * ux + aside * uy, middle_y + along * uy - aside * ux

    def box(self, long: float, thick: float) -> tuple[Point, ...]:
        """Return the corners of a box about the middle."""
        a, b = long / 2.0, thick / 2.0
        return self.at(-a, b), self.at(a, b), self.at(a, -b), self.at(-a, -b)


def symbol(part: Part, palette: Palette, fill: str) -> list[Element]:
    """Return what is drawn of a part, its leads included.

    Parameters
    ----------
    part : Part
        Level or upright; of a source only its frame is drawn, and not here.
    palette : Palette
        Colours.
    fill : str
        Colour of its body.
    """
    axis = Axis(part.start, part.end)
    thin = Pen(palette.ink, WIRE, round=True)
    if part.kind == "source":
        return []
    if part.kind == "run":
        return _run(axis, palette)
    half = _BODY[part.kind] / 2.0
    drawn = [line(part.start, axis.at(-half), thin), line(axis.at(half), part.end, thin)]
    return drawn + _SHAPES[part.kind](axis, palette, fill)


def _pen(palette: Palette, width: float = 0.5) -> Pen:
    return Pen(palette.ink, width, round=True)


def _run(axis: Axis, palette: Palette) -> list[Element]:
    half = axis.length / 2.0
    ends = [
        line(axis.at(along, 1.1), axis.at(along, -1.1), _pen(palette, WIRE))
        for along in (-half, half)
    ]
    return [line(axis.start, axis.end, _pen(palette, _RUN)), *ends]


def _resistor(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    return [polygon(axis.box(9.0, 3.8), fill, _pen(palette))]


def _variable(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    tip = axis.at(-3.6, -4.6)
    tail = axis.at(3.6, 4.6)
    along = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    back = [
        (tip[0] - 2.2 * math.cos(along + turn), tip[1] - 2.2 * math.sin(along + turn))
        for turn in (0.38, -0.38)
    ]
    return [
        polygon(axis.box(11.0, 4.2), fill, _pen(palette)),
        line(tail, tip, _pen(palette, 0.45)),
        polygon((tip, *back), palette.ink),
    ]


def _coil(axis: Axis, palette: Palette, _fill: str) -> list[Element]:
    steps = [-4.0, -2.0, 0.0, 2.0, 4.0]
    x, y = axis.at(steps[0])
    drawn = f"M{number(x)} {number(y)}"
    for along in steps[1:]:
        x, y = axis.at(along)
        drawn += f" A{number(1.0)} {number(1.25)} 0 0 1 {number(x)} {number(y)}"
    return [path(drawn, pen=_pen(palette, 0.55))]


def _fuse(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    box = polygon(axis.box(8.0, 3.0), fill, _pen(palette))
    return [box, line(axis.at(-4.0), axis.at(4.0), _pen(palette, WIRE))]


def _switch(axis: Axis, palette: Palette, _fill: str) -> list[Element]:
    half = 3.5
    return [
        line(axis.at(-half), axis.at(half - 0.4, 2.9), _pen(palette)),
        circle(axis.at(-half), 0.75, palette.ink),
        circle(axis.at(half), 0.75, palette.ink),
    ]


def _contact(axis: Axis, palette: Palette, _fill: str) -> list[Element]:
    half = 2.5
    return [
        line(axis.at(-half), axis.at(half - 0.2, 2.0), _pen(palette)),
        circle(axis.at(-half), 0.6, palette.ink),
        circle(axis.at(half), 0.6, palette.ink),
    ]


def _battery(axis: Axis, palette: Palette, _fill: str) -> list[Element]:
    pen, thick = _pen(palette), _pen(palette, 1.3)
    long_, short = 4.2, 2.1
    return [
        line(axis.at(-2.3, long_), axis.at(-2.3, -long_), pen),
        line(axis.at(-0.8, short), axis.at(-0.8, -short), thick),
        line(axis.at(0.8, long_), axis.at(0.8, -long_), pen),
        line(axis.at(2.3, short), axis.at(2.3, -short), thick),
    ]


def _lamp(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    reach = 3.0 * math.sqrt(0.5)
    return [
        circle(axis.at(0.0), 3.0, fill, _pen(palette)),
        line(axis.at(-reach, reach), axis.at(reach, -reach), _pen(palette, WIRE)),
        line(axis.at(-reach, -reach), axis.at(reach, reach), _pen(palette, WIRE)),
    ]


def _consumer(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    box = polygon(axis.box(8.0, 5.0), fill, _pen(palette))
    return [box, polyline((axis.at(-4.0, -1.2), axis.at(4.0, -1.2)), _pen(palette, WIRE))]


def _lettered(letter: str, axis: Axis, palette: Palette, fill: str) -> list[Element]:
    middle = axis.at(0.0)
    kind = Type(3.2, palette.ink, "middle", bold=True)
    return [circle(middle, 3.5, fill, _pen(palette)), text(middle, letter, kind)]


def _transmitter(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    wave = [axis.at(along, aside) for along, aside in ((-2.5, -2.0), (0.0, -2.0), (2.5, 2.0))]
    return [polygon(axis.box(9.0, 8.0), fill, _pen(palette)), polyline(wave, _pen(palette))]


def _charger(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    return _lettered("G", axis, palette, fill)


def _motor(axis: Axis, palette: Palette, fill: str) -> list[Element]:
    return _lettered("M", axis, palette, fill)


_SHAPES = {
    "battery": _battery,
    "charger": _charger,
    "coil": _coil,
    "consumer": _consumer,
    "contact": _contact,
    "fuse": _fuse,
    "lamp": _lamp,
    "motor": _motor,
    "resistor": _resistor,
    "switch": _switch,
    "transmitter": _transmitter,
    "variable": _variable,
}


def earth_sign(at: Point, palette: Palette) -> list[Element]:
    """Return the sign of earth below a place."""
    (x, y), pen = at, _pen(palette, 0.5)
    rows = ((2.4, 1.8), (1.5, 2.7), (0.6, 3.6))
    stem = line((x, y), (x, y + 1.8), _pen(palette, WIRE))
    return [stem, *(line((x - half, y + down), (x + half, y + down), pen) for half, down in rows)]


def engine_sign(top: Point, tall: float, palette: Palette) -> list[Element]:
    """Return a hatched bar that stands for metal that many earths share, from its top down."""
    (x, y), pen = top, _pen(palette, WIRE)
    hatch = [
        line((x, y + down), (x + 2.4, y + down - 2.4), pen)
        for down in [2.4 + 2.4 * step for step in range(int(tall / 2.4))]
    ]
    return [line((x, y), (x, y + tall), _pen(palette, 1.1)), *hatch]
