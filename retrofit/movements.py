"""What the dial sees of the sender: the apparent resistance, from the whole network.

Each movement orders its dial by one electrical quantity, the law variable: a ratio of two coil
currents, a current, a voltage. Each is a bilinear function of the resistance in the sender's
place, and so is its inverse; so the *apparent resistance*, which would put the needle in the
same place with no trims at the supply of the dial's marks, is one bilinear function of the
sender's ohms: the movement's inverse law after the network's.

Where the coils are not known, a network in the sender's path can still be judged, for it acts
as a plain resistance whatever the movement; and a pull-up where the source behind the signal
terminal has been measured, for the currents of any linear coils between three terminals, and
so their ratio, follow from the signal voltage over the supply alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    UnknownMovement,
    VoltageInput,
)
from catalog.quantities.kinds import Kind
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.network import PerCorner
from retrofit.circuit.reduction import Current, Quantity, Ratio, Reduction, Voltage
from retrofit.installation import Installation, TrimResistor
from retrofit.installation.path_ohms import path_ohms
from retrofit.terminals import CoilOhms, SourceOhms
from retrofit.wired import (
    AS_STATED,
    SECOND,
    SIGNAL_NODE,
    Circumstances,
    Supplies,
    elements_known,
    inside_of,
    second_feed,
    wired,
)


@dataclass(frozen=True)
class Apparent:
    """The apparent resistance as a function of the sender's, for each supply.

    Attributes
    ----------
    law : Bilinear
        Apparent ohms (volts or amperes for such inputs) of the sender's, B supplies.
    """

    law: Bilinear

    def of(self, ohms: Array) -> Array:
        """Return what the dial sees at the sender's ohms.

        Parameters
        ----------
        ohms : array, shape (N,)
            Ohms of the sender [Ω], 0 to +inf (lead open); volts or amperes for such inputs.

        Returns
        -------
        array, shape (B, N)
            Apparent ohms [Ω]; +inf where the needle is at or past the place of an open lead
            (a pull-up can do that), a little below 0 where an earth offset drives it past a
            lead to earth, NaN where `ohms` is.
        """
        value = self.law(ohms)
        # The law's value runs through +inf to negative numbers where the needle passes the
        # place of an open lead: there its denominator (a current, or the reference less the
        # signal, times positive ohms) turns negative. With a strong pull-up and a resistor at
        # the gauge that is so even at 0 Ω.
        share, rest = np.minimum(ohms, 1.0), 1.0 / np.maximum(ohms, 1.0)
        past = self.law.c[:, None] * share + self.law.d[:, None] * rest <= 0.0
        # With c = 0 nothing turns: the law itself says what an open lead is.
        past &= (self.law.c != 0.0)[:, None] | (self.law.d <= 0.0)[:, None]
        return np.where(past & ~np.isnan(value), np.inf, value)


class _Law:
    """How a movement orders its dial: what to ask of the network, and the way back to ohms."""

    def __init__(self, quantity: Quantity, back: Bilinear) -> None:
        self.quantity = quantity
        self.back = back


def apparent(
    gauge: Gauge,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    supplies: Supplies,
    at: Circumstances = AS_STATED,
) -> Apparent | Message:
    """Return what the dial sees of the sender, or why that cannot be judged.

    Parameters
    ----------
    gauge : Gauge
        Its movement, and its terminal readings where the user has them.
    installation : Installation
        Earth path of the sender.
    trim : tuple of TrimResistor
        Resistors between the two.
    supplies : Supplies
        B volts at which to read.
    at : mapping, optional
        Circumstances that differ from what the plan states, B of them or one.

    Returns
    -------
    Apparent or Message
        The law for each supply, or the reason why nobody can tell, with what to measure.
    """
    if isinstance(gauge.movement, VoltageInput | LoopInput):
        if trim:
            return message("movement.trim_on_signal")
        return Apparent(Bilinear.of(np.ones_like(supplies.volts), 0.0, 0.0, 1.0))
    circuit = wired(gauge, installation, trim, supplies, at)
    if circuit is None:
        return _untold(gauge, installation, trim) or Apparent(
            _path(installation, trim, len(supplies.volts), at)
        )
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    law = _law(gauge, Voltage(SIGNAL_NODE, circuit.earth), "", supplies, at)
    return Apparent(law.back.after(reduced.law(law.quantity)))


def second_apparent(
    gauge: Gauge,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    supplies: Supplies,
    at: Circumstances = AS_STATED,
) -> Apparent | Message:
    """Return what the dial of the second gauge sees of the sender.

    Parameters
    ----------
    gauge, installation, trim, supplies, at
        As for `apparent`; the installation has a second gauge.
    """
    second = installation.second
    assert second is not None
    circuit = wired(gauge, installation, trim, supplies, at)
    if circuit is None:
        if second.powered == "unknown":
            return message("movement.second_powered", gauge=second.gauge.name)
        if second.gauge == gauge and second.powered == "yes":
            return apparent(gauge, installation, trim, supplies, at)
        return message("movement.second_unknown", gauge=second.gauge.name)
    if second.powered == "no":
        return message("movement.second_off")
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    feeds = second_feed(gauge, installation, supplies)
    fed = Supplies(feeds)
    signal = Voltage(circuit.second_signal, circuit.second_earth)
    law = _law(second.gauge, signal, SECOND, fed, at)
    return Apparent(law.back.after(reduced.law(law.quantity)))


def _untold(
    gauge: Gauge, installation: Installation, trim: tuple[TrimResistor, ...]
) -> Message | None:
    """Return why the sender's path alone tells nothing, None where it does."""
    places = {resistor.place for resistor in trim}
    if "pull-up" in places:
        return message("movement.pull_up_unjudged")
    second = installation.second
    if second is None:
        return None
    if second.powered == "unknown":
        return message("movement.second_powered", gauge=second.gauge.name)
    # Resistors on the first gauge's side of the lead leave two equal gauges unequal.
    uneven = places & {"series at gauge", "signal to earth"}
    if second.powered == "no" or second.gauge != gauge or uneven:
        who = second.gauge if elements_known(gauge) else gauge
        return message("movement.second_unknown", gauge=who.name)
    return None


