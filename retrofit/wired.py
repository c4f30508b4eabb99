"""The circuit around the sender: supply, movement, trims, wires, earths and what shares them.

Element by element as it stands in the plan, at one set of circumstances or at many. Its nodes
collapse where nothing lies between them, so a bare pairing is a circuit of three nodes.

Voltages count from the earthed pole of the battery. A circuit with the other pole on earth is
the same one with every source turned round, so every ratio and every needle is the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from catalog.arrays import Array
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    RatioMovement,
)
from catalog.quantities.kinds import Kind
from retrofit.circuit.network import EARTH_NODE, Network, PerCorner
from retrofit.installation import Installation, Load, Place, Run, SecondGauge, TrimResistor
from retrofit.installation.path_ohms import COLD, COPPER, path_ohms
from retrofit.terminals import CoilOhms, SourceOhms, coils_of, measured_source

SUPPLY_NODE = "supply"
SIGNAL_NODE = "signal"
PANEL_NODE = "panel"
GAUGE_EARTH_NODE = "gauge earth"
ENGINE_NODE = "engine"
BODY_NODE = "sender body"
SECOND = "second "
"""What the names of a second gauge's elements and nodes begin with."""

PANEL_TEMPERATURE = "panel temperature"
"""Circumstance: temperature behind the panel [°C]."""

Inside = CoilOhms | SourceOhms | None
"""What is known of the inside of a ratio gauge."""


@dataclass(frozen=True)
class Supplies:
    """The supplies at which a pairing is read.

    Attributes
    ----------
    volts : array, shape (B,)
        Volts of what feeds the gauge [V]: the battery, or the stabiliser where there is one;
        heat-equivalent for heaters.
    battery : array, shape (B,), or None
        Volts of the battery [V]; None: the same.
    stated : float or None
        Volts of what feeds the gauge at the nominal supply [V]; None: the first of `volts`.
    """

    volts: Array
    battery: Array | None = None
    stated: float | None = None

    @property
    def nominal(self) -> float:
        """Volts of what feeds the gauge at the nominal supply [V]."""
        return float(self.volts[0]) if self.stated is None else self.stated

    @property
    def raw(self) -> Array:
        """Volts of the battery, shape (B,) [V]."""
        return self.volts if self.battery is None else self.battery


Circumstances = Mapping[str, PerCorner]
"""Values that differ from the nominal ones, by name: ohms or volts of an element, the share
0…1 to which a load or a lamp is on, the panel's temperature [°C]; each one number or shape (B,)."""

AS_STATED: Circumstances = {}


@dataclass(frozen=True)
class Wired:
    """The circuit of a pairing without its sender.

    Attributes
    ----------
    network : Network
        Supply, movement, trims, wires and earths.
    first, second : str
        Nodes between which the sender sits.
    earth : str
        Node of the gauge's earth terminal; its others are `SUPPLY_NODE` and `SIGNAL_NODE`.
    second_signal, second_earth : str
        Nodes of the second gauge's signal and earth terminals; "" where there is none.
    """

    network: Network
    first: str
    second: str
    earth: str = EARTH_NODE
    second_signal: str = ""
    second_earth: str = ""


def inside_of(gauge: Gauge) -> Inside:
    """Return the coils of a ratio gauge, else the source behind its signal terminal."""
    coils = coils_of(gauge)
    return coils if coils is not None else measured_source(gauge)


def elements_known(gauge: Gauge) -> bool:
    """Return whether the elements of a movement are known, so that a circuit can be drawn."""
    movement = gauge.movement
    if isinstance(movement, RatioMovement):
        return inside_of(gauge) is not None
    if isinstance(movement, HeaterMovement):
        return movement.heater is not None
    if isinstance(movement, CoilMovement):
        return movement.coil is not None
    if isinstance(movement, ElectronicMovement):
        if movement.pull_up is None or movement.rail == "unknown":
            return False
        return movement.rail == "supply" or movement.reference is not None
    return False


