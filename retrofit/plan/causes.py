"""What may be off in a pairing and how far: the causes of its bands, and what nobody stated.

Each cause is one number with limits; a wire as hot as it gets, a lamp that is on or off, a
supply between its ends. What nobody stated is not counted and is named.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from catalog.message import Message, message
from catalog.parts.fields import DIFFERENCE_KINDS
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    RatioMovement,
)
from catalog.parts.laws import (
    BetaLaw,
    PlatinumLaw,
    SteinhartHartLaw,
    SwitchLaw,
    TableLaw,
    TransmitterLaw,
)
from catalog.parts.sender import Sender
from catalog.provenance import Figure
from catalog.quantities.kinds import Kind, unit_named
from retrofit.bands.causes import Cause
from retrofit.dial import dial_curve
from retrofit.installation import RUNS, Installation
from retrofit.installation.path_ohms import figure_ohms, path_ohms
from retrofit.movements import supply_known
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.pull_off import pull_off_move
from retrofit.plan.stages import STABILISER, stabilised_volts, supply_range
from retrofit.terminals import coils_of, star_of
from retrofit.wired import PANEL_TEMPERATURE, SECOND, elements_known, lamp_ohms, load_name

SENDER = "sender"
SENDER_OHMS = "sender ohms"
SENDER_VALUE = "sender value"
DIAL = "dial"
PULL_OFF = "pull-off"
SUPPLY = "supply"
LAMP = "lamp"

_LAWS = (TableLaw, BetaLaw, SteinhartHartLaw, PlatinumLaw, TransmitterLaw, SwitchLaw)


@dataclass(frozen=True)
class Causes:
    """The causes of a pairing's bands.

    Attributes
    ----------
    counted : tuple of Cause
        What is off by how much.
    unstated : tuple of Message
        What may be off too, but nobody said how far.
    """

    counted: tuple[Cause, ...]
    unstated: tuple[Message, ...]


def cause_says(name: str) -> Message:
    """Return the words for a cause."""
    if name.startswith("load "):
        return message("cause.load", load=name.removeprefix("load "))
    if name.startswith(SECOND):
        return message("cause.second", what=cause_says(name.removeprefix(SECOND)))
    return message(f"cause.{name}")


@staged
def causes_of(pairing: Pairing, duty: Duty) -> Causes:
    """Return what may be off in a pairing and how far, and what nobody stated."""
    found: list[Cause | Message] = [
        *_sender(pairing.sender),
        *_dial(pairing, duty),
        *_supply(pairing.gauge, pairing.installation),
    ]
    if elements_known(pairing.gauge):
        found += [*_movement(pairing.gauge), *_sharers(pairing.installation)]
    found += [*_second(pairing.installation), *_trims(pairing), *_runs(pairing)]
    return Causes(
        tuple(one for one in found if isinstance(one, Cause)),
        tuple(one for one in found if isinstance(one, Message)),
    )


def second_causes_of(pairing: Pairing, duty: Duty) -> tuple[Cause, ...]:
    """Return what may be off in what the second gauge shows: its own dial, and all they share."""
    second = pairing.installation.second
    assert second is not None
    shared = [one for one in causes_of(pairing, duty).counted if one.name not in (DIAL, PULL_OFF)]
    own = _dial(replace(pairing, gauge=second.gauge), duty)
    return (*(one for one in own if isinstance(one, Cause)), *shared)


def _of(name: str, figure: Figure, kind: Kind) -> Iterator[Cause]:
    """Give the cause of a figure whose tolerance is known."""
    if figure.tolerance is not None:
        nominal = figure.si(kind)
        yield from _about(name, nominal, figure.tolerance.si(nominal, kind))


def _about(name: str, nominal: float, half: float, *, bilinear: bool = True) -> Iterator[Cause]:
    if half > 0.0:
        yield Cause(name, nominal, nominal - half, nominal + half, "rectangular", bilinear)


def _sender(sender: Sender) -> Iterator[Cause | Message]:
    """Give how far the sender may be off: a share or amount of its output, or of the value."""
    tolerance = sender.law.tolerance if isinstance(sender.law, _LAWS) else None
    if tolerance is None:
        yield message("unstated.sender")
        return
    half, unit = tolerance.half_width, tolerance.half_width.unit
    if unit == "%":
        yield from _about(SENDER, 1.0, abs(half.number) / 100.0)
        return
    for kind in DIFFERENCE_KINDS:
        if unit_named(kind, unit) is not None:
            yield from _about(SENDER_VALUE, 0.0, abs(half.si(kind)))
            return
    yield from _about(SENDER_OHMS, 0.0, tolerance.si(math.nan, sender.signal or Kind.RESISTANCE))


def _dial(pairing: Pairing, duty: Duty) -> Iterator[Cause | Message]:
    gauge = pairing.gauge
    span = gauge.high.si(duty.kind) - gauge.low.si(duty.kind)
    if gauge.dial_error is None:
        yield message("unstated.dial")
    else:
        yield from _about(DIAL, 0.0, gauge.dial_error.si(Kind.FRACTION) * span)
    yield from _about(PULL_OFF, 0.0, pull_off_move(gauge, pairing.installation, duty.kind))
    if gauge.needle_width is None:
        yield message("unstated.needle")
    if not any(mark.from_below and mark.from_above for mark in gauge.marks):
        yield message("unstated.friction")


def _supply(gauge: Gauge, installation: Installation) -> Iterator[Cause | Message]:
    nominal, ends = installation.supply.nominal.si(Kind.VOLTAGE), supply_range(installation.supply)
    if not supply_known(gauge):
        return
    held = stabilised_volts(gauge, installation)
    if ends is None:
        yield message("unstated.supply")
    else:
        low, high = min(ends[0], nominal), max(ends[1], nominal)
        if low < high:
            yield Cause(SUPPLY, nominal, low, high, "rectangular", held is None)
    if held is not None and isinstance(gauge.movement, HeaterMovement):
        figure = installation.stabiliser.output or gauge.movement.feed
        if figure is not None and figure.tolerance is not None:
            half = figure.tolerance.si(held, Kind.VOLTAGE)
            yield from _about(STABILISER, held, half, bilinear=False)
        else:
            yield message("unstated.stabiliser")


def _movement(gauge: Gauge) -> Iterator[Cause | Message]:
    movement = gauge.movement
    if isinstance(movement, RatioMovement):
        yield from _coils(gauge, movement)
    elif isinstance(movement, HeaterMovement) and movement.heater is not None:
        yield from _of("heater", movement.heater, Kind.RESISTANCE)
    elif isinstance(movement, CoilMovement) and movement.coil is not None:
        yield from _of("coil", movement.coil, Kind.RESISTANCE)
    elif isinstance(movement, ElectronicMovement) and movement.pull_up is not None:
        yield from _of("input", movement.pull_up, Kind.RESISTANCE)
        if movement.rail == "reference" and movement.reference is not None:
            yield from _of("reference", movement.reference, Kind.VOLTAGE)


def _second(installation: Installation) -> Iterator[Cause | Message]:
    """Give how far the movement of a second gauge may be off, which moves both needles."""
    second = installation.second
    if second is None:
        return
    if second.powered == "yes" and second.gauge.dial_error is None:
        yield message("unstated.second_dial")
    shared = any(one.returns == "gauge earth" for one in installation.loads)
    if second.earth == "unknown" and (shared or not installation.gauge_earth.empty):
        yield message("unstated.second_earth")
    if second.powered != "unknown" and elements_known(second.gauge):
        for one in _movement(second.gauge):
            yield replace(one, name=SECOND + one.name) if isinstance(one, Cause) else one


def _coils(gauge: Gauge, movement: RatioMovement) -> Iterator[Cause]:
    """Give how far stated coils may be off, or coils that were read at the terminals."""
    if movement.supply_coil is not None and movement.earth_coil is not None:
        yield from _of("supply coil", movement.supply_coil, Kind.RESISTANCE)
        yield from _of("earth coil", movement.earth_coil, Kind.RESISTANCE)
        return
    if coils_of(gauge) is None:
        return
    star = star_of(gauge)
    assert star is not None
    for name, leg in (("supply coil", star.supply), ("earth coil", star.earth)):
        yield from _about(name, leg.ohm, leg.worst)


def _trims(pairing: Pairing) -> Iterator[Cause | Message]:
    for resistor in pairing.trim:
        if resistor.place == "pull-up" and not elements_known(pairing.gauge):
            continue
        if resistor.tolerance is None:
            yield message("unstated.trim", place=message(f"place.{resistor.place}"))
        else:
            ohm = resistor.value.si(Kind.RESISTANCE)
            yield from _about(resistor.place, ohm, resistor.tolerance.si(ohm, Kind.RESISTANCE))


def _runs(pairing: Pairing) -> Iterator[Cause | Message]:
    installation, signal = pairing.installation, pairing.sender.signal
    if signal is not Kind.RESISTANCE:
        return
    known = elements_known(pairing.gauge)
    for run in RUNS:
        path = installation.path(run)
        if not known and run not in ("signal", "engine earth"):
            continue
        ohms = path_ohms(path, run)
        if ohms.unknown is not None:
            yield ohms.unknown
        elif ohms.high > ohms.low:
            name = "signal wire" if run == "signal" else run
            yield Cause(name, ohms.ohm, ohms.low, ohms.high, "rectangular")
    earth = installation.sender_earth
    if earth is None or installation.stray_volts:
        yield message("unstated.earth")
        return
    ohms = figure_ohms(earth)  # a meter's error may be more than what it reads
    if ohms.high > ohms.low:
        yield Cause("sender earth", ohms.ohm, ohms.low, ohms.high, "rectangular")


def _sharers(installation: Installation) -> Iterator[Cause | Message]:
    for load in installation.loads:
        if load.when in ("at times", "charging"):
            yield Cause(load_name(load), 0.0, 0.0, 1.0, "u-shaped")
    lamp = installation.lamp
    if lamp is not None and lamp.circuit == "switch in sender" and lamp_ohms(installation):
        yield Cause(LAMP, 0.0, 0.0, 1.0, "u-shaped")
    panel = [one for one in (installation.panel_low, installation.panel_high) if one is not None]
    if panel:
        ends = [20.0, *(one.si(Kind.TEMPERATURE) for one in panel)]
        yield Cause(PANEL_TEMPERATURE, 20.0, min(ends), max(ends), "rectangular", bilinear=False)


def fixed_band(pairing: Pairing, duty: Duty) -> float:
    """Return friction, hysteresis and needle width: a band that is always there [SI difference].

    Half the distance between a mark approached from below and from above, at the mark where it
    is widest, and the width of the needle.
    """
    gauge, kind = pairing.gauge, duty.kind
    span = gauge.high.si(kind) - gauge.low.si(kind)
    width = 0.0 if gauge.needle_width is None else gauge.needle_width.si(Kind.FRACTION) * span
    return width + _friction(gauge)


def _friction(gauge: Gauge) -> float:
    dial = dial_curve(gauge)
    widths = [
        [mark.from_below.si(gauge.signal), mark.from_above.si(gauge.signal)]
        for mark in gauge.marks
        if mark.from_below is not None and mark.from_above is not None
    ]
    if dial is None or not widths:
        return 0.0
    shown = dial.value(np.ravel(widths)).reshape(-1, 2)
    return float(np.nanmax(np.abs(shown[:, 1] - shown[:, 0]) / 2.0))
