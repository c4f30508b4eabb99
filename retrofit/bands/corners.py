"""The worst case: every cause at the end of its range that moves the needle furthest.

A reading is a bilinear function of each resistance, source and switch alone, so its extremes
over the box of all limits lie in corners. Up to `_ALL` causes every corner is tried. With more,
each cause is tried for its direction at the nominal point and at random corners, value by value:
where its direction is always the same it is put there, and those whose direction hangs on the
others are tried in every combination (of the first half dozen); then each cause is turned over as
long as that goes further. What is not bilinear is searched inside its limits too.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.bands.causes import Cause, limits, nominals
from retrofit.bands.reading_model import ReadingModel

_ALL = 9
_TRIED = 24
_COMBINED = 6
_SEED = 7
_INSIDE = 5
_FINER = 5
_ROUNDS = 12
_SLACK = 1e-7  # of the way between the stops: what the table's cells leave of no effect at all


@dataclass(frozen=True)
class WorstCase:
    """The worst-case band of a reading curve.

    Attributes
    ----------
    low, high : array, shape (N,)
        Lowest and highest shown value [SI]; NaN where the sender is not known.
    every_corner : bool
        Whether every corner was tried, so that for bilinear causes it is exact.
    searched : tuple of str
        Causes whose direction hangs on the others, or that are not bilinear: they were searched.
    """

    low: Array
    high: Array
    every_corner: bool
    searched: tuple[str, ...]


def worst_case(model: ReadingModel, causes: tuple[Cause, ...]) -> WorstCase:
    """Return the lowest and highest readings over the box of all causes.

    Parameters
    ----------
    model : ReadingModel
        What is shown, N values.
    causes : tuple of Cause
        P causes; none gives the nominal curve twice.

    Returns
    -------
    WorstCase
        Arrays of shape (N,).

    Notes
    -----
    Tests: ``tests/bands/test_corners.py``, against every corner and against random points.
    """
    if not causes:
        nominal = model.shown(np.zeros((1, 0)))[0]
        return WorstCase(nominal, nominal.copy(), True, ())
    low, high = limits(causes)
    turning = [n for n, cause in enumerate(causes) if not cause.bilinear]
    every, unsure = len(causes) <= _ALL, list[int]()
    if every:
        ends = _extremes(model, low + _combined(len(causes)) * (high - low))
    else:
        unsure, ends = _by_signs(model, causes)
        ends = _turned_over(model, causes, ends, unsure)
    if turning:
        ends = _turned_over(model, causes, _inside(model, causes, ends, turning), unsure)
    names = tuple(causes[n].name for n in sorted({*unsure, *turning}))
    return WorstCase(model.along(ends.at_low), model.along(ends.at_high), every, names)


@dataclass(frozen=True)
class _Ends:
    """Lowest and highest readings by the table, shape (N,), and the causes there, (N, P)."""

    low: Array
    high: Array
    at_low: Array
    at_high: Array

    def or_beyond(self, other: _Ends) -> _Ends:
        """Return whichever goes further, value by value; what is not known counts as further."""
        lower = (other.low < self.low) | np.isnan(other.low)
        higher = (other.high > self.high) | np.isnan(other.high)
        return _Ends(
            np.where(lower, other.low, self.low),
            np.where(higher, other.high, self.high),
            np.where(lower[:, None], other.at_low, self.at_low),
            np.where(higher[:, None], other.at_high, self.at_high),
        )

    @property
    def rows(self) -> Array:
        """Different values of the causes among them, shape (B, P) [SI]."""
        return np.unique(np.concatenate([self.at_low, self.at_high]), axis=0)


def _extremes(model: ReadingModel, values: Array) -> _Ends:
    """Return the extremes over rows of values, shape (B, P); NaN where one of them is."""
    shown = model.near(values)
    lowest, highest = np.argmin(shown, axis=0), np.argmax(shown, axis=0)
    at = np.arange(shown.shape[1])
    return _Ends(shown[lowest, at], shown[highest, at], values[lowest], values[highest])


def _combined(count: int) -> Array:
    """Return every combination of low 0 and high 1, shape (2**count, count) [1]."""
    return np.array(list(product((0.0, 1.0), repeat=count))).reshape(2**count, count)


def _by_signs(model: ReadingModel, causes: tuple[Cause, ...]) -> tuple[list[int], _Ends]:
    """Return which causes have no direction of their own, and the extremes."""
    low, high = limits(causes)
    signs, tried_already = _signs(model, causes)
    unsure = [n for n in range(len(causes)) if bool(np.any(signs[n] == 0))]
    up = np.unique(np.where(signs.T >= 0, 1.0, 0.0), axis=0)
    starts = np.unique(np.concatenate([up, 1.0 - up]), axis=0)
    combined = _combined(len(unsure[:_COMBINED]))
    rows = np.repeat(starts, len(combined), axis=0)
    rows[:, unsure[:_COMBINED]] = np.tile(combined, (len(starts), 1))
    ends = _extremes(model, low + np.unique(rows, axis=0) * (high - low))
    return unsure, ends.or_beyond(tried_already)


def _signs(model: ReadingModel, causes: tuple[Cause, ...]) -> tuple[NDArray[np.int8], _Ends]:
    """Return the direction of each cause at each value, shape (P, N): ±1, or 0 where it changes.

    And the extremes among the corners where it was tried.
    """
    low, high = limits(causes)
    rng = np.random.default_rng(_SEED)
    corners = low + rng.integers(0, 2, (_TRIED, len(causes))) * (high - low)
    bases = np.concatenate([nominals(causes), corners])
    # All at once: each cause up, then down, at every base.
    rows = np.tile(bases, (2 * len(causes), 1))
    step = len(bases)
    for n in range(len(causes)):
        rows[2 * n * step : (2 * n + 1) * step, n] = high[n]
        rows[(2 * n + 1) * step : (2 * n + 2) * step, n] = low[n]
    shown = model.near(rows)
    rise = np.nan_to_num(shown).reshape(len(causes), 2, step, -1)
    rise = rise[:, 0] - rise[:, 1]
    slack = _SLACK * (model.stops.high - model.stops.low)
    up, down = np.all(rise >= -slack, axis=1), np.all(rise <= slack, axis=1)
    signs: NDArray[np.int8] = np.where(up, 1, np.where(down, -1, 0)).astype(np.int8)
    lowest, highest = np.argmin(shown, axis=0), np.argmax(shown, axis=0)
    at = np.arange(shown.shape[1])
    return signs, _Ends(shown[lowest, at], shown[highest, at], rows[lowest], rows[highest])


def _turned_over(
    model: ReadingModel, causes: tuple[Cause, ...], ends: _Ends, unsure: list[int]
) -> _Ends:
    """Put causes to their other limit for as long as that goes further.

    One at a time, and those without a direction of their own by twos as well.
    """
    low, high = limits(causes)
    alone = np.eye(len(causes), dtype=bool)
    both = [alone[n] | alone[m] for n, m in combinations(unsure, 2)]
    turns = np.concatenate([alone, np.array(both, dtype=bool).reshape(-1, len(causes))])
    found = ends
    for _ in range(_ROUNDS):
        rows = found.rows
        tried, turn = np.repeat(rows, len(turns), axis=0), np.tile(turns, (len(rows), 1))
        other = np.where(tried > (low + high) / 2.0, low, high)
        further = found.or_beyond(_extremes(model, np.where(turn, other, tried)))
        gain = max(_most(found.low - further.low), _most(further.high - found.high))
        found = further
        if gain <= _SLACK * (model.stops.high - model.stops.low):
            break
    return found


def _most(gain: Array) -> float:
    return float(np.max(np.nan_to_num(gain), initial=0.0))


def _inside(
    model: ReadingModel, causes: tuple[Cause, ...], ends: _Ends, turning: list[int]
) -> _Ends:
    """Search inside the limits of what is not bilinear, one after the other, ever finer."""
    low, high = limits(causes)
    found = ends
    grid = np.linspace(0.0, 1.0, _INSIDE + 2)[1:-1]
    for n in turning:
        reach = high[n] - low[n]
        for k in range(_FINER):
            rows = found.rows
            # First over all its limits, then around the best of each value.
            start = np.full(len(rows), low[n]) if k == 0 else rows[:, n] - reach / 2.0
            inner = np.clip(start[:, None] + grid * reach, low[n], high[n])
            tried = np.repeat(rows, len(grid), axis=0)
            tried[:, n] = np.ravel(inner)
            found = found.or_beyond(_extremes(model, tried))
            reach *= 2.0 / (_INSIDE + 1)
    return found
