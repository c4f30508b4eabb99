"""The dial: scale, stops and marks of this gauge, the true value and what the needle shows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.drawing.dial_names import Name, fits, place_names
from retrofit.drawing.dial_readout import readout, readout_height
from retrofit.drawing.dial_scale import Numeral, dial_ticks, in_parts, numeral_size, numerals
from retrofit.drawing.face import (
    ASSUMED_SWEEP,
    CORRIDOR,
    NAME_RING,
    TRUE_BASE,
    TRUE_HALF,
    Face,
    Scale,
    scale_of,
)
from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import SMALL, Drawing, Look
from retrofit.drawing.scale import Ticks
from retrofit.drawing.spot import Spot, spot_at
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    Type,
    circle,
    document,
    group,
    line,
    path,
    polygon,
    text,
)
from retrofit.plan.assess import Assessment

_MEDIA = {
    "coolant": message("drawing.coolant"),
    "oil": message("drawing.oil"),
    "petrol": message("drawing.petrol"),
    "diesel": message("drawing.diesel"),
    "fresh water": message("drawing.fresh_water"),
    "waste water": message("drawing.waste_water"),
    "air": message("drawing.air"),
}
_QUANTITIES = {
    "level": message("drawing.level"),
    "pressure": message("drawing.pressure"),
    "temperature": message("drawing.temperature"),
}
_MARK = CORRIDOR[1] + 0.02
"""How far out the tick of a mark that matters reaches [unit of the face]."""

_LEAST_FOR_NAMES = 14.0
"""Radius [mm] below which names around the dial would crowd it out."""

_LEAST_LABEL = 9.0
"""Radius [mm] below which the dial is too small for its label."""

_LABEL_ROOM, _LEAST_TYPE = 0.9, 2.2
"""Room for the label between the needle's two ends [unit of the face]; smallest type [mm]."""

_ROOM_FOR_NAMES = 0.8
"""Share of its full size down to which a dial shrinks to show the names in full."""

_MOST_UNIT = 0.45
"""Largest measure of ticks and markers, as a share of the shorter side of the room."""

_LABEL_WIDE, _LABEL_NARROW = 0.60, 0.40
"""Reach of the label below the centre [unit of the face], of a wide and a narrow sweep."""


@dataclass(frozen=True)
class DialDrawing(Drawing):
    """A dial with what is needed to paint live markers on it.

    Attributes
    ----------
    face : Face
        Centre, radius, `angle_of`, and the shapes of needle and true marker [mm].
    """

    face: Face


def dial_drawing(
    assessment: Assessment,
    look: Look,
    size_mm: Point,
    value: float | None = None,
    *,
    names: bool = True,
) -> DialDrawing:
    """Draw the dial of a pairing.

    Parameters
    ----------
    assessment : Assessment
        What was computed.
    look : Look
        Palette, language and units.
    size_mm : (float, float)
        Width and height [mm]; from about 30 by 30.
    value : float, optional
        True value [SI] at which true marker, needle and readout are drawn; without it the
        bare dial, on which `dial_markers` of the same size lie.
    names : bool
        Whether the marks are named; without names the dial has their room.

    Returns
    -------
    DialDrawing
        The drawing and the geometry of its face.
    """
    scale, marks = scale_of(assessment.pairing.gauge), _marks(assessment)
    named = marks if names else []
    face = _fitted(scale, named, size_mm)
    bare = _bare(assessment, look, face, marks, _named(face, named, size_mm))
    spot = None if value is None else spot_at(assessment, value)
    live = () if spot is None else (_markers(assessment, look, face, spot, size_mm),)
    title = look.say(message("drawing.dial.title", gauge=assessment.pairing.gauge.name))
    desc = _desc(assessment, look, scale, spot)
    svg = document(size_mm, title, desc, (*bare, *live))
    return DialDrawing(svg, *size_mm, title, desc, face)


def dial_markers(
    assessment: Assessment, look: Look, size_mm: Point, value: float, *, names: bool = True
) -> DialDrawing:
    """Draw what moves with the slider, to lie on the bare dial of the same size.

    Parameters and return as of `dial_drawing`.
    """
    scale, marks = scale_of(assessment.pairing.gauge), _marks(assessment)
    face = _fitted(scale, marks if names else [], size_mm)
    spot = spot_at(assessment, value)
    title = look.say(message("drawing.dial.title", gauge=assessment.pairing.gauge.name))
    desc = _desc(assessment, look, scale, spot)
    svg = document(size_mm, title, desc, (_markers(assessment, look, face, spot, size_mm),))
    return DialDrawing(svg, *size_mm, title, desc, face)


def _marks(assessment: Assessment) -> list[tuple[float, str]]:
    """Angle and name of each mark that lies on the dial."""
    duty = assessment.plan.duty
    scale = scale_of(assessment.pairing.gauge)
    values = [(mark.at.si(duty.kind), mark.name) for mark in duty.marks]
    return [(scale.angle_of(at), name) for at, name in values if not scale.off(at)]


