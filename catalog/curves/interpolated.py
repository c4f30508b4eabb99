"""A characteristic known at points: the curve through them, and how else it could run."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic, Knotted
from catalog.curves.family import KEEP_FALLING, KEEP_RISING, KEEP_THERMISTOR, bump
from catalog.curves.monotone import MonotoneCubic


@dataclass(frozen=True)
class AtPoints:
    """What a characteristic known at points has by them, however it runs between.

    Parameters
    ----------
    points : tuple of (float, float)
        (value [SI], output [SI]), values strictly increasing, outputs strictly monotone.
    """

    points: tuple[tuple[float, float], ...]

    @property
    def low(self) -> float:
        """Lowest known value [SI]."""
        return self.points[0][0]

    @property
    def high(self) -> float:
        """Highest known value [SI]."""
        return self.points[-1][0]

    @property
    def rising(self) -> bool:
        """Whether the output rises with the value."""
        return self.points[-1][1] > self.points[0][1]

    @cached_property
    def knots(self) -> Array:
        """Values at the points, shape (n,) [SI]."""
        return np.array([x for x, _ in self.points])


@dataclass(frozen=True)
class Interpolated(AtPoints):
    """A strictly monotone curve through points.

    Parameters
    ----------
    points : tuple of (float, float)
        (value [SI], output [SI]), values strictly increasing, outputs strictly monotone;
        outputs > 0 where `log`.
    log : bool
        Interpolate the logarithm of the output (thermistors), else the output.
    straight : bool
        Straight lines between the points (in the logarithm where `log`), else a monotone cubic.
    known : bool
        Whether the shape between the points is known too, so that there is no alternative.
    """

    log: bool = False
    straight: bool = False
    known: bool = False

    @cached_property
    def _curve(self) -> MonotoneCubic:
        outputs = np.array([y for _, y in self.points])
        return MonotoneCubic(self.knots, np.log(outputs) if self.log else outputs)

    def output(self, x: Array) -> Array:
        """Return the output at `x`, shape (N,) [SI] → shape (N,) [SI].

        Beyond the ends the curve goes on with its end slope, never below 0.
        """
        if self.straight:
            y = _straight(x, self._curve.x, self._curve.y)
        else:
            y = self._curve.at(x)
        return np.asarray(np.exp(y)) if self.log else np.maximum(y, min(0.0, self.points[0][1]))

    def value(self, output: Array) -> Array:
        """Return the value at `output`, shape (N,) [SI] → shape (N,) [SI]; ±inf where none."""
        if self.log:
            with np.errstate(divide="ignore"):
                y = np.log(np.maximum(output, 0.0))
        else:
            y = output
        if not self.straight:
            return self._curve.inverse(y)
        if self.rising:
            return _straight(y, self._curve.y, self._curve.x)
        return _straight(-y, -self._curve.y, self._curve.x)

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return how else the curve could run between the points.

        With one middle point ±3 % of scale (falling), ±1.5 % (rising) or ±5 % (thermistor) is
        kept between the points (common practice, no source). With more points the straight
        lines between them mark how far two reasonable curves differ.
        """
        if self.known:
            return ()
        straight = Interpolated(self.points, self.log, straight=True, known=True)
        if len(self.points) > 3:
            return (straight,)
        keep = points_keep(rising=self.rising, log=self.log)
        base = Interpolated(self.points, self.log, self.straight, known=True)
        return (Displaced(base, keep), Displaced(base, -keep))


def _straight(x: Array, knots: Array, values: Array) -> Array:
    """Interpolate linearly, shape (N,) → (N,), going on beyond the ends with the end chords."""
    i = np.clip(np.searchsorted(knots, x, side="right") - 1, 0, len(knots) - 2)
    slope = (values[i + 1] - values[i]) / (knots[i + 1] - knots[i])
    return np.asarray(values[i] + slope * (x - knots[i]))


def points_keep(*, rising: bool, log: bool) -> float:
    """Return how unsure a curve with one middle point stays between its points [1]."""
    if log:
        return KEEP_THERMISTOR
    return KEEP_RISING if rising else KEEP_FALLING


_STEEPEST = 0.2
"""Largest displacement as a share of a piece; below a quarter the curve stays monotone."""


@dataclass(frozen=True)
class Displaced:
    """A curve whose values are moved between its points: how unsure its shape is.

    Parameters
    ----------
    base : Knotted
        The curve itself.
    keep : float
        Largest displacement midway between two points [fraction of scale], signed.
    """

    base: Knotted
    keep: float

    @property
    def low(self) -> float:
        """Lowest known value [SI]."""
        return self.base.low

    @property
    def high(self) -> float:
        """Highest known value [SI]."""
        return self.base.high

    @property
    def rising(self) -> bool:
        """Whether the output rises with the value."""
        return self.base.rising

    def _piece(self, x: Array) -> tuple[Array, Array, Array]:
        """Return start, length and displacement (share of the length) of the piece of each x."""
        knots = self.base.knots
        i = np.clip(np.searchsorted(knots, x, side="right") - 1, 0, len(knots) - 2)
        length = knots[i + 1] - knots[i]
        most = abs(self.keep) * (self.high - self.low) / length
        return knots[i], length, np.copysign(np.minimum(most, _STEEPEST), self.keep)

    def value(self, output: Array) -> Array:
        """Return the value at `output`, shape (N,) [SI] → shape (N,) [SI]; ±inf where none.

        The base's value, moved by at most `keep` of the scale (on short pieces by a fifth of
        the piece, so that the curve stays monotone): v + k·4·t·(1−t) on each piece.
        """
        plain = self.base.value(output)
        start, length, k = self._piece(plain)
        with np.errstate(invalid="ignore"):
            t = np.clip((plain - start) / length, 0.0, 1.0)
        return np.asarray(plain + length * k * bump(np.where(np.isnan(t), 0.0, t)))

    def output(self, x: Array) -> Array:
        """Return the output at `x`, shape (N,) [SI] → shape (N,) [SI]: the exact inverse."""
        start, length, k = self._piece(x)
        way = (x - start) / length
        inside = (way > 0.0) & (way < 1.0)
        way = np.where(inside, way, 0.0)
        root = np.sqrt((1.0 + 4.0 * k) ** 2 - 16.0 * k * way)
        t = 2.0 * way / ((1.0 + 4.0 * k) + root)
        return self.base.output(np.where(inside, start + length * t, x))

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return nothing: this is an alternative itself."""
        return ()
