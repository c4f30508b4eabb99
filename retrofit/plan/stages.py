"""The stages of an assessment: pure functions of the immutable parts of a plan.

Supplies and network → needle → reading over the range → reading at the marks. A stage that
cannot answer returns the message that says why and what to measure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from catalog.parts.gauge import CoilMovement, ElectronicMovement, Gauge, HeaterMovement
from catalog.parts.laws import UnknownLaw
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.supplies import supply_code
from retrofit.circuit.stabiliser import Held, stabilised
from retrofit.dial import dial_curve, like_dial, stops
from retrofit.installation import Installation, Supply
from retrofit.movements import apparent, follows_supply, supply_known
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.reading import Band, Needle, Reading, read
from retrofit.wired import AS_STATED, Circumstances, Supplies

POINTS = 201
"""Points of a reading curve over the range of the duty."""

STABILISER = "stabiliser"
"""Circumstance: what the stabiliser holds [V]."""

_FEED_SLACK = 0.005
"""Share by which a feed may differ from the dial's and still be called the same."""


@dataclass(frozen=True)
class LeadState:
    """Where the needle goes when the sender's lead is open, or lies on earth.

    Attributes
    ----------
    shown : float
        What the needle shows [SI], held by its stops; NaN where not known.
    held : int
        −1 on the low stop, +1 on the high stop, else 0.
    """

    shown: float
    held: int


def supply_range(supply: Supply) -> tuple[float, float] | None:
    """Return the lowest and the highest supply [V], None where either is not known.

    What the user says goes before the code of ISO 16750-2.
    """
    low, high = lowest_supply(supply), highest_supply(supply)
    return None if low is None or high is None else (low, high)


def lowest_supply(supply: Supply) -> float | None:
    """Return the lowest supply [V] that was given or that the code says."""
    if supply.low is not None:
        return supply.low.si(Kind.VOLTAGE)
    return None if supply.code == "none" else supply_code(supply.code).low


def highest_supply(supply: Supply) -> float | None:
    """Return the highest supply [V] that was given or that the code says."""
    if supply.high is not None:
        return supply.high.si(Kind.VOLTAGE)
    return None if supply.code == "none" else supply_code(supply.code).high


@staged
def supplies_of(gauge: Gauge, installation: Installation) -> Supplies:
    """Return the volts at the gauge's supply terminal: nominal, and lowest and highest if known.

    Behind a stabiliser that holds the heat-equivalent (or one that nobody described) a heater
    sees that; behind one that holds the mean it sees √(mean·supply).
    """
    volts = [
        installation.supply.nominal.si(Kind.VOLTAGE),
        *(supply_range(installation.supply) or ()),
    ]
    return at_terminal(gauge, installation, np.array(volts))


def marked_at(gauge: Gauge, volts: float) -> Gauge:
    """Return a gauge whose dial was marked at `volts` [V] where nobody said at how many."""
    movement = gauge.movement
    if not isinstance(movement, HeaterMovement | CoilMovement | ElectronicMovement):
        return gauge
    if movement.feed is not None:
        return gauge
    return replace(gauge, movement=replace(movement, feed=Figure(Amount(volts, "V"))))


def loaded_at(installation: Installation, volts: float) -> Installation:
    """Return an installation whose loads and lamp take at `volts` [V] what their ohms let them."""
    share = (volts / installation.supply.nominal.si(Kind.VOLTAGE)) ** 2

    def watts(stated: Amount | None) -> Amount | None:
        return None if stated is None else Amount(share * stated.si(Kind.POWER), "W")

    loads = tuple(replace(load, watts=watts(load.watts)) for load in installation.loads)
    lamp = installation.lamp
    lit = None if lamp is None else replace(lamp, watts=watts(lamp.watts))
    return replace(installation, loads=loads, lamp=lit)


def at_terminal(
    gauge: Gauge, installation: Installation, raw: Array, at: Circumstances = AS_STATED
) -> Supplies:
    """Return the volts of what feeds a gauge at supplies, shape (B,) [V].

    Behind a stabiliser they are heat-equivalent; see `supplies_of`. `at` may say what the
    stabiliser holds (`STABILISER`).
    """
    held = stabilised_volts(gauge, installation)
    if held is None:
        return Supplies(raw)
    holds = Held.MEAN if installation.stabiliser.holds == "mean" else Held.HEAT
    return Supplies(
        stabilised(raw, np.asarray(at.get(STABILISER, held)), holds).heat_equivalent, raw
    )


