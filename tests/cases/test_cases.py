"""Worked cases of the trade, each as a plan that a user would type.

Figures and doubts lie in ``cases.json``. Where a figure has no tolerance, half its last digit
is taken. Where a figure was made with straight lines between marks, the smooth law through the
same marks is asserted, worked out here from its formula, and the straight figure beside it.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from retrofit.circuit.reduction import Reduction, Voltage
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Check, Verdict
from retrofit.wired import SIGNAL_NODE, Supplies, wired
from tests.retrofit.plan.plans import Raw, assessed, check_of, gauge, mark, plan, sender, shown

CASES: dict[str, Any] = json.loads(
    Path(__file__).with_name("cases.json").read_text(encoding="utf-8")
)["cases"]

HALF = {"0": "0 %", "25": "25 %", "50": "50 %", "75": "75 %", "100": "100 %"}
LEVELS = [mark(name, at, "high") for name, at in HALF.items()]


def expected(case: str) -> Any:
    return CASES[case]["expected"]


def level(case: str, dial: str = "gauge", source: str = "sender", **fields: Any) -> Assessment:
    """The case's two tables in a plan for a tank; the track of the sender is straight."""
    one = CASES[case]
    made = sender(one[source], shape="straight")
    return assessed(plan(gauge(one[dial]), made, marks=LEVELS, **fields))


def on_dial(found: Assessment, ohms: float) -> float:
    """Shown with a resistor in the sender's place, stops ignored [SI]."""
    assert found.needle is not None
    return float(found.needle.dial.value(np.array([ohms]))[0])


def number_of(check: Check) -> float:
    """The number that was judged [SI]."""
    assert check.number is not None
    return check.number.value


def drawn_for(rows: dict[str, str], quantity: str, shape: str | None = None, **scale: str) -> Raw:
    """A gauge drawn for the class with these points."""
    law = sender(rows, quantity, shape=shape)["law"]
    return gauge(
        None, quantity, scaled_for={"key": "own", "name": "Its class", "law": law}, **scale
    )


def smooth(ohms: float) -> float:
    """240/103/33 Ω by the family law: q = (103 − 33)/(240 − 103)."""
    s, q = (240.0 - ohms) / 207.0, 70.0 / 137.0
    return q * s / (1.0 - s + q * s)


def straight(ohms: float) -> float:
    return float(np.interp(-ohms, [-240.0, -103.0, -33.0], [0.0, 0.5, 1.0]))


def test_that_c01_reads_two_thirds_at_empty_and_off_scale_at_full() -> None:
    want, found = expected("C01"), level("C01")
    assert shown(found, "0") == pytest.approx(smooth(75.0), rel=1e-9)
    assert smooth(75.0) == pytest.approx(0.667, abs=5e-4)
    assert straight(75.0) == pytest.approx(want["at_empty_straight"], abs=0.005)
    low, high = want["at_quarter"]
    assert low <= shown(found, "25") <= high
    assert shown(found, "25") == pytest.approx(smooth(58.75), rel=1e-9)
    low, high = want["at_half"]
    assert low <= shown(found, "50") <= high
    assert shown(found, "50") == pytest.approx(smooth(42.5), rel=1e-9)
    full = found.marks[-1]
    assert full.held == 1
    assert full.shown == pytest.approx(1.05)
    ends = level("C01", "ends")
    assert shown(ends, "0") == pytest.approx(want["at_empty_ends"], abs=want["tol"])
    assert shown(ends, "0") == pytest.approx((240.0 - 75.0) / 207.0)
    assert check_of(found, "mark", "0").verdict is Verdict.STOP
    assert check_of(found, "flatters").verdict is Verdict.STOP


def test_that_c02_runs_backwards_and_meets_its_figures_at_the_marks() -> None:
    want, found = expected("C02")["shown"], level("C02")
    direction = check_of(found, "direction")
    assert (direction.verdict, direction.why.key) == (Verdict.STOP, "check.direction.law")
    assert [shown(found, name) for name in ("25", "50", "75", "100")] == pytest.approx(
        [smooth(r) for r in (47.5, 95.0, 142.5, 190.0)], rel=1e-9
    )
    for ohms, read in want.items():
        # The figures are those of straight lines, and 1.0 a needle held at full.
        assert min(straight(float(ohms)), 1.0) == pytest.approx(read, abs=0.005)
        # Two interpolations of the same three points differ by 8 % of span at most.
        if float(ohms) >= 33.0:
            assert on_dial(found, float(ohms)) == pytest.approx(read, abs=0.05)
    assert found.marks[0].held == 1
    assert [on_dial(found, r) for r in (240.0, 103.0, 33.0)] == pytest.approx(
        [0.0, 0.5, 1.0], abs=1e-12
    )


