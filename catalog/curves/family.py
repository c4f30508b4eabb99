"""The one-parameter family of needle laws of linear coils, and how far it may be trusted.

For any set of linear coils the tangent of the needle angle is a bilinear function of the
sender's resistance, so one family through the two end marks covers them all:

    f = q·s / (1 − s + q·s),   s = (R − R0) / (R1 − R0)

with q = 1 the straight line. The bands are common practice, no source: falling classes lie
between q = 0.18 and 1.05, rising ones between 0.78 and 1.55.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array

FALLING_Q = (0.18, 1.05)
RISING_Q = (0.78, 1.55)
KEEP_FALLING = 0.03
KEEP_RISING = 0.015
KEEP_THERMISTOR = 0.05


def scale_fraction(s: Array, q: float) -> Array:
    """Return the fraction of scale f at the fraction s of the way between the end marks.

    Parameters
    ----------
    s : array, shape (N,)
        Way from the low to the high mark in the law variable [1]; may lie outside 0…1.
    q : float
        Family parameter [1], > 0.

    Returns
    -------
    array, shape (N,)
        Fraction of scale [1]; +inf or −inf beyond the pole of the law, where the needle has
        long left the scale; NaN where s is NaN.

    Examples
    --------
    >>> scale_fraction(np.array([0.0, 0.5, 1.0]), 1.0)
    array([0. , 0.5, 1. ])
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        low = 1.0 + (q - 1.0) * s
        f = q * s / low
    f = np.where(low <= 0.0, np.copysign(np.inf, s), f)
    endless = math.inf if q == 1.0 else q / (q - 1.0)
    f = np.where(s == np.inf, math.inf if q <= 1.0 else endless, f)
    f = np.where(s == -np.inf, -math.inf if q >= 1.0 else endless, f)
    return np.asarray(f)


def way(f: Array, q: float) -> Array:
    """Return the inverse of `scale_fraction`: s at the fraction of scale f.

    Parameters
    ----------
    f : array, shape (N,)
        Fraction of scale [1].
    q : float
        Family parameter [1], > 0.

    Returns
    -------
    array, shape (N,)
        Way between the end marks [1].
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(f / (f + q * (1.0 - f)))


def q_through(s: float, f: float) -> float:
    """Return the q of the law through one middle mark at (s, f), both between 0 and 1.

    Examples
    --------
    >>> round(q_through((103 - 240) / (33 - 240), 0.5), 3)
    0.511
    """
    return f * (1.0 - s) / (s * (1.0 - f))


def fit_q(s: Array, f: Array) -> float:
    """Return the q that meets the inner marks best, in the mean of its logarithm.

    Parameters
    ----------
    s, f : array, shape (n,)
        Inner marks [1], strictly between 0 and 1; with none of them q is 1.

    Returns
    -------
    float
        q [1]: the geometric mean of the marks' own q, weighted by 4·f·(1−f) since marks near
        an end say little about it.
    """
    inner = (s > 0.0) & (s < 1.0) & (f > 0.0) & (f < 1.0)
    if not np.any(inner):
        return 1.0
    s, f = s[inner], f[inner]
    weight = 4.0 * f * (1.0 - f)
    logs = np.log(f * (1.0 - s) / (s * (1.0 - f)))
    return float(np.exp(np.sum(weight * logs) / np.sum(weight)))


def bump(t: Array) -> Array:
    """Return how unsure a curve is between two known points: 0 at them, 1 midway.

    Parameters
    ----------
    t : array, shape (N,)
        Way between the two points [1], 0…1.

    Returns
    -------
    array, shape (N,)
        4·t·(1−t) [1].
    """
    return np.asarray(4.0 * t * (1.0 - t))


@dataclass(frozen=True)
class EndsOnly:
    """A characteristic known at its two ends only, with an assumed q between them.

    Parameters
    ----------
    low, high : float
        Values at the ends [SI].
    at_low, at_high : float
        Outputs at the ends [SI], different.
    q : float
        Family parameter [1]; 1 is the straight line.
    unsure : bool
        Whether q is a guess, so that the ends of the q band are alternatives.
    """

    low: float
    high: float
    at_low: float
    at_high: float
    q: float = 1.0
    unsure: bool = True

    @property
    def rising(self) -> bool:
        """Whether the output rises with the value."""
        return self.at_high > self.at_low

    def output(self, x: Array) -> Array:
        """Return the output at `x`, shape (N,) [SI] → shape (N,) [SI]."""
        s = way((x - self.low) / (self.high - self.low), self.q)
        return np.asarray(self.at_low + s * (self.at_high - self.at_low))

    def value(self, output: Array) -> Array:
        """Return the value at `output`, shape (N,) [SI] → shape (N,) [SI], ±inf off scale."""
        s = (output - self.at_low) / (self.at_high - self.at_low)
        return np.asarray(self.low + scale_fraction(s, self.q) * (self.high - self.low))

    def alternatives(self) -> tuple[EndsOnly, ...]:
        """Return the laws at the two ends of the q band."""
        if not self.unsure:
            return ()
        band = RISING_Q if self.rising else FALLING_Q
        ends = (self.low, self.high, self.at_low, self.at_high)
        return tuple(EndsOnly(*ends, q=q, unsure=False) for q in band)
