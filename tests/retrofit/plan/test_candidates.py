"""What a part would do in a plan: the numbers of the assessment with that part put in."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from catalog.codec import decode
from catalog.errors import UserError
from catalog.library import load_generic
from catalog.parts.laws import UnknownLaw
from catalog.parts.sender import Sender
from retrofit.plan.assess import assess
from retrofit.plan.candidates import CURVE_POINTS, best_first, rate
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Plan
from tests.retrofit.plan import plans

GOOD_ROWS = plans.TEMPERATURE_291_22
STEEP_ROWS = {"40 °C": "450 Ω", "80 °C": "100 Ω", "120 °C": "30 Ω"}


def plan(**fields: Any) -> Plan:
    marks = [plans.mark("alarm", "80 °C", "low")]
    gauge = plans.gauge(plans.TEMPERATURE_291_22, "temperature")
    sender = plans.sender(STEEP_ROWS, "temperature", shape="thermistor")
    return decode(plans.plan(gauge, sender, None, **{"marks": marks, **fields}), Plan, "test")


def sender(rows: plans.Rows) -> Sender:
    return decode(plans.sender(rows, "temperature", shape="thermistor"), Sender, "test")


def test_that_rating_the_part_that_is_in_the_plan_gives_the_numbers_of_the_plan() -> None:
    there = plan()
    found, rated = assess(there), rate(there, "A", there.pairings[0].sender)
    assert found.reading is not None
    assert rated.errors == tuple(found.reading.error[::5])
    assert len(rated.errors) == CURVE_POINTS
    assert rated.worst.value == max(
        *(abs(float(error)) for error in found.reading.error), abs(found.marks[0].error)
    )
    assert rated.share == rated.worst.value / 4.0
    assert rated.allowed == 4.0


def test_that_a_mark_with_a_smaller_allowed_error_of_its_own_decides() -> None:
    marks = [plans.mark("alarm", "80 °C", "low", allowed="0.5 K")]
    there = plan(marks=marks)
    found, rated = assess(there), rate(there, "A", there.pairings[0].sender)
    assert rated.share == pytest.approx(abs(found.marks[0].error) / 0.5)


def test_that_the_plan_and_its_other_pairings_are_left_alone() -> None:
    there = plan()
    beside = replace(there, pairings=(*there.pairings, replace(there.pairings[0], label="B")))
    rated = rate(beside, "B", sender(GOOD_ROWS))
    assert rated.share < rate(beside, "A", there.pairings[0].sender).share
    assert beside.pairings[1].sender == there.pairings[0].sender


def test_that_what_reads_true_comes_first_and_what_nobody_can_tell_last() -> None:
    there = plan()
    good, steep = sender(GOOD_ROWS), replace(sender(STEEP_ROWS), key="steep")
    nothing = Sender("nothing", "Nothing known", "temperature", UnknownLaw())
    rated = [rate(there, "A", part) for part in (nothing, steep, good)]
    assert [c.key for c in best_first(rated)] == ["sender", "steep", "nothing"]
    assert best_first(rated)[1].verdict is Verdict.STOP


def test_that_what_no_resistor_mends_comes_last_even_before_an_error_is_allowed() -> None:
    there = plan(allowed=None)
    rising = replace(sender({"40 °C": "20 Ω", "120 °C": "300 Ω"}), key="rising")
    good, steep = sender(GOOD_ROWS), replace(sender(STEEP_ROWS), key="steep")
    rated = [rate(there, "A", part) for part in (rising, steep, good)]
    assert [c.key for c in best_first(rated)] == ["sender", "steep", "rising"]
    assert [c.hopeless for c in best_first(rated)] == [False, False, True]
    # A gauge of another system, though it is drawn for the same sender, stands last as well.
    gauges = ("gauge-temperature-291-22-120c-ratio-24v", "gauge-temperature-482-19-150c-ratio-12v")
    found = best_first([rate(there, "A", load_generic().part(key)) for key in gauges])
    assert [c.key for c in found] == [gauges[1], gauges[0]]


def test_that_a_part_without_a_curve_says_so_and_has_no_numbers() -> None:
    rated = rate(plan(), "A", Sender("nothing", "Nothing", "temperature", UnknownLaw()))
    assert rated.verdict is Verdict.UNKNOWN
    assert rated.errors == ()
    assert math.isnan(rated.share)
    assert math.isnan(rated.worst.value)
    assert rated.says.key == "reading.no_sender"


def test_that_without_an_allowed_error_nothing_is_called_good() -> None:
    rated = rate(plan(allowed=None), "A", sender(GOOD_ROWS))
    assert rated.verdict is Verdict.UNKNOWN
    assert rated.allowed is None
    assert math.isnan(rated.share)
    assert not math.isnan(rated.worst.value)


def test_that_a_part_for_another_quantity_is_refused() -> None:
    with pytest.raises(UserError) as refused:
        rate(plan(), "A", load_generic().part("level-240-33-mid-103"))
    assert refused.value.messages[0].key == "plan.other_quantity"


def test_that_every_shipped_part_can_be_rated() -> None:
    there, library = plan(), load_generic()
    for kind in ("sender", "gauge"):
        for part in library.search("", quantity="temperature", kind=kind):
            rated = rate(there, "A", part)
            assert len(rated.errors) in (0, CURVE_POINTS)
            assert (rated.verdict is Verdict.GOOD) <= (not math.isnan(rated.share))