def test_that_c03_is_off_by_a_sixth_of_the_scale_at_half() -> None:
    want, found = expected("C03"), level("C03")
    reads = [shown(found, name) for name in ("25", "50", "75")]
    assert reads == pytest.approx([smooth(r) for r in (188.0, 136.0, 84.0)], rel=1e-9)
    assert reads == pytest.approx(want["smooth"], abs=0.0005)
    assert [straight(r) for r in (188.0, 136.0, 84.0)] == pytest.approx(want["straight"], abs=0.005)
    assert reads[1] - 0.5 == pytest.approx(-0.16, abs=0.005)


def test_that_c05_is_off_at_empty_and_no_resistor_across_the_sender_mends_it() -> None:
    want = expected("C05")
    assert shown(level("C05"), "0") == pytest.approx(want["raw_empty"], abs=0.005)
    full = {"across sender": f"{want['Rp_full']} Ω"}
    trimmed = level("C05", trim=full)
    assert shown(trimmed, "100") == pytest.approx(1.0, abs=5e-4)
    assert shown(trimmed, "0") == pytest.approx(want["empty_after"], abs=0.005)
    balanced = level("C05", trim={"across sender": f"{want['minimax_Rp']} Ω"})
    errors = [balanced.marks[0].error, balanced.marks[-1].error]
    assert errors == pytest.approx([want["minimax_err"], -want["minimax_err"]], abs=0.005)
    assert errors[0] == pytest.approx(40.0 * 84.0 / 124.0 / 90.0, rel=1e-9)


def test_that_c09_runs_backwards_and_mirrored_with_100_ohms_reads_0_71_at_empty() -> None:
    assert check_of(level("C09"), "direction").verdict is Verdict.STOP
    mirrored = level("C09", source="mirrored", trim={"series at sender": "100 Ω"})
    assert check_of(mirrored, "direction").verdict is Verdict.GOOD
    want = expected("C09")["mirrored_plus_100_empty"]
    assert shown(mirrored, "0") == pytest.approx(want, abs=0.005)
    assert shown(mirrored, "0") == pytest.approx(250.0 / 350.0, rel=1e-9)
    assert shown(mirrored, "100") == pytest.approx(1.0)


def test_that_c13_reads_five_sixths_at_full_and_series_ohms_only_move_the_other_end() -> None:
    want = expected("C13")
    assert shown(level("C13"), "100") == pytest.approx(want["linear_reading"], abs=0.005)
    padded = level("C13", trim={"series at sender": "5 Ω"})
    assert shown(padded, "0") == pytest.approx(want["series5_empty_linear"], abs=0.005)
    assert shown(padded, "100") == pytest.approx(1.0)


def test_that_c14_climbs_to_full_as_the_tank_loses_its_earth() -> None:
    want = expected("C14")

    def earthed(ohms: float) -> Assessment:
        one = CASES["C14"]
        marks = [mark("3 of 10", "30 %", "high"), mark("empty", "0 %", "high")]
        made = sender(one["sender"], shape="straight")
        wiring = {"sender_earth": f"{ohms!r} Ω"}
        dial = gauge(one["gauge"])
        return assessed(plan(dial, made, marks=marks, wiring=wiring, allowed="3 %"))

    assert shown(earthed(want["extra_ohm_at_3_of_10"]), "3 of 10") == pytest.approx(1.0)
    assert shown(earthed(want["always_full_when_extra_ge"]), "empty") == pytest.approx(1.0)
    # One hundredth of the scale is what an earth may add.
    limit = earthed(want["earth_limit_ohm"])
    assert shown(limit, "empty") == pytest.approx(0.01)
    assert check_of(earthed(49.0), "flatters").verdict is Verdict.STOP
    # The check of the earth, where 3 % are allowed and a third of that is little.
    earth = {ohms: check_of(earthed(ohms), "earth") for ohms in (want["earth_limit_ohm"], 49.0)}
    assert [check.verdict for check in earth.values()] == [Verdict.GOOD, Verdict.STOP]
    assert [number_of(check) for check in earth.values()] == pytest.approx([0.01, 0.7])