def follows_supply(gauge: Gauge) -> bool:
    """Return whether the needle moves with the supply by its law (heater, coil, fixed reference).

    A ratio movement does not by its law; its pull-off magnet is a number of its own.
    """
    movement = gauge.movement
    if isinstance(movement, ElectronicMovement):
        return movement.rail == "supply"
    return isinstance(movement, HeaterMovement | CoilMovement)


def supply_known(gauge: Gauge) -> bool:
    """Return whether the elements are known that a change of supply works through."""
    movement = gauge.movement
    if isinstance(movement, UnknownMovement):
        return False
    if isinstance(movement, HeaterMovement):
        return movement.heater is not None
    if isinstance(movement, CoilMovement):
        return movement.coil is not None
    if isinstance(movement, ElectronicMovement):
        return movement.rail != "unknown" and (
            movement.rail == "reference" or elements_known(gauge)
        )
    return True


def path_extra(installation: Installation) -> float:
    """Return the ohms in the sender's path besides sender and trim [Ω]: earths and wire.

    What nobody measured counts as nothing.
    """
    engine = path_ohms(installation.engine_earth, "engine earth").ohm
    return installation.sender_earth_ohms + engine + path_ohms(installation.signal, "signal").ohm


def _path(
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    width: int,
    at: Circumstances,
) -> Bilinear:
    """Return what the gauge's terminals see of the sender through the sender's path alone.

    Two equal gauges share it by symmetry: each sees twice the ohms, whatever its coils.
    """
    values = {one.place: at.get(one.place, one.value.si(Kind.RESISTANCE)) for one in trim}
    law = Bilinear.of(np.ones(width), 0.0, 0.0, 1.0)
    if "across sender" in values:
        law = Bilinear.across(values["across sender"]).after(law)
    engine = path_ohms(installation.engine_earth, "engine earth").ohm
    earth = at.get("sender earth", installation.sender_earth_ohms) + at.get("engine earth", engine)
    law = Bilinear.in_series(earth + values.get("series at sender", 0.0)).after(law)
    if installation.second is not None:
        law = Bilinear.of(2.0, 0.0, 0.0, 1.0).after(law)
    wire = at.get("signal wire", path_ohms(installation.signal, "signal").ohm)
    law = Bilinear.in_series(wire).after(law)
    if "signal to earth" in values:
        law = Bilinear.across(values["signal to earth"]).after(law)
    return Bilinear.in_series(values.get("series at gauge", 0.0)).after(law)


def _law(gauge: Gauge, signal: Voltage, prefix: str, supplies: Supplies, at: Circumstances) -> _Law:
    """Return the law variable of a movement and the way from it back to ohms.

    The reference is the feed at which the dial was marked, or the nominal supply where that
    is not known; the coils are cold, as they were then.
    """
    movement, inside = gauge.movement, inside_of(gauge)
    nominal = supplies.nominal

    def cold(name: str, ohm: float) -> PerCorner:
        return at.get(prefix + name, ohm)

    if isinstance(inside, CoilOhms):
        ratio = Ratio(Current(prefix + "earth coil"), Current(prefix + "supply coil"))
        return _Law(ratio, Bilinear.of(cold("earth coil", inside.earth), 0.0, -1.0, 1.0))
    if isinstance(inside, SourceOhms):
        volts = inside.share * supplies.volts
        return _Law(signal, Bilinear.of(cold("inside ohms", inside.ohm), 0.0, -1.0, volts))
    if isinstance(movement, ElectronicMovement) and movement.pull_up is not None:
        marked = movement.reference if movement.rail == "reference" else movement.feed
        feed = nominal if marked is None else marked.si(Kind.VOLTAGE)
        pull_up = cold("input", movement.pull_up.si(Kind.RESISTANCE))
        return _Law(signal, Bilinear.of(pull_up, 0.0, -1.0, feed))
    if isinstance(movement, HeaterMovement):
        winding, name = movement.heater, "heater"
    else:
        assert isinstance(movement, CoilMovement)
        winding, name = movement.coil, "coil"
    assert winding is not None
    feed = nominal if movement.feed is None else movement.feed.si(Kind.VOLTAGE)
    ohm = np.asarray(cold(name, winding.si(Kind.RESISTANCE)))
    return _Law(Current(prefix + name), Bilinear.of(-ohm, feed, 1.0, 0.0))
