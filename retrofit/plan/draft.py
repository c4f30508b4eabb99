"""A plan from two parts, with what the user did not say left unknown.

Neither window nor prompt decides what an unsaid field means: it is decided here. The range is
the dial's scale; which side hides danger, the medium, a shared engine controller stay unknown.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from catalog.codec import content_hash
from catalog.errors import user_error
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.gauge import (
    CoilMovement,
    DialMark,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    Movement,
    RatioMovement,
    TerminalReadings,
    UnknownMovement,
    VoltageInput,
)
from catalog.parts.laws import Point, Shape, TableLaw, signal_kind
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.installation import Installation, Supply, TrimResistor, YesNo
from retrofit.plan.document import Duty, DutyMark, Medium, Origin, Pairing, Plan

USUAL_SUPPLY = {"6 V": 6.75, "12 V": 13.5, "24 V": 27.0}
"""Volts at the gauge with the engine running (common practice, no source)."""

_MOVEMENTS: dict[str, Movement] = {
    "ratio": RatioMovement(),
    "heater": HeaterMovement(),
    "coil": CoilMovement(),
    "electronic": ElectronicMovement(),
}
MOVEMENTS = tuple(_MOVEMENTS)


@dataclass(frozen=True)
class Wish:
    """What a user says of a new plan; None and "unknown" where nothing was said.

    Attributes
    ----------
    name : str
        Name of the plan; empty: made of the quantity.
    low, high : Amount or None
        Range over which the needle has to be right.
    allowed : Amount or None
        Allowed needle error over the range.
    marks : tuple of DutyMark
        The marks that matter.
    medium : str
        What is measured.
    controller : str
        Whether an engine controller reads the same sender.
    capacity : Amount or None
        What a full tank holds.
    supply : Supply or None
        The gauge's supply; None: the usual one of its system.
    trim : tuple of TrimResistor
        Resistors between the two.
    notes : str
        Whatever the user wants to keep with it.
    sender_earth : Amount or None
        Ohms measured from the sender's body to battery negative.
    tolerance, dial_error, needle_width : Amount or None
        Of the sender's output; of the dial and the needle, as shares of the scale.
    afloat : str
        Whether it is in a boat.
    """

    name: str = ""
    low: Amount | None = None
    high: Amount | None = None
    allowed: Amount | None = None
    marks: tuple[DutyMark, ...] = ()
    medium: Medium = "unknown"
    controller: YesNo = "unknown"
    capacity: Amount | None = None
    supply: Supply | None = None
    trim: tuple[TrimResistor, ...] = ()
    notes: str = ""
    sender_earth: Amount | None = None
    tolerance: Amount | None = None
    dial_error: Amount | None = None
    needle_width: Amount | None = None
    afloat: YesNo = "unknown"


def draft(
    sender: Sender, gauge: Gauge, wish: Wish, catalogued: Mapping[str, int] | None = None
) -> Plan:
    """Return a plan that pairs a sender and a gauge.

    Parameters
    ----------
    sender, gauge : Sender, Gauge
        The two parts.
    wish : Wish
        What the user said.
    catalogued : mapping of str to int
        Revision of those of the two that come from a catalogue, by their keys.

    Raises
    ------
    UserError
        Where the two parts, or what the user said, do not go together.
    """
    low, high = _range(gauge, wish)
    duty = Duty(
        gauge.quantity,
        low,
        high,
        wish.marks,
        wish.allowed,
        wish.medium,
        wish.controller,
        wish.capacity,
    )
    origins = {
        part.key: Origin(part.key, catalogued[part.key], content_hash(part))
        for part in (sender, gauge)
        if catalogued and part.key in catalogued
    }
    pairing = Pairing(
        "A",
        _stated_gauge(gauge, wish),
        _stated_sender(sender, wish),
        _installation(gauge, wish),
        wish.trim,
        origins.get(gauge.key),
        origins.get(sender.key),
    )
    return Plan(wish.name or gauge.quantity.capitalize(), duty, (pairing,), wish.notes)


def _stated_sender(sender: Sender, wish: Wish) -> Sender:
    """Return the sender with the tolerance that the user states."""
    if wish.tolerance is None:
        return sender
    if not hasattr(sender.law, "tolerance"):
        raise user_error("draft.no_tolerance", sender=sender.name)
    changes: Any = {"tolerance": Tolerance(wish.tolerance)}
    return replace(sender, law=replace(sender.law, **changes))


def _stated_gauge(gauge: Gauge, wish: Wish) -> Gauge:
    """Return the gauge with what the user states of its dial and needle."""
    stated = Basis(BasisKind.ASSUMED)
    error = gauge.dial_error if wish.dial_error is None else Figure(wish.dial_error, basis=stated)
    width = gauge.needle_width
    if wish.needle_width is not None:
        width = Figure(wish.needle_width, basis=stated)
    return replace(gauge, dial_error=error, needle_width=width)


def _installation(gauge: Gauge, wish: Wish) -> Installation:
    """Return what the pairing hangs on; ohms that the user gives are the user's own reading."""
    supply = wish.supply or usual_supply(gauge)
    measured = None
    if wish.sender_earth is not None:
        measured = Figure(wish.sender_earth, basis=Basis(BasisKind.MEASURED))
    return Installation(supply, sender_earth=measured, afloat=wish.afloat)


