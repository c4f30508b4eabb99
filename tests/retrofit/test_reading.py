"""The needle over a range: stops, the band of the shapes, supplies, and where nothing is known."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.curves.family import EndsOnly
from catalog.curves.interpolated import Interpolated
from retrofit.circuit.bilinear import Bilinear
from retrofit.dial import MarkedDial, Stops
from retrofit.movements import Apparent
from retrofit.plan.assess import Assessment
from retrofit.reading import Needle, Reading, read
from tests.retrofit.plan.plans import (
    COILS,
    LEVEL_240_33,
    Raw,
    assessed,
    gauge,
    mark,
    plan,
    sender,
    shown,
)

PLAIN = Apparent(Bilinear.of(1.0, 0.0, 0.0, 1.0))
STOPS = Stops(-0.05, 1.05, assumed=True)
SENDER = Interpolated(((0.0, 240.0), (0.5, 103.0), (1.0, 33.0)))
DIAL = MarkedDial(((0.0, 240.0), (0.5, 103.0), (1.0, 33.0)))
X = np.linspace(0.0, 1.0, 201)


def reading_of(found: Assessment) -> Reading:
    assert found.reading is not None
    return found.reading


def test_that_a_needle_on_its_stop_is_said_to_show_at_least_and_searches_see_beyond() -> None:
    # 75–10 Ω under 240–33 Ω, ends only: even at full the sender has 10 Ω, 111 % on a straight law.
    found = assessed(
        plan(
            gauge({"0 %": "240 Ω", "100 %": "33 Ω"}),
            sender({"0 %": "75 Ω", "100 %": "10 Ω"}),
            marks=[mark("full", "100 %", "high")],
        )
    )
    curve = reading_of(found)
    assert curve.continued[-1] == pytest.approx((240.0 - 10.0) / 207.0)
    assert (curve.shown[-1], curve.held[-1]) == (1.05, 1.0)
    assert found.marks[0].held == 1
    assert curve.error[-1] == pytest.approx(0.05)


def test_that_a_shipped_style_entered_stop_at_the_end_mark_holds_no_true_needle() -> None:
    made = gauge(LEVEL_240_33, stop_low="0 %", stop_high="100 %")
    curve = reading_of(assessed(plan(made, sender(LEVEL_240_33))))
    assert curve.held[[0, -1]].tolist() == [0.0, 0.0]


def test_that_nothing_is_shown_where_the_sender_is_not_known() -> None:
    found = assessed(plan(gauge(LEVEL_240_33), sender({"0 %": "240 Ω", "50 %": "103 Ω"})))
    curve = reading_of(found)
    assert np.all(np.isnan(curve.shown[101:]))
    assert np.all(np.isnan(curve.held[101:]))
    assert not np.any(np.isnan(curve.shown[:101]))


def test_that_a_sender_known_nowhere_in_the_range_is_unknown_and_never_good() -> None:
    wide = sender({"6 bar": "100 Ω", "9 bar": "150 Ω"}, "pressure")
    dial = gauge({"0 bar": "10 Ω", "10 bar": "184 Ω"}, "pressure")
    found = assessed(plan(dial, wide, low="0 bar", high="5 bar", marks=[mark("idle", "1 bar")]))
    verdicts = {check.name: check.verdict.value for check in found.checks}
    assert np.all(np.isnan(reading_of(found).shown))
    for name in ("direction", "dial", "supply", "mark", "flatters"):
        assert verdicts[name] == "unknown", name


def test_that_open_and_earthed_leads_give_numbers_without_warnings() -> None:
    needle = Needle(SENDER, DIAL, PLAIN, STOPS)
    assert needle.at_ohms(np.array([0.0, 33.0, 103.0, 240.0, np.inf]))[0] == pytest.approx(
        [1.05, 1.0, 0.5, 0.0, -0.05], abs=1e-12
    )


def rising_or_falling(ends: tuple[float, float], middle: float) -> list[tuple[float, float]]:
    low, high = ends
    return [(0.0, low), (0.5, low + middle * (high - low)), (1.0, high)]


@given(
    st.tuples(st.floats(1.0, 100.0), st.floats(110.0, 500.0)),
    st.tuples(st.floats(1.0, 100.0), st.floats(110.0, 500.0)),
    st.floats(0.2, 0.8),
    st.floats(0.2, 0.8),
    st.booleans(),
)
def test_that_a_needle_of_the_same_sense_is_monotone_and_its_band_holds_it(
    one: tuple[float, float], two: tuple[float, float], m1: float, m2: float, falling: bool
) -> None:
    ends = [pair[::-1] if falling else pair for pair in (one, two)]
    source = Interpolated(tuple(rising_or_falling(ends[0], m1)))
    dial = MarkedDial(tuple(rising_or_falling(ends[1], m2)))
    needle = Needle(source, dial, PLAIN, STOPS)
    curve, band = read(needle, X), needle.band(X)
    assert np.all(np.diff(curve.shown) >= 0.0)
    assert np.all(band.low <= curve.shown)
    assert np.all(band.high >= curve.shown)


def test_that_a_sender_of_the_other_sense_drives_the_needle_backwards() -> None:
    found = assessed(plan(gauge(LEVEL_240_33), sender({"0 %": "0 Ω", "100 %": "190 Ω"})))
    assert np.all(np.diff(reading_of(found).shown) <= 0.0)


def test_that_the_band_is_the_envelope_of_every_pair_of_shapes() -> None:
    sender_ends, dial_ends = EndsOnly(0.0, 1.0, 75.0, 10.0), EndsOnly(0.0, 1.0, 240.0, 33.0)
    band = Needle(sender_ends, dial_ends, PLAIN, STOPS).band(X)
    shapes = []
    for q1, q2 in itertools.product((1.0, 0.18, 1.05), repeat=2):
        way = X / (X + q1 * (1.0 - X))  # s at the fraction f, the law solved for s
        ohms = 75.0 + way * (10.0 - 75.0)
        s = (ohms - 240.0) / (33.0 - 240.0)
        low = 1.0 - s + q2 * s
        shapes.append(np.clip(np.where(low > 0.0, q2 * s / low, np.inf), -0.05, 1.05))
    assert band.low == pytest.approx(np.min(shapes, axis=0), abs=1e-12)
    assert band.high == pytest.approx(np.max(shapes, axis=0), abs=1e-12)


def test_that_the_band_is_nothing_where_sender_and_dial_are_both_known() -> None:
    at = np.array([0.0, 0.5, 1.0])
    band = Needle(SENDER, DIAL, PLAIN, STOPS).band(at)
    assert band.high - band.low == pytest.approx([0.0] * 3, abs=1e-12)


def test_that_the_band_shrinks_when_a_mark_is_added() -> None:
    ends = {"0 %": "240 Ω", "100 %": "33 Ω"}
    widths = []
    for rows in (ends, LEVEL_240_33):
        band = assessed(plan(gauge(rows), sender(LEVEL_240_33, shape="straight"))).band
        assert band is not None
        widths.append(float(np.max(band.high - band.low)))
    assert widths[1] < 0.25 * widths[0]


def test_that_the_shape_of_its_own_class_moves_no_needle_trimmed_or_not() -> None:
    source = sender(LEVEL_240_33)
    own = {"key": "class", "name": "The class", "law": source["law"]}
    dial = gauge(None, scaled_for=own, movement={"kind": "ratio", **COILS})
    band = assessed(plan(dial, source)).band
    assert band is not None
    assert band.low == pytest.approx(X, abs=1e-9)
    assert band.high == pytest.approx(X, abs=1e-9)
    # A trim shifts the sender along the one curve that both share, so its shape matters again.
    trimmed = assessed(plan(dial, source, {"series at sender": "20 Ω"})).band
    assert trimmed is not None
    assert np.max(trimmed.high - trimmed.low) > 0.01


# --- supply -------------------------------------------------------------------------------------


def supplied(movement: Raw, **wiring: object) -> Reading:
    return reading_of(
        assessed(
            plan(gauge(LEVEL_240_33, movement=movement), sender(LEVEL_240_33), wiring=dict(wiring))
        )
    )


def test_that_a_heater_without_stabiliser_follows_the_supply_at_every_value() -> None:
    heater = {"kind": "heater", "heater": "60 Ω", "feed": "13.5 V"}
    curve = supplied(heater, stabiliser={"fitted": "no"})
    inner = slice(20, 150)
    assert np.all(curve.supply_low[inner] < curve.shown[inner])
    assert np.all(curve.supply_high[inner] > curve.shown[inner])
    # The same current at 13.5 V: R' = 13.5·(R + 60)/14.4 − 60.
    ohms = 13.5 * (curve.ohms[100] + 60.0) / 14.4 - 60.0
    assert curve.supply_high[100] == pytest.approx(DIAL.value(np.array([ohms]))[0], rel=1e-9)


def test_that_a_stabiliser_holding_heat_keeps_a_heater_still() -> None:
    heater = {"kind": "heater", "heater": "60 Ω", "feed": "10 V"}
    curve = supplied(heater, stabiliser={"fitted": "yes", "holds": "heat-equivalent"})
    assert curve.supply_low == pytest.approx(curve.shown, abs=1e-12)
    assert curve.supply_high == pytest.approx(curve.shown, abs=1e-12)


def test_that_a_ratio_gauge_heeds_no_supply_pull_up_or_not() -> None:
    for trim in (None, {"pull-up": "300 Ω"}):
        made = gauge(LEVEL_240_33, movement={"kind": "ratio", **COILS})
        curve = reading_of(assessed(plan(made, sender(LEVEL_240_33), trim)))
        assert curve.supply_low == pytest.approx(curve.shown, abs=1e-9)
        assert curve.supply_high == pytest.approx(curve.shown, abs=1e-9)


def test_that_a_pull_up_to_the_battery_makes_a_referenced_gauge_heed_it() -> None:
    movement = {"kind": "electronic", "pull_up": "220 Ω", "rail": "reference", "reference": "5 V"}
    made = gauge(LEVEL_240_33, movement=movement)
    curve = reading_of(assessed(plan(made, sender(LEVEL_240_33), {"pull-up": "2 kΩ"})))
    assert np.max(np.abs(curve.supply_high - curve.supply_low)) > 0.02


# --- the chopper --------------------------------------------------------------------------------


def test_that_57_ohms_on_a_heater_behind_a_half_time_14_volt_chopper_reads_89_34_degrees() -> None:
    """14 V half the time is 7 V to a meter, 9.9 V of heat, and 57 Ω looks like 58.188 Ω at 10 V.

    The published 89.34 ± 0.05 °C interpolates in the logarithm of the ohms. Our dial bends the
    family law through the same five marks and gives 89.337 °C: near a mark any smooth curve
    does. Straight lines give 89.41 °C and lie in the band.
    """
    rows = {"60 °C": "150 Ω", "80 °C": "77 Ω", "90 °C": "57 Ω", "100 °C": "41 Ω", "120 °C": "24 Ω"}
    found = assessed(
        plan(
            gauge(
                rows,
                "temperature",
                low="60 °C",
                movement={"kind": "heater", "heater": "60 Ω", "feed": "10 V"},
            ),
            sender(rows, "temperature", shape="thermistor"),
            low="60 °C",
            marks=[mark("warm", "90 °C", "low")],
            wiring={
                "supply": {"nominal": "14 V"},
                "stabiliser": {"fitted": "yes", "holds": "mean", "output": "7 V"},
            },
        )
    )
    assert reading_of(found).apparent[100] == pytest.approx(58.188, abs=5e-4)
    assert shown(found, "warm") == pytest.approx(89.34, abs=0.05)
    straight = 80.0 + 10.0 * (77.0 - 58.18785) / (77.0 - 57.0)
    assert found.marks[0].low <= straight <= found.marks[0].high + 1e-4


def test_that_a_stabiliser_that_holds_an_unknown_mean_lets_nobody_tell_a_reading() -> None:
    heater = {"kind": "heater", "heater": "60 Ω", "feed": "10 V"}
    made = gauge(LEVEL_240_33, movement=heater)
    wiring = {"stabiliser": {"fitted": "yes", "holds": "mean"}}
    found = assessed(plan(made, sender(LEVEL_240_33), wiring=wiring))
    assert found.reason is not None
    assert found.reason.key == "reading.stabiliser_output_unknown"


def test_that_a_movement_off_its_feed_with_an_unknown_winding_lets_nobody_tell_a_reading() -> None:
    for movement in (
        {"kind": "heater", "feed": "10 V"},
        {"kind": "coil", "feed": "12 V"},
        {"kind": "electronic", "rail": "supply", "feed": "12 V"},
    ):
        made = gauge(LEVEL_240_33, movement=movement)
        wiring = {"stabiliser": {"fitted": "no"}}
        found = assessed(plan(made, sender(LEVEL_240_33), wiring=wiring))
        assert found.reason is not None
        assert found.reason.key == "reading.feed_unknown"


def test_that_vacuum_is_read_like_any_gauge_pressure() -> None:
    rows = {"-1 bar": "10 Ω", "0 bar": "100 Ω", "2 bar": "184 Ω"}
    made = gauge(rows, "pressure", low="-1 bar", high="2 bar")
    found = assessed(
        plan(
            made,
            sender(rows, "pressure"),
            low="-1 bar",
            high="2 bar",
            marks=[mark("idle", "-0.5 bar", "high")],
        )
    )
    assert shown(found, "idle") == pytest.approx(-5e4, abs=1.5e4)
    assert found.marks[0].low < -5e4 < found.marks[0].high
