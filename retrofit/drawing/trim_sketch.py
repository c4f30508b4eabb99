"""Where the resistors of a trim sit: gauge, five places, sender, as a small circuit.

Places that hold nothing stay as pale outlines, so that a place has the same spot in every sketch.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.message import message
from catalog.quantities.kinds import Kind
from catalog.quantities.show import show
from retrofit.drawing.lettering import shorten
from retrofit.drawing.look import SMALL, Drawing, Look
from retrofit.drawing.svg import (
    Anchor,
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
from retrofit.installation import Place
from retrofit.plan.trim_words import trim_words

SKETCH_SIZE = (150.0, 50.0)
"""Size of the sketch [mm]."""

_SUPPLY, _LINE, _EARTH = 6.0, 25.0, 43.0
"""Heights of the supply, of the lead from gauge to sender, and of earth [mm]."""

_GAUGE = (4.0, 22.0)
_SENDER = 124.0
_LONG, _THICK = 12.0, 4.6


@dataclass(frozen=True)
class _Spot:
    """Where a place is drawn: its middle, and whether it lies along the lead."""

    x: float
    y: float
    along: bool


_SPOTS: dict[Place, _Spot] = {
    "pull-up": _Spot(30.0, 14.5, along=False),
    "series at gauge": _Spot(46.0, _LINE, along=True),
    "signal to earth": _Spot(62.0, 34.0, along=False),
    "series at sender": _Spot(82.0, _LINE, along=True),
    "across sender": _Spot(100.0, 34.0, along=False),
}


def trim_sketch(ohms: Mapping[Place, float], look: Look) -> Drawing:
    """Draw where each resistor of a trim sits.

    Parameters
    ----------
    ohms : mapping
        Ohms [Ω] by place.
    look : Look
        Colours, language, units.

    Returns
    -------
    Drawing
        `SKETCH_SIZE`; its description says the trim in words.
    """
    drawn = [
        group("wires", _wires(look)),
        group("gauge", _gauge(look)),
        group("sender", _sender(look)),
    ]
    for place, spot in _SPOTS.items():
        name = look.say(message(f"place.{place}"))
        shapes = _resistor(place, spot, ohms.get(place), look)
        drawn.append(group(place.replace(" ", "-"), shapes, name))
    title = look.say(message("drawing.trim.title"))
    words = look.say(trim_words(ohms))
    return Drawing(document(SKETCH_SIZE, title, words, drawn), *SKETCH_SIZE, title, words)


def _wire(look: Look) -> Pen:
    return Pen(look.palette.ink, 0.35, round=True)


def _wires(look: Look) -> list[Element]:
    pen = _wire(look)
    middle = sum(_GAUGE) / 2.0
    drawn = [
        polyline(((middle, _LINE - 8.0), (middle, _SUPPLY), (30.0, _SUPPLY)), pen),
        polyline(((middle, _LINE + 8.0), (middle, _EARTH)), pen),
        line((middle, _EARTH), (_SENDER, _EARTH), pen),
        line((_GAUGE[1], _LINE), (_SENDER, _LINE), pen),
    ]
    drawn += _earth_sign((middle + 4.0, _EARTH), look)
    small = _small(look)
    drawn.append(text((33.0, _SUPPLY), look.say(message("drawing.trim.supply")), small))
    drawn.append(text((middle + 7.5, _EARTH + 3.4), look.say(message("drawing.trim.earth")), small))
    return drawn


def _earth_sign(at: Point, look: Look) -> list[Element]:
    (x, y), pen = at, _wire(look)
    rows = ((2.4, 1.6), (1.5, 2.5), (0.6, 3.4))
    stem = line((x, y), (x, y + 1.6), pen)
    return [stem, *(line((x - half, y + down), (x + half, y + down), pen) for half, down in rows)]


def _small(look: Look, anchor: Anchor = "start") -> Type:
    return Type(SMALL, look.palette.muted, anchor)


def _gauge(look: Look) -> list[Element]:
    left, right = _GAUGE
    middle = (left + right) / 2.0
    pen = _wire(look)
    ink = look.palette.ink
    words = shorten(look.say(message("drawing.trim.gauge")), SMALL, right - left - 2.0)
    signal = (right - 2.4, _LINE + 0.1)
    return [
        rectangle((left, _LINE - 8.0), (right, _LINE + 8.0), look.palette.card, pen),
        text((middle - 1.5, _LINE - 3.8), words, Type(SMALL, ink, "middle", bold=True)),
        text(signal, "S", _small(look, "end")),
        *(
            circle(at, 0.8, ink)
            for at in ((right, _LINE), (middle, _LINE - 8.0), (middle, _LINE + 8.0))
        ),
    ]


def _sender(look: Look) -> list[Element]:
    """Return the sender: a resistor with an arrow through it, from the lead to earth."""
    x, y, pen = _SENDER, 34.0, _wire(look)
    half, tall = _THICK / 2.0, _LONG / 2.0
    colour = look.palette.true
    arrow = Pen(colour, 0.45, round=True)
    end = (x + 4.6, y - 5.4)
    head = (end, (end[0] - 2.3, end[1] + 0.7), (end[0] - 0.7, end[1] + 2.3))
    return [
        line((x, _LINE), (x, _EARTH), pen),
        rectangle((x - half, y - tall), (x + half, y + tall), look.palette.card, pen),
        line((x - 4.2, y + 5.0), end, arrow),
        polygon(head, colour),
        text((x + 7.0, y - 2.0), "R", Type(SMALL, look.palette.ink, bold=True)),
        text((x + 7.0, y + 2.0), look.say(message("drawing.trim.sender")), _small(look)),
        *(circle((x, at), 0.8, look.palette.ink) for at in (_LINE, _EARTH)),
    ]


def _resistor(place: Place, spot: _Spot, ohm: float | None, look: Look) -> list[Element]:
    """Return a resistor with its value, or the pale outline of a place that holds none."""
    wide, high = (_LONG, _THICK) if spot.along else (_THICK, _LONG)
    first = (spot.x - wide / 2.0, spot.y - high / 2.0)
    second = (spot.x + wide / 2.0, spot.y + high / 2.0)
    name = look.say(message(f"drawing.trim.{place}"))
    if ohm is None:
        outline = Pen(look.palette.muted, 0.25, (0.9, 0.9))
        return [*_empty(spot, first, second, outline), _named(spot, name, look)]
    pen = Pen(look.palette.ink, 0.5)
    value = show(ohm, Kind.RESISTANCE, look.renderer.style)
    box = rectangle(first, second, look.palette.corridor, pen, f"resistor-{place}")
    return [*_leads(spot, look), box, _named(spot, name, look), _valued(spot, value, look)]


def _empty(spot: _Spot, first: Point, second: Point, pen: Pen) -> list[Element]:
    """Return an empty place: along the lead the wire runs through it, beside it nothing does."""
    box = rectangle(first, second, "none", pen)
    if spot.along:
        return [box]
    top, bottom = _reach(spot)
    upper = line((spot.x, top), (spot.x, first[1]), pen)
    return [upper, line((spot.x, second[1]), (spot.x, bottom), pen), box]


def _reach(spot: _Spot) -> tuple[float, float]:
    """Return between which heights a place beside the lead hangs [mm]."""
    return (_SUPPLY, _LINE) if spot.y < _LINE else (_LINE, _EARTH)


def _leads(spot: _Spot, look: Look) -> list[Element]:
    if spot.along:
        return []
    top, bottom = _reach(spot)
    ink = look.palette.ink
    joints = [circle((spot.x, at), 0.8, ink) for at in (top, bottom) if at != _SUPPLY]
    return [line((spot.x, top), (spot.x, bottom), _wire(look)), *joints]


def _named(spot: _Spot, name: str, look: Look) -> Element:
    if spot.along:
        return text((spot.x, spot.y + _THICK / 2.0 + 2.4), name, _small(look, "middle"))
    return text((spot.x + _THICK / 2.0 + 1.4, spot.y + 2.0), name, _small(look))


def _valued(spot: _Spot, value: str, look: Look) -> Element:
    ink = look.palette.ink
    if spot.along:
        at = (spot.x, spot.y - _THICK / 2.0 - 2.4)
        return text(at, value, Type(SMALL, ink, "middle", bold=True))
    return text((spot.x + _THICK / 2.0 + 1.4, spot.y - 2.0), value, Type(SMALL, ink, bold=True))
