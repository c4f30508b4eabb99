"""What the verdict means is taken from the assessment, and never better than it is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.message import Message, SiValue
from catalog.parts.gauge import DialMark
from catalog.parts.laws import Point, TableLaw
from catalog.quantities.amounts import Amount
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.checks.check import Verdict
from retrofit.plan.conclusion import conclusion_of
from retrofit.plan.document import DutyMark, Plan
from retrofit.plan.mark_readings import weightiest
from tests.sheet.sheets import DEMOS, assessed, plan

GOOD = ("conclusion.good",)


def keys(found: Assessment) -> list[str]:
    return [one.key for one in conclusion_of(found)]


def value(found: Message, name: str) -> float:
    number = dict(found.values)[name]
    assert isinstance(number, SiValue)
    return number.value


def test_that_a_needle_that_hides_danger_is_told_first_with_true_and_shown() -> None:
    found = assessed("harbour-launch")
    first = conclusion_of(found)[0]
    assert first.key == "conclusion.stop.hides"
    alarm = next(one for one in found.marks if one.mark.name == "alarm")
    assert (value(first, "at"), value(first, "shown")) == (alarm.at, alarm.shown)


@pytest.mark.parametrize("name", ["harbour-launch", "vineyard-tractor"])
def test_that_no_resistor_is_said_where_it_is_proven_with_two_real_cures(name: str) -> None:
    found = assessed(name)
    said = next(one for one in conclusion_of(found) if one.key == "conclusion.no_resistor")
    one, two = (dict(said.values)[name] for name in ("one", "two"))
    assert isinstance(one, Message)
    assert isinstance(two, Message)
    assert (one.key, two.key) == ("law.cure.sender", "law.cure.converter")


def test_that_a_needle_that_may_err_is_used_with_care_within_its_worst_case() -> None:
    found = assessed("standby-generator")
    first = conclusion_of(found)[0]
    assert first.key == "conclusion.caution.mark"
    idle = next(one for one in found.marks if one.mark.name == "alarm at idle")
    assert (value(first, "low"), value(first, "high")) == (idle.worst_low, idle.worst_high)


@pytest.mark.parametrize("name", DEMOS)
def test_that_every_check_that_is_unknown_is_counted(name: str) -> None:
    found = assessed(name)
    count = sum(one.verdict is Verdict.UNKNOWN for one in found.checks)
    told = [
        dict(one.values)["count"] for one in conclusion_of(found) if "count" in dict(one.values)
    ]
    assert told == ([count] if count else [])
    assert found.verdict is not Verdict.GOOD
    assert not set(GOOD) & set(keys(found))


def test_that_nobody_can_say_where_everything_is_unknown() -> None:
    base = plan("standby-generator")
    pairing = base.pairing()
    bare = replace(pairing.gauge, scaled_for=None, marks=())
    found = assess(replace(base, pairings=(replace(pairing, gauge=bare),)))
    assert found.verdict is Verdict.UNKNOWN
    assert keys(found) == ["conclusion.unknown.more"]


def test_that_a_trim_that_does_not_help_is_said_not_to() -> None:
    said = keys(assessed("all"))
    assert "conclusion.trim_wrong" in said
    assert "conclusion.trim" not in said


def steeper() -> Plan:
    """A tank sender that a resistor across it could tame: nothing forbids that."""
    base = plan("vineyard-tractor")
    pairing = base.pairing()
    points = tuple(
        Point(Amount(at, "%"), Amount(ohm, "Ω")) for at, ohm in ((0.0, 300.0), (100.0, 33.5))
    )
    marks = tuple(
        DialMark(Amount(at, "%"), Amount(ohm, "Ω")) for at, ohm in ((0.0, 240.0), (100.0, 33.0))
    )
    gauge = replace(pairing.gauge, scaled_for=None, marks=marks)
    law = TableLaw(points, shape="straight")
    changed = replace(pairing, gauge=gauge, sender=replace(pairing.sender, law=law))
    named = (DutyMark("quarter", Amount(25.0, "%"), None, "low"),)
    return replace(base, duty=replace(base.duty, marks=named), pairings=(changed,))


def test_that_resistors_are_to_be_sought_where_nothing_forbids_them() -> None:
    found = assess(steeper())
    assert found.verdict is Verdict.STOP
    assert found.proof_of_no is None
    assert "conclusion.maybe_resistor" in keys(found)


def test_that_the_weightiest_mark_flatters_before_it_errs() -> None:
    found = assessed("harbour-launch")
    safe = [
        replace(one, mark=replace(one.mark, flatters="high" if one.mark.name == "alarm" else "low"))
        for one in found.marks
    ]
    mark = weightiest(tuple(safe))
    assert mark is not None
    assert mark.mark.name == "thermostat"  # 10.2 °C too low, where too low hides danger
    assert weightiest(()) is None