def wired(
    gauge: Gauge,
    installation: Installation,
    trim: tuple[TrimResistor, ...],
    supplies: Supplies,
    at: Circumstances = AS_STATED,
) -> Wired | None:
    """Return the circuit around the sender, None where somebody's elements are not known.

    Parameters
    ----------
    gauge : Gauge
        Its movement, and its terminal readings where the user has them.
    installation : Installation
        What the pairing hangs on.
    trim : tuple of TrimResistor
        Resistors between the two.
    supplies : Supplies
        B volts at which to read.
    at : mapping, optional
        Circumstances that differ from what the plan states.
    """
    if not elements_known(gauge):
        return None
    second = installation.second
    if second is not None and not _second_known(second):
        return None
    return _Wiring(gauge, installation, trim, supplies, at).wired()


def _second_known(second: SecondGauge) -> bool:
    """Return whether it is known what a second gauge puts on the signal.

    Of one that is switched off a source that was measured with its supply on says nothing.
    """
    if second.powered == "unknown" or not elements_known(second.gauge):
        return False
    return second.powered == "yes" or not isinstance(inside_of(second.gauge), SourceOhms)


@dataclass
class _Wiring:
    """One circuit while it is put together."""

    gauge: Gauge
    installation: Installation
    trim: tuple[TrimResistor, ...]
    supplies: Supplies
    at: Circumstances
    network: Network = field(default_factory=Network)
    second_signal: str = ""
    second_earth: str = ""

    def wired(self) -> Wired:
        panel = self._feed()
        earth = self._run("gauge earth", GAUGE_EARTH_NODE, EARTH_NODE)
        self._movement(self.gauge, SUPPLY_NODE, SIGNAL_NODE, earth, "")
        body, engine = self._earths()
        first = self._chain(body, earth)
        if "pull-up" in self._trims:
            self._resistor("pull-up", SUPPLY_NODE, SIGNAL_NODE, self._trims["pull-up"])
        for load in self.installation.loads:
            self._load(load, panel, engine if load.returns == "engine earth" else earth)
        self._lamp(panel, body, earth)
        seconds = self.second_signal, self.second_earth
        return Wired(self.network, first, body, earth, *seconds)

    @property
    def _trims(self) -> dict[Place, float]:
        return {one.place: one.value.si(Kind.RESISTANCE) for one in self.trim}

    def _resistor(self, name: str, a: str, b: str, nominal: float) -> None:
        self.network.resistor(name, a, b, self.at.get(name, nominal))

    def _run(self, run: Run, far: str, near: str) -> str:
        """Put in the ohms of a run between two nodes; return the far one, or the near one."""
        ohm = path_ohms(self.installation.path(run), run).ohm
        if ohm == 0.0 and run not in self.at:
            return near
        self._resistor(run, far, near, ohm)
        return far

    def _feed(self) -> str:
        """Put in the supply and the way to the gauge; return the node where loads hang."""
        volts, raw, stabilised = (
            self.supplies.volts,
            self.supplies.raw,
            self.supplies.battery is not None,
        )
        if stabilised:
            # What lies before a stabiliser does not count while it holds its output.
            self.network.voltage_source("supply", SUPPLY_NODE, EARTH_NODE, volts)
            if not self._shared:
                return SUPPLY_NODE
            self.network.voltage_source("battery", "battery", EARTH_NODE, raw)
            return self._run("shared feed", PANEL_NODE, "battery")
        runs: list[Run] = ["shared feed", "feed"]
        there = [
            run in self.at or path_ohms(self.installation.path(run), run).ohm > 0.0 for run in runs
        ]
        source = "battery" if any(there) else SUPPLY_NODE
        self.network.voltage_source("supply", source, EARTH_NODE, volts)
        panel = PANEL_NODE if there[1] else SUPPLY_NODE
        panel = self._run("shared feed", panel, source) if there[0] else source
        self._run("feed", SUPPLY_NODE, panel)
        return panel

    @property
    def _shared(self) -> bool:
        """Whether anything but the gauge hangs on the battery."""
        installation = self.installation
        return bool(installation.loads or installation.lamp or installation.second)

    def _earths(self) -> tuple[str, str]:
        """Put in the sender's way to earth; return its body's node and the engine's."""
        engine = self._run("engine earth", ENGINE_NODE, EARTH_NODE)
        ohm = self.installation.sender_earth_ohms
        if ohm == 0.0 and "sender earth" not in self.at:
            return engine, engine
        self._resistor("sender earth", BODY_NODE, engine, ohm)
        return BODY_NODE, engine

    def _chain(self, body: str, earth: str) -> str:
        """Put in trims and wire from the signal terminal on; return the sender's node."""
        values, node = self._trims, SIGNAL_NODE
        if "series at gauge" in values:
            self._resistor("series at gauge", node, "trim", values["series at gauge"])
            node = "trim"
        if "signal to earth" in values:
            self._resistor("signal to earth", node, earth, values["signal to earth"])
        node = self._signal_wire(node)
        if self.installation.second is not None:
            self._second(self.installation.second, node, earth)
        if "series at sender" in values:
            self._resistor("series at sender", node, "sender", values["series at sender"])
            node = "sender"
        if "across sender" in values:
            self._resistor("across sender", node, body, values["across sender"])
        return node

    def _signal_wire(self, node: str) -> str:
        ohm = path_ohms(self.installation.signal, "signal").ohm
        if ohm == 0.0 and "signal wire" not in self.at:
            return node
        self._resistor("signal wire", node, "lead", ohm)
        return "lead"

    def _second(self, second: SecondGauge, node: str, earth: str) -> None:
        """Put in a second gauge, its wire as long as the first one's."""
        wire = path_ohms(self.installation.signal, "signal").ohm
        signal = node
        if wire > 0.0:
            signal = SECOND + "signal"
            self.network.resistor(SECOND + "signal wire", signal, node, wire)
        self.second_signal = signal
        self.second_earth = earth if second.earth == "gauge earth" else EARTH_NODE
        supply = SECOND + "supply"
        if second.powered == "no":
            # Switched off: what hangs between supply and signal leads nowhere.
            if isinstance(inside_of(second.gauge), CoilOhms):
                self._movement(second.gauge, supply, signal, self.second_earth, SECOND)
            return
        volts = second_feed(self.gauge, self.installation, self.supplies)
        self.network.voltage_source(supply, supply, EARTH_NODE, volts)
        self._movement(second.gauge, supply, signal, self.second_earth, SECOND)

    def _load(self, load: Load, panel: str, earth: str) -> None:
        name = load_name(load)
        share = np.asarray(self.at.get(name, 1.0 if load.when == "always" else 0.0))
        ohm, amps = load_ohms(load, self.installation), load_amperes(load)
        feed = panel if load.on_feed == "yes" else None
        if load.when == "charging":
            # It comes back from the battery through the engine's earth and is drawn out there.
            if amps is not None and earth != EARTH_NODE:
                self.network.current_source(name, earth, EARTH_NODE, share * amps)
        elif ohm is not None:
            with np.errstate(divide="ignore"):
                ohms = ohm / share
            source = feed or self._battery
            if source != earth:
                self.network.resistor(name, source, earth, ohms)
        elif amps is not None:
            source = feed or EARTH_NODE
            if source != earth:
                self.network.current_source(name, source, earth, share * amps)

    @property
    def _battery(self) -> str:
        return "battery" if "battery" in self.network.nodes else SUPPLY_NODE

    def _lamp(self, panel: str, body: str, earth: str) -> None:
        lamp = self.installation.lamp
        if lamp is None:
            return
        if lamp.circuit == "tapped from signal":
            if lamp.input is not None:
                self._resistor("lamp", SIGNAL_NODE, earth, lamp.input.si(Kind.RESISTANCE))
            return
        ohm = lamp_ohms(self.installation)
        if ohm is None or panel == body:
            return
        with np.errstate(divide="ignore"):
            ohms = ohm / np.asarray(self.at.get("lamp", 0.0))
        self.network.resistor("lamp", panel, body, ohms)

    def _movement(self, gauge: Gauge, supply: str, signal: str, earth: str, prefix: str) -> None:
        network, movement, inside = self.network, gauge.movement, inside_of(gauge)
        warmth = coil_warmth(gauge, self.at)

        def coil(name: str, a: str, b: str, ohm: float) -> None:
            network.resistor(prefix + name, a, b, self.at.get(prefix + name, ohm) * warmth)

        if isinstance(inside, CoilOhms):
            coil("supply coil", supply, signal, inside.supply)
            coil("earth coil", signal, earth, inside.earth)
        elif isinstance(inside, SourceOhms):
            volts = inside.share * (self._second_fed if prefix else self.supplies.volts)
            network.voltage_source(prefix + "inside", prefix + "inside", earth, volts)
            coil("inside ohms", prefix + "inside", signal, inside.ohm)
        elif isinstance(movement, HeaterMovement) and movement.heater is not None:
            coil("heater", supply, signal, movement.heater.si(Kind.RESISTANCE))
        elif isinstance(movement, CoilMovement) and movement.coil is not None:
            coil("coil", supply, signal, movement.coil.si(Kind.RESISTANCE))
        elif isinstance(movement, ElectronicMovement) and movement.pull_up is not None:
            rail = supply
            if movement.rail == "reference" and movement.reference is not None:
                rail = prefix + "reference"
                fixed = self.at.get(rail, movement.reference.si(Kind.VOLTAGE))
                network.voltage_source(rail, rail, earth, fixed)
            coil("input", rail, signal, movement.pull_up.si(Kind.RESISTANCE))

    @property
    def _second_fed(self) -> Array:
        return second_feed(self.gauge, self.installation, self.supplies)


