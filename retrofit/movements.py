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
    RatioMovement,
    UnknownMovement,
    VoltageInput,
)
from catalog.quantities.kinds import Kind
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.network import EARTH_NODE, Network
from retrofit.circuit.reduction import Current, Quantity, Ratio, Reduction, Voltage
from retrofit.installation import Installation, Place, TrimResistor
from retrofit.terminals import CoilOhms, SourceOhms, coils_of, measured_source

SUPPLY_NODE = "supply"
SIGNAL_NODE = "signal"


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
        return np.where(past & ~np.isnan(value), np.inf, value)


@dataclass(frozen=True)
class Supplies:
    """The supplies at which a pairing is read.

    Attributes
    ----------
    volts : array, shape (B,)
        Volts at the gauge's supply terminal [V], behind the stabiliser where there is one;
        heat-equivalent for heaters.
    """

    volts: Array


class _Law:
    """How a movement orders its dial: what to ask of the network, and the way back to ohms."""

    def __init__(self, quantity: Quantity, back: Bilinear) -> None:
        self.quantity = quantity
        self.back = back


def apparent(
    gauge: Gauge, installation: Installation, trim: tuple[TrimResistor, ...], supplies: Supplies
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

    Returns
    -------
    Apparent or Message
        The law for each supply, or the reason why nobody can tell, with what to measure.
    """
    if isinstance(gauge.movement, VoltageInput | LoopInput):
        if trim:
            return message("movement.trim_on_signal")
        return Apparent(Bilinear.of(np.ones_like(supplies.volts), 0.0, 0.0, 1.0))
    circuit = wired(gauge, installation, trim, supplies)
    if circuit is None:
        if any(resistor.place == "pull-up" for resistor in trim):
            return message("movement.pull_up_unjudged")
        return Apparent(_path(installation, trim, len(supplies.volts)))
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    law = _law(gauge, _inside(gauge), supplies)
    return Apparent(law.back.after(reduced.law(law.quantity)))


@dataclass(frozen=True)
class Wired:
    """The circuit of a pairing without its sender.

    Attributes
    ----------
    network : Network
        Supply, movement, trims and earth path; the gauge's terminals are the nodes
        `SUPPLY_NODE`, `SIGNAL_NODE` and the earth.
    first, second : str
        Nodes between which the sender sits.
    """

    network: Network
    first: str
    second: str


def wired(
    gauge: Gauge, installation: Installation, trim: tuple[TrimResistor, ...], supplies: Supplies
) -> Wired | None:
    """Return the circuit around the sender, None where the movement's elements are not known.

    Parameters
    ----------
    gauge, installation, trim, supplies
        As for `apparent`.
    """
    inside = _inside(gauge)
    if not _elements_known(gauge, inside):
        return None
    network = _network(gauge, inside, installation, trim, supplies)
    return Wired(network, _chain(trim)[-1], _return_node(installation))


Inside = CoilOhms | SourceOhms | None
"""What is known of the inside of a ratio gauge."""


def _inside(gauge: Gauge) -> Inside:
    """Return the coils of a ratio gauge, else the source behind its signal terminal."""
    coils = coils_of(gauge)
    return coils if coils is not None else measured_source(gauge)


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
            movement.rail == "reference" or _elements_known(gauge, None)
        )
    return True


def _elements_known(gauge: Gauge, inside: Inside) -> bool:
    movement = gauge.movement
    if isinstance(movement, RatioMovement):
        return inside is not None
    if isinstance(movement, HeaterMovement):
        return movement.heater is not None
    if isinstance(movement, CoilMovement):
        return movement.coil is not None
    if isinstance(movement, ElectronicMovement):
        if movement.pull_up is None or movement.rail == "unknown":
            return False
        return movement.rail == "supply" or movement.reference is not None
    return False


def _values(trim: tuple[TrimResistor, ...]) -> dict[Place, float]:
    return {resistor.place: resistor.value.si(Kind.RESISTANCE) for resistor in trim}


def earth_ohms(installation: Installation) -> float:
    """Return the sender's earth path [Ω], 0 where nobody measured it."""
    earth = installation.sender_earth
    return 0.0 if earth is None else earth.si(Kind.RESISTANCE)


def _path(installation: Installation, trim: tuple[TrimResistor, ...], width: int) -> Bilinear:
    """Return what the gauge's terminals see of the sender through the sender's path alone."""
    law = Bilinear.of(np.ones(width), 0.0, 0.0, 1.0)
    values = _values(trim)
    if "across sender" in values:
        law = Bilinear.across(values["across sender"]).after(law)
    law = Bilinear.in_series(earth_ohms(installation) + values.get("series at sender", 0.0)).after(
        law
    )
    if "signal to earth" in values:
        law = Bilinear.across(values["signal to earth"]).after(law)
    return Bilinear.in_series(values.get("series at gauge", 0.0)).after(law)


def _return_node(installation: Installation) -> str:
    return "sender body" if earth_ohms(installation) > 0.0 else EARTH_NODE


def _chain(trim: tuple[TrimResistor, ...]) -> list[str]:
    """Return the nodes from the gauge's signal terminal to the sender's terminal."""
    places = {resistor.place for resistor in trim}
    nodes = [SIGNAL_NODE]
    if "series at gauge" in places:
        nodes.append("trim")
    if "series at sender" in places:
        nodes.append("sender")
    return nodes


def _network(
    gauge: Gauge,
    inside: Inside,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    supplies: Supplies,
) -> Network:
    """Return the circuit without the sender."""
    network = Network()
    network.voltage_source("supply", SUPPLY_NODE, EARTH_NODE, supplies.volts)
    _add_movement(network, gauge, inside, supplies)
    values, nodes = _values(trim), _chain(trim)
    middle = "trim" if "series at gauge" in values else SIGNAL_NODE
    back = _return_node(installation)
    if "series at gauge" in values:
        network.resistor("series at gauge", SIGNAL_NODE, middle, values["series at gauge"])
    if "signal to earth" in values:
        network.resistor("signal to earth", middle, EARTH_NODE, values["signal to earth"])
    if "series at sender" in values:
        network.resistor("series at sender", middle, "sender", values["series at sender"])
    if "across sender" in values:
        network.resistor("across sender", nodes[-1], back, values["across sender"])
    if "pull-up" in values:
        network.resistor("pull-up", SUPPLY_NODE, SIGNAL_NODE, values["pull-up"])
    if back != EARTH_NODE:
        network.resistor("sender earth", back, EARTH_NODE, earth_ohms(installation))
    return network


def _add_movement(network: Network, gauge: Gauge, inside: Inside, supplies: Supplies) -> None:
    movement = gauge.movement
    if isinstance(inside, CoilOhms):
        network.resistor("supply coil", SUPPLY_NODE, SIGNAL_NODE, inside.supply)
        network.resistor("earth coil", SIGNAL_NODE, EARTH_NODE, inside.earth)
    elif isinstance(inside, SourceOhms):
        network.voltage_source("inside", "inside", EARTH_NODE, inside.share * supplies.volts)
        network.resistor("inside ohms", "inside", SIGNAL_NODE, inside.ohm)
    elif isinstance(movement, HeaterMovement) and movement.heater is not None:
        heater = movement.heater.si(Kind.RESISTANCE)
        network.resistor("heater", SUPPLY_NODE, SIGNAL_NODE, heater)
    elif isinstance(movement, CoilMovement) and movement.coil is not None:
        coil = movement.coil.si(Kind.RESISTANCE)
        network.resistor("coil", SUPPLY_NODE, SIGNAL_NODE, coil)
    elif isinstance(movement, ElectronicMovement) and movement.pull_up is not None:
        rail = SUPPLY_NODE
        if movement.rail == "reference" and movement.reference is not None:
            rail = "reference"
            volts = movement.reference.si(Kind.VOLTAGE)
            network.voltage_source("reference", rail, EARTH_NODE, volts)
        network.resistor("input", rail, SIGNAL_NODE, movement.pull_up.si(Kind.RESISTANCE))


def _law(gauge: Gauge, inside: Inside, supplies: Supplies) -> _Law:
    """Return the law variable of a movement and the way from it back to ohms.

    The reference is the feed at which the dial was marked, or the nominal supply where that
    is not known.
    """
    movement, nominal = gauge.movement, float(supplies.volts[0])
    if isinstance(inside, CoilOhms):
        ratio = Ratio(Current("earth coil"), Current("supply coil"))
        return _Law(ratio, Bilinear.of(inside.earth, 0.0, -1.0, 1.0))
    if isinstance(inside, SourceOhms):
        volts = inside.share * supplies.volts
        return _Law(Voltage(SIGNAL_NODE), Bilinear.of(inside.ohm, 0.0, -1.0, volts))
    if isinstance(movement, ElectronicMovement) and movement.pull_up is not None:
        marked = movement.reference if movement.rail == "reference" else movement.feed
        feed = nominal if marked is None else marked.si(Kind.VOLTAGE)
        back = Bilinear.of(movement.pull_up.si(Kind.RESISTANCE), 0.0, -1.0, feed)
        return _Law(Voltage(SIGNAL_NODE), back)
    if isinstance(movement, HeaterMovement):
        winding, name = movement.heater, "heater"
    else:
        assert isinstance(movement, CoilMovement)
        winding, name = movement.coil, "coil"
    assert winding is not None
    feed = nominal if movement.feed is None else movement.feed.si(Kind.VOLTAGE)
    return _Law(Current(name), Bilinear.of(-winding.si(Kind.RESISTANCE), feed, 1.0, 0.0))
