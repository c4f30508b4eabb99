"""Random instrument circuits with at least two sources, the same for the same seed.

Gauge coils (divider, star, delta, heater), trims, wires, a sender, earth paths with current of
their own, a second gauge, loads, and a second source (charger, logger, stabiliser). Values are
drawn over the trade's ranges; none is a product's.
"""

from __future__ import annotations

import math
import random

from tests.circuit.circuits import Circuit, current, resistor, voltage

GAUGES = ("divider", "star", "delta", "heater")
SECOND_SOURCES = ("charger", "logger", "stabiliser")
FIRST_NODE, SECOND_NODE = "sender_terminal", "block"


def generated(seed: int, count: int) -> list[Circuit]:
    draw = random.Random(seed)
    return [_Maker(draw).circuit() for _ in range(count)]


class _Maker:
    def __init__(self, draw: random.Random) -> None:
        self.draw = draw
        self.parts: Circuit = []
        # Positive earth: every voltage and every fixed current turned round.
        self.sign = draw.choice((1.0, 1.0, 1.0, -1.0))

    def circuit(self) -> Circuit:
        self.feed()
        self.gauge("gauge", "supply", "signal", "gauge_earth")
        self.earths()
        self.sender_path()
        self.trims()
        self.second_source(self.draw.choice(SECOND_SOURCES))
        if self.chance(0.4):
            self.gauge("second gauge", "supply", "signal", "gauge_earth")
        if self.chance(0.5):
            self.ohm("lamp", "supply", "block", 10.0, 200.0)
        if self.chance(0.3):
            self.amps("steady load", "supply", "gauge_earth", 0.05, 2.0)
        return self.parts

    # --- one element ----------------------------------------------------------------------------

    def chance(self, share: float) -> bool:
        return self.draw.random() < share

    def between(self, low: float, high: float) -> float:
        """Log-uniform, to six digits, so that a stored circuit stays readable."""
        value = low * (high / low) ** self.draw.random()
        return float(f"{value:.6g}")

    def ohm(self, name: str, a: str, b: str, low: float, high: float) -> None:
        self.parts.append(resistor(name, a, b, self.between(low, high)))

    def volts(self, name: str, plus: str, minus: str, low: float, high: float) -> None:
        self.parts.append(voltage(name, plus, minus, self.sign * self.between(low, high)))

    def amps(self, name: str, a: str, b: str, low: float, high: float) -> None:
        self.parts.append(current(name, a, b, self.sign * self.between(low, high)))

    def wire(self, name: str, a: str, b: str) -> None:
        if self.chance(0.1):
            self.parts.append(resistor(name, a, b, 0.0))
        else:
            self.ohm(name, a, b, 0.002, 0.5)

    # --- rooms of the circuit -------------------------------------------------------------------

    def feed(self) -> None:
        self.volts("battery", "battery_live", "battery_earth", 10.5, 16.0)
        self.wire("fuse", "battery_live", "switch")
        self.wire("ignition feed", "switch", "supply")

    def gauge(self, name: str, supply: str, signal: str, earth: str) -> None:
        kind = self.draw.choice(GAUGES)
        star = kind == "star"
        middle = f"{name} middle" if star else signal
        self.ohm(f"{name} supply coil", supply, middle, 30.0, 300.0)
        if kind == "heater":
            return
        self.ohm(f"{name} earth coil", middle, earth, 30.0, 300.0)
        if star:
            self.ohm(f"{name} signal leg", middle, signal, 5.0, 100.0)
        if kind == "delta":
            self.ohm(f"{name} third coil", supply, earth, 100.0, 1000.0)

    def earths(self) -> None:
        self.wire("gauge earth", "gauge_earth", "earth")
        self.ohm("block strap", "block", "battery_earth", 0.001, 0.1)
        self.ohm("body strap", "earth", "battery_earth", 0.001, 0.1)
        if self.chance(0.6):
            ends = self.draw.sample(("block", "battery_earth"), 2)
            self.amps("earth current", ends[0], ends[1], 1.0, 60.0)

    def sender_path(self) -> None:
        self.wire("sender wire", "signal", "lead")
        if self.chance(0.5):
            self.ohm("series trim", "lead", FIRST_NODE, 1.0, 300.0)
        else:
            self.wire("lead joint", "lead", FIRST_NODE)
        fault = self.draw.random()
        sender = 0.0 if fault < 0.08 else math.inf if fault > 0.92 else self.between(2.0, 500.0)
        self.parts.append(resistor("sender", FIRST_NODE, SECOND_NODE, sender))

    def trims(self) -> None:
        if self.chance(0.4):
            self.ohm("trim across sender", FIRST_NODE, SECOND_NODE, 20.0, 2000.0)
        if self.chance(0.3):
            self.ohm("trim signal to earth", "signal", "gauge_earth", 20.0, 2000.0)
        if self.chance(0.4):
            self.ohm("pull-up", "supply", "signal", 20.0, 2000.0)

    def second_source(self, kind: str) -> None:
        if kind == "charger":
            self.volts("charger", "charger_live", "block", 13.8, 14.8)
            self.ohm("charger wire", "charger_live", "battery_live", 0.005, 0.1)
        elif kind == "logger":
            self.volts("logger reference", "logger_rail", "gauge_earth", 4.5, 5.5)
            self.ohm("logger pull-up", "logger_rail", "signal", 200.0, 5000.0)
        else:
            self.volts("stabiliser", "stabilised", "gauge_earth", 5.0, 10.5)
            self.ohm("stabilised coil", "stabilised", "signal", 30.0, 150.0)