def stabilised_volts(gauge: Gauge, installation: Installation) -> float | None:
    """Return what the stabiliser of a heater gauge holds [V], None where there is none.

    A heater made for a stabilised feed is taken to have its stabiliser until the user says
    that none is fitted; the check of the supply says so.
    """
    if not isinstance(gauge.movement, HeaterMovement):
        return None
    stabiliser, feed = installation.stabiliser, gauge.movement.feed
    if stabiliser.fitted == "no" or stabiliser.state == "stuck":
        return None
    if stabiliser.output is not None:
        return stabiliser.output.si(Kind.VOLTAGE)
    return None if feed is None else feed.si(Kind.VOLTAGE)


def feed_assumed(gauge: Gauge, installation: Installation) -> Message | None:
    """Return what was assumed of a heater gauge's feed that nobody said, None where nothing was.

    Without its stabiliser, or behind one that holds its mean, the needle stands elsewhere.
    """
    if stabilised_volts(gauge, installation) is None:
        return None
    if installation.stabiliser.fitted == "unknown":
        return message("check.supply.stabiliser_unknown")
    if installation.stabiliser.holds == "unknown":
        return message("check.supply.holds_unknown")
    return None


@staged
def needle_of(pairing: Pairing, at: Circumstances = AS_STATED) -> Needle | Message:
    """Return the needle of a pairing, or the reason why nobody can tell what it shows.

    `at` may put other circumstances in the place of those that the plan states.
    """
    gauge, sender = pairing.gauge, pairing.sender
    if isinstance(sender.law, UnknownLaw):
        return message("reading.no_sender")
    if sender.curve is None:
        return message("reading.no_curve", sender=sender.name)
    if sender.signal is not gauge.signal:
        return message("reading.other_signal", sender=sender.name, gauge=gauge.name)
    dial = dial_curve(gauge)
    if dial is None:
        return message("reading.no_dial")
    if _output_unknown(gauge, pairing.installation):
        return message("reading.stabiliser_output_unknown")
    supplies = supplies_of(gauge, pairing.installation)
    if _off_feed(gauge, supplies):
        return message("reading.feed_unknown", gauge=gauge.name)
    seen = apparent(gauge, pairing.installation, pairing.trim, _judged(gauge, supplies), at)
    if isinstance(seen, Message):
        return seen
    own_class = dial == sender.curve
    curve = sender.curve if own_class else like_dial(sender.curve, dial)
    return Needle(curve, dial, seen, stops(gauge), own_class=own_class)


def _judged(gauge: Gauge, supplies: Supplies) -> Supplies:
    """Return the supplies at which the reading can be told: the nominal one if no other."""
    if supply_known(gauge):
        return supplies
    battery = None if supplies.battery is None else supplies.battery[:1]
    return Supplies(supplies.volts[:1], battery)


def _output_unknown(gauge: Gauge, installation: Installation) -> bool:
    """Return whether a stabiliser holds its mean volts while nobody knows how many.

    The feed of a heater gauge is its heat-equivalent, so it says nothing of the mean.
    """
    stabiliser = installation.stabiliser
    if not isinstance(gauge.movement, HeaterMovement) or stabiliser.fitted == "no":
        return False
    return stabiliser.holds == "mean" and stabiliser.output is None


def _off_feed(gauge: Gauge, supplies: Supplies) -> bool:
    """Return whether a gauge runs off its marked feed while nobody knows its winding."""
    movement = gauge.movement
    if supply_known(gauge) or not follows_supply(gauge):
        return False
    if not isinstance(movement, HeaterMovement | CoilMovement | ElectronicMovement):
        return False
    if movement.feed is None:
        return False
    feed = movement.feed.si(Kind.VOLTAGE)
    return abs(float(supplies.volts[0]) - feed) > _FEED_SLACK * feed


@staged
def reading_of(needle: Needle, duty: Duty) -> Reading:
    """Return the reading curve over the range of the duty, at `POINTS` equal steps."""
    return read(needle, np.linspace(*duty.span, POINTS))


@staged
def band_of(needle: Needle, duty: Duty) -> Band:
    """Return the band 'shape unknown' of the reading curve, at the same points."""
    return needle.band(np.linspace(*duty.span, POINTS))


def lead_state(needle: Needle, ohms: float) -> LeadState:
    """Return where the needle goes with `ohms` [Ω] in the sender's place: +inf open, 0 earthed."""
    inside: Array = np.array([ohms])
    continued = needle.dial.value(needle.apparent.of(inside))[0]
    shown = float(np.clip(continued, needle.stops.low, needle.stops.high)[0])
    return LeadState(shown, held_side(float(needle.stops.side(continued)[0])))


def held_side(side: float) -> int:
    """Return a stop as a whole number: −1 low, +1 high, 0 free or unknown."""
    return 0 if math.isnan(side) else int(side)