def _range(gauge: Gauge, wish: Wish) -> tuple[Amount, Amount]:
    """Return the range asked for, else the dial's scale, wide enough for every mark."""
    kind = QUANTITY_KIND[gauge.quantity]
    marks = sorted((mark.at for mark in wish.marks), key=lambda at: at.si(kind))
    lows = [gauge.low, *marks[:1]]
    highs = [gauge.high, *marks[-1:]]
    low = wish.low or min(lows, key=lambda at: at.si(kind))
    high = wish.high or max(highs, key=lambda at: at.si(kind))
    return low, high


def usual_supply(gauge: Gauge) -> Supply:
    """Return the supply of a gauge's system with the engine running; 12 V where unknown.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> str(usual_supply(load_generic().part("gauge-level-240-33-ratio-24v")).nominal)
    '27 V'
    """
    system = gauge.system[0] if gauge.system else "12 V"
    return Supply(Amount(USUAL_SUPPLY[system], "V"))


@dataclass(frozen=True)
class Bench:
    """A table that the user measured, and what was said of the part.

    Attributes
    ----------
    name : str
        What the user calls it: the name of the file.
    quantity : str
        What its values are.
    points : tuple of Point
        The table.
    """

    name: str
    quantity: QuantityName
    points: tuple[Point, ...]

    @property
    def key(self) -> str:
        """Its name as a key: lower-case words joined by hyphens."""
        plain = unicodedata.normalize("NFKD", self.name).encode("ascii", "ignore").decode()
        return "-".join(re.findall(r"[a-z0-9]+", plain.lower())) or "measured"

    @property
    def basis(self) -> Basis:
        """The user's own measurement."""
        return Basis(BasisKind.MEASURED, self.name)


def measured_sender(bench: Bench, shape: Shape | None = None) -> Sender:
    """Return the sender of a measured table.

    A temperature sender whose ohms fall is a thermistor unless another shape is said.

    Raises
    ------
    UserError
        Where the table is none of a sender.
    """
    falling = bench.points[-1].gives.number < bench.points[0].gives.number
    ohms = signal_kind(bench.points[0]) is Kind.RESISTANCE
    thermistor = bench.quantity == "temperature" and falling and ohms
    law = TableLaw(
        bench.points,
        shape or ("thermistor" if thermistor else "unknown"),
        basis=bench.basis,
    )
    return Sender(bench.key, bench.name, bench.quantity, law)


def measured_gauge(
    bench: Bench, movement: str | None = None, terminals: TerminalReadings | None = None
) -> Gauge:
    """Return the gauge of a measured table of marks.

    Parameters
    ----------
    bench : Bench
        Value at each mark, and the ohms (volts, amperes) that put the needle there.
    movement : str, optional
        One of `MOVEMENTS`. Left out, an instrument for volts or amperes is taken as such; of
        any other the movement is unknown, and so is what the supply does to it.
    terminals : TerminalReadings, optional
        What was measured between its terminals.

    Raises
    ------
    UserError
        Where the table is none of a dial.
    """
    signal = signal_kind(bench.points[0])
    inputs: dict[Kind, Movement] = {Kind.VOLTAGE: VoltageInput(), Kind.CURRENT: LoopInput()}
    marks = tuple(DialMark(point.at, point.gives) for point in bench.points)
    return Gauge(
        bench.key,
        bench.name,
        bench.quantity,
        inputs.get(signal) or (_MOVEMENTS[movement] if movement else UnknownMovement()),
        bench.points[0].at,
        bench.points[-1].at,
        marks,
        terminals=terminals,
        basis=bench.basis,
    )