def test_that_c15_is_a_falling_class_and_144_ohms_stands_at_0_31() -> None:
    want = expected("C15")
    one = CASES["C15"]
    found = assessed(plan(gauge(one["gauge"]), sender(one["gauge"])))
    low, high = want["level_smooth"]
    assert low <= on_dial(found, want["ohms"]) <= high
    assert on_dial(found, want["ohms"]) == pytest.approx(smooth(144.0), rel=1e-9)
    assert straight(144.0) == pytest.approx(want["level_straight"], abs=0.005)
    assert found.lead_open is not None
    assert found.lead_earthed is not None
    assert (found.lead_open.held, found.lead_earthed.held) == (-1, 1)  # empty, full
    ends = assessed(plan(gauge(one["ends"]), sender(one["gauge"])))
    assert on_dial(ends, want["ohms"]) == pytest.approx(want["level_linear"], abs=0.005)


def test_that_c28_stands_for_187_degrees_fahrenheit() -> None:
    rows, want = CASES["C28"]["sender"], expected("C28")
    made = drawn_for(rows, "temperature", "thermistor", low="100 °F", high="208 °F")
    found = assessed(
        plan(
            made,
            sender(rows, "temperature", shape="thermistor"),
            low="100 °F",
            high="208 °F",
        )
    )
    celsius = on_dial(found, 88.0)
    fahrenheit = celsius * 9.0 / 5.0 + 32.0
    # In ohms 188.1, in their logarithm 187.4; a smooth curve through all points lies between.
    in_log = 180.0 + 20.0 * math.log(99.0 / 88.0) / math.log(99.0 / 72.0)
    assert in_log <= fahrenheit <= 180.0 + 20.0 * 11.0 / 27.0
    assert fahrenheit == pytest.approx(want["R88_F"], abs=0.7)
    assert celsius == pytest.approx(want["R88_C"], abs=0.7)


@pytest.mark.parametrize("ohms", ["1", "5", "10"])
def test_that_c29_a_falling_thermistor_reads_low_by_the_ohms_in_its_earth(ohms: str) -> None:
    rows, want = CASES["C29"]["sender"], expected("C29")
    made = drawn_for(rows, "temperature", "thermistor", low="100 °F", high="300 °F")
    found = assessed(
        plan(
            made,
            sender(rows, "temperature", shape="thermistor"),
            low="100 °F",
            high="300 °F",
            marks=[mark("200", "200 °F", "low"), mark("250", "250 °F", "low")],
            wiring={"sender_earth": f"{ohms} Ω"},
        )
    )
    for reading in found.marks:
        name = reading.mark.name
        figure = want[f"dF_{name}"][ohms]
        low, high = ((edge - reading.at) * 1.8 for edge in (reading.low, reading.high))
        assert low - 0.05 <= figure <= high + 0.05
        assert reading.error * 1.8 == pytest.approx(figure, abs=0.05 + 0.07 * abs(figure))


def test_that_c29_an_unmeasured_earth_is_unknown_and_says_what_each_ohm_would_do() -> None:
    rows, want = CASES["C29"]["sender"], expected("C29")
    made = drawn_for(rows, "temperature", "thermistor", low="100 °F", high="300 °F")
    source = sender(rows, "temperature", shape="thermistor")
    for name in ("200", "250"):  # a falling thermistor moves most at the hot end of the range
        found = assessed(plan(made, source, low="100 °F", high=f"{name} °F"))
        earth, figure = check_of(found, "earth"), want[f"dF_{name}"]["1"]
        assert (earth.verdict, earth.why.key) == (Verdict.UNKNOWN, "check.earth.each_ohm")
        assert number_of(earth) * 1.8 == pytest.approx(figure, abs=0.05 + 0.07 * abs(figure))


