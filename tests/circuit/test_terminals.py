"""Star legs from three terminal readings, their errors and the verdict."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.message import message
from retrofit.circuit.bench_readings import Meter
from retrofit.circuit.terminals import Coils, star

ohm = st.floats(0.1, 2000.0)


def test_that_440_260_and_180_ohms_are_a_plain_divider_of_260_and_180() -> None:
    # Common practice, no source.
    found = star(440.0, 260.0, 180.0, Meter(0.005))
    assert (found.supply.ohm, found.signal.ohm, found.earth.ohm) == (260.0, 0.0, 180.0)
    assert found.coils is Coils.PLAIN_DIVIDER


def test_that_a_half_per_cent_meter_leaves_the_zero_leg_within_2_7_ohms() -> None:
    found = star(440.0, 260.0, 180.0, Meter(0.005))
    # 2.7 Ω is √(2.2² + 1.3² + 0.9²): coverage factor 2 on half the root sum of squares (JCGM 100).
    assert found.signal.error == pytest.approx(2.7, abs=0.05)
    assert found.signal.worst == pytest.approx(2.2, rel=1e-12)


def test_that_the_stated_error_of_a_leg_covers_what_the_readings_can_do_in_a_simulation() -> None:
    draw = random.Random(1)
    legs = []
    for _ in range(4000):
        # Each reading off by a normal error whose standard uncertainty is 0.5 %.
        noisy = [true * (1.0 + draw.gauss(0.0, 0.005)) for true in (440.0, 260.0, 180.0)]
        legs.append(star(noisy[0], noisy[1], noisy[2], Meter(0.005)).signal.ohm)
    inside = sum(abs(leg) <= 2.709 for leg in legs) / len(legs)
    assert inside == pytest.approx(0.954, abs=0.02)  # two standard deviations of a normal law


def test_that_three_legs_say_coils_unknown_since_star_and_delta_read_alike() -> None:
    # Star 45/24.75/55, closed form; the delta that reads the same is 90, 110 and 200 Ω.
    found = star(100.0, 69.75, 79.75, Meter(0.005))
    assert (found.supply.ohm, found.signal.ohm, found.earth.ohm) == (45.0, 24.75, 55.0)
    assert found.coils is Coils.UNKNOWN


def test_that_readings_against_the_triangle_rule_say_faulty_only_beyond_the_meters_error() -> None:
    assert star(450.0, 260.0, 180.0, Meter(0.005)).coils is Coils.FAULTY
    assert star(443.0, 260.0, 180.0, Meter(0.005)).coils is Coils.PLAIN_DIVIDER
    assert star(100.0, 250.0, 100.0, Meter(0.01)).coils is Coils.FAULTY


def test_that_a_meter_too_coarse_to_tell_the_coils_from_nothing_says_unknown() -> None:
    assert star(10.0, 6.0, 4.0, Meter(0.005)).coils is Coils.PLAIN_DIVIDER
    assert star(10.0, 6.0, 4.0, Meter(0.005, step=3.0)).coils is Coils.UNKNOWN
    assert star(0.0, 60.0, 60.0, Meter(0.005)).coils is Coils.UNKNOWN


@given(ohm, ohm, ohm)
def test_that_the_legs_of_any_star_come_back_from_its_readings(
    supply: float, signal: float, earth: float
) -> None:
    found = star(supply + earth, supply + signal, signal + earth, Meter(0.005))
    legs = (found.supply.ohm, found.signal.ohm, found.earth.ohm)
    assert legs == pytest.approx((supply, signal, earth), rel=1e-9, abs=1e-9)
    assert found.coils is not Coils.FAULTY


@given(ohm, ohm, st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_that_a_plain_divider_is_never_called_faulty_within_the_meters_error(
    upper: float, lower: float, e1: float, e2: float, e3: float
) -> None:
    off = [1.0 + 0.005 * e for e in (e1, e2, e3)]
    found = star((upper + lower) * off[0], upper * off[1], lower * off[2], Meter(0.0051))
    assert found.coils is not Coils.FAULTY
    assert abs(found.signal.ohm) <= found.signal.worst <= found.signal.error


@pytest.mark.parametrize("wrong", [math.inf, math.nan, -1.0])
def test_that_a_reading_that_is_no_resistance_is_named(wrong: float) -> None:
    with pytest.raises(UserError) as caught:
        star(440.0, wrong, 180.0, Meter(0.005))
    (refusal,) = caught.value.messages
    assert refusal.key == "bench.terminal"
    assert refusal.value("pair") == message("bench.supply_signal")
