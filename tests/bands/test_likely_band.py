"""The likely band where a draw leaves the scale, is not known, or nobody lets it finish."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.arrays import Array
from catalog.curves.family import EndsOnly
from retrofit.bands import monte_carlo
from retrofit.bands.causes import Cause
from retrofit.bands.monte_carlo import BLOCK, Plan, likely_band
from retrofit.bands.tails import ordered_at
from retrofit.circuit.bilinear import Bilinear
from retrofit.dial import Stops
from tests.bands.networks import DIAL, ELEMENTS, STOPS, Gauge, causes_of, plain

NAMES = tuple(ELEMENTS)


def drawn(causes: tuple[Cause, ...], seed: int, blocks: int) -> Array:
    """The same draws once more, shape (M, P)."""
    rng = np.random.default_rng(seed)
    rows = [np.stack([one.draw(rng, BLOCK) for one in causes], axis=1) for _ in range(blocks)]
    return np.concatenate(rows)


def ends(shown: Array) -> tuple[Array, Array]:
    """Probabilistically symmetric 95 % interval of each column (JCGM 101:2008, 7.7.2)."""
    ordered, count = np.sort(shown, axis=0), len(shown)
    inside = round(0.95 * count)
    first = (count - inside) // 2
    return ordered[first], ordered[first + inside]


@given(st.integers(0, 2**32 - 1), st.integers(1, 12))
def test_that_the_ends_are_those_of_all_exact_readings_put_in_order(seed: int, count: int) -> None:
    gauge, causes = Gauge(NAMES[:count]), causes_of(*NAMES[:count])
    band = likely_band(gauge.model(3), causes, Plan(seed=seed, digits=4, most=BLOCK))
    low, high = ends(gauge.model(3).shown(drawn(causes, seed, 1)))
    np.testing.assert_allclose(band.low, low, rtol=0.0, atol=1e-6)
    np.testing.assert_allclose(band.high, high, rtol=0.0, atol=1e-6)


def test_that_a_dial_from_0_ohms_is_right_below_earth_as_well() -> None:
    # An earth offset drives the needle of an empty tank below its first mark, to 5 % under it.
    dial, stops = EndsOnly(0.0, 1.0, 0.0, 90.0), Stops(-0.05, 1.05, assumed=True)
    model = plain(lambda v: Bilinear.in_series(v[:, 0]), np.array([0.0, 2.0]), dial, stops)
    causes = (Cause("offset", -2.0, -4.0, 0.0),)
    band = likely_band(model, causes, Plan(most=40_000, digits=4))
    # Evenly over 4 Ω: 95 % of it, on a straight scale of 90 Ω; 4 Ω·√(p(1−p)/M)/90 is 1e-5.
    expected = np.array([0.0, 2.0]) - 4.0
    assert band.low == pytest.approx((expected + 0.1) / 90.0, abs=2e-4)
    assert band.high == pytest.approx((expected + 3.9) / 90.0, abs=2e-4)


def test_that_draws_past_an_open_lead_stand_at_the_stop_of_an_open_lead() -> None:
    # One draw in ten is past it, by any strength: the lower end of the band is the low stop.
    def laws(values: Array) -> Bilinear:
        return Bilinear.of(1.0, 0.0, 0.0, np.where(values[:, 0] > 0.9, -20.0 * values[:, 0], 1.0))

    band = likely_band(plain(laws, np.array([103.0])), (Cause("pull", 0.5, 0.0, 1.0),))
    assert band.low[0] == STOPS.low
    assert band.high[0] == pytest.approx(0.5, abs=1e-6)


def test_that_an_open_sender_has_a_band_like_any_other() -> None:
    model = plain(lambda v: Bilinear.across(v[:, 0]), np.array([np.inf, np.nan]))
    band = likely_band(model, (Cause("shunt", 103.0, 98.0, 108.0),), Plan(digits=4, most=100_000))
    exact = DIAL.value(np.array([107.75, 98.25]))
    assert [band.low[0], band.high[0]] == pytest.approx(exact.tolist(), abs=2e-4)
    assert np.isnan(band.low[1])
    assert np.isnan(band.high[1])


def test_that_a_draw_of_which_nobody_knows_the_reading_makes_the_band_unknown() -> None:
    def laws(values: Array) -> Bilinear:
        return Bilinear.in_series(np.where(values[:, 0] > 0.99, np.nan, 1.0))

    band = likely_band(plain(laws, np.array([103.0])), (Cause("contact", 0.5, 0.0, 1.0),))
    assert np.isnan(band.low[0])
    assert np.isnan(band.high[0])
    assert not band.convergence.reached


def test_that_a_sender_known_nowhere_takes_no_draw() -> None:
    model = plain(lambda v: Bilinear.in_series(v[:, 0]), np.array([np.nan, np.nan]))
    band = likely_band(model, (Cause("wire", 0.5, 0.0, 1.0),))
    assert band.convergence.draws == 0
    assert not band.convergence.reached
    assert np.all(np.isnan(band.low))


def test_that_each_block_is_told() -> None:
    told: list[tuple[int, int]] = []
    gauge, plan = Gauge(NAMES[:2]), Plan(digits=4, most=3 * BLOCK)
    likely_band(gauge.model(5), causes_of(*NAMES[:2]), plan, progress=lambda *far: told.append(far))
    assert told == [(BLOCK * n, 3 * BLOCK) for n in (1, 2, 3)]


def test_that_the_number_of_threads_changes_no_result(monkeypatch: pytest.MonkeyPatch) -> None:
    gauge, causes = Gauge(NAMES[:8]), causes_of(*NAMES[:8])
    plan = Plan(seed=6, digits=4, most=3 * BLOCK)
    two = likely_band(gauge.model(21), causes, plan)
    monkeypatch.setattr(monte_carlo, "_THREADS", 1)
    one = likely_band(gauge.model(21), causes, plan)
    assert np.array_equal(one.low, two.low)
    assert np.array_equal(one.high, two.high)


@pytest.mark.parametrize("shape", ["even", "all the same", "in order", "nearly all at one end"])
def test_that_the_tails_are_put_in_order_whatever_the_draws_look_like(shape: str) -> None:
    draws = np.random.default_rng(9).random(20_000)
    if shape == "all the same":
        draws[:] = 0.25
    elif shape == "in order":
        draws.sort()
    elif shape == "nearly all at one end":
        draws[draws > 0.01] = 1.0
    ordered = np.sort(draws)
    found = ordered_at(draws, 500, 19_500)
    assert found == (ordered[500], ordered[19_500])


def test_that_a_sample_that_misses_a_tail_is_noticed() -> None:
    # Every draw that the sample takes lies at an end: its bounds leave nothing in the tails.
    draws = np.random.default_rng(9).random(20_480)
    draws[:: 20_480 // 1024] = np.where(np.arange(1024) % 2, -1.0, 2.0)
    ordered = np.sort(draws)
    found = ordered_at(draws, 2_000, 18_400)
    assert found == (ordered[2_000], ordered[18_400])
