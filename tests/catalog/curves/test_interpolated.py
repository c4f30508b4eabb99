"""Curves through points: round trips, straight tracks, thermistors, and how else they may run."""

from __future__ import annotations

import numpy as np
import pytest

from catalog.curves.interpolated import Interpolated
from catalog.library import load_generic
from catalog.parts.sender import Sender

LEVEL = Interpolated(((0.0, 240.0), (0.5, 103.0), (1.0, 33.0)))
STRAIGHT = Interpolated(((0.0, 240.0), (0.5, 136.0), (1.0, 33.0)), straight=True, known=True)
THERMISTOR = Interpolated(((40.0, 291.46), (80.0, 70.12), (120.0, 22.44)), log=True)
WITH_CURVE = [part for part in load_generic().senders if part.curve is not None]


@pytest.mark.parametrize("part", WITH_CURVE, ids=lambda part: part.key)
def test_that_a_shipped_class_gives_the_value_back_to_1e_12_of_its_range(part: Sender) -> None:
    curve = part.curve
    assert curve is not None
    x = np.linspace(curve.low, curve.high, 201)
    assert np.max(np.abs(curve.value(curve.output(x)) - x)) <= 1e-12 * (curve.high - curve.low)


def test_that_a_straight_track_lies_on_its_chords() -> None:
    at = np.array([0.25, 0.75, 1.1])
    assert STRAIGHT.output(at) == pytest.approx([188.0, 84.5, 12.4])
    assert STRAIGHT.value(np.array([188.0, 84.5, 12.4])) == pytest.approx(at)
    assert STRAIGHT.alternatives() == ()


def test_that_a_thermistor_is_smooth_in_the_logarithm_of_its_ohms() -> None:
    even = Interpolated(((0.0, 1000.0), (50.0, 100.0), (100.0, 10.0)), log=True)
    assert even.output(np.array([25.0])) == pytest.approx(np.sqrt(1000.0 * 100.0))


def test_that_no_curve_goes_on_below_zero_ohms() -> None:
    assert LEVEL.output(np.array([3.0]))[0] == 0.0
    assert THERMISTOR.output(np.array([1000.0]))[0] > 0.0


def test_that_a_short_circuit_lies_beyond_the_hot_end_of_a_thermistor() -> None:
    assert THERMISTOR.value(np.array([0.0]))[0] == np.inf
    assert THERMISTOR.value(np.array([np.inf]))[0] == -np.inf


@pytest.mark.parametrize(
    ("curve", "share"),
    [
        (LEVEL, 0.03),
        (Interpolated(((0.0, 10.0), (0.5, 107.0), (1.0, 184.0))), 0.015),
        (THERMISTOR, 0.05),
    ],
    ids=["falling", "rising", "thermistor"],
)
def test_that_one_middle_point_leaves_the_usual_doubt(curve: Interpolated, share: float) -> None:
    # ±3 % of scale falling, ±1.5 % rising, ±5 % thermistor: common practice, no source.
    output = np.linspace(curve.output(np.array([curve.low]))[0], curve.points[1][1], 101)
    plain = curve.value(output)
    gaps = [np.max(np.abs(kin.value(output) - plain)) for kin in curve.alternatives()]
    assert gaps == pytest.approx([share * (curve.high - curve.low)] * 2, rel=1e-3)


def test_that_the_alternatives_meet_at_the_known_points() -> None:
    ohms = np.array([240.0, 103.0, 33.0])
    for kin in LEVEL.alternatives():
        assert kin.value(ohms) == pytest.approx([0.0, 0.5, 1.0], abs=1e-12)


def test_that_more_points_leave_the_gap_to_straight_lines() -> None:
    rows = ((0.0, 222.0), (0.25, 105.0), (0.5, 65.0), (0.75, 35.0), (1.0, 20.0))
    (kin,) = Interpolated(rows).alternatives()
    assert kin.output(np.array([0.125]))[0] == pytest.approx((222.0 + 105.0) / 2.0)
