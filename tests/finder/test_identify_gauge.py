"""Identifying a gauge: open lead, resistors in the sender's place, terminals, scale."""

from __future__ import annotations

import math

import numpy as np
import pytest

from catalog.errors import UserError
from catalog.library import load_generic
from catalog.parts.gauge import HeaterMovement
from catalog.quantities.kinds import Kind
from retrofit.dial import dial_curve
from retrofit.finder.gauge_evidence import DialClass, dial_classes
from retrofit.finder.identification import Identification
from retrofit.finder.identify import identify_gauge
from retrofit.finder.seen import GaugeSeen, SeenNeedle

GAUGES = load_generic().gauges
OPEN_LOW = SeenNeedle(math.inf, -math.inf)
OPEN_HIGH = SeenNeedle(math.inf, math.inf)
RATIO_240 = {"gauge-level-240-33-ratio-12v", "gauge-level-240-33-ratio-24v"}


def falling(answer: Identification) -> float:
    """Share of the classes shown whose dial falls."""
    curves = {one.key: dial_curve(one) for one in GAUGES}
    total = 0.0
    for one in answer.ranked:
        curve = curves[one.key]
        assert curve is not None
        total += 0.0 if curve.rising else one.share
    return total


def test_that_an_open_lead_at_the_low_end_means_falling() -> None:
    # Signal open goes past the high-ohm end (ratio) or to rest (heater, coil): common practice.
    low = identify_gauge(GaugeSeen("level", (OPEN_LOW,)), GAUGES)
    high = identify_gauge(GaugeSeen("level", (OPEN_HIGH,)), GAUGES)
    assert falling(low) > 0.9 * sum(one.share for one in low.ranked)
    assert falling(high) < 0.1 * sum(one.share for one in high.ranked)
    assert "several" == low.found == high.found


def test_that_half_of_the_class_tells_it_from_the_straight_ones() -> None:
    needles = (OPEN_LOW, SeenNeedle(103.0, 0.5), SeenNeedle(33.0, 1.0))
    answer = identify_gauge(GaugeSeen("level", needles), GAUGES)
    assert answer.found == "identified"
    assert set(answer.leading) == RATIO_240


def test_that_the_next_resistor_overdrives_no_likely_class() -> None:
    answer = identify_gauge(GaugeSeen("level", (OPEN_LOW, SeenNeedle(33.0, math.inf))), GAUGES)
    assert answer.telling is not None
    assert answer.telling.at.kind is Kind.RESISTANCE
    classes = {one.gauge.key: one for one in dial_classes(GAUGES)}
    for one in answer.telling.expected:
        assert answer.telling.at.value >= classes[one.key].ohms[0] - 1e-9
    assert "caution.earthing" in [one.key for one in answer.cautions]


def test_that_the_heater_s_ohms_tell_heaters_apart() -> None:
    # 15 Ω is the winding of the 85–5 Ω class, those of others have 60 to 142 Ω (common practice).
    seen = GaugeSeen("level", (OPEN_LOW,), supply_signal=15.0, signal_earth=math.inf)
    answer = identify_gauge(seen, GAUGES)
    assert answer.ranked[0].key == "gauge-level-85-5-heater-5v"
    heaters = {one.key for one in GAUGES if isinstance(one.movement, HeaterMovement)}
    assert sum(one.share for one in answer.ranked if one.key in heaters) > 0.8


def test_that_a_scale_and_values_of_the_dial_are_compared() -> None:
    needles = (SeenNeedle(10.0, 0.0, False), SeenNeedle(107.0, 5e5, False))
    answer = identify_gauge(GaugeSeen("pressure", needles, scale=(0.0, 1e6)), GAUGES)
    assert all(key.startswith("gauge-pressure-10bar-10-184") for key in answer.leading)
    assert answer.ranked[0].beside[1].expected.value.value == pytest.approx(5e5, rel=0.05)
    assert answer.ranked[0].beside[1].seen.value == pytest.approx(5e5)


def test_that_a_dial_of_no_class_is_none_of_these() -> None:
    needles = (OPEN_LOW, SeenNeedle(2000.0, 0.1), SeenNeedle(1500.0, 0.4), SeenNeedle(900.0, 0.9))
    answer = identify_gauge(GaugeSeen("level", needles), GAUGES)
    assert answer.found == "none"


@pytest.mark.parametrize("found", dial_classes(GAUGES), ids=lambda one: one.gauge.key)
def test_that_every_class_is_found_by_its_own_dial(found: DialClass) -> None:
    # The needle's places are the class's own curve read to the nearest 2 % of the scale.
    low, high = found.ends
    shares = np.array([0.1, 0.35, 0.6, 0.9])
    ohms = found.curve.output(low + shares * (high - low))
    needles = tuple(
        SeenNeedle(float(ohm), round(float(share) * 50) / 50)
        for ohm, share in zip(ohms, shares, strict=True)
        if ohm > 0.5
    )
    answer = identify_gauge(GaugeSeen(found.gauge.quantity, needles), GAUGES)
    assert found.gauge.key in [each.key for each in answer.ranked[:6]]
    assert found.gauge.key in answer.leading or answer.found == "several"


def test_that_all_that_is_wrong_with_what_was_seen_is_told_together() -> None:
    with pytest.raises(UserError) as caught:
        GaugeSeen(
            None,
            (SeenNeedle(0.0, 0.5), SeenNeedle(10.0, math.nan), SeenNeedle(10.0, 5.0, False)),
            scale=(3.0, 1.0),
            supply_signal=-1.0,
        )
    assert {one.key for one in caught.value.messages} == {
        "identify.test_resistor", "identify.shown", "identify.no_quantity", "identify.scale",
        "identify.terminal",
    }  # fmt: skip
    with pytest.raises(UserError, match=r"identify\.no_needle"):
        GaugeSeen("level")
