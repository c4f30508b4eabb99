"""The worst case: every cause at the end of its range that moves the needle furthest.

A reading is a bilinear function of each resistance, source and switch alone, so its extremes
over the box of all limits lie in corners. Up to `_ALL` causes every corner is tried. With more,
each cause is tried for its direction at the nominal point and at random corners, value by value:
where its direction is always the same it is put there, and those whose direction hangs on the
others are tried in every combination. What is not bilinear is searched inside its limits too.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.bands.causes import Cause, limits, nominals
from retrofit.bands.reading_model import ReadingModel

_ALL = 9
_TRIED = 24
_COMBINED = 9
_SEED = 7
_INSIDE = 5


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
    if len(causes) <= _ALL:
        rows = np.array(list(product((0.0, 1.0), repeat=len(causes))))
        ends = _extremes(model, low + rows * (high - low))
        unsure: list[int] = []
    else:
        unsure, ends = _by_signs(model, causes)
    if turning:
        ends = _inside(model, causes, ends, turning)
    names = tuple(causes[n].name for n in sorted({*unsure, *turning}))
    return WorstCase(ends.low, ends.high, not unsure and len(causes) <= _ALL, names)


@dataclass(frozen=True)
class _Ends:
    """Lowest and highest readings, and the causes' values there, each shape (N, P)."""

    low: Array
    high: Array
    at_low: Array
    at_high: Array


def _extremes(model: ReadingModel, values: Array) -> _Ends:
    """Return the extremes over rows of values, shape (B, P): found by table, worked out exactly."""
    laws, added = model.laws(values), model.additions(values)
    shown = np.nan_to_num(model.near(values))
    lowest, highest = np.argmin(shown, axis=0), np.argmax(shown, axis=0)
    return _Ends(
        model.at_rows(laws, added, lowest),
        model.at_rows(laws, added, highest),
        values[lowest],
        values[highest],
    )


def _by_signs(model: ReadingModel, causes: tuple[Cause, ...]) -> tuple[list[int], _Ends]:
    """Return which causes have no direction of their own, and the extremes."""
    low, high = limits(causes)
    signs = _signs(model, causes)
    unsure = [n for n in range(len(causes)) if bool(np.any(signs[n] == 0))]
    tried = unsure[:_COMBINED]
    combos = np.array(list(product((0.0, 1.0), repeat=len(tried)))).reshape(2 ** len(tried), -1)
    patterns, which = np.unique(signs.T, axis=0, return_inverse=True)
    count = len(model.output)
    nowhere = np.full(count, np.nan)
    blank = np.zeros((count, len(causes)))
    best = _Ends(nowhere, nowhere.copy(), blank, blank.copy())
    for k, pattern in enumerate(patterns):
        here = np.ravel(which) == k
        part = _part(model, here)
        for up in (True, False):
            share = np.where(pattern >= 0, 1.0, 0.0) if up else np.where(pattern > 0, 0.0, 1.0)
            rows = np.repeat(share[None, :], len(combos), axis=0)
            rows[:, tried] = combos
            ends = _extremes(part, low + rows * (high - low))
            if up:
                best.high[here], best.at_high[here] = ends.high, ends.at_high
            else:
                best.low[here], best.at_low[here] = ends.low, ends.at_low
    return unsure, best


def _signs(model: ReadingModel, causes: tuple[Cause, ...]) -> NDArray[np.int8]:
    """Return the direction of each cause at each value, shape (P, N): ±1, or 0 where it changes."""
    low, high = limits(causes)
    rng = np.random.default_rng(_SEED)
    corners = low + rng.integers(0, 2, (_TRIED, len(causes))) * (high - low)
    bases = np.concatenate([nominals(causes), corners])
    slack = 1e-7 * (model.stops.high - model.stops.low)
    # All at once: each cause up, then down, at every base.
    rows = np.tile(bases, (2 * len(causes), 1))
    step = len(bases)
    for n in range(len(causes)):
        rows[2 * n * step : (2 * n + 1) * step, n] = high[n]
        rows[(2 * n + 1) * step : (2 * n + 2) * step, n] = low[n]
    shown = np.nan_to_num(model.near(rows)).reshape(len(causes), 2, step, -1)
    rise = shown[:, 0] - shown[:, 1]
    up, down = np.all(rise >= -slack, axis=1), np.all(rise <= slack, axis=1)
    signs: NDArray[np.int8] = np.where(up, 1, np.where(down, -1, 0)).astype(np.int8)
    return signs


def _part(model: ReadingModel, here: NDArray[np.bool_]) -> ReadingModel:
    return ReadingModel(
        model.output[here],
        model.laws,
        model.additions,
        model.slope[here],
        model.dial,
        model.stops,
    )


def _inside(
    model: ReadingModel, causes: tuple[Cause, ...], ends: _Ends, turning: list[int]
) -> _Ends:
    """Search inside the limits of what is not bilinear, one after the other from the corners."""
    low, high = limits(causes)
    found = ends
    for n in turning:
        inner = np.linspace(low[n], high[n], _INSIDE + 2)[1:-1]
        rows = np.unique(np.concatenate([found.at_low, found.at_high]), axis=0)
        tried = np.repeat(rows, len(inner), axis=0)
        tried[:, n] = np.tile(inner, len(rows))
        other = _extremes(model, tried)
        lower, higher = other.low < found.low, other.high > found.high
        found = _Ends(
            np.where(lower, other.low, found.low),
            np.where(higher, other.high, found.high),
            np.where(lower[:, None], other.at_low, found.at_low),
            np.where(higher[:, None], other.at_high, found.at_high),
        )
    return found