def _fitted(scale: Scale, marks: Sequence[tuple[float, str]], size_mm: Point) -> Face:
    """Put the dial into its room; a dial is drawn many times before it changes."""
    return _fitted_once(scale, tuple(marks), size_mm)


@lru_cache(maxsize=16)
def _fitted_once(scale: Scale, marks: tuple[tuple[float, str], ...], size_mm: Point) -> Face:
    """Put the dial into its room: as large as can be, smaller if names need the width."""
    room = (size_mm[0], size_mm[1] - readout_height(size_mm[0]))
    face = _face(scale, room, math.inf, NAME_RING + 0.04 if marks else TRUE_BASE)
    least = _ROOM_FOR_NAMES * face.radius
    while marks and face.radius > least and not fits(face, marks, room):
        face = _face(scale, room, 0.97 * face.radius, NAME_RING + 0.04)
    if face.radius < _LEAST_FOR_NAMES:
        # It bears no names, so it leaves no room for them.
        return _face(scale, room, 0.999 * _LEAST_FOR_NAMES, TRUE_BASE)
    return face


def _face(scale: Scale, room: Point, most: float, reach: float) -> Face:
    """Put the box round the swept sector in the middle of the room, as large as it can be."""
    margin = SMALL * 0.3
    small, large = 0.0, min(most, room[0] + room[1])
    for _ in range(24):
        radius = (small + large) / 2.0
        wide, above, below = _extents(scale, radius, _unit(radius, room), reach)
        inside = 2.0 * wide <= room[0] - 2.0 * margin and above + below <= room[1] - 2.0 * margin
        small, large = (radius, large) if inside else (small, radius)
    unit = _unit(small, room)
    _, above, below = _extents(scale, small, unit, reach)
    return Face(scale, (room[0] / 2.0, (room[1] - above - below) / 2.0 + above), small, unit)


def _unit(radius: float, room: Point) -> float:
    return min(radius, _MOST_UNIT * min(room))


def _extents(scale: Scale, radius: float, unit: float, reach: float) -> tuple[float, float, float]:
    """Return how far a dial reaches from its centre [mm]: to either side, up and down."""
    least, most = scale.limits
    angles = [least, most, *(a for a in (-90.0, 0.0, 90.0) if least < a < most)]
    far = [(math.sin(math.radians(a)), math.cos(math.radians(a))) for a in angles]
    wide = max(abs(sin) for sin, _ in far) * (radius + TRUE_BASE * unit) + TRUE_HALF * unit
    above = max(cos for _, cos in far) * (radius + reach * unit)
    below = max(-cos for _, cos in far) * (radius + TRUE_BASE * unit)
    return wide, above, max(below, (_LABEL_WIDE if _is_wide(scale) else _LABEL_NARROW) * unit)


def _is_wide(scale: Scale) -> bool:
    """Return whether the label has its place between the ends of the scale."""
    return scale.sweep >= 200.0


def _named(face: Face, marks: Sequence[tuple[float, str]], size_mm: Point) -> Sequence[Name]:
    """Return where the names of marks stand; none on a dial too small for them."""
    if face.radius < _LEAST_FOR_NAMES:
        return ()
    return place_names(face, marks, (size_mm[0], size_mm[1] - readout_height(size_mm[0])))


def _bare(
    assessment: Assessment,
    look: Look,
    face: Face,
    marks: Sequence[tuple[float, str]],
    names: Sequence[Name],
) -> tuple[Element, ...]:
    kind = assessment.plan.duty.kind
    ticks = dial_ticks(face, kind, look)
    return (
        group("scale", _scale(face, look, ticks, numerals(face, kind, look, ticks), kind)),
        group("stops", _stops(face, look)),
        group("marks", _mark_ticks(face, look, marks, names)),
        group("label", (_label(assessment, look, face),) if face.radius > _LEAST_LABEL else ()),
    )


def _scale(
    face: Face, look: Look, ticks: Ticks, numbers: Sequence[Numeral], kind: Kind
) -> list[Element]:
    palette, scale = look.palette, face.scale
    unit = look.unit(kind)
    start, end = scale.angle_of(scale.low), scale.angle_of(scale.high)
    heavy, fine = 0.016 * face.unit, 0.007 * face.unit
    drawn = [path(face.arc(start, end, 0.0), pen=Pen(palette.muted, fine))]
    for number in ticks.minor:
        angle = scale.angle_of(number * unit.factor + unit.offset)
        ends = face.place(angle, 0.0), face.place(angle, -0.055)
        drawn.append(line(*ends, Pen(palette.muted, fine)))
    majors = [number * unit.factor + unit.offset for number in ticks.major]
    for value in {*majors, scale.low, scale.high}:
        angle = scale.angle_of(value)
        ends = face.place(angle, 0.0), face.place(angle, -0.10)
        drawn.append(line(*ends, Pen(palette.ink, heavy)))
    kind_of_type = Type(numeral_size(face), palette.ink, "middle")
    drawn += [text(n.at, n.words, kind_of_type, f"number-{k}") for k, n in enumerate(numbers)]
    return drawn


