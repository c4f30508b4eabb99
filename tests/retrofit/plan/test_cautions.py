"""Cautions are chosen by the facts of a plan (the usual ones of the trade: common practice)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.parts.fitting import Port, SenderFitting
from catalog.quantities.amounts import Amount
from retrofit.installation import TrimResistor
from retrofit.plan.assess import assess
from retrofit.plan.cautions import cautions_for
from retrofit.plan.document import Plan
from retrofit.plan.fit_document import Fit
from tests.sheet.sheets import plan as sheet_plan

ALWAYS = ["caution.battery", "caution.no_safety_device"]


def keys(plan: Plan) -> list[str]:
    return [one.key for one in assess(plan).cautions]


def with_threads(sender: str | None, port: str | None) -> Plan:
    plan = sheet_plan("harbour-launch")
    pairing = plan.pairing()
    there = replace(pairing.sender, fitting=SenderFitting(thread=sender))
    fit = Fit(port=Port(thread=port))
    return replace(plan, pairings=(replace(pairing, sender=there, fit=fit),))


@pytest.mark.parametrize("name", ["harbour-launch", "standby-generator", "vineyard-tractor"])
def test_that_battery_and_codes_are_named_in_every_plan(name: str) -> None:
    found = keys(sheet_plan(name))
    assert all(one in found for one in ALWAYS)
    assert len(found) == len(set(found)) <= 8


def test_that_a_taper_thread_is_warned_of_and_a_parallel_one_is_not() -> None:
    assert "caution.taper" in keys(with_threads("1/8-27 NPT", "1/8-27 NPT"))
    assert not {"caution.taper", "caution.maybe_taper"} & set(keys(with_threads("M10x1", "M10x1")))


def test_that_a_taper_port_alone_is_enough() -> None:
    assert "caution.taper" in keys(with_threads(None, "Rc 1/8"))


def test_that_threads_nobody_named_are_to_be_measured_first() -> None:
    assert "caution.maybe_taper" in keys(with_threads(None, None))
    assert "caution.maybe_taper" in keys(with_threads("M10x1", None))


def test_that_a_tank_sender_of_unknown_fitting_is_no_matter_of_castings() -> None:
    assert "caution.maybe_taper" not in keys(sheet_plan("vineyard-tractor"))


def test_that_a_needle_that_is_wrong_is_not_to_be_pulled() -> None:
    assert "caution.needle" in keys(sheet_plan("harbour-launch"))
    assert "caution.needle" not in keys(sheet_plan("standby-generator"))


def test_that_only_a_trim_gets_hot() -> None:
    plan = sheet_plan("harbour-launch")
    assert "caution.hot_resistor" not in keys(plan)
    trimmed = replace(plan.pairing(), trim=(TrimResistor("across sender", Amount(560.0, "Ω")),))
    assert "caution.hot_resistor" in keys(replace(plan, pairings=(trimmed,)))


def test_that_fuel_and_unknown_tanks_come_first() -> None:
    plan = sheet_plan("vineyard-tractor")
    fuel = replace(plan.duty, medium="petrol")
    assert cautions_for(fuel, plan.pairing())[0].key == "caution.fuel"
    unknown = replace(plan.duty, medium="unknown")
    assert cautions_for(unknown, plan.pairing())[0].key == "caution.unknown_tank"
