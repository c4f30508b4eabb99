"""What shares the sender with the gauge: a second gauge's reading, a tapped lamp's point."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.circuit.reduction import Reduction, Voltage
from retrofit.dial import dial_curve, like_dial, stops
from retrofit.movements import second_apparent
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.stages import POINTS, needle_of, supplies_of, supply_range
from retrofit.reading import Needle, Reading, read
from retrofit.wired import SIGNAL_NODE, wired


@dataclass(frozen=True)
class SecondReading:
    """What the second gauge shows.

    Attributes
    ----------
    needle : Needle
        Sender, network and the second dial.
    reading : Reading
        Its curve over the range of the duty.
    mark_errors : array, shape (marks,)
        Its error at the marks that matter [SI difference].
    """

    needle: Needle
    reading: Reading
    mark_errors: Array

    @property
    def error(self) -> Array:
        """Its error over the range, shape (POINTS,) [SI difference]."""
        return self.reading.error


@staged
def second_of(pairing: Pairing, duty: Duty) -> SecondReading | Message | None:
    """Return what the second gauge shows, why nobody can tell, or None where there is none."""
    second = pairing.installation.second
    if second is None:
        return None
    curve = pairing.sender.curve
    if curve is None or pairing.sender.signal is not Kind.RESISTANCE:
        return message("second.no_ohms")
    dial = dial_curve(second.gauge)
    if dial is None:
        return message("second.no_dial", gauge=second.gauge.name)
    supplies = supplies_of(pairing.gauge, pairing.installation)
    seen = second_apparent(pairing.gauge, pairing.installation, pairing.trim, supplies)
    if isinstance(seen, Message):
        return seen
    own_class = dial == curve
    sender = curve if own_class else like_dial(curve, dial)
    needle = Needle(sender, dial, seen, stops(second.gauge), own_class=own_class)
    marks: Array = np.array([mark.at.si(duty.kind) for mark in duty.marks], dtype=np.float64)
    return SecondReading(
        needle, read(needle, np.linspace(*duty.span, POINTS)), read(needle, marks).error
    )


@dataclass(frozen=True)
class TripPoint:
    """Where a lamp that is tapped from the signal changes over.

    Attributes
    ----------
    at : float
        Value at the nominal supply [SI]; NaN where it never does in the sender's range.
    drift : float
        How far that moves over the range of supplies [SI difference]; NaN where not known,
        +inf where at one of them it never does.
    ohm : float
        Ohms of the sender there at the nominal supply [Ω].
    """

    at: float
    drift: float
    ohm: float


@staged
def trip_of(pairing: Pairing) -> TripPoint | Message:
    """Return where the tapped lamp changes over, or what is missing to tell.

    The signal's volts are a bilinear law of the sender's ohms; it is solved for the ohms, and
    the sender's curve for the value.
    """
    lamp, curve = pairing.installation.lamp, pairing.sender.curve
    assert lamp is not None
    if lamp.trips is None:
        return message("lamp.no_trip")
    if curve is None or isinstance(needle_of(pairing), Message):
        return message("check.earth.no_reading")
    supplies = supplies_of(pairing.gauge, pairing.installation)
    circuit = wired(pairing.gauge, pairing.installation, pairing.trim, supplies)
    if circuit is None:
        return message("check.offset.coils")
    law = Reduction(circuit.network, circuit.first, circuit.second).law(
        Voltage(SIGNAL_NODE, circuit.earth)
    )
    fed = supplies.volts
    told = supply_range(pairing.installation.supply) is not None
    volts = np.full(len(fed), lamp.trips.si(Kind.VOLTAGE))
    share = {"supply": fed, "battery": supplies.raw}.get(lamp.trip_follows)
    if share is not None:
        volts = volts * share / share[0]
    ohms = np.diagonal(law.inverse()(volts))
    low, high = sorted(float(curve.output(np.array([x]))[0]) for x in (curve.low, curve.high))
    at = np.where((ohms >= low) & (ohms <= high), curve.value(np.clip(ohms, low, high)), np.nan)
    drift = np.nan
    if told and lamp.trip_follows != "unknown":
        drift = np.inf if np.isnan(at).any() else float(np.max(np.abs(at - at[0])))
    if np.isnan(at[0]):
        return message("lamp.never_trips")
    return TripPoint(float(at[0]), float(drift), float(ohms[0]))
