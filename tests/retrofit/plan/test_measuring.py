"""Everything that is not known has a step that would tell it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from retrofit.installation import Supply
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Plan
from retrofit.plan.measuring import Measuring, measurings_of
from tests.sheet.sheets import DEMOS, RENDERER, assessed, plan

NAMES = [*DEMOS, "all"]


def steps(found: Assessment) -> dict[str, Measuring]:
    return {one.name: one for one in measurings_of(found)}


@pytest.mark.parametrize("name", NAMES)
def test_that_every_step_has_words_for_what_with_what_where_and_its_caution(name: str) -> None:
    for one in measurings_of(assessed(name)):
        for part in (one.what, one.instrument, one.where, one.caution):
            assert part is None or RENDERER.sentence(part)


@pytest.mark.parametrize("name", NAMES)
def test_that_what_nobody_stated_has_a_step_each(name: str) -> None:
    found = assessed(name)
    assert found.spread is not None
    told = {one.key.removeprefix("unstated.") for one in found.spread.unstated}
    assert told <= set(steps(found))


@pytest.mark.parametrize("name", NAMES)
def test_that_every_unknown_check_has_a_step(name: str) -> None:
    found = assessed(name)
    said = {one.what.key for one in measurings_of(found)}
    named = steps(found)
    for check in found.checks:
        if check.verdict is not Verdict.UNKNOWN:
            continue
        by_name = {"earth": "earth", "controller": "controller", "thread": "threads"}
        by_name |= {"current": "original", "supply": "pull_off", "offset": "earth_volts"}
        of_spread = check.why.key == "check.spread.unstated"
        assert check.says.key in said or by_name.get(check.name) in named or of_spread


def test_that_steps_at_a_fuel_tank_warn_of_vapour_and_never_earth_the_lead() -> None:
    named = steps(assessed("vineyard-tractor"))
    for name in ("earth", "sender", "original", "return"):
        caution = named[name].caution
        assert caution is not None
        assert caution.key == "measuring.caution.fuel"
    assert "never earth the lead" in RENDERER.sentence(named["original"].where)
    threads = named["threads"].caution
    assert threads is not None
    assert threads.key == "measuring.caution.open_tank"


def test_that_a_hot_engine_is_let_cool_before_its_port_is_opened() -> None:
    caution = steps(assessed("standby-generator"))["threads"].caution
    assert caution is not None
    assert caution.key == "measuring.caution.cold"


def test_that_ohms_are_read_with_the_battery_off_and_currents_behind_the_fuse() -> None:
    named = steps(assessed("standby-generator"))
    assert {named[name].battery for name in ("earth", "coils", "return")} == {"off"}
    assert named["gauge_current"].battery == "on"
    caution = named["gauge_current"].caution
    assert caution is not None
    assert caution.key == "measuring.caution.fused"


def test_that_the_gauge_is_measured_before_its_dial() -> None:
    named = list(steps(assessed("vineyard-tractor")))
    assert named.index("coils") < named.index("dial")


def known() -> Plan:
    """The launch with pole, earth, coils and supply told."""
    base = plan("all")
    pairing = base.pairing()
    supply = Supply(Amount(13.5, "V"), Amount(11.0, "V"), Amount(14.4, "V"), earthed="negative")
    installation = replace(
        pairing.installation, supply=supply, sender_earth=Figure(Amount(0.1, "Ω"))
    )
    return replace(base, pairings=(replace(pairing, installation=installation),))


def test_that_what_is_told_has_no_step() -> None:
    named = steps(assess(known()))
    assert not {"pole", "return", "coils", "gauge_current", "earth"} & set(named)


def test_that_a_reading_nobody_can_tell_is_asked_first() -> None:
    base = plan("harbour-launch")
    pairing = base.pairing()
    bare = replace(pairing.gauge, scaled_for=None, marks=())
    found = assess(replace(base, pairings=(replace(pairing, gauge=bare),)))
    first = measurings_of(found)[0]
    assert (first.name, first.where) == ("reading", found.reason)
