"""What each resistor, the sender and the movement take at worst, and the rating that needs.

The circuit is the one that makes the reading, at the highest supply, in order and with each
fault: the sender's lead open or on earth at either end of the trim, the stabiliser stuck on.
Every current is a law of the sender's ohms that runs one way, so it is largest at an end of the
range; the sender's own power is largest there, or where its ohms equal the source's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    VoltageInput,
)
from catalog.quantities.kinds import Kind
from retrofit.circuit.network import EARTH_NODE
from retrofit.circuit.reduction import SENDER, Current, Reduction
from retrofit.installation import PLACES, Installation, TrimResistor
from retrofit.wired import SIGNAL_NODE, Supplies, Wired, wired

RATINGS = (0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0)
"""Ratings in which resistors are sold [W] (common practice, no source)."""

DERATING = 0.5
"""Share of its rating that a resistor in a warm, closed place should take (common practice,
no source)."""

_WINDINGS = ("heater", "coil", "supply coil", "earth coil")


class Fault(Enum):
    """What is the matter when an element takes the most."""

    NONE = "in order"
    SENDER_OPEN = "sender open"
    SENDER_EARTHED = "sender earthed"
    LEAD_EARTHED = "lead earthed"


@dataclass(frozen=True)
class Feeds:
    """Volts at the gauge's supply terminal.

    Attributes
    ----------
    highest : float
        At the highest supply, behind the stabiliser where there is one; heat-equivalent [V].
    stuck : float or None
        At the highest supply with the stabiliser stuck on [V]; None without a stabiliser.
    """

    highest: float
    stuck: float | None = None


@dataclass(frozen=True)
class Load:
    """What one element takes in one state.

    Attributes
    ----------
    watts, amps : float
        Power [W] and current [A].
    ohms : float
        Sender in that state [Ω]: 0 earthed, +inf open.
    fault : Fault
        What is the matter.
    stuck : bool
        Whether the stabiliser is stuck on.
    """

    watts: float
    amps: float
    ohms: float
    fault: Fault = Fault.NONE
    stuck: bool = False

    @property
    def state(self) -> Message:
        """The state in words."""
        said = message(f"power.state.{self.fault.value}", ohms=SiValue(self.ohms, Kind.RESISTANCE))
        return message("power.state.stuck", state=said) if self.stuck else said


@dataclass(frozen=True)
class Terminals:
    """What the sender's terminals carry at the highest supply.

    Attributes
    ----------
    amps : float
        Largest current through the sender over its range [A].
    watts : float
        Largest power in the sender over its range [W].
    open_volts : float
        Volts across the terminals with the sender off [V].
    short_amps : float
        Current through a short across them [A].
    """

    amps: float
    watts: float
    open_volts: float
    short_amps: float


@dataclass(frozen=True)
class Loads:
    """What a pairing's elements take at worst.

    Attributes
    ----------
    volts : float
        At the gauge, with everything in order [V].
    resistors : tuple of (TrimResistor, Load)
        Each resistor of the trim in the state that loads it most.
    winding : Load or None
        The winding of a heater or coil gauge, or the coil of a ratio gauge that takes most;
        None where the windings are not known one by one.
    winding_in_order : Load or None
        The one that takes most with everything in order.
    terminals : Terminals
        What the sender's terminals carry.
    stuck : Terminals or None
        The same with the stabiliser stuck on; None without a stabiliser.
    """

    volts: float
    resistors: tuple[tuple[TrimResistor, Load], ...]
    winding: Load | None
    winding_in_order: Load | None
    terminals: Terminals
    stuck: Terminals | None


def needed_rating(watts: float) -> float | None:
    """Return the smallest customary rating that takes `watts` at `DERATING`, None beyond all.

    Examples
    --------
    >>> needed_rating(0.2), needed_rating(0.53), needed_rating(6.0)
    (0.5, 2.0, None)
    """
    slack = 1.0 + 1e-9
    return next((rating for rating in RATINGS if watts <= DERATING * rating * slack), None)


def loads(
    gauge: Gauge,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    ohms: Array,
    feeds: Feeds,
) -> Loads | Message:
    """Return what the elements of a pairing take at worst.

    Parameters
    ----------
    gauge : Gauge
        Its movement, and its terminal readings where the user has them.
    installation : Installation
        Earth path of the sender.
    trim : tuple of TrimResistor
        Resistors between the two; none for the pairing as it is without them.
    ohms : array, shape (N,)
        Ohms of the sender over the range [Ω]; NaN where not known.
    feeds : Feeds
        Volts at the gauge.

    Returns
    -------
    Loads or Message
        Watts and amperes; or why nobody can tell them, and what to measure.

    Notes
    -----
    Tests: ``tests/trim/test_power.py``.
    """
    known = ohms[np.isfinite(ohms)]
    if not known.size:
        return message("power.no_range")
    if _circuit(gauge, installation, trim, feeds) is None:
        return _to_measure(gauge)
    ends = float(np.min(known)), float(np.max(known))
    worst: dict[str, Load] = {}
    in_order: list[Load] = []
    for name, load in _states(gauge, installation, trim, ends, feeds):
        if name not in worst or load.watts > worst[name].watts:
            worst[name] = load
        if name in _WINDINGS and load.fault is Fault.NONE and not load.stuck:
            in_order.append(load)
    windings = [worst[name] for name in _WINDINGS if name in worst]
    terminals = _terminals(gauge, installation, trim, ends, feeds)
    return Loads(
        feeds.highest,
        tuple((resistor, worst[resistor.place]) for resistor in trim),
        max(windings, key=lambda load: load.watts, default=None),
        max(in_order, key=lambda load: load.watts, default=None),
        terminals[0],
        terminals[1] if len(terminals) > 1 else None,
    )


def _to_measure(gauge: Gauge) -> Message:
    """Return what to measure before any current can be told."""
    movement = gauge.movement
    if isinstance(movement, VoltageInput | LoopInput):
        return message("movement.trim_on_signal")
    if isinstance(movement, HeaterMovement | CoilMovement):
        return message("power.measure_winding")
    if isinstance(movement, ElectronicMovement):
        return message("power.measure_input")
    return message("power.measure_source")


def _circuit(
    gauge: Gauge, installation: Installation, trim: tuple[TrimResistor, ...], feeds: Feeds
) -> Wired | None:
    volts = [feeds.highest] if feeds.stuck is None else [feeds.highest, feeds.stuck]
    return wired(gauge, installation, trim, Supplies(np.array(volts)))


def _states(
    gauge: Gauge,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    ends: tuple[float, float],
    feeds: Feeds,
) -> Iterator[tuple[str, Load]]:
    """Give every element's load in every state that can be its worst."""
    circuit = _circuit(gauge, installation, trim, feeds)
    assert circuit is not None
    yield from _in_circuit(circuit, [(Fault.NONE, r) for r in ends])
    yield from _in_circuit(circuit, [(Fault.SENDER_EARTHED, 0.0), (Fault.SENDER_OPEN, math.inf)])
    for node in dict.fromkeys((SIGNAL_NODE, *_between(circuit))):
        earthed = _circuit(gauge, installation, trim, feeds)
        assert earthed is not None
        earthed.network.resistor("chafed lead", node, EARTH_NODE, 0.0)
        # Nothing beyond that node feeds the lead, so the sender's own ohms do not count.
        yield from _in_circuit(earthed, [(Fault.LEAD_EARTHED, math.inf)])