def _stops(face: Face, look: Look) -> list[Element]:
    """Pegs where the needle is held, hollow where they are only assumed."""
    palette, scale, u = look.palette, face.scale, face.unit
    pen = Pen(palette.muted, 0.008 * u)
    fill = "none" if scale.stops_assumed else palette.muted
    # A needle's edge rests on its peg, so the peg stands beside the needle's own place.
    beside = math.degrees(0.03 * u / face.radius)
    angles = (
        scale.angle_of(scale.stop_low) - beside,
        scale.angle_of(scale.stop_high) + beside,
    )
    return [circle(face.place(angle, -0.07), 0.018 * u, fill, pen) for angle in angles]


def _mark_ticks(
    face: Face, look: Look, marks: Sequence[tuple[float, str]], names: Sequence[Name]
) -> list[Element]:
    palette = look.palette
    pen = Pen(palette.true, 0.014 * face.unit)
    drawn = [line(face.place(angle, 0.0), face.place(angle, _MARK), pen) for angle, _ in marks]
    leader = Pen(palette.true, 0.006 * face.unit)
    for name in names:
        gap = -0.5 if name.right else 0.5
        end = (name.at[0] + gap, name.at[1])
        drawn.append(line(face.place(name.angle, _MARK), end, leader))
        anchor = Type(SMALL, palette.true, "start" if name.right else "end")
        drawn.append(text(name.at, name.words, anchor))
    return drawn


def _label(assessment: Assessment, look: Look, face: Face) -> Element:
    duty, unit = assessment.plan.duty, look.unit(assessment.plan.duty.kind)
    what = short = look.say(_MEDIA.get(duty.medium, _QUANTITIES[duty.quantity]))
    if not in_parts(face, duty.kind, look):
        what = look.say(message("drawing.dial.label", what=what, unit=unit.symbol))
        short = unit.symbol
    below = 0.48 if _is_wide(face.scale) else 0.30
    at = (face.centre[0], face.centre[1] + below * face.unit)
    size, room = max(SMALL, 0.09 * face.unit), _LABEL_ROOM * face.unit
    size = min(size, size * room / width(what, size))
    if size < _LEAST_TYPE:
        what, size = shorten(short, _LEAST_TYPE, room), _LEAST_TYPE
    return text(at, what, Type(size, look.palette.muted, "middle"))


def _markers(assessment: Assessment, look: Look, face: Face, spot: Spot, size_mm: Point) -> Element:
    palette, scale, u = look.palette, face.scale, face.unit
    drawn: list[Element] = []
    if spot.allowed is not None:
        ends = (
            scale.angle_of(spot.true - spot.allowed),
            scale.angle_of(spot.true + spot.allowed),
        )
        ring = face.ring(*ends, *CORRIDOR)
        edge = Pen(palette.corridor_edge, 0.007 * u)
        drawn.append(path(ring, palette.corridor, edge, "corridor"))
    off = scale.off(spot.true)
    outline = Pen(palette.true, 0.014 * u) if off else None
    triangle = face.true_marker(spot.true)
    drawn.append(polygon(triangle, "none" if off else palette.true, outline, "true"))
    if not math.isnan(spot.shown):
        if spot.high - spot.low > 1e-6 * (scale.high - scale.low):
            ends = (scale.angle_of(spot.low), scale.angle_of(spot.high))
            drawn += _spread(face, ends, Pen(palette.shown, 0.014 * u))
        drawn.append(polygon(face.needle(spot.shown), palette.shown, name="needle"))
    drawn.append(circle(face.centre, 0.085 * u, palette.ink))
    drawn.append(readout(assessment, look, spot, size_mm))
    return group("markers", drawn)


def _spread(face: Face, ends: tuple[float, float], pen: Pen) -> list[Element]:
    """Return the bracket between the lowest and the highest place of the needle [°]."""
    caps = [line(face.place(a, -0.045), face.place(a, -0.105), pen) for a in ends]
    return [path(face.arc(*ends, -0.075), pen=pen, name="shape"), *caps]


def _desc(assessment: Assessment, look: Look, scale: Scale, spot: Spot | None) -> str:
    kind = assessment.plan.duty.kind
    low, high = SiValue(scale.low, kind), SiValue(scale.high, kind)
    says: list[Message] = [message("drawing.dial.scale", low=low, high=high)]
    if scale.sweep_assumed:
        says.append(message("drawing.dial.sweep_assumed", sweep=f"{ASSUMED_SWEEP:.0f}°"))
    if scale.stops_assumed:
        says.append(message("drawing.dial.stops_assumed"))
    if spot is not None and math.isnan(spot.shown):
        says.append(message("drawing.dial.unknown", true=SiValue(spot.true, kind)))
    elif spot is not None:
        says.append(
            message(
                "drawing.dial.held" if spot.held else "drawing.dial.free",
                true=SiValue(spot.true, kind),
                shown=SiValue(spot.shown, kind),
            )
        )
    return " ".join(look.say(one) for one in says)
