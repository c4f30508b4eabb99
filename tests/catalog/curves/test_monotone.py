"""The monotone cubic: SciPy's to the last digits, and an inverse that undoes it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from catalog.curves.monotone import MonotoneCubic, slopes

STEPS = st.floats(1e-3, 1e3)


@st.composite
def tables(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    """Strictly monotone tables of 2 to 12 rows, rising or falling."""
    rows = draw(st.integers(2, 12))
    steps = st.lists(STEPS, min_size=rows - 1, max_size=rows - 1)
    x = np.concatenate(([0.0], np.cumsum(draw(steps)))) + draw(st.floats(-100.0, 100.0))
    y = np.concatenate(([0.0], np.cumsum(draw(steps)))) + draw(st.floats(0.0, 100.0))
    return x, y if draw(st.booleans()) else y[::-1]


def within(x: np.ndarray) -> np.ndarray:
    return np.linspace(x[0], x[-1], 301)


@given(tables())
def test_that_the_curve_is_scipy_s(table: tuple[np.ndarray, np.ndarray]) -> None:
    x, y = table
    ours, theirs = MonotoneCubic(x, y), PchipInterpolator(x, y)
    at = within(x)
    assert np.max(np.abs(ours.at(at) - theirs(at))) <= 1e-12 * np.max(np.abs(y))


@given(tables())
def test_that_the_slopes_are_scipy_s(table: tuple[np.ndarray, np.ndarray]) -> None:
    x, y = table
    theirs = PchipInterpolator(x, y).derivative()(x)
    chords = np.abs(np.diff(y) / np.diff(x))
    assert np.max(np.abs(slopes(x, y) - theirs)) <= 1e-9 * np.max(chords)


@given(tables())
def test_that_the_curve_passes_through_its_points_and_never_turns(
    table: tuple[np.ndarray, np.ndarray],
) -> None:
    x, y = table
    curve = MonotoneCubic(x, y)
    span = abs(y[-1] - y[0])
    assert np.max(np.abs(curve.at(x) - y)) <= 1e-12 * np.max(np.abs(y))
    steps = np.diff(curve.at(within(x))) * np.sign(y[-1] - y[0])
    assert np.min(steps) >= -1e-12 * span


@given(tables())
def test_that_the_inverse_finds_where_the_curve_has_the_value(
    table: tuple[np.ndarray, np.ndarray],
) -> None:
    x, y = table
    curve = MonotoneCubic(x, y)
    wanted = np.linspace(y[0], y[-1], 301)
    found = curve.inverse(wanted)
    last_bit = 4.0 * np.finfo(float).eps * np.max(np.abs(x))
    assert np.all((found >= x[0] - last_bit) & (found <= x[-1] + last_bit))
    # A steep piece turns the last bits of x into more: no cubic here is steeper than 3 chords.
    steepest = 3.0 * np.max(np.abs(np.diff(y) / np.diff(x)))
    rounding = 8.0 * np.finfo(float).eps * steepest * np.max(np.abs(x))
    assert np.max(np.abs(curve.at(found) - wanted)) <= 1e-12 * np.max(np.abs(y)) + rounding


@given(tables(), st.floats(0.001, 10.0))
def test_that_the_curve_goes_straight_on_beyond_its_ends(
    table: tuple[np.ndarray, np.ndarray], beyond: float
) -> None:
    x, y = table
    curve = MonotoneCubic(x, y)
    below = curve.at(np.array([x[0] - 2.0 * beyond, x[0] - beyond, x[0]]))
    above = curve.at(np.array([x[-1], x[-1] + beyond, x[-1] + 2.0 * beyond]))
    for three in (below, above):
        assert three[2] - three[1] == pytest.approx(three[1] - three[0], rel=1e-6, abs=1e-9)
        assert (three[2] - three[0]) * (y[-1] - y[0]) > 0.0


def test_that_the_inverse_goes_on_beyond_the_ends_too() -> None:
    curve = MonotoneCubic(np.array([0.0, 50.0, 100.0]), np.array([240.0, 103.0, 33.0]))
    at = np.array([-10.0, 0.0, 100.0, 110.0])
    assert curve.inverse(curve.at(at)) == pytest.approx(at, abs=1e-12)


def test_that_a_curve_with_a_flat_end_still_goes_on() -> None:
    # The end formula gives slope 0 here: the chord is used beyond, or nothing could be inverted.
    curve = MonotoneCubic(np.array([0.0, 1.0, 2.0]), np.array([0.0, 0.1, 10.0]))
    assert slopes(curve.x, curve.y)[0] == 0.0
    assert curve.at(np.array([-1.0]))[0] < 0.0
    assert np.isfinite(curve.inverse(np.array([-1.0]))[0])


def test_that_what_is_not_known_stays_not_known() -> None:
    curve = MonotoneCubic(np.array([0.0, 1.0]), np.array([0.0, 1.0]))
    assert np.isnan(curve.at(np.array([np.nan]))).all()
    assert np.isnan(curve.inverse(np.array([np.nan]))).all()
