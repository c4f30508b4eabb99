"""The inside of a gauge in a wiring diagram: its coils between its terminals, as far as known."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.message import message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    Movement,
    RatioMovement,
    UnknownMovement,
    VoltageInput,
)
from catalog.quantities.kinds import Kind
from catalog.quantities.show import show
from retrofit.drawing.diagram_draft import Draft, Words
from retrofit.drawing.look import BODY
from retrofit.drawing.schematic import PartKind
from retrofit.drawing.svg import Pen, Point, Type, rectangle, text
from retrofit.terminals import CoilOhms, SourceOhms
from retrofit.wired import inside_of

_MOVEMENTS: tuple[tuple[type[object], str], ...] = (
    (RatioMovement, "movement.ratio"),
    (HeaterMovement, "movement.heater"),
    (CoilMovement, "movement.coil"),
    (ElectronicMovement, "movement.electronic"),
    (VoltageInput, "movement.voltage input"),
    (LoopInput, "movement.loop input"),
    (UnknownMovement, "movement.unknown"),
)


@dataclass(frozen=True)
class Terminals:
    """Where the terminals of a gauge are [mm].

    Attributes
    ----------
    supply, signal, earth : (float, float)
        On the upper, the lower and the left edge of its frame.
    """

    supply: Point
    signal: Point
    earth: Point


def movement_words(movement: Movement) -> str:
    """Return the key of the words for a movement."""
    return next(key for kind, key in _MOVEMENTS if isinstance(movement, kind))


def has_earth(gauge: Gauge) -> bool:
    """Return whether a gauge has an earth terminal; one of unknown movement may have."""
    return not isinstance(gauge.movement, HeaterMovement | CoilMovement)


def draw_inside(draft: Draft, gauge: Gauge, at: Terminals, prefix: str) -> bool:
    """Draw what lies between the terminals; return whether anything is known of it.

    Parameters
    ----------
    draft : Draft
        Is added to.
    gauge : Gauge
        Its movement, and its terminal readings where the user has them.
    at : Terminals
        Where it is drawn.
    prefix : str
        What the names of its elements begin with in the network.
    """
    inside, movement = inside_of(gauge), gauge.movement
    if isinstance(inside, CoilOhms):
        _divider(draft, at, prefix, inside)
    elif isinstance(inside, SourceOhms):
        _source(draft, at, (prefix + "inside", prefix + "inside ohms"), inside.ohm, "")
    elif isinstance(movement, HeaterMovement) and movement.heater is not None:
        _single(draft, at, prefix + "heater", "resistor", movement.heater.si(Kind.RESISTANCE))
    elif isinstance(movement, CoilMovement) and movement.coil is not None:
        _single(draft, at, prefix + "coil", "coil", movement.coil.si(Kind.RESISTANCE))
    elif isinstance(movement, ElectronicMovement):
        return _electronic(draft, movement, at, prefix)
    else:
        return False
    return True


def _ohms(draft: Draft, ohm: float) -> str:
    return show(ohm, Kind.RESISTANCE, draft.look.renderer.style)


def _divider(draft: Draft, at: Terminals, prefix: str, coils: CoilOhms) -> None:
    (x, top), (left, middle) = at.supply, at.earth
    node = (x, middle)
    draft.part(prefix + "supply coil", "coil", (x, top), node)
    draft.wire(node, at.signal)
    draft.part(prefix + "earth coil", "coil", node, (left, middle))
    draft.say([Words(_ohms(draft, coils.supply))], (x + 2.4, (top + middle) / 2.0), 15.4)
    below = ((left + x) / 2.0, middle + 3.4)
    draft.say([Words(_ohms(draft, coils.earth))], below, 14.0, "middle")


def _single(draft: Draft, at: Terminals, name: str, kind: PartKind, ohm: float) -> None:
    draft.part(name, kind, at.supply, at.signal)
    (x, top), (_, bottom) = at.supply, at.signal
    draft.say([Words(_ohms(draft, ohm))], (x + 3.2, (top + bottom) / 2.0), 14.6)


def _source(draft: Draft, at: Terminals, names: tuple[str, str], ohm: float, volts: str) -> None:
    """Draw a source behind a resistance: what was measured, or a fixed reference."""
    source, resistance = names
    (x, top), (left, middle) = at.supply, at.earth
    box = (x - 6.0, top + 3.0), (x + 6.0, top + 8.6)
    draft.shapes([rectangle(*box, draft.look.palette.card, Pen(draft.look.palette.ink, 0.4))])
    kind = Type(BODY, draft.look.palette.ink, "middle")
    draft.shapes([text((x, top + 5.8), volts or draft.words("source"), kind)])
    draft.wire(at.supply, (x, top + 3.0))
    draft.wire((x - 6.0, top + 5.8), (left + 3.0, top + 5.8), (left + 3.0, middle), at.earth)
    draft.part(source, "source", (x, top + 8.6), (x - 6.0, top + 5.8))
    draft.part(resistance, "resistor", (x, top + 8.6), at.signal)
    draft.say([Words(_ohms(draft, ohm))], (x + 3.2, (top + 8.6 + at.signal[1]) / 2.0), 14.6)


def _electronic(draft: Draft, movement: ElectronicMovement, at: Terminals, prefix: str) -> bool:
    if movement.pull_up is None or movement.rail == "unknown":
        return False
    ohm = movement.pull_up.si(Kind.RESISTANCE)
    if movement.rail == "supply":
        _single(draft, at, prefix + "input", "resistor", ohm)
        return True
    if movement.reference is None:
        return False
    volts = show(movement.reference.si(Kind.VOLTAGE), Kind.VOLTAGE, draft.look.renderer.style)
    _source(draft, at, (prefix + "reference", prefix + "input"), ohm, volts)
    return True


def is_input(gauge: Gauge) -> bool:
    """Return whether a gauge reads volts or a current, so that no coils are asked for."""
    return isinstance(gauge.movement, VoltageInput | LoopInput)


def letter_gauge(
    draft: Draft, gauge: Gauge, title: str, frame: tuple[Point, Point], *, drawn: bool
) -> None:
    """Write the name of a gauge above its frame, and what is not drawn of it inside."""
    (left, top), (right, _) = frame
    draft.say([Words(title, bold=True)], (left, top - 2.6), (right - left) / 2.0 - 1.0)
    if drawn:
        return
    room = right - left - 4.0
    movement = draft.look.say(message(movement_words(gauge.movement)))
    lines = draft.wrapped(movement, room, 2)
    if not is_input(gauge):
        lines += draft.wrapped(draft.words("inside_unknown"), room, 2, muted=True)
    draft.say(lines, (left + 2.0, top + 4.4), room)