def test_that_c29_falling_pressure_reads_low_and_rising_pressure_reads_high() -> None:
    want, one = expected("C29"), CASES["C29"]
    wiring = {"sender_earth": "10 Ω"}
    psi: Raw = {"low": "0 psi", "high": "80 psi"}
    falling = assessed(
        plan(
            gauge(one["falling"], "pressure", **psi),
            sender(one["falling"], "pressure"),
            marks=[mark("half", "40 psi", "high")],
            wiring=wiring,
            **psi,
        )
    )
    read = shown(falling, "half") / 6894.757293168362
    assert read == pytest.approx(80.0 * smooth(113.0), rel=1e-9)
    assert 80.0 * straight(113.0) == pytest.approx(want["falling_half_plus10_psi"], abs=0.05)
    rising = assessed(
        plan(
            drawn_for(one["rising"], "pressure"),
            sender(one["rising"], "pressure"),
            marks=[mark("half", "5 bar", "high")],
            wiring=wiring,
        )
    )
    bar = shown(rising, "half") / 1e5
    # 5 + 10/17 on a straight line; the smooth curve is 0.004 bar lower, and the band holds both.
    assert bar == pytest.approx(want["rising_5bar_plus10"], abs=0.01)
    assert rising.marks[0].high / 1e5 == pytest.approx(5.0 + 10.0 / 17.0, rel=1e-9)
    assert check_of(rising, "flatters").verdict is Verdict.STOP


def test_that_c32_a_fahrenheit_sender_reads_low_on_a_celsius_dial_and_the_other_way_round() -> None:
    one, want = CASES["C32"], expected("C32")
    us = sender(one["us"], "temperature", shape="thermistor")
    eu = sender(one["eu"], "temperature", shape="thermistor")
    eu_dial = drawn_for(one["eu"], "temperature", "thermistor", stop_high="130 °C")
    us_dial = drawn_for(
        one["us"], "temperature", "thermistor", low="75 °F", high="212 °F", stop_high="130 °C"
    )
    marks = [mark(name, f"{name} °C", "low") for name in ("60", "80", "90", "100")]
    scale: Raw = {"low": "40 °C", "high": "100 °C"}
    us_on_eu = assessed(plan(eu_dial, us, marks=marks, **scale))
    eu_on_us = assessed(plan(us_dial, eu, marks=marks, **scale))
    for found, figures in ((us_on_eu, want["us_on_eu"]), (eu_on_us, want["eu_on_us"])):
        for name, figure in figures.items():
            assert shown(found, name) == pytest.approx(figure, abs=want["tol"])
    assert us_on_eu.marks[0].ohms == pytest.approx(want["R_60C"], abs=0.5)
    assert shown(us_on_eu, "60") == pytest.approx(want["eu_shows"], abs=want["tol"])
    assert eu_on_us.marks[-1].ohms == pytest.approx(want["R_for_100C"], abs=1e-9)
    assert check_of(us_on_eu, "flatters").verdict is Verdict.STOP


def test_that_c37_a_logger_needs_a_pull_up_and_two_points_are_not_enough() -> None:
    one, want = CASES["C37"], expected("C37")
    movement = {
        "kind": "electronic",
        "pull_up": want["pullup"],
        "rail": "reference",
        "reference": want["excitation"],
    }
    found = assessed(
        plan(
            gauge(one["ends"], "pressure", movement=movement),
            sender(one["sender"], "pressure"),
            marks=[mark("5", "5 bar", "high")],
        )
    )
    pair = found.pairing
    circuit = wired(pair.gauge, pair.installation, pair.trim, Supplies(np.array([13.5])))
    assert circuit is not None
    law = Reduction(circuit.network, circuit.first, circuit.second).law(Voltage(SIGNAL_NODE))
    volts = law(np.array([10.0, 107.0, 184.0]))[0]
    assert volts == pytest.approx(want["V"], abs=0.0005)
    # An input set up with two points is straight in volts: it reads 6.9 bar at 5, and that is
    # what the band of a dial known at its ends only reaches to.
    assert found.marks[0].high / 1e5 == pytest.approx(want["two_point_at_5bar"], abs=0.05)
    assert check_of(found, "flatters").verdict is not Verdict.GOOD
    assert check_of(found, "mark", "5").verdict is not Verdict.GOOD


def test_that_every_stored_case_is_tried_and_says_what_it_doubts() -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    for name, case in CASES.items():
        assert f"test_that_{name.lower()}_" in text
        assert f'"{name}"' in text
        assert set(case.get("doubt", {})) <= set(case["expected"])
