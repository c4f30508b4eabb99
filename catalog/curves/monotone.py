"""Monotone cubic interpolation and its exact inverse.

Ours because importing SciPy's costs a quarter of a second; ``tests/catalog/curves`` holds it
against ``scipy.interpolate.PchipInterpolator`` to 1e-12.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array

Pieces = NDArray[np.intp]

_NEWTON_STEPS = 60


def _end_slope(h0: float, h1: float, s0: float, s1: float) -> float:
    """Return the one-sided three-point end slope, limited so that the curve stays monotone."""
    slope = ((2.0 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
    if slope * s0 <= 0.0:
        return 0.0
    if s0 * s1 <= 0.0 and abs(slope) > 3.0 * abs(s0):
        return 3.0 * s0
    return slope


def slopes(x: Array, y: Array) -> Array:
    """Return the slopes at the knots of the monotone piecewise cubic.

    Fritsch and Butland's weighted harmonic mean (SIAM J. Sci. Stat. Comput. 5 (1984) 300),
    with the three-point end formula that SciPy's ``PchipInterpolator`` uses.

    Parameters
    ----------
    x : array, shape (n,)
        Knots [any unit], strictly increasing, n >= 2.
    y : array, shape (n,)
        Values [any unit].

    Returns
    -------
    array, shape (n,)
        Slopes [unit of y per unit of x].
    """
    h = np.diff(x)
    s = np.diff(y) / h
    if len(x) == 2:
        return np.array([s[0], s[0]])
    out = np.zeros(len(x))
    same = s[:-1] * s[1:] > 0.0
    w1, w2 = 2.0 * h[1:] + h[:-1], h[1:] + 2.0 * h[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (w1 + w2) / (w1 / s[:-1] + w2 / s[1:])
    out[1:-1] = np.where(same, mean, 0.0)
    out[0] = _end_slope(float(h[0]), float(h[1]), float(s[0]), float(s[1]))
    out[-1] = _end_slope(float(h[-1]), float(h[-2]), float(s[-1]), float(s[-2]))
    return out


@dataclass(frozen=True, eq=False)
class MonotoneCubic:
    """A monotone cubic through points, continued in a straight line beyond its ends.

    Parameters
    ----------
    x : array, shape (n,)
        Knots [any unit], strictly increasing, n >= 2.
    y : array, shape (n,)
        Values [any unit], strictly monotone.

    Examples
    --------
    >>> curve = MonotoneCubic(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 4.0]))
    >>> curve.at(np.array([0.5, 3.0])), curve.inverse(np.array([4.0]))
    (array([0.3125, 8.    ]), array([2.]))
    """

    x: Array
    y: Array

    @cached_property
    def _slopes(self) -> Array:
        return slopes(self.x, self.y)

    @cached_property
    def _outer(self) -> tuple[float, float]:
        """Return the slopes beyond the two ends: the end slope, or the chord where it is 0."""
        first, last = float(self._slopes[0]), float(self._slopes[-1])
        chord = np.diff(self.y) / np.diff(self.x)
        return first or float(chord[0]), last or float(chord[-1])

    def at(self, x: Array) -> Array:
        """Return the curve at `x`, shape (N,) [unit of x] → shape (N,) [unit of y]."""
        i = np.clip(np.searchsorted(self.x, x, side="right") - 1, 0, len(self.x) - 2)
        h = self.x[i + 1] - self.x[i]
        t = (x - self.x[i]) / h
        inner = self._hermite(i, np.clip(t, 0.0, 1.0))
        low, high = self._outer
        below, above = x < self.x[0], x > self.x[-1]
        out = np.where(below, self.y[0] + low * (x - self.x[0]), inner)
        out = np.where(above, self.y[-1] + high * (x - self.x[-1]), out)
        return np.asarray(np.where(np.isnan(x), np.nan, out))

    def inverse(self, y: Array) -> Array:
        """Return where the curve has the value `y`, shape (N,) [unit of y] → [unit of x].

        Newton's method kept inside a shrinking bracket, so it ends at the last digit for
        every monotone cubic. Beyond the ends the straight continuation is inverted.
        """
        rising = self.y[-1] > self.y[0]
        knots = self.y if rising else -self.y
        wanted = y if rising else -y
        i = np.clip(np.searchsorted(knots, wanted, side="right") - 1, 0, len(knots) - 2)
        span = self.y[i + 1] - self.y[i]
        inside = (wanted >= knots[0]) & (wanted <= knots[-1])
        goal = np.where(inside, y, self.y[i])
        t = self._solve(i, goal, np.clip((goal - self.y[i]) / span, 0.0, 1.0))
        out = self.x[i] + t * (self.x[i + 1] - self.x[i])
        low, high = self._outer
        out = np.where(wanted < knots[0], self.x[0] + (y - self.y[0]) / low, out)
        out = np.where(wanted > knots[-1], self.x[-1] + (y - self.y[-1]) / high, out)
        return np.asarray(np.where(np.isnan(y), np.nan, out))

    def _coefficients(self, i: Pieces) -> tuple[Array, Array, Array, Array]:
        """Return y0 and the coefficients of t, t², t³ on the pieces `i`, t in 0…1."""
        h = self.x[i + 1] - self.x[i]
        y0, rise = self.y[i], self.y[i + 1] - self.y[i]
        m0, m1 = self._slopes[i] * h, self._slopes[i + 1] * h
        return y0, m0, 3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise

    def _hermite(self, i: Pieces, t: Array) -> Array:
        y0, c1, c2, c3 = self._coefficients(i)
        return np.asarray(y0 + t * (c1 + t * (c2 + t * c3)))

    def _solve(self, i: Pieces, goal: Array, start: Array) -> Array:
        y0, c1, c2, c3 = self._coefficients(i)
        up = np.sign(self.y[-1] - self.y[0])
        low, high, t = np.zeros_like(start), np.ones_like(start), start
        for _ in range(_NEWTON_STEPS):
            miss = (y0 - goal + t * (c1 + t * (c2 + t * c3))) * up
            low, high = np.where(miss <= 0.0, t, low), np.where(miss >= 0.0, t, high)
            slope = (c1 + t * (2.0 * c2 + 3.0 * t * c3)) * up
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = t - miss / slope
            inside = (newton > low) & (newton < high)
            following = np.where(inside, newton, 0.5 * (low + high))
            following = np.where(miss == 0.0, t, following)
            if np.all(np.abs(following - t) <= 4e-16):
                return np.asarray(following)
            t = following
        return np.asarray(t)
