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
from catalog.quantities.kinds import Kind
from retrofit.circuit.stabiliser import Held, stabilised
from retrofit.dial import dial_curve, like_dial, stops
from retrofit.installation import Installation
from retrofit.movements import Supplies, apparent, follows_supply, supply_known
from retrofit.plan.document import Duty, DutyMark, Pairing, Side
from retrofit.plan.memo import staged
from retrofit.reading import Band, Needle, Reading, read
from retrofit.terminals import within_readings

POINTS = 201
"""Points of a reading curve over the range of the duty."""

_FEED_SLACK = 0.005
"""Share by which a feed may differ from the dial's and still be called the same."""


@dataclass(frozen=True)
class MarkReading:
    """What the needle shows at one mark that matters.

    Attributes
    ----------
    mark : DutyMark
        The mark.
    at : float
        True value [SI].
    ohms : float
        What the sender gives [Ω, V or A]; NaN where its curve is not known.
    shown : float
        What the needle shows [SI], held by its stops; NaN where not known.
    held : int
        −1 on the low stop, +1 on the high stop (the reading is "at least"), else 0.
    low, high : float
        Lowest and highest reading [SI] over the plausible shapes of both curves.
    allowed : float or None
        Allowed error [SI difference].
    """

    mark: DutyMark
    at: float
    ohms: float
    shown: float
    held: int
    low: float
    high: float
    allowed: float | None

    @property
    def error(self) -> float:
        """Needle error [SI difference]: shown − true."""
        return self.shown - self.at

    @property
    def worst(self) -> float:
        """Largest error either way [SI difference], plausible shapes counted; NaN if unknown."""
        return max(abs(self.low - self.at), abs(self.high - self.at), abs(self.error))

    def flattery(self, side: Side) -> float:
        """Return how far the needle errs to `side` [SI difference], negative if it warns early."""
        return self.error if side == "high" else -self.error

    def worst_flattery(self, side: Side) -> float:
        """Return how far it may err to `side` [SI difference] over the plausible shapes."""
        return self.high - self.at if side == "high" else self.at - self.low


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


@staged
def supplies_of(gauge: Gauge, installation: Installation) -> Supplies:
    """Return the volts at the gauge's supply terminal: nominal, and lowest and highest if known.

    Behind a stabiliser that holds the heat-equivalent (or one that nobody described) a heater
    sees that; behind one that holds the mean it sees √(mean·supply).
    """
    supply = installation.supply
    volts = [supply.nominal.si(Kind.VOLTAGE)]
    if supply.low is not None and supply.high is not None:
        volts += [supply.low.si(Kind.VOLTAGE), supply.high.si(Kind.VOLTAGE)]
    return at_terminal(gauge, installation, np.array(volts))


def at_terminal(gauge: Gauge, installation: Installation, raw: Array) -> Supplies:
    """Return the volts at the gauge's supply terminal of supplies, shape (B,) [V].

    Behind a stabiliser they are heat-equivalent; see `supplies_of`.
    """
    held = stabilised_volts(gauge, installation)
    if held is None:
        return Supplies(raw)
    holds = Held.MEAN if installation.stabiliser.holds == "mean" else Held.HEAT
    return Supplies(stabilised(raw, np.array([held]), holds).heat_equivalent)


def stabilised_volts(gauge: Gauge, installation: Installation) -> float | None:
    """Return what the stabiliser of a heater gauge holds [V], None where there is none.

    A heater made for a stabilised feed is taken to have its stabiliser until the user says
    that none is fitted; the check of the supply says so.
    """
    if not isinstance(gauge.movement, HeaterMovement):
        return None
    stabiliser, feed = installation.stabiliser, gauge.movement.feed
    if stabiliser.fitted == "no":
        return None
    if stabiliser.output is not None:
        return stabiliser.output.si(Kind.VOLTAGE)
    return None if feed is None else feed.si(Kind.VOLTAGE)


