"""Many monotone cubics of as many points each at once, value for value as ``monotone`` has them.

A list of thousands of senders is read at the same few values; one curve after the other, the
calls would take longer than the arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array

_NEWTON_STEPS = 60


def _end_slopes(h0: Array, h1: Array, s0: Array, s1: Array) -> Array:
    """Return the end slopes of ``monotone``, shape (C,) each."""
    slope = ((2.0 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
    steep = (s0 * s1 <= 0.0) & (np.abs(slope) > 3.0 * np.abs(s0))
    slope = np.where(steep, 3.0 * s0, slope)
    return np.asarray(np.where(slope * s0 <= 0.0, 0.0, slope))


@dataclass(frozen=True, eq=False)
class StackedCubics:
    """Monotone cubics, each continued in a straight line beyond its ends.

    Parameters
    ----------
    x : array, shape (C, n)
        Knots [any unit], strictly increasing along each row, n >= 2.
    y : array, shape (C, n)
        Values [any unit], strictly monotone along each row.

    Notes
    -----
    Equal to ``MonotoneCubic`` to 1e-13: ``tests/catalog/curves/test_stacked.py``.

    Examples
    --------
    >>> curves = StackedCubics(np.array([[0.0, 1.0, 2.0]] * 2), np.array([[0.0, 1.0, 4.0]] * 2))
    >>> curves.at(np.array([0.5, 3.0]))[0], curves.inverse(np.array([4.0]))[1]
    (array([0.3125, 8.    ]), array([2.]))
    """

    x: Array
    y: Array

    @cached_property
    def _slopes(self) -> Array:
        h = np.diff(self.x, axis=1)
        s = np.diff(self.y, axis=1) / h
        if self.x.shape[1] == 2:
            return np.concatenate([s, s], axis=1)
        out = np.empty_like(self.x)
        w1, w2 = 2.0 * h[:, 1:] + h[:, :-1], h[:, 1:] + 2.0 * h[:, :-1]
        out[:, 1:-1] = (w1 + w2) / (w1 / s[:, :-1] + w2 / s[:, 1:])
        out[:, 0] = _end_slopes(h[:, 0], h[:, 1], s[:, 0], s[:, 1])
        out[:, -1] = _end_slopes(h[:, -1], h[:, -2], s[:, -1], s[:, -2])
        return out

    @cached_property
    def _outer(self) -> tuple[Array, Array]:
        """Slopes beyond the two ends, shape (C, 1) each: the end slope, or the chord where 0."""
        chord = np.diff(self.y, axis=1) / np.diff(self.x, axis=1)
        first, last = self._slopes[:, :1], self._slopes[:, -1:]
        return (
            np.where(first == 0.0, chord[:, :1], first),
            np.where(last == 0.0, chord[:, -1:], last),
        )

    def at(self, x: Array) -> Array:
        """Return all curves at `x`, shape (N,) [unit of x] → shape (C, N) [unit of y]."""
        i = _pieces(self.x, x[None, :])
        x0 = _taken(self.x, i)
        t = (x[None, :] - x0) / (_taken(self.x, i + 1) - x0)
        y0, c1, c2, c3 = self._coefficients(i)
        t = np.clip(t, 0.0, 1.0)
        out = y0 + t * (c1 + t * (c2 + t * c3))
        low, high = self._outer
        first, last = self.x[:, :1], self.x[:, -1:]
        out = np.where(x < first, self.y[:, :1] + low * (x - first), out)
        return np.asarray(np.where(x > last, self.y[:, -1:] + high * (x - last), out))

    def inverse(self, y: Array) -> Array:
        """Return where all curves have the value `y`, shape (N,) [unit of y] → (C, N).

        Every row runs the same way. Newton's method kept inside a shrinking bracket.
        """
        rising = bool(self.y[0, -1] > self.y[0, 0])
        knots = self.y if rising else -self.y
        wanted = (y if rising else -y)[None, :]
        i = _pieces(knots, wanted)
        y0, y1 = _taken(self.y, i), _taken(self.y, i + 1)
        inside = (wanted >= knots[:, :1]) & (wanted <= knots[:, -1:])
        goal = np.where(inside, y[None, :], y0)
        t = self._solve(i, goal, np.clip((goal - y0) / (y1 - y0), 0.0, 1.0), rising=rising)
        x0 = _taken(self.x, i)
        out = x0 + t * (_taken(self.x, i + 1) - x0)
        low, high = self._outer
        below = self.x[:, :1] + (y - self.y[:, :1]) / low
        above = self.x[:, -1:] + (y - self.y[:, -1:]) / high
        out = np.where(wanted < knots[:, :1], below, out)
        return np.asarray(np.where(wanted > knots[:, -1:], above, out))

    def _coefficients(self, i: NDArray[np.intp]) -> tuple[Array, Array, Array, Array]:
        """Return y0 and the coefficients of t, t², t³ on the pieces `i`, shape (C, N) each."""
        h = _taken(self.x, i + 1) - _taken(self.x, i)
        y0 = _taken(self.y, i)
        rise = _taken(self.y, i + 1) - y0
        m0, m1 = _taken(self._slopes, i) * h, _taken(self._slopes, i + 1) * h
        return y0, m0, 3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise

    def _solve(self, i: NDArray[np.intp], goal: Array, start: Array, *, rising: bool) -> Array:
        up = 1.0 if rising else -1.0
        y0, c1, c2, c3 = (each.ravel() for each in self._coefficients(i))
        goal, t = goal.ravel(), start.ravel()
        low, high, out = np.zeros_like(t), np.ones_like(t), t.copy()
        open_ = np.arange(len(t))
        for _ in range(_NEWTON_STEPS):
            now = out[open_]
            miss = (y0 - goal + now * (c1 + now * (c2 + now * c3))) * up
            low, high = np.where(miss <= 0.0, now, low), np.where(miss >= 0.0, now, high)
            slope = (c1 + now * (2.0 * c2 + 3.0 * now * c3)) * up
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = now - miss / slope
            inside = (newton > low) & (newton < high)
            after = np.where(inside, newton, 0.5 * (low + high))
            after = np.where(miss == 0.0, now, after)
            out[open_] = after
            going = np.abs(after - now) > 4e-16
            if not np.any(going):
                break
            open_ = open_[going]
            y0, c1, c2, c3, goal = (each[going] for each in (y0, c1, c2, c3, goal))
            low, high = low[going], high[going]
        return out.reshape(start.shape)


def _pieces(knots: Array, x: Array) -> NDArray[np.intp]:
    """Return the piece that each value lies on, (C, n) and (1 or C, N) → (C, N)."""
    count = np.zeros(np.broadcast_shapes((len(knots), 1), x.shape), dtype=np.intp)
    for inner in range(1, knots.shape[1] - 1):
        count += x >= knots[:, inner : inner + 1]
    return count


def _taken(rows: Array, i: NDArray[np.intp]) -> Array:
    return np.take_along_axis(rows, i, axis=1)
