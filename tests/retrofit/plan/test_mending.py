"""Tests at the bench kept in a plan, what the original gave the sender, and potentiometers."""

from __future__ import annotations

from typing import Any

import pytest

from catalog.codec import decode, encode
from catalog.errors import UserError
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.plan.bench_tests import BenchTest
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Plan
from retrofit.trim.power import Loads
from tests.retrofit.plan.plans import (
    LEVEL_240_33,
    Raw,
    assessed,
    check_of,
    gauge,
    plan,
    sender,
)

RENDERER = Renderer(NumberStyle(nbsp=False), strict=True)


def bare(**fields: Any) -> Raw:
    return {**plan(gauge(LEVEL_240_33), sender(LEVEL_240_33)), **fields}


def refused(raw: Raw) -> str:
    with pytest.raises(UserError) as caught:
        decode(raw, Plan, "plan")
    return RENDERER.error(caught.value)


def test_that_a_plan_of_before_says_nothing_of_mending_and_reads_as_it_did() -> None:
    made = decode(bare(), Plan, "plan")
    assert (made.mends, made.tests, made.duty.original) == ("unknown", (), None)
    assert encode(made, Plan) == encode(decode(encode(made, Plan), Plan, "plan"), Plan)
    assert {"mends", "tests"} & set(encode(made, Plan)) == set()


def test_that_tests_limits_and_a_potentiometer_come_back_as_they_were_kept() -> None:
    raw = bare(
        mends="yes",
        tests=[
            {"kind": "supply", "done_on": "2031-05-24", "reading": "13.9 V"},
            {"kind": "earth", "overridden": "welded"},
        ],
    )
    raw["duty"]["original"] = {
        "current": {"is": "96 mA", "basis": "measured: my meter"},
        "open_volts": "7.9 V",
        "short_current": "160 mA",
        "supply": "14.4 V",
    }
    raw["pairings"][0]["trim"] = [
        {"place": "across sender", "value": "430 Ω", "rating": "0.5 W", "track": "1 kΩ"}
    ]
    again = encode(decode(raw, Plan, "plan"), Plan)
    for name in ("mends", "tests"):
        assert again[name] == raw[name]
    assert again["duty"]["original"] == raw["duty"]["original"]
    assert again["pairings"][0]["trim"] == raw["pairings"][0]["trim"]


@pytest.mark.parametrize(
    ("test", "sentence"),
    [
        ({"kind": "earth"}, "says nothing. Give its day and reading"),
        ({"kind": "earth", "done_on": "2031-05-24"}, "The test of the earth has no reading"),
        ({"kind": "supply", "reading": "13.9 V"}, "has the day —, which is none"),
        (
            {"kind": "gauge", "done_on": "24/5/31", "reading": "half"},
            "has the day 24/5/31, which is none. Write it as 2031-05-24.",
        ),
        (
            {"kind": "gauge", "done_on": "2031-02-30", "reading": "half"},
            "has the day 2031-02-30, which is none",
        ),
        (
            {"kind": "gauge", "done_on": "2031-05-24", "reading": "half", "overridden": "no time"},
            "is done and left out at once",
        ),
    ],
)
def test_that_half_a_test_is_refused_with_what_it_lacks(test: Raw, sentence: str) -> None:
    said = refused(bare(tests=[test]))
    assert sentence in said
    assert "tests[0]" in said


def test_that_blanks_are_no_reason_to_leave_a_test_out() -> None:
    with pytest.raises(UserError, match=r"tests\.neither"):
        BenchTest("earth", overridden="   ")


def test_that_two_tests_of_one_kind_are_refused() -> None:
    test = {"kind": "earth", "done_on": "2031-05-24", "reading": "0.1 Ω"}
    assert "two tests of the earth" in refused(bare(tests=[test, test]))


@pytest.mark.parametrize(
    ("resistor", "sentence"),
    [
        ({"value": "2 kΩ", "track": "1 kΩ"}, "set to 2 kΩ, more than its whole track of 1 kΩ"),
        ({"value": "430 Ω", "rating": "0 W"}, "may take 0 W takes nothing"),
    ],
)
def test_that_a_resistor_that_cannot_be_is_refused(resistor: Raw, sentence: str) -> None:
    raw = bare()
    raw["pairings"][0]["trim"] = [{"place": "across sender", **resistor}]
    assert sentence in refused(raw)


def test_that_an_original_of_nothing_is_refused() -> None:
    raw = bare()
    raw["duty"]["original"] = {"current": "0 mA"}
    assert "The original gauge gave the sender 0 mA" in refused(raw)


def test_that_c35_a_trim_over_a_dirty_earth_waits_for_its_tests() -> None:
    """A potentiometer across the sender 'worked' until the dirty earth was cleaned (worked case).

    Diagnose before trim: with the plan said to mend, nothing is good before the three tests.
    """
    rows = {"40 °C": "291.46 Ω", "80 °C": "70.12 Ω", "120 °C": "22.44 Ω"}
    raw = plan(
        gauge(rows, "temperature"),
        sender(rows, "temperature", shape="thermistor"),
        {"across sender": "200 Ω"},
    )
    before = check_of(assessed({**raw, "mends": "yes"}), "tests")
    assert before.verdict is Verdict.UNKNOWN
    assert "Test the supply before any trim" in RENDERER.sentence(before.says)
    kept = [
        {"kind": kind, "done_on": "2031-05-24", "reading": read}
        for kind, read in (("supply", "13.8 V"), ("earth", "6 Ω, 0.1 Ω cleaned"), ("gauge", "true"))
    ]
    after = check_of(assessed({**raw, "mends": "yes", "tests": kept}), "tests")
    assert after.verdict is Verdict.GOOD
    assert "6 Ω, 0.1 Ω cleaned" in RENDERER.sentence(after.why)
    assert [c for c in assessed({**raw, "mends": "no"}).checks if c.name == "tests"] == []


def test_that_the_watts_of_every_resistor_are_in_the_assessment() -> None:
    raw = plan(
        gauge(
            LEVEL_240_33, movement={"kind": "ratio", "supply_coil": "90 Ω", "earth_coil": "110 Ω"}
        ),
        sender(LEVEL_240_33),
        {"across sender": "470 Ω", "series at gauge": "10 Ω"},
    )
    found = assessed(raw).loads
    assert isinstance(found, Loads)
    places = [resistor.place for resistor, _ in found.resistors]
    assert places == ["across sender", "series at gauge"]
