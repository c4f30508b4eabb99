"""The source behind S from two test resistors, and the most telling test resistor."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from retrofit.circuit.bench_readings import (
    LoadedReading,
    Meter,
    most_telling_test,
    source_from_tests,
)

PERFECT = Meter(0.0)


def loaded(share: float, inside: float, ohm: float, supply: float) -> LoadedReading:
    """A reading by the voltage divider rule, without error."""
    volt = share * supply / (1.0 + inside / ohm)
    return LoadedReading(ohm, volt, supply)


# --- source -------------------------------------------------------------------------------------


@given(
    st.floats(0.1, 1.0),
    st.floats(1.0, 1000.0),
    st.floats(1.0, 100.0),
    st.floats(2.0, 100.0) | st.just(math.inf),
    st.floats(10.0, 16.0),
    st.floats(10.0, 16.0),
)
def test_that_two_tests_give_the_source_back_though_the_supply_moved_between_them(
    share: float, inside: float, small: float, times: float, first: float, second: float
) -> None:
    readings = [loaded(share, inside, small, first), loaded(share, inside, small * times, second)]
    for pair in (readings, readings[::-1]):
        found = source_from_tests(pair[0], pair[1], PERFECT, PERFECT)
        assert found.share.value == pytest.approx(share, rel=1e-6)
        assert found.ohm.value == pytest.approx(inside, rel=1e-6)


@given(st.lists(st.floats(-1.0, 1.0), min_size=6, max_size=6))
def test_that_the_true_source_lies_within_what_the_meters_errors_allow(e: list[float]) -> None:
    # A plain divider of 90 and 110 Ω: 0.55 of the supply behind 49.5 Ω (closed form).
    one, two = loaded(0.55, 49.5, 10.0, 13.5), loaded(0.55, 49.5, 240.0, 13.2)
    off = [1.0 + 0.005 * each for each in e]
    readings = (
        LoadedReading(one.ohm * off[0], one.volt * off[1], one.supply * off[2]),
        LoadedReading(two.ohm * off[3], two.volt * off[4], two.supply * off[5]),
    )
    found = source_from_tests(*readings, Meter(0.0051), Meter(0.0051))
    assert found.share.low <= 0.55 <= found.share.high
    assert found.ohm.low <= 49.5 <= found.ohm.high
    assert found.ohm.high - found.ohm.low < 5.0


def key_of(first: LoadedReading, second: LoadedReading, meter: Meter = PERFECT) -> str:
    with pytest.raises(UserError) as caught:
        source_from_tests(first, second, meter, meter)
    (message,) = caught.value.messages
    return message.key


def test_that_two_tests_with_one_resistor_are_refused() -> None:
    assert (
        key_of(loaded(0.55, 49.5, 47.0, 13.5), loaded(0.55, 49.5, 47.0, 12.0))
        == "bench.source_same"
    )


def test_that_resistors_too_close_for_the_meter_are_refused() -> None:
    close = loaded(0.55, 49.5, 47.0, 13.5), loaded(0.55, 49.5, 47.5, 13.5)
    assert key_of(*close, Meter(0.01)) == "bench.source_close"
    assert source_from_tests(*close, PERFECT, PERFECT).ohm.value == pytest.approx(49.5, rel=1e-6)


@pytest.mark.parametrize(
    ("at_small", "at_large"),
    [(5.0, 4.0), (5.0, 5.0), (1.0, 10.1), (1.0, 10.0)],
    ids=["falls with the resistor", "equal", "current rises", "no drop: a current source"],
)
def test_that_readings_no_gauge_can_give_are_refused(at_small: float, at_large: float) -> None:
    readings = LoadedReading(10.0, at_small, 13.5), LoadedReading(100.0, at_large, 13.5)
    assert key_of(*readings) == "bench.source_nonsense"


@pytest.mark.parametrize(
    "reading",
    [
        LoadedReading(0.0, 1.0, 12.0),
        LoadedReading(-5.0, 1.0, 12.0),
        LoadedReading(math.nan, 1.0, 12.0),
        LoadedReading(10.0, 0.0, 12.0),
        LoadedReading(10.0, 12.5, 12.0),
        LoadedReading(10.0, math.nan, 12.0),
        LoadedReading(10.0, 1.0, math.inf),
    ],
)
def test_that_a_reading_that_is_none_is_refused(reading: LoadedReading) -> None:
    assert key_of(loaded(0.55, 49.5, 47.0, 13.5), reading) == "bench.source_reading"


# --- the most telling test ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ends", "q", "ohm", "band", "digits"),
    [
        ((240.0, 33.0), (0.25, 1.05), 103.0, (0.33, 0.67), 0.005),
        ((240.0, 33.0), (0.25, 1.05), 103.0, (0.328, 0.672), 0.0005),
        ((73.0, 10.0), (0.18, 1.05), 29.0, (0.29, 0.71), 0.005),
        ((10.0, 184.0), (0.78, 1.55), 93.0, (0.415, 0.585), 0.0005),
    ],
)
def test_that_the_best_single_test_of_a_dial_known_at_its_ends_is_where_it_was_found(
    ends: tuple[float, float],
    q: tuple[float, float],
    ohm: float,
    band: tuple[float, float],
    digits: float,
) -> None:
    # Closed form s* = 1/(1 + √(q_lo·q_hi)); q bands common practice, no source.
    test = most_telling_test(*ends, q)
    assert round(test.ohm) == ohm
    assert (test.low, test.high) == pytest.approx(band, abs=digits)


@given(st.floats(0.05, 0.95), st.floats(1.05, 10.0), st.floats(0.001, 0.999))
def test_that_no_other_resistor_leaves_a_wider_band(low: float, high: float, s: float) -> None:
    best = most_telling_test(0.0, 1.0, (low, high))
    other = [q * s / (1.0 - s + q * s) for q in (low, high)]
    assert abs(other[1] - other[0]) <= best.high - best.low + 1e-12
    assert best.low + best.high == pytest.approx(1.0, rel=1e-12)


def test_that_a_dial_without_a_scale_is_a_mistake_of_ours() -> None:
    for ends, q in (
        ((33.0, 33.0), (0.2, 1.0)),
        ((-1.0, 33.0), (0.2, 1.0)),
        ((0.0, 90.0), (0.0, 1.0)),
    ):
        with pytest.raises(BugError, match="no dial"):
            most_telling_test(*ends, q)
    assert np.isfinite(most_telling_test(0.0, 90.0, (1.0, 1.0)).ohm)
