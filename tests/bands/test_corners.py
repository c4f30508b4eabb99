"""The worst case against every corner of the box, and against points inside it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from catalog.arrays import Array
from retrofit.bands.causes import Cause, limits
from retrofit.bands.corners import worst_case
from retrofit.bands.reading_model import Additions, ReadingModel
from retrofit.circuit.bilinear import Bilinear
from tests.bands.pairings import model, uncertain

SPAN = 1.0  # a level from 0 to 1


def thinned(found: ReadingModel, every: int = 20) -> ReadingModel:
    return replace(found, output=found.output[::every], slope=found.slope[::every])


def brute_force(found: ReadingModel, causes: tuple[Cause, ...]) -> tuple[Array, Array]:
    low, high = limits(causes)
    rows = np.array(list(product((0.0, 1.0), repeat=len(causes))))
    shown = found.shown(low + rows * (high - low))
    return shown.min(axis=0), shown.max(axis=0)


def bilinear(causes: tuple[Cause, ...]) -> tuple[Cause, ...]:
    """Causes with the warmth of the panel at its nominal: what is left is in the corners."""
    return tuple(
        one if one.bilinear else replace(one, low=one.nominal, high=one.nominal) for one in causes
    )


@pytest.mark.parametrize("seed", range(4))
def test_that_few_causes_are_tried_in_every_corner(seed: int) -> None:
    found, causes = model(uncertain(seed, loads=None, feed=None, signal=None, engine_earth=None))
    few = tuple(replace(one, bilinear=True) for one in causes[:8])
    few += tuple(replace(one, low=one.nominal, high=one.nominal) for one in causes[8:])
    worst = worst_case(thinned(found), few)
    low, high = brute_force(thinned(found), few)
    assert worst.low == pytest.approx(low, abs=1e-12 * SPAN)
    assert worst.high == pytest.approx(high, abs=1e-12 * SPAN)


@pytest.mark.parametrize("seed", range(6))
def test_that_many_causes_by_their_signs_agree_with_every_corner(seed: int) -> None:
    found, causes = model(uncertain(seed, engine_earth=None, feed=None))
    assert 10 <= len(causes) <= 14
    few, thin = bilinear(causes), thinned(found, 40)
    worst = worst_case(thin, few)
    low, high = brute_force(thin, few)
    # The table that finds the corner is good to 1e-6 of the scale; the corner itself is exact.
    assert worst.low == pytest.approx(low, abs=1e-6 * SPAN)
    assert worst.high == pytest.approx(high, abs=1e-6 * SPAN)


@pytest.mark.parametrize("seed", range(6))
def test_that_no_point_inside_the_box_lies_beyond_the_worst_case(seed: int) -> None:
    found, causes = model(uncertain(seed))
    thin = thinned(found)
    worst = worst_case(thin, causes)
    rng = np.random.default_rng(seed)
    low, high = limits(causes)
    inside = low + rng.random((4000, len(causes))) * (high - low)
    shown = thin.shown(inside)
    assert np.all(shown <= worst.high + 1e-9 * SPAN)
    assert np.all(shown >= worst.low - 1e-9 * SPAN)


def test_that_what_is_not_bilinear_is_searched_and_named() -> None:
    found, causes = model(uncertain(3))
    worst = worst_case(thinned(found), causes)
    assert "panel temperature" in worst.searched


def test_that_a_cause_that_turns_inside_its_limits_is_found() -> None:
    """An addition that is a parabola of one cause: its top, 0.0018, lies inside, at 0.3."""
    found, causes = model(uncertain(1))
    nominal = np.array([[cause.nominal for cause in causes]])

    def laws(values: Array) -> Bilinear:
        return found.laws(np.repeat(nominal, len(values), axis=0))

    def additions(values: Array) -> Additions:
        return Additions(0.02 * (0.3**2 - (values[:, 0] - 0.3) ** 2), np.zeros(len(values)))

    alone = replace(thinned(found), laws=laws, additions=additions)
    worst = worst_case(alone, (Cause("turning", 0.0, -1.0, 1.0, bilinear=False),))
    inner = slice(2, -2)  # away from the stops
    top = found.shown(nominal)[0][::20] + 0.0018
    assert worst.high[inner] == pytest.approx(top[inner], abs=1e-4)


def test_that_without_causes_the_worst_case_is_the_curve_itself() -> None:
    found, causes = model(uncertain(2))
    still = tuple(replace(one, low=one.nominal, high=one.nominal) for one in causes)
    worst = worst_case(found, still)
    nominal = found.shown(np.array([[one.nominal for one in causes]]))[0]
    assert worst.low == pytest.approx(nominal, abs=1e-12)
    assert worst.high == pytest.approx(nominal, abs=1e-12)
