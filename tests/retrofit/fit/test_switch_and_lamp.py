"""The warning switch and its lamp."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.curves.interpolated import Interpolated
from catalog.errors import UserError
from catalog.quantities.kinds import Kind
from retrofit.fit.lamp import bulb_current, contact_rating_check, excitation, glow_check
from retrofit.fit.switch import (
    Contact,
    Lights,
    Side,
    SwitchPoint,
    WarningPoint,
    bench_check,
    broken_wire_check,
    contact_check,
    switch_point_check,
    two_ways,
)
from tests.retrofit.fit.sentences import told

BAR = 1e5
LOW = WarningPoint(0.3 * BAR, "low", Kind.PRESSURE, normal=1.0 * BAR)
HOT = WarningPoint(105.0, "high", Kind.TEMPERATURE, normal=90.0)


@pytest.mark.parametrize(
    ("rising", "verdict"),
    [
        # Falls back 0.1 bar lower, ± 0.1 bar: 0.5 → 0.4 ± 0.1 around a warning at 0.3 bar.
        (0.50, "good"),
        (0.49, "caution"),
        (0.40, "caution"),
        (0.31, "caution"),
        (0.29, "stop"),
        (0.95, "caution"),
    ],
)
def test_that_a_margin_smaller_than_the_tolerance_is_a_caution(rising: float, verdict: str) -> None:
    check = switch_point_check(SwitchPoint(rising * BAR, 0.1 * BAR, 0.1 * BAR), LOW)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("rising", "verdict"), [(100.0, "good"), (104.0, "caution"), (109.0, "stop"), (93.0, "caution")]
)
def test_that_a_rising_danger_meets_the_point_itself(rising: float, verdict: str) -> None:
    check = switch_point_check(SwitchPoint(rising, 5.0, 3.0), HOT)
    assert check.verdict == verdict
    assert told(check)


def test_that_the_measuring_error_counts_with_the_tolerance() -> None:
    exact = SwitchPoint(0.55 * BAR, 0.1 * BAR, 0.1 * BAR)
    rough = SwitchPoint(0.55 * BAR, 0.1 * BAR, 0.1 * BAR, uncertainty=0.1 * BAR)
    assert switch_point_check(exact, LOW).verdict == "good"
    assert switch_point_check(rough, LOW).verdict == "caution"


def test_that_a_point_tolerance_or_hysteresis_nobody_knows_is_unknown() -> None:
    found = [
        switch_point_check(None, LOW),
        switch_point_check(SwitchPoint(0.5 * BAR, 0.1 * BAR, 0.1 * BAR), None),
        switch_point_check(SwitchPoint(0.5 * BAR, None, 0.1 * BAR), LOW),
        switch_point_check(SwitchPoint(0.5 * BAR, 0.1 * BAR, None), LOW),
    ]
    assert [each.verdict for each in found] == ["unknown"] * 4
    assert all(told(each) for each in found)
    with pytest.raises(UserError, match="below_zero"):
        switch_point_check(SwitchPoint(0.5 * BAR, -1.0, 0.0), LOW)


@given(st.floats(0.0, 2.0), st.floats(0.0, 0.5), st.floats(0.0, 0.5))
def test_that_a_switch_is_never_good_where_its_lowest_point_lies_below_the_warning(
    rising: float, hysteresis: float, tolerance: float
) -> None:
    switch = SwitchPoint(rising * BAR, hysteresis * BAR, tolerance * BAR)
    if (rising - hysteresis - tolerance) * BAR < LOW.at - 1e-6:
        assert switch_point_check(switch, LOW).verdict != "good"


@pytest.mark.parametrize(
    ("below", "side", "lights", "verdict"),
    [
        ("closed", "low", "switch closes", "good"),
        ("open", "low", "switch closes", "stop"),
        ("open", "high", "switch closes", "good"),
        ("closed", "high", "switch closes", "stop"),
        ("closed", "high", "switch opens", "good"),
        ("open", "low", "switch opens", "good"),
        ("unknown", "low", "switch closes", "unknown"),
        ("closed", "low", "unknown", "unknown"),
    ],
)
def test_that_the_lamp_is_lit_in_danger(
    below: Contact, side: Side, lights: Lights, verdict: str
) -> None:
    check = contact_check(below, side, lights)
    assert check.verdict == verdict
    assert told(check)


def test_that_a_broken_wire_hides_unless_the_lamp_proves_itself() -> None:
    found = [
        broken_wire_check("switch closes", proves_itself=False),
        broken_wire_check("switch closes", proves_itself=True),
        broken_wire_check("switch opens", proves_itself=False),
        broken_wire_check("unknown", proves_itself=True),
    ]
    assert [each.verdict for each in found] == ["caution", "good", "good", "unknown"]
    assert all(told(each) for each in found)


def test_that_a_bench_test_counts_its_own_error() -> None:
    limits = (0.3 * BAR, 0.55 * BAR)
    found = [
        bench_check(at * BAR, error * BAR, limits, Kind.PRESSURE)
        for at, error in ((0.4, 0.02), (0.31, 0.02), (0.29, 0.02), (0.27, 0.02), (0.55, 0.0))
    ]
    assert [each.verdict for each in found] == ["good", "caution", "caution", "stop", "good"]
    assert all(told(each) for each in found)
    with pytest.raises(UserError, match="limits"):
        bench_check(0.4 * BAR, 0.0, (0.5 * BAR, 0.3 * BAR), Kind.PRESSURE)
    with pytest.raises(UserError, match="below_zero"):
        bench_check(0.4 * BAR, -1.0, limits, Kind.PRESSURE)


def test_that_ohms_beyond_a_curve_are_refused() -> None:
    curve = Interpolated(((0.0, 10.0), (1.0, 180.0)))
    with pytest.raises(UserError, match="off_curve"):
        two_ways(curve, 500.0, 0.5)


def test_that_a_filament_follows_the_handbook_s_re_rating() -> None:
    # Current exponent 0.55: 14.4 V from 13.5 V makes 1.0361 times the current.
    ratio = bulb_current(5.0, 13.5, 14.4) / bulb_current(5.0, 13.5, 13.5)
    assert ratio == pytest.approx(1.0361, abs=5e-5)
    # P/12: 1.2 W 0.100 A, 4 W 0.3333 A.
    assert bulb_current(1.2, 12.0, 12.0) == pytest.approx(0.100)
    assert bulb_current(4.0, 12.0, 12.0) == pytest.approx(0.3333, abs=5e-5)
    with pytest.raises(UserError, match="no_bulb"):
        bulb_current(0.0, 12.0, 12.0)


@pytest.mark.parametrize(
    ("rated", "lamp", "filament", "verdict"),
    [
        (0.1, 0.2, True, "stop"),
        (0.5, 0.2, True, "caution"),
        (5.0, 0.2, True, "good"),
        (0.5, 0.2, False, "good"),
        (None, 0.2, True, "unknown"),
        (0.5, None, True, "unknown"),
    ],
)
def test_that_a_contact_carries_its_lamp_and_the_inrush(
    rated: float | None, lamp: float | None, filament: bool, verdict: str
) -> None:
    check = contact_rating_check(rated, lamp, filament)
    assert check.verdict == verdict
    assert told(check)


def test_that_a_diode_glows_through_a_leak_by_ohm_s_law() -> None:
    check = glow_check(14.4, 2.0, 22e3, 680.0)
    assert check.number is not None
    assert check.number.value == pytest.approx(12.4 / 22_680.0)
    assert check.verdict == "caution"
    unmeasured = glow_check(14.4, 2.0, None, 680.0)
    assert unmeasured.verdict == "unknown"
    assert told(check)
    assert told(unmeasured)
    assert told(glow_check(14.4, 2.0, 1e6, 680.0))


@pytest.mark.parametrize(
    ("ohms", "watts", "verdict"),
    [(82.0, 5.1, "good"), (82.0, 5.0, "stop"), (82.0, None, "unknown"), (math.inf, 5.0, "stop")],
)
def test_that_an_exciting_resistor_needs_current_and_twice_its_watts(
    ohms: float, watts: float | None, verdict: str
) -> None:
    found = excitation(2.0, 12.0, ohms, 14.4, watts)
    assert found.check.verdict == verdict
    assert told(found.check)
