"""Nice ticks: multiples of 1, 2 or 5 times a power of ten."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrofit.drawing.scale import nice_ticks

LOWS = st.floats(-1000.0, 1000.0)
SPANS = st.floats(-6.0, 6.0).map(lambda exponent: 10.0**exponent)


@pytest.mark.parametrize(
    ("low", "high", "most", "numbers"),
    [
        (0.0, 1.0, 6, (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)),
        (-0.3, 0.3, 8, (-0.3, -0.2, -0.1, 0.0, 0.1, 0.2, 0.3)),
        (104.0, 248.0, 8, (120.0, 140.0, 160.0, 180.0, 200.0, 220.0, 240.0)),
        (0.0, 72.5, 9, (0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0)),
        (-16.4, 5.3, 6, (-15.0, -10.0, -5.0, 0.0, 5.0)),
    ],
)
def test_that_ticks_stand_at_the_numbers_a_draughtsman_would_take(
    low: float, high: float, most: int, numbers: tuple[float, ...]
) -> None:
    # common practice, no source
    assert nice_ticks(low, high, most).major == numbers


@given(LOWS, SPANS, st.integers(2, 20))
def test_that_ticks_are_multiples_of_a_nice_step_within_the_scale(
    low: float, span: float, most: int
) -> None:
    ticks = nice_ticks(low, low + span, most)
    figure = float(f"{ticks.step:e}".split("e")[0])
    assert figure in (1.0, 2.0, 5.0)
    assert len(ticks.major) <= most
    slack = 1e-6 * ticks.step + 1e-9
    for value in (*ticks.major, *ticks.minor):
        assert low - slack <= value <= low + span + slack
    for value in ticks.major:
        assert math.isclose(value / ticks.step, round(value / ticks.step), abs_tol=1e-5)


@given(LOWS, SPANS, st.integers(2, 20))
def test_that_no_finer_nice_step_would_have_done(low: float, span: float, most: int) -> None:
    ticks = nice_ticks(low, low + span, most)
    # The next finer step has at least half the size, so at least that many more ticks.
    finer = ticks.step / (2.5 if f"{ticks.step:e}".startswith("5") else 2.0)
    assert math.floor((low + span) / finer + 1e-6) - math.ceil(low / finer - 1e-6) + 1 > most


@given(LOWS, SPANS, st.integers(2, 20))
def test_that_major_and_minor_ticks_never_coincide(low: float, span: float, most: int) -> None:
    ticks = nice_ticks(low, low + span, most)
    everything = sorted((*ticks.major, *ticks.minor))
    gaps = [b - a for a, b in pairwise(everything)]
    assert all(gap > ticks.step / 6.0 for gap in gaps)
