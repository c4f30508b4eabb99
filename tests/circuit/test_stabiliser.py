"""Chopped and stabilised supplies against published duties, closed forms and a wave."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError
from retrofit.circuit.stabiliser import Held, chopped, stabilised

SUPPLY = np.array([11.5, 12.0, 13.0, 14.0])
TEN = np.array([10.0])


def test_that_14_volts_at_half_time_is_7_volts_to_a_meter_and_9_9_to_a_heater() -> None:
    # Closed form: duty·V and √duty·V.
    output = chopped(np.array([14.0]), np.array([0.5]))
    assert output.mean == pytest.approx([7.0], rel=1e-12)
    assert output.heat_equivalent == pytest.approx([9.8994949], rel=1e-7)


def test_that_a_heater_on_a_half_time_14_volts_sees_57_ohms_as_58_188_at_10_volts() -> None:
    # A 60 Ω heater gauge: the same heater current at the dial's reference of 10 V.
    volt = chopped(np.array([14.0]), np.array([0.5])).heat_equivalent[0]
    assert 10.0 * (60.0 + 57.0) / volt - 60.0 == pytest.approx(58.188, abs=5e-4)


def test_that_the_duties_of_a_mean_held_stabiliser_are_the_published_ones() -> None:
    # Duties of 77 % and 87 % at 13 V and 11.5 V [seen in published descriptions]; all [calc].
    output = stabilised(SUPPLY, TEN, Held.MEAN)
    assert output.duty == pytest.approx([0.8696, 0.8333, 0.7692, 0.7143], abs=5e-5)
    assert output.duty[[0, 2]].round(2).tolist() == [0.87, 0.77]
    assert output.mean == pytest.approx([10.0] * 4, rel=1e-12)
    assert output.heat_equivalent == pytest.approx(np.sqrt(10.0 * SUPPLY), rel=1e-12)


def test_that_a_heat_held_stabiliser_shows_a_falling_mean() -> None:
    # [calc]
    output = stabilised(SUPPLY, TEN, Held.HEAT)
    assert output.duty == pytest.approx([0.7561, 0.6944, 0.5917, 0.5102], abs=5e-5)
    assert output.mean == pytest.approx([8.696, 8.333, 7.692, 7.143], abs=5e-4)
    assert output.heat_equivalent == pytest.approx([10.0] * 4, rel=1e-12)


@pytest.mark.parametrize("held", list(Held))
def test_that_a_supply_below_the_held_voltage_passes_whole(held: Held) -> None:
    output = stabilised(np.array([9.0, 10.0]), TEN, held)
    assert output.duty == pytest.approx([1.0, 1.0])
    assert output.mean == pytest.approx([9.0, 10.0])
    assert output.heat_equivalent == pytest.approx([9.0, 10.0])


def test_that_a_steady_output_is_one_number_for_meter_and_heater() -> None:
    output = stabilised(SUPPLY, TEN, Held.STEADY)
    assert output.mean.tolist() == output.heat_equivalent.tolist() == [10.0] * 4
    assert output.duty.tolist() == [1.0] * 4


@given(st.floats(8.0, 30.0), st.integers(0, 1000))
def test_that_mean_and_heat_equivalent_are_those_of_the_wave_itself(volt: float, on: int) -> None:
    wave = np.where(np.arange(1000) < on, volt, 0.0)
    output = chopped(np.array([volt]), np.array([on / 1000.0]))
    assert output.mean == pytest.approx([np.mean(wave)], rel=1e-9, abs=1e-12)
    assert output.heat_equivalent == pytest.approx([np.sqrt(np.mean(wave**2))], rel=1e-9, abs=1e-12)
    assert output.heat_equivalent == pytest.approx(np.sqrt(output.mean * volt), rel=1e-9)


def test_that_impossible_supplies_and_duties_are_a_mistake_of_ours() -> None:
    one = np.array([1.0])
    for supply, duty in ((-one, one), (one, 2.0 * one), (one, -one)):
        with pytest.raises(BugError, match="no chopped supply"):
            chopped(supply, duty)
    for supply, volt in ((-one, one), (one, 0.0 * one)):
        with pytest.raises(BugError, match="no stabiliser"):
            stabilised(supply, volt, Held.MEAN)
