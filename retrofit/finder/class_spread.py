"""What each class of sender would give at a value, and how far a part of it may be off.

Between the known points the shape is not known: the class is tried in several shapes, from its
nominal curve towards each of its alternatives. The deviation of one part from its class is half
common to all its points, half their own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.parts.fields import DIFFERENCE_KINDS
from catalog.parts.sender import Sender
from catalog.provenance import Tolerance
from catalog.quantities.kinds import Kind, unit_named

ASSUMED_TOLERANCE = 0.05
"""Share of its output that a part may be off where its class states nothing (assumed)."""

ASSUMED_OF_SPAN = 0.01
"""The same, as a share of the range of outputs, for tracks that begin near 0 Ω (assumed)."""

SHAPE_STEPS = (0.25, 0.5, 0.75, 1.0)
"""Way from the nominal curve to an alternative at which a class is tried."""

BEYOND = 0.5
"""Share of its range by which a class may be continued; farther out it says nothing."""

_SQRT3 = 3.0**0.5


@dataclass(frozen=True, eq=False)
class Spread:
    """What K classes give at N values each, in S shapes.

    Attributes
    ----------
    mean : array, shape (K, S, N)
        Expected output [SI].
    own, common : array, shape (K, S, N)
        Standard deviations of a part of the class: at each value by itself, and common to all
        values [SI]; `own` holds what the error of the value does as well.
    weight : array, shape (K, S)
        How likely each shape is [1], 0 for none.
    known : array of bool, shape (K, N)
        Whether the class gives a number at the value.
    edge, side : array, shape (K, N)
        Where it gives none: the output at its end [SI], and on which side of that the output
        must be: +1 above, −1 below [1]; 0 where it gives a number.
    """

    mean: Array
    own: Array
    common: Array
    weight: Array
    known: NDArray[np.bool_]
    edge: Array
    side: Array

    def taken(self, which: NDArray[np.intp]) -> Spread:
        """Return some of the classes, chosen by their numbers, shape (L,) [1]."""
        return Spread(
            self.mean[which],
            self.own[which],
            self.common[which],
            self.weight[which],
            self.known[which],
            self.edge[which],
            self.side[which],
        )

    def padded(self, count: int) -> Spread:
        """Return the same with at least `count` shapes, those that are added of no weight."""
        more = max(count - self.mean.shape[1], 0)
        rows = ((0, 0), (0, more), (0, 0))
        return Spread(
            np.pad(self.mean, rows),
            np.pad(self.own, rows, constant_values=1.0),
            np.pad(self.common, rows),
            np.pad(self.weight, rows[:2]),
            self.known,
            self.edge,
            self.side,
        )


def spread(
    senders: Sequence[Sender], at: Array, within: Array, tolerance: float = ASSUMED_TOLERANCE
) -> Spread:
    """Return what classes give at values that are not exactly known.

    Parameters
    ----------
    senders : sequence of Sender
        K classes, each with a curve.
    at, within : array, shape (K, N)
        Values [SI] and how far they may be off either way [SI difference].
    tolerance : float
        Share that is assumed where a class states no tolerance [1].

    Returns
    -------
    Spread
        Finite everywhere; where `known` is false the numbers mean nothing.

    Notes
    -----
    A half width h counts as a standard deviation of h/√3 (JCGM 100:2008, 4.3.7: nothing known
    but the limits).
    """
    each = [_one(sender, at[k], within[k], tolerance) for k, sender in enumerate(senders)]
    most = max((len(one[0]) for one in each), default=1)
    shape = (len(senders), most, at.shape[1])
    mean, own, common = np.zeros(shape), np.ones(shape), np.zeros(shape)
    weight = np.zeros(shape[:2])
    known = np.zeros((shape[0], shape[2]), dtype=bool)
    edge, side = np.zeros(at.shape), np.zeros(at.shape)
    for k, (means, owns, commons, tells) in enumerate(each):
        count = len(means)
        mean[k, :count], own[k, :count], common[k, :count] = means, owns, commons
        weight[k, :count] = 1.0 / count
        known[k] = tells
        edge[k], side[k] = _beyond(senders[k], at[k], tells)
    return Spread(mean, own, common, weight, known, edge, side)


def _beyond(sender: Sender, at: Array, tells: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Return what is known of a class far beyond its range: the output goes on, shape (N,)."""
    curve = sender.curve
    assert curve is not None
    above = at > curve.high
    edge = curve.output(np.where(above, curve.high, curve.low))
    return edge, np.where(tells, 0.0, np.where(above == curve.rising, 1.0, -1.0))


