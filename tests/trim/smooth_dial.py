"""The dial of the acceptance numbers: a cubic through the marks in a stated law variable."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.interpolate import PchipInterpolator

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic

Law = Callable[[Array], Array]


def ohms(r: Array) -> Array:
    return r


def log_ohms(r: Array) -> Array:
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(r))


def divided(by: float) -> Law:
    """R/(R + by), the law variable of a ratio gauge with an earth coil of that size."""

    def law(r: Array) -> Array:
        return np.asarray(1.0 / (1.0 + by / np.maximum(r, 1e-300)))

    return law


def current(ohm: float) -> Law:
    """1/(R + ohm): the current through a winding of that size."""

    def law(r: Array) -> Array:
        return np.asarray(1.0 / (r + ohm))

    return law


@dataclass(frozen=True, eq=False)
class SmoothDial:
    """SciPy's PCHIP through (value, ohms) marks over a law variable, end slopes going on."""

    points: tuple[tuple[float, float], ...]
    law: Law = ohms
    _curve: PchipInterpolator = field(init=False)

    def __post_init__(self) -> None:
        x, r = np.array(self.points).T
        d = self.law(r)
        order = np.argsort(d)
        object.__setattr__(self, "_curve", PchipInterpolator(d[order], x[order]))

    @property
    def low(self) -> float:
        return min(x for x, _ in self.points)

    @property
    def high(self) -> float:
        return max(x for x, _ in self.points)

    @property
    def rising(self) -> bool:
        return self.points[-1][1] > self.points[0][1]

    def value(self, output: Array) -> Array:
        d, curve = self.law(output), self._curve
        first, last = curve.x[0], curve.x[-1]
        inner = np.asarray(curve(np.clip(d, first, last)))
        slope = curve.derivative()
        with np.errstate(invalid="ignore"):
            below = np.where(d < first, float(slope(first)) * (d - first), 0.0)
            above = np.where(d > last, float(slope(last)) * (d - last), 0.0)
        return np.asarray(inner + below + above)

    def output(self, x: Array) -> Array:
        """No inverse is known: the search has to do without its guess."""
        return np.full_like(x, np.nan)

    def alternatives(self) -> tuple[Characteristic, ...]:
        return ()
