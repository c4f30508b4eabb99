"""Reading models for the tests of the bands: a two-coil gauge in its wiring, made of a network.

Nothing here knows of plans or parts. The causes stand in the order of `ELEMENTS`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.curves.family import EndsOnly
from retrofit.bands.causes import Cause
from retrofit.bands.reading_model import Additions, ReadingModel
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.network import Network
from retrofit.circuit.reduction import Current, Ratio, Reduction
from retrofit.dial import MarkedDial, Stops

DIAL = MarkedDial(((0.0, 240.0), (0.25, 165.0), (0.5, 103.0), (1.0, 33.0)))
"""A falling dial with four marks: the family law, bent by a cubic (common practice, no source)."""

STOPS = Stops(-0.05, 1.05, assumed=True)

ELEMENTS: dict[str, tuple[float, float]] = {
    "upper coil": (90.0, 4.0),
    "lower coil": (110.0, 5.0),
    "sender": (1.0, 0.04),
    "dial": (0.0, 0.015),
    "sender wire": (0.15, 0.05),
    "strap": (0.05, 0.05),
    "gauge earth": (0.1, 0.1),
    "lamps": (3.0, 3.0),
    "feed": (0.2, 0.1),
    "battery": (13.0, 1.5),
    "logger pull-up": (1000.0, 100.0),
    "logger reference": (5.0, 0.25),
}
"""Nominal value and half width [Ω, V, A, or 1] of everything that may be off."""


def causes_of(*names: str, widths: tuple[float, ...] | None = None) -> tuple[Cause, ...]:
    """Causes by name, each as wide as it is, or by a factor of its own."""
    found = []
    for name, factor in zip(names, widths or (1.0,) * len(names), strict=True):
        nominal, half = ELEMENTS[name]
        found.append(Cause(name, nominal, nominal - factor * half, nominal + factor * half))
    return tuple(found)


@dataclass(frozen=True)
class Gauge:
    """What the dial sees and what is added, with the causes of these names."""

    names: tuple[str, ...]
    logger: bool = False

    def _value(self, values: Array, name: str) -> Array:
        if name in self.names:
            return values[:, self.names.index(name)]
        return np.full(len(values), ELEMENTS[name][0])

    def laws(self, values: Array) -> Bilinear:
        of = {name: self._value(values, name) for name in ELEMENTS}
        net = Network()
        net.voltage_source("battery", "live", "negative", of["battery"])
        net.resistor("feed", "live", "supply", of["feed"])
        net.resistor("upper coil", "supply", "signal", of["upper coil"])
        net.resistor("lower coil", "signal", "gauge earth", of["lower coil"])
        net.resistor("gauge earth", "gauge earth", "negative", of["gauge earth"])
        net.resistor("sender wire", "signal", "terminal", of["sender wire"])
        net.resistor("strap", "block", "negative", of["strap"])
        net.current_source("lamps", "live", "gauge earth", of["lamps"])
        if self.logger:
            net.voltage_source("logger reference", "rail", "gauge earth", of["logger reference"])
            net.resistor("logger pull-up", "rail", "signal", of["logger pull-up"])
        reduced = Reduction(net, "terminal", "block")
        ratio = reduced.law(Ratio(Current("lower coil"), Current("upper coil")))
        back = Bilinear.of(ELEMENTS["lower coil"][0], 0.0, -1.0, 1.0)
        return back.after(ratio).after(Bilinear.of(of["sender"], 0.0, 0.0, 1.0))

    def additions(self, values: Array) -> Additions:
        return Additions(self._value(values, "dial"), np.zeros(len(values)))

    def model(
        self,
        points: int = 201,
        dial: Characteristic = DIAL,
        stops: Stops = STOPS,
    ) -> ReadingModel:
        output = DIAL.output(np.linspace(0.0, 1.0, points))
        return ReadingModel(output, self.laws, self.additions, np.zeros(points), dial, stops)


def plain(
    laws: Callable[[Array], Bilinear],
    output: Array,
    dial: Characteristic = DIAL,
    stops: Stops = STOPS,
) -> ReadingModel:
    """A model of one law, with nothing added."""

    def nothing(values: Array) -> Additions:
        return Additions(np.zeros(len(values)), np.zeros(len(values)))

    return ReadingModel(output, laws, nothing, np.zeros(len(output)), dial, stops)


def of_function(function: Callable[[Array], Array], low: float, high: float) -> ReadingModel:
    """A model whose one reading is a plain function of its causes, shape (B, P) → (B,)."""

    def nowhere(values: Array) -> Bilinear:
        return Bilinear.of(np.zeros(len(values)), 0.0, 0.0, 1.0)

    def added(values: Array) -> Additions:
        return Additions(function(values), np.zeros(len(values)))

    dial = EndsOnly(0.0, 1.0, 0.0, 1.0)
    stops = Stops(low, high, assumed=False)
    return ReadingModel(np.array([0.5]), nowhere, added, np.zeros(1), dial, stops)


def every_corner(causes: tuple[Cause, ...]) -> Array:
    """Every corner of the box, shape (2**P, P)."""
    return np.array(list(product(*((cause.low, cause.high) for cause in causes))))
