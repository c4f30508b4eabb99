"""The dial: the family law against closed forms, marks, ends, classes, and the stops."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.arrays import Array
from catalog.codec import decode
from catalog.curves.characteristic import Characteristic
from catalog.parts.gauge import Gauge
from retrofit.dial import MarkedClass, MarkedDial, dial_curve, stops
from tests.retrofit.plan import plans
from tests.retrofit.plan.plans import LEVEL_240_33, TEMPERATURE_291_22, Raw, gauge

ENDS = {"0 %": "240 Ω", "100 %": "33 Ω"}
RISING_ENDS = {"0 %": "10 Ω", "100 %": "184 Ω"}


def made(*args: object, **fields: object) -> Gauge:
    return decode(gauge(*args, **fields), Gauge, "test")  # type: ignore[arg-type]


def dial(*args: object, **fields: object) -> Characteristic:
    found = dial_curve(made(*args, **fields))
    assert found is not None
    return found


def family(ohms: float, low: float, high: float, q: float) -> float:
    """f = q·s/(1 − s + q·s), written down again."""
    s = (ohms - low) / (high - low)
    return q * s / (1.0 - s + q * s)


def one(curve: Characteristic, ohms: float) -> float:
    return float(curve.value(np.array([ohms]))[0])


@pytest.mark.parametrize(("ohms", "f"), [(188.0, 0.1463), (136.0, 0.3403), (84.0, 0.6098)])
def test_that_a_falling_dial_with_its_half_at_103_ohms_follows_the_family_law(
    ohms: float, f: float
) -> None:
    curve = dial(LEVEL_240_33)
    assert one(curve, ohms) == pytest.approx(f, abs=5e-4)
    q = (103.0 - 33.0) / (240.0 - 103.0)  # q = f(1 − s)/(s(1 − f)) at f = ½
    assert q == pytest.approx(0.511, abs=5e-4)
    assert one(curve, ohms) == pytest.approx(family(ohms, 240.0, 33.0, q), rel=1e-12)


@pytest.mark.parametrize(
    ("rows", "q"),
    [
        ((240, 136, 33), 0.990),
        ((73, 23, 10), 0.260),
        ((70, 26, 12), 0.318),
        ((222, 65, 20), 0.287),
        ((0, 45, 90), 1.000),
        ((10, 107, 184), 0.794),
        ((10, 66, 149), 1.48),
    ],
)
def test_that_the_middle_mark_gives_the_q_of_its_class(
    rows: tuple[float, float, float], q: float
) -> None:
    points = tuple((x, float(y)) for x, y in zip((0.0, 0.5, 1.0), rows, strict=True))
    assert MarkedDial(points).q == pytest.approx(q, abs=5e-3 if q > 1.1 else 6e-4)


def test_that_ends_only_leave_the_known_band_at_the_most_telling_resistor() -> None:
    # Acceptance: 103 Ω, .328–.672 at q .25…1.05; the falling band of common practice is wider.
    telling = 240.0 - 207.0 / (1.0 + math.sqrt(0.25 * 1.05))
    assert round(telling) == 103
    assert family(telling, 240.0, 33.0, 0.25) == pytest.approx(0.328, abs=5e-4)
    assert family(telling, 240.0, 33.0, 1.05) == pytest.approx(0.672, abs=5e-4)
    low, high = sorted(one(kin, 103.0) for kin in dial(ENDS).alternatives())
    assert low == pytest.approx(family(103.0, 240.0, 33.0, 0.18), rel=1e-12)
    assert high == pytest.approx(family(103.0, 240.0, 33.0, 1.05), rel=1e-12)
    assert low < 0.328 < 0.672 < high


@given(
    st.lists(st.floats(0.05, 1.0), min_size=4, max_size=6),
    st.lists(st.floats(1.0, 100.0), min_size=4, max_size=6),
    st.booleans(),
)
def test_that_a_marked_dial_meets_its_marks_is_monotone_and_turns_back(
    steps: list[float], ohms: list[float], rising: bool
) -> None:
    n = min(len(steps), len(ohms))
    x, y = np.cumsum(steps[:n]), np.cumsum(ohms[:n])
    y = y if rising else y[::-1]
    curve = MarkedDial(tuple(zip(x.tolist(), y.tolist(), strict=True)))
    span = curve.high - curve.low
    assert curve.value(y) == pytest.approx(x, abs=1e-12 * span)
    between = np.linspace(y.min(), y.max(), 301)
    shown = curve.value(between)
    assert np.all(np.diff(shown) * (1.0 if rising else -1.0) > 0.0)
    back = curve.value(curve.output(np.linspace(curve.low, curve.high, 51)))
    assert back == pytest.approx(np.linspace(curve.low, curve.high, 51), abs=1e-9 * span)


@given(st.floats(20.0, 300.0), st.floats(40.0, 235.0))
def test_that_the_family_law_is_the_same_in_ohms_and_in_current(
    winding: float, ohms: float
) -> None:
    # s is a cross ratio of sorts: a bilinear change of variable changes q, not the family. With
    # the middle mark in both, the law through I = V/(R + Rg) is the law through R.
    curve = dial(LEVEL_240_33)
    current = [1.0 / (r + winding) for r in (240.0, 103.0, 33.0, ohms)]
    s = (current[1] - current[0]) / (current[2] - current[0])
    q = (1.0 - s) / s
    assert one(curve, ohms) == pytest.approx(
        family(current[3], current[0], current[2], q), rel=1e-9
    )


@given(st.floats(0.01, 100.0))
def test_that_a_dial_scaled_in_all_its_ohms_shows_the_same(k: float) -> None:
    points = ((0.0, 240.0), (0.25, 160.0), (0.5, 103.0), (1.0, 33.0))
    scaled = MarkedDial(tuple((x, y * k) for x, y in points))
    ohms = np.linspace(20.0, 260.0, 25)
    assert scaled.value(ohms * k) == pytest.approx(MarkedDial(points).value(ohms), rel=1e-9)


def test_that_a_heater_dial_known_at_its_ends_is_even_in_current_or_in_heat() -> None:
    movement = {"kind": "heater", "heater": "60 Ω", "feed": "10 V"}
    curve = dial({"0 %": "150 Ω", "100 %": "24 Ω"}, movement=movement)
    heat = [1.0 / (r + 60.0) for r in (150.0, 57.0, 24.0)]
    even = (heat[1] - heat[0]) / (heat[2] - heat[0])
    square = (heat[1] ** 2 - heat[0] ** 2) / (heat[2] ** 2 - heat[0] ** 2)
    (kin,) = curve.alternatives()
    assert one(curve, 57.0) == pytest.approx(even, rel=1e-12)
    assert one(kin, 57.0) == pytest.approx(square, rel=1e-12)
    assert curve.output(np.array([even])) == pytest.approx([57.0])
    assert kin.output(np.array([square])) == pytest.approx([57.0])


def test_that_a_two_point_voltage_calibration_lies_within_the_doubt_of_an_electronic_dial() -> None:
    # 5 V through 220 Ω, marks at 10 and 184 Ω: evenly divided in volts, 107 Ω is 6.89 bar.
    movement = {"kind": "electronic", "pull_up": "220 Ω", "rail": "reference", "reference": "5 V"}
    curve = dial({"0 bar": "10 Ω", "10 bar": "184 Ω"}, "pressure", movement=movement)
    volts = [5.0 * r / (r + 220.0) for r in (10.0, 107.0, 184.0)]
    even = 1e6 * (volts[1] - volts[0]) / (volts[2] - volts[0])
    assert even == pytest.approx(6.89e5, abs=500.0)
    assert max(one(kin, 107.0) for kin in curve.alternatives()) == pytest.approx(even, rel=1e-12)


def test_that_a_thermistor_dial_known_at_its_ends_is_likeliest_a_thermistor() -> None:
    curve = dial({"40 °C": "291.46 Ω", "120 °C": "22.44 Ω"}, "temperature")
    # Closed form of the beta law through both marks, at the geometric mean of the ohms.
    inverse = 0.5 * (1.0 / 313.15 + 1.0 / 393.15)
    middle = math.sqrt(291.46 * 22.44)
    assert one(curve, middle) == pytest.approx(1.0 / inverse - 273.15, rel=1e-9)
    assert len(curve.alternatives()) == 2


def test_that_a_volt_dial_is_straight_between_its_marks() -> None:
    curve = dial({"0 %": "0.5 V", "100 %": "4.5 V"}, movement={"kind": "voltage input"})
    assert curve.value(np.array([0.5, 1.5, 4.7])) == pytest.approx([0.0, 0.25, 1.05])
    assert curve.alternatives() == ()


def test_that_a_dial_without_marks_and_class_is_not_known() -> None:
    assert dial_curve(made()) is None


# --- a dial drawn for a class -------------------------------------------------------------------

CLASS: Raw = {
    "key": "class",
    "name": "The class",
    "law": {
        "kind": "table",
        "points": [{"at": at, "gives": gives} for at, gives in LEVEL_240_33.items()],
    },
}


def test_that_a_dial_drawn_for_a_class_has_the_classes_curve() -> None:
    built = made(None, scaled_for=CLASS)
    assert dial_curve(built) is built.own_class


def test_that_marks_that_are_the_classes_own_bend_nothing() -> None:
    built = made({"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}, scaled_for=CLASS)
    assert dial_curve(built) is built.own_class


def test_that_measured_marks_bend_the_curve_of_the_class() -> None:
    # What the user measured is not thrown away: 110 Ω puts this needle on the half mark.
    built = made({"0 %": "235 Ω", "50 %": "110 Ω", "100 %": "33 Ω"}, scaled_for=CLASS)
    curve = dial_curve(built)
    assert isinstance(curve, MarkedClass)
    assert curve.value(np.array([235.0, 110.0, 33.0])) == pytest.approx([0.0, 0.5, 1.0], abs=1e-12)
    ohms = np.linspace(25.0, 250.0, 101)
    assert np.all(np.diff(curve.value(ohms)) < 0.0)
    assert curve.output(curve.value(ohms)) == pytest.approx(ohms, rel=1e-9)
    for kin in curve.alternatives():
        assert kin.value(np.array([110.0])) == pytest.approx([0.5], abs=1e-9)


def test_that_marks_that_contradict_the_class_win_over_it() -> None:
    built = made(RISING_ENDS, scaled_for=CLASS)
    curve = dial_curve(built)
    assert curve is not None
    assert curve.rising
    assert one(curve, 184.0) == pytest.approx(1.0)


# --- how unsure it is ---------------------------------------------------------------------------


def gap(curve: Characteristic, ohms: Array) -> Array:
    shown = np.array([kin.value(ohms) for kin in (curve, *curve.alternatives())])
    return np.asarray(shown.max(axis=0) - shown.min(axis=0))


def test_that_the_doubt_is_nothing_at_a_mark_and_shrinks_when_one_is_added() -> None:
    ohms = np.linspace(33.0, 240.0, 300)
    ends, middle = dial(ENDS), dial(LEVEL_240_33)
    assert gap(middle, np.array([240.0, 103.0, 33.0])) == pytest.approx([0.0] * 3, abs=1e-9)
    assert np.max(gap(middle, ohms)) < 0.2 * np.max(gap(ends, ohms))
    rows = zip(("0 %", "25 %", "50 %", "75 %", "100 %"), (240, 158, 103, 63, 33), strict=True)
    more = dial({at: f"{needs} Ω" for at, needs in rows})
    assert np.max(gap(more, ohms)) < np.max(gap(middle, ohms))


@pytest.mark.parametrize(
    ("marks", "quantity", "share"),
    [(LEVEL_240_33, "level", 0.03), (TEMPERATURE_291_22, "temperature", 0.05)],
)
def test_that_one_middle_mark_keeps_the_usual_doubt(
    marks: dict[str, str], quantity: str, share: float
) -> None:
    # ±3 % of scale falling, ±5 % thermistor dials: common practice, no source.
    curve = dial(marks, quantity)
    rows = [float(text.split()[0]) for text in marks.values()]
    ohms = np.linspace(rows[-1], rows[0], 2001)
    span = curve.high - curve.low
    assert np.max(gap(curve, ohms)) == pytest.approx(2.0 * share * span, rel=2e-3)


@pytest.mark.parametrize("marks", [ENDS, LEVEL_240_33, RISING_ENDS, TEMPERATURE_291_22])
def test_that_no_alternative_warns_or_turns_at_zero_negative_or_endless_ohms(
    marks: dict[str, str],
) -> None:
    quantity = "temperature" if marks is TEMPERATURE_291_22 else "level"
    curve = dial(marks, quantity)
    ohms = np.array([-10.0, 0.0, 5.0, 1e3, 1e6, np.inf])
    for each in (curve, *curve.alternatives()):
        shown = each.value(ohms)
        assert not np.any(np.isnan(shown))
        assert np.all(shown[1:] >= shown[:-1]) or np.all(shown[1:] <= shown[:-1])
        assert np.isnan(each.value(np.array([np.nan]))[0])


# --- stops --------------------------------------------------------------------------------------


def test_that_stops_are_entered_or_assumed_at_5_per_cent_and_said_so() -> None:
    assumed, entered = stops(made(ENDS)), stops(made(ENDS, stop_low="-2 %", stop_high="103 %"))
    assert (assumed.low, assumed.high, assumed.assumed) == (-0.05, 1.05, True)
    assert (entered.low, entered.high, entered.assumed) == (-0.02, 1.03, False)
    assert stops(made(ENDS, stop_low="0 %")).assumed


def test_that_a_needle_that_just_touches_a_stop_is_not_held_by_it() -> None:
    found = stops(made(ENDS, stop_low="0 %", stop_high="100 %"))
    side = found.side(np.array([-np.inf, -0.01, -1e-16, 0.5, 1.0 + 1e-15, 1.01, np.inf, np.nan]))
    assert side[:-1].tolist() == [-1.0, -1.0, 0.0, 0.0, 0.0, 1.0, 1.0]
    assert np.isnan(side[-1])


@pytest.mark.parametrize(
    "rows",
    [
        {"0 %": "73 Ω", "50 %": "23 Ω", "100 %": "10 Ω"},
        {"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"},
        {"0 %": "10 Ω", "25 %": "40.5 Ω", "50 %": "66 Ω", "75 %": "95 Ω", "100 %": "149 Ω"},
    ],
)
def test_that_one_table_on_both_sides_reads_true_and_its_unknown_shape_is_a_band(
    rows: dict[str, str],
) -> None:
    found = plans.assessed(plans.plan(plans.gauge(rows), plans.sender(rows)))
    assert found.reading is not None
    assert found.band is not None
    assert np.max(np.abs(found.reading.error)) < 1e-9
    assert np.max(found.band.high - found.band.low) > 0.01


def test_that_one_thermistor_table_on_both_sides_reads_true() -> None:
    rows = plans.TEMPERATURE_291_22
    gauge, sender = (
        plans.gauge(rows, "temperature"),
        plans.sender(rows, "temperature", shape="thermistor"),
    )
    found = plans.assessed(plans.plan(gauge, sender))
    assert found.reading is not None
    assert np.max(np.abs(found.reading.error)) < 1e-9 * 80.0