def _one(
    sender: Sender, at: Array, within: Array, tolerance: float
) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
    """Return mean, own, common of one class, shape (s, N), and where it is known, (N,)."""
    curve = sender.curve
    assert curve is not None
    span = curve.high - curve.low
    step = np.maximum(within, 1e-3 * span)
    # Nothing is said farther out, and laws run wild there.
    least, most = curve.low - span, curve.high + span
    near, below_at, above_at = (np.clip(one, least, most) for one in (at, at - step, at + step))
    with np.errstate(all="ignore"):
        rows, gap = _shapes(curve, np.concatenate([near, below_at, above_at]))
        nominal, below, above = np.split(rows, 3, axis=1)
        slope = np.nan_to_num((above - below) / (above_at - below_at), posinf=0.0, neginf=0.0)
        half = _half_width(sender, curve, nominal, slope, tolerance) / _SQRT3
        away = np.maximum(np.maximum(curve.low - near, near - curve.high), 0.0) / span
        own = np.sqrt(
            half**2 / 2.0
            + (slope * within) ** 2 / 3.0
            + (nominal * away) ** 2
            + np.split(gap, 3, axis=1)[0] ** 2
        )
    clear = np.isfinite(nominal) & np.isfinite(own)
    tells = (away <= BEYOND) & np.all(clear, axis=0)
    return (
        np.where(tells, nominal, 0.0),
        np.where(tells, own, 1.0),
        np.where(tells, half / 2.0**0.5, 0.0),
        tells,
    )


def _shapes(curve: Characteristic, x: Array) -> tuple[Array, Array]:
    """Return the outputs of a class in each shape, and what lies between two shapes, (s, N)."""
    nominal = curve.output(x)
    rows, gaps = [nominal], [np.zeros_like(nominal)]
    for other in curve.alternatives():
        apart = other.output(x) - nominal
        # Uniform between two neighbouring shapes: their distance over √12.
        gap = np.abs(apart) * SHAPE_STEPS[0] / 12.0**0.5
        rows += [nominal + way * apart for way in SHAPE_STEPS]
        gaps += [gap for _ in SHAPE_STEPS]
        gaps[0] = np.maximum(gaps[0], gap)
    return np.array(rows), np.array(gaps)


def _half_width(
    sender: Sender, curve: Characteristic, nominal: Array, slope: Array, tolerance: float
) -> Array:
    """Return how far a part may be off its class either way, shape (s, N) [SI]."""
    stated: Tolerance | None = getattr(sender.law, "tolerance", None)
    if stated is None:
        floor = 0.0
        if sender.quantity != "temperature":
            ends = curve.output(np.array([curve.low, curve.high]))
            floor = ASSUMED_OF_SPAN * float(abs(ends[1] - ends[0]))
        return np.asarray(np.hypot(tolerance * nominal, floor))
    half = stated.half_width
    if half.unit == "%":
        return np.abs(nominal) * abs(half.number) / 100.0
    for kind in DIFFERENCE_KINDS:
        if unit_named(kind, half.unit) is not None:
            return np.abs(slope) * abs(half.si(kind))
    return np.full_like(nominal, stated.si(0.0, sender.signal or Kind.RESISTANCE))
