"""What may be off: one number with its limits, and how it lies between them.

Standard uncertainties from limits after JCGM 101:2008, 6.4 and JCGM 100:2008, 4.3.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from catalog.arrays import Array
from catalog.errors import BugError

Lies = Literal["rectangular", "triangular", "normal", "u-shaped"]


@dataclass(frozen=True)
class Cause:
    """One thing that may be off.

    Attributes
    ----------
    name : str
        What it is.
    nominal, low, high : float
        Its nominal value and its limits, low ≤ nominal ≤ high [SI].
    lies : str
        How it lies between the limits: "rectangular", "triangular", "normal" (the limits are
        two standard uncertainties away from their middle), or "u-shaped" (most often at either
        limit, as what is switched on and off).
    bilinear : bool
        Whether every reading is a bilinear function of it alone, so that its worst value is a
        limit; else the inside is searched too.

    Examples
    --------
    >>> round(Cause("wire", 0.2, 0.1, 0.3, "rectangular").u, 5)
    0.05774
    """

    name: str
    nominal: float
    low: float
    high: float
    lies: Lies = "rectangular"
    bilinear: bool = True

    def __post_init__(self) -> None:
        """Raise BugError for limits that do not hold the nominal value."""
        if not self.low <= self.nominal <= self.high:
            raise BugError(f"{self.name}: {self.nominal} is not in {self.low}…{self.high}")

    @property
    def middle(self) -> float:
        """Middle of its limits [SI]."""
        return (self.low + self.high) / 2.0

    @property
    def u(self) -> float:
        """Standard uncertainty [SI]: half the width over √3, √6, 2 or √2."""
        part = {"rectangular": 3.0, "triangular": 6.0, "normal": 4.0, "u-shaped": 2.0}[self.lies]
        return (self.high - self.low) / 2.0 / math.sqrt(part)

    def draw(self, rng: np.random.Generator, count: int) -> Array:
        """Return random values, shape (count,) [SI]."""
        half = (self.high - self.low) / 2.0
        if self.lies == "normal":
            return np.asarray(rng.normal(self.middle, half / 2.0, count))
        if self.lies == "triangular":
            both = rng.random(count) + rng.random(count)
            return np.asarray(self.low + half * both)
        share = rng.random(count)
        if self.lies == "u-shaped":
            return np.asarray(self.middle + half * np.sin(2.0 * math.pi * share))
        return np.asarray(self.low + 2.0 * half * share)


def nominals(causes: tuple[Cause, ...]) -> Array:
    """Return the nominal values, shape (1, P) [SI]."""
    return np.array([[cause.nominal for cause in causes]], dtype=np.float64)


def limits(causes: tuple[Cause, ...]) -> tuple[Array, Array]:
    """Return lowest and highest values, each shape (P,) [SI]."""
    low = np.array([cause.low for cause in causes], dtype=np.float64)
    high = np.array([cause.high for cause in causes], dtype=np.float64)
    return low, high