def _between(circuit: Wired) -> list[str]:
    """Return the nodes between gauge and sender that a chafed lead can lay on earth."""
    return [name for name in ("trim", circuit.first) if name in circuit.network.nodes]


def _in_circuit(
    circuit: Wired, states: Sequence[tuple[Fault, float]]
) -> Iterator[tuple[str, Load]]:
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    at = np.array([ohms for _, ohms in states])
    for name, element in circuit.network.elements.items():
        if name not in _WINDINGS and name not in PLACES:
            continue
        amps = np.abs(reduced.law(Current(name))(at))
        watts = amps**2 * element.value[:, None]
        for corner in range(len(watts)):
            n = int(np.argmax(watts[corner]))
            fault, ohms = states[n]
            yield (
                name,
                Load(float(watts[corner, n]), float(amps[corner, n]), ohms, fault, corner == 1),
            )


def _terminals(
    gauge: Gauge,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    ends: tuple[float, float],
    feeds: Feeds,
) -> list[Terminals]:
    circuit = _circuit(gauge, installation, trim, feeds)
    assert circuit is not None
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    source, current = reduced.source(), reduced.law(Current(SENDER))
    found = []
    for corner, (volt, ohm) in enumerate(zip(np.abs(source.volt), source.ohm, strict=True)):
        # The power in a resistance is largest where it equals that of its source.
        at = np.array([*ends, min(max(float(ohm), ends[0]), ends[1])])
        amps = np.abs(current(at))[corner]
        short = math.inf if ohm == 0.0 else float(volt / ohm)
        watts = float(np.max(amps**2 * at))
        found.append(Terminals(float(np.max(amps)), watts, float(volt), short))
    return found
