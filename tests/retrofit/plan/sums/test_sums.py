"""Each printed formula with its printed inputs gives the number that is shown, to 1e-9."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from catalog.library import load_generic
from catalog.message import SiValue
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.provenance import BasisKind
from catalog.quantities.amounts import Amount
from catalog.quantities.show import NumberStyle
from retrofit.installation import Installation, Supply
from retrofit.messages import Renderer
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.document import Duty, DutyMark, Pairing, Plan
from retrofit.plan.sums import Sum, sums_at, sums_of_check, sums_of_mark, sums_of_trim
from retrofit.plan.sums.checks import METHODS
from tests.retrofit.plan.sums.formulas import worked_out
from tests.sheet.sheets import DEMOS
from tests.sheet.sheets import plan as sheet_plan

RENDERER = Renderer(NumberStyle(), strict=True)
NAMES = (*DEMOS, "all")


@cache
def assessed(name: str) -> Assessment:
    return assess(sheet_plan(name), likely=True)


def said_by(found: Sum) -> float:
    numbers = {one.symbol: one.number for one in found.inputs if one.symbol}
    return worked_out(found.formula, numbers)


def agrees(found: Sum) -> bool:
    value = found.result.value
    return math.isclose(said_by(found), value, rel_tol=1e-9, abs_tol=1e-9 * max(1.0, abs(value)))


def every_sum(found: Assessment) -> Iterator[Sum]:
    for mark in found.marks:
        yield from sums_of_mark(found, mark)
    for check in found.checks:
        yield from sums_of_check(found, check)
    yield from sums_of_trim(found)
    for x in np.linspace(*found.plan.duty.span, 17):
        yield from sums_at(found, float(x))


@pytest.mark.parametrize("name", NAMES)
def test_that_every_closed_formula_gives_the_number_that_is_shown(name: str) -> None:
    sums = list(every_sum(assessed(name)))
    closed = [one for one in sums if one.closed]
    assert closed
    assert [one.title for one in closed if not agrees(one)] == []


@pytest.mark.parametrize("name", NAMES)
def test_that_a_sum_without_a_formula_names_its_method(name: str) -> None:
    for one in every_sum(assessed(name)):
        assert one.formula or one.method is not None


@pytest.mark.parametrize("name", NAMES)
def test_that_every_sum_of_a_plan_is_said_in_full(name: str) -> None:
    for one in every_sum(assessed(name)):
        said = [one.title, *(each.name for each in one.inputs)]
        said += [] if one.method is None else [one.method]
        assert all(RENDERER.sentence(each) for each in said)


@pytest.mark.parametrize("name", NAMES)
def test_that_every_number_that_a_check_judged_has_a_sum(name: str) -> None:
    found = assessed(name)
    for check in found.checks:
        sums = sums_of_check(found, check)
        assert bool(sums) == (check.number is not None)
        if check.number is not None:
            assert sums[0].result.value == pytest.approx(check.number.value, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_that_the_sums_of_a_mark_end_in_what_the_mark_shows(name: str) -> None:
    found = assessed(name)
    for mark in found.marks:
        by_symbol = {one.symbol: one for one in sums_of_mark(found, mark) if one.symbol}
        assert by_symbol["R"].result.value == pytest.approx(mark.ohms, rel=1e-9)
        assert by_symbol["s"].result.value == pytest.approx(mark.shown, rel=1e-9)
        assert by_symbol["e"].result.value == pytest.approx(mark.error, rel=1e-9, abs=1e-9)


def test_that_the_chain_hands_each_result_on_to_the_next_sum() -> None:
    found = assessed("all")
    chain = [one for one in sums_of_mark(found, found.marks[0]) if one.symbol]
    for before, after in pairwise(chain):
        assert any(one.value == before.result for one in after.inputs)


def test_that_a_network_lists_its_elements_with_where_they_come_from() -> None:
    found = assessed("all")
    seen = next(one for one in sums_of_mark(found, found.marks[0]) if one.symbol == "S")
    assert seen.method is not None
    assert seen.method.key == "sum.method.network"
    elements = [one for one in seen.inputs if not one.symbol]
    assert seen.method.value("elements") == len(elements)
    bases = {RENDERER.sentence(one.name): one.basis for one in elements}
    assert bases["coil to the supply"].kind is BasisKind.MEASURED
    assert bases["supply"].source == "entered in this plan"


def test_that_unknown_coils_leave_the_ohms_of_the_path_as_a_formula() -> None:
    found = assessed("harbour-launch")
    seen = next(one for one in sums_of_mark(found, found.marks[0]) if one.symbol == "S")
    assert seen.formula == "R + Re"


def test_that_the_power_of_each_resistor_is_current_squared_times_ohms() -> None:
    sums = sums_of_trim(assessed("all"))
    assert len(sums) == len(assessed("all").pairing.trim)
    for one in sums:
        values = {each.symbol: each.number for each in one.inputs}
        assert one.result.value == pytest.approx(values["I"] ** 2 * values["R"], rel=1e-9)


def _pairs() -> Iterator[tuple[Sender, Gauge]]:
    """Each shipped sender with the first gauges of its quantity and signal."""
    shelf = load_generic()
    for sender in shelf.senders:
        fits = [
            one
            for one in shelf.gauges
            if one.quantity == sender.quantity and one.signal is sender.signal
        ]
        for gauge in fits[:3]:
            yield sender, gauge


def _plan_of(sender: Sender, gauge: Gauge) -> Plan:
    low, high = gauge.low, gauge.high
    kind = gauge.quantity_kind
    middle = Amount((low.number + high.number) / 2.0, low.unit)
    duty = Duty(gauge.quantity, low, high, (DutyMark("middle", middle),))
    assert duty.span == (low.si(kind), high.si(kind))
    installation = Installation(Supply(Amount(13.5, "V"), Amount(11.0, "V"), Amount(14.4, "V")))
    return Plan("each class", duty, (Pairing("A", gauge, sender, installation),))


def test_that_every_shipped_class_shows_its_sums() -> None:
    told = 0
    for sender, gauge in _pairs():
        if gauge.low.unit != gauge.high.unit:
            continue
        found = assess(_plan_of(sender, gauge))
        for mark in found.marks:
            for one in sums_of_mark(found, mark):
                if one.closed:
                    assert agrees(one), (sender.key, gauge.key, one.title, one.formula)
                    told += 1
    assert told > 200


def test_that_no_sum_is_told_where_nobody_can_tell_a_reading() -> None:
    found = assessed("harbour-launch")
    beyond = found.plan.duty.span[1] + 1e6
    assert sums_at(found, beyond) == ()


def test_that_every_method_of_a_check_has_its_words() -> None:
    for name in sorted(METHODS):
        assert RENDERER.known(f"sum.method.check.{name}")


def test_that_results_are_numbers_with_their_kind() -> None:
    for one in every_sum(assessed("all")):
        assert isinstance(one.result, SiValue)
