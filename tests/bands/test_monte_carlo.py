"""The likely band: repeatable, within the worst case, and exact but for a fine table."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from retrofit.bands.corners import worst_case
from retrofit.bands.monte_carlo import BLOCK, Plan, likely_band, numerical_tolerance, summarise
from tests.bands.pairings import model, uncertain


def test_that_the_dials_table_is_good_to_a_millionth_of_the_scale() -> None:
    for seed in range(4):
        found, causes = model(uncertain(seed))
        rng = np.random.default_rng(seed)
        values = np.stack([one.draw(rng, 500) for one in causes], axis=1)
        near = np.clip(found.near(values), found.stops.low, found.stops.high)
        assert np.max(np.abs(near - found.shown(values))) < 1e-6


def test_that_the_quantiles_are_those_of_the_exact_readings() -> None:
    found, causes = model(uncertain(5))
    thin = replace(found, output=found.output[::40], slope=found.slope[::40])
    made = likely_band(thin, causes, Plan(seed=3, most=20_000))
    rng = np.random.default_rng(3)
    blocks = [np.stack([one.draw(rng, 10_000) for one in causes], axis=1) for _ in range(2)]
    shown = np.sort(thin.shown(np.concatenate(blocks[: made.convergence.blocks])), axis=0)
    count = len(shown)
    first = (count - round(0.95 * count)) // 2
    assert made.low == pytest.approx(shown[first], abs=1e-6)
    assert made.high == pytest.approx(shown[first + round(0.95 * count)], abs=1e-6)


def test_that_the_same_seed_gives_the_same_band_and_another_one_nearly_so() -> None:
    found, causes = model(uncertain(1))
    one, same, other = (likely_band(found, causes, Plan(seed=s)) for s in (1, 1, 2))
    assert np.array_equal(one.low, same.low, equal_nan=True)
    assert not np.array_equal(one.low, other.low, equal_nan=True)
    assert one.low == pytest.approx(other.low, abs=0.002)


def test_that_the_likely_band_lies_within_the_worst_case() -> None:
    for seed in range(3):
        found, causes = model(uncertain(seed))
        likely, worst = likely_band(found, causes), worst_case(found, causes)
        assert np.all(likely.high <= worst.high + 1e-6)
        assert np.all(likely.low >= worst.low - 1e-6)
        assert likely.convergence.reached
        assert likely.convergence.spread <= 1.0


def test_that_a_result_that_did_not_settle_says_so() -> None:
    found, causes = model(uncertain(1))
    made = likely_band(found, causes, Plan(digits=4, most=20_000))
    assert not made.convergence.reached
    assert made.convergence.draws == 20_000


def test_that_an_error_of_who_is_told_ends_the_draws() -> None:
    class StopError(Exception):
        pass

    told: list[int] = []

    def tell(done: int, _most: int) -> None:
        told.append(done)
        raise StopError

    found, causes = model(uncertain(1))
    with pytest.raises(StopError):
        likely_band(found, causes, Plan(digits=4), progress=tell)
    assert told == [BLOCK]


def test_that_the_numerical_tolerance_is_half_the_last_digit() -> None:
    """JCGM 101:2008, 7.9.2: u = 0.35 V to two digits is 35·10⁻², δ = ½·10⁻² V."""
    assert numerical_tolerance(0.35, 2) == pytest.approx(0.005)
    assert numerical_tolerance(32.0, 2) == pytest.approx(0.5)
    assert numerical_tolerance(0.0, 2) == 0.0


def test_that_the_shortest_interval_is_no_wider_than_the_symmetric_one() -> None:
    rng = np.random.default_rng(4)
    found = summarise(rng.exponential(1.0, 50_000))
    assert found.short_high - found.short_low < found.high - found.low
    assert found.short_low == pytest.approx(0.0, abs=0.01)  # an exponential starts at its top
    assert found.short_high == pytest.approx(-np.log(0.05), rel=0.03)