def second_feed(gauge: Gauge, installation: Installation, supplies: Supplies) -> Array:
    """Return the volts of what feeds the second gauge beside `gauge`, shape (B,) [V].

    Two heaters made for the same feed share one stabiliser, whatever becomes of it; any other
    heater has one of its own, unless none is fitted or it is stuck.
    """
    second = installation.second
    movement = None if second is None else second.gauge.movement
    if not isinstance(movement, HeaterMovement) or movement.feed is None:
        return supplies.raw
    feed, first = movement.feed.si(Kind.VOLTAGE), gauge.movement
    own = first.feed if isinstance(first, HeaterMovement) else None
    if own is not None and own.si(Kind.VOLTAGE) == feed:
        return supplies.volts
    if installation.stabiliser.fitted == "no" or installation.stabiliser.state == "stuck":
        return supplies.raw
    return np.minimum(feed, supplies.raw)


def coil_warmth(gauge: Gauge, at: Circumstances) -> PerCorner:
    """Return the factor by which a warm panel raises the ohms of a movement's coils [1].

    1 + α·c·(T − 20 °C) with the copper share c; 1 where nobody knows it, and for heaters, whose
    wire is not copper.
    """
    movement = gauge.movement
    if PANEL_TEMPERATURE not in at or not isinstance(movement, RatioMovement | CoilMovement):
        return 1.0
    if movement.copper is None:
        return 1.0
    share = COPPER * movement.copper.si(Kind.FRACTION)
    return 1.0 + share * (np.asarray(at[PANEL_TEMPERATURE]) - COLD)


def load_name(load: Load) -> str:
    """Return the name of a load's element."""
    return f"load {load.name}"


def load_ohms(load: Load, installation: Installation) -> float | None:
    """Return a load's resistance U²/P [Ω] at the nominal supply, None without its watts."""
    if load.watts is None or load.watts.si(Kind.POWER) <= 0.0:
        return None
    return float(installation.supply.nominal.si(Kind.VOLTAGE) ** 2 / load.watts.si(Kind.POWER))


def load_amperes(load: Load) -> float | None:
    """Return a load's fixed current [A], None where only its watts are known, or neither."""
    return None if load.amperes is None else load.amperes.si(Kind.CURRENT)


def lamp_ohms(installation: Installation) -> float | None:
    """Return the resistance of a lit warning lamp [Ω], None without its watts."""
    lamp = installation.lamp
    if lamp is None or lamp.watts is None or lamp.watts.si(Kind.POWER) <= 0.0:
        return None
    return float(installation.supply.nominal.si(Kind.VOLTAGE) ** 2 / lamp.watts.si(Kind.POWER))