@staged
def needle_of(pairing: Pairing) -> Needle | Message:
    """Return the needle of a pairing, or the reason why nobody can tell what it shows."""
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
    seen = apparent(gauge, pairing.installation, pairing.trim, _judged(gauge, supplies))
    if isinstance(seen, Message):
        return seen
    own_class = dial == sender.curve
    curve = sender.curve if own_class else like_dial(sender.curve, dial)
    return Needle(curve, dial, seen, stops(gauge), own_class=own_class)


def _judged(gauge: Gauge, supplies: Supplies) -> Supplies:
    """Return the supplies at which the reading can be told: the nominal one if no other."""
    return supplies if supply_known(gauge) else Supplies(supplies.volts[:1])


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


@staged
def marks_of(needle: Needle, duty: Duty) -> tuple[MarkReading, ...]:
    """Return the reading at each mark that matters, computed there and not interpolated."""
    if not duty.marks:
        return ()
    at = np.array([mark.at.si(duty.kind) for mark in duty.marks])
    there, band = read(needle, at), needle.band(at)
    return tuple(
        MarkReading(
            mark,
            float(at[i]),
            float(there.ohms[i]),
            float(there.shown[i]),
            _held(float(there.held[i])),
            float(band.low[i]),
            float(band.high[i]),
            duty.allowed_at(mark),
        )
        for i, mark in enumerate(duty.marks)
    )


def lead_state(needle: Needle, ohms: float) -> LeadState:
    """Return where the needle goes with `ohms` [Ω] in the sender's place: +inf open, 0 earthed."""
    inside: Array = np.array([ohms])
    continued = needle.dial.value(needle.apparent.of(inside))[0]
    shown = float(np.clip(continued, needle.stops.low, needle.stops.high)[0])
    return LeadState(shown, _held(float(needle.stops.side(continued)[0])))


def _held(side: float) -> int:
    return 0 if math.isnan(side) else int(side)


@staged
def earth_moves(pairing: Pairing, duty: Duty, path: Figure) -> Array:
    """Return how far ohms in the sender's earth path move the needle.

    Parameters
    ----------
    pairing : Pairing
        The pairing; its own earth path does not count.
    duty : Duty
        Its range, at `POINTS` equal steps, and behind that its marks.
    path : Figure
        Ohms in the path.

    Returns
    -------
    array, shape (POINTS + marks,)
        Move either way, stops counted [SI difference]; NaN where nobody can tell a reading.
    """
    bare = replace(pairing, installation=replace(pairing.installation, sender_earth=None))
    worse = replace(pairing, installation=replace(pairing.installation, sender_earth=path))
    moves: Array = np.abs(_along(worse, duty) - _along(bare, duty))
    return moves


@staged
def coil_moves(pairing: Pairing, duty: Duty) -> Array:
    """Return how far the needle may be off because the coils were told by readings.

    Parameters
    ----------
    pairing : Pairing
        The pairing; a ratio gauge that was measured at its terminals.
    duty : Duty
        Its range, at `POINTS` equal steps, and behind that its marks.

    Returns
    -------
    array, shape (POINTS + marks,)
        Move either way, stops counted [SI difference], 0 where the coils are stated; NaN where
        nobody can tell a reading.
    """
    shown = _along(pairing, duty)
    moves: Array = np.where(np.isnan(shown), np.nan, 0.0)
    for gauge in within_readings(pairing.gauge):
        moves = np.maximum(moves, np.abs(_along(replace(pairing, gauge=gauge), duty) - shown))
    return moves


def _along(pairing: Pairing, duty: Duty) -> Array:
    """Return what is shown over the range and at the marks, shape (POINTS + marks,) [SI]."""
    at = [mark.at.si(duty.kind) for mark in duty.marks]
    x = np.concatenate([np.linspace(*duty.span, POINTS), np.array(at, dtype=float)])
    needle = needle_of(pairing)
    return np.full_like(x, np.nan) if isinstance(needle, Message) else needle.shown(x)[0]
