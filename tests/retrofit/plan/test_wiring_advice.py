"""Wires and fuse that a plan proposes: what flows, what the needle allows, what the user gave."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from catalog.parts.gauge import RatioMovement
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.show import NumberStyle
from catalog.wires import conductor
from retrofit.installation import Installation, Load, Path, Run, WarningLamp, Wire
from retrofit.messages import Renderer
from retrofit.plan.checks.check import SMALL
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.shifts import along, installed
from retrofit.plan.wire_currents import ASSUMED_GAUGE, run_currents
from retrofit.plan.wiring_advice import advice_of, needle_ohms
from tests.sheet.sheets import DEMOS
from tests.sheet.sheets import plan as sheet_plan

RENDERER = Renderer(NumberStyle(), strict=True)


def known() -> tuple[Pairing, Duty]:
    """A ratio gauge of 90 and 110 Ω with a trim, wires and panel lights."""
    plan = sheet_plan("all")
    return plan.pairing(), plan.duty


def wired(**changes: object) -> tuple[Pairing, Duty]:
    pairing, duty = known()
    installation: Installation = replace(pairing.installation, **changes)  # type: ignore[arg-type]
    return installed(pairing, installation), duty


def bare() -> tuple[Pairing, Duty]:
    """The same with no wires, loads or trim, and a perfect earth."""
    pairing, duty = wired(loads=(), signal=Path(), sender_earth=None)
    return replace(pairing, trim=()), duty


def test_that_a_bare_ratio_gauge_takes_its_coils_currents_by_ohm_s_law() -> None:
    pairing, _ = bare()
    assert isinstance(pairing.gauge.movement, RatioMovement)
    found = run_currents(pairing)
    high = 14.4
    assert found.amperes["feed"] == pytest.approx(high / 90.0, rel=1e-6)  # sender's lead on earth
    assert found.amperes["signal"] == pytest.approx(high / 90.0, rel=1e-6)
    assert found.amperes["gauge earth"] == pytest.approx(high / 200.0, rel=1e-6)  # lead off
    assert not found.assumed


def test_that_a_load_of_known_watts_adds_its_current_at_the_highest_supply() -> None:
    pairing, _ = bare()
    load = Load("lights", "gauge earth", watts=Amount(5.0, "W"))
    lit = run_currents(installed(pairing, replace(pairing.installation, loads=(load,))))
    ohms = 13.5**2 / 5.0
    added = lit.amperes["shared feed"] - run_currents(pairing).amperes["shared feed"]
    assert added == pytest.approx(14.4 / ohms, rel=1e-6)


def test_that_what_charges_and_cranks_is_left_to_the_engine_s_own_strap() -> None:
    charge = Load("charging", "engine earth", None, Figure(Amount(60.0, "A")), "charging", "no")
    pairing, duty = wired(loads=(charge,))
    assert run_currents(pairing).amperes["engine earth"] < 1.0
    strap = advice_of(pairing, duty).wire("engine earth")
    assert strap is not None
    assert strap.size == ""
    assert strap.reasons[0].key == "advice.strap"


def test_that_a_gauge_with_unknown_coils_is_counted_with_an_assumed_current_and_says_so() -> None:
    plan = sheet_plan("harbour-launch")
    currents = run_currents(plan.pairing())
    assert currents.assumed
    assert currents.amperes["feed"] == ASSUMED_GAUGE
    advice = advice_of(plan.pairing(), plan.duty)
    assert all(one.reasons[0].key == "advice.assumed" for one in advice.wires if one.size)
    assert "advice.fuse.assumed" in [one.key for one in advice.fuse.reasons]


@pytest.mark.parametrize("name", [*DEMOS, "all", "hostile"])
def test_that_no_proposed_wire_is_thinner_than_half_a_square_millimetre(name: str) -> None:
    plan = sheet_plan(name)
    least = conductor("0.5 mm²").area
    for one in advice_of(plan.pairing(), plan.duty).wires:
        assert not one.size or conductor(one.size).area >= least
        assert not one.afloat or conductor(one.afloat).area >= conductor(one.size).area


@pytest.mark.parametrize("name", [*DEMOS, "all", "hostile"])
def test_that_every_reason_is_said_in_full(name: str) -> None:
    plan = sheet_plan(name)
    advice = advice_of(plan.pairing(), plan.duty)
    reasons = [one for wire in advice.wires for one in wire.reasons]
    reasons += [*advice.fuse.reasons, *advice.general]
    assert all(RENDERER.sentence(one) for one in reasons)
    assert "Local codes" in " ".join(RENDERER.sentence(one) for one in advice.general)


def test_that_the_proposed_wires_move_the_needle_by_no_more_than_a_third_of_what_is_allowed() -> (
    None
):
    pairing, duty = wired(signal=Path())
    advice = advice_of(pairing, duty)
    length, hot = 5.0, 30.0
    paths: dict[Run, Path] = {}
    for one in advice.wires:
        if one.size:
            ohms = conductor(one.size).ohms(length, hot, tinned=False)
            paths[one.run] = Path(measured=Figure(Amount(ohms, "Ω")))
    whole = replace(
        pairing.installation,
        **{run.replace(" ", "_"): path for run, path in paths.items()},  # type: ignore[arg-type]
    )
    moves = along(installed(pairing, whole), duty) - along(pairing, duty)
    allowed = duty.allowed_at(None)
    assert allowed is not None
    assert max(abs(moves)) <= SMALL * allowed * 1.01


def test_that_the_ohms_that_the_needle_allows_move_it_by_a_third_of_what_is_allowed() -> None:
    pairing, duty = wired(signal=Path(), loads=())
    ohms = needle_ohms(pairing, duty, "signal")
    assert ohms is not None
    path = Path(measured=Figure(Amount(ohms, "Ω")))
    there = installed(pairing, replace(pairing.installation, signal=path))
    moves = abs(along(there, duty) - along(pairing, duty))
    limits = [duty.allowed_at(None)] * (len(moves) - len(duty.marks))
    limits += [duty.allowed_at(mark) for mark in duty.marks]
    shares = [move / limit for move, limit in zip(moves, limits, strict=True) if limit]
    assert max(shares) == pytest.approx(SMALL, rel=0.02)


def test_that_a_longer_run_asks_for_a_thicker_wire() -> None:
    sizes = []
    for metres in (2.0, 20.0, 60.0):
        pairing, duty = wired(signal=Path(Wire("6 mm²", Amount(metres, "m"))))
        found = advice_of(pairing, duty).wire("signal")
        assert found is not None
        sizes.append(conductor(found.size).area)
    assert sizes == sorted(sizes)
    assert sizes[0] < sizes[-1]


def test_that_a_wire_of_the_user_that_is_too_thin_is_said() -> None:
    pairing, duty = wired(signal=Path(Wire("0.35 mm²", Amount(3.0, "m"))))
    found = advice_of(pairing, duty).wire("signal")
    assert found is not None
    assert found.own == "0.35 mm²"
    assert found.thin
    assert found.says.key == "advice.wire.thin"
    assert found.reasons[-1].key == "advice.own.thin"


def test_that_a_size_is_told_with_the_length_up_to_which_it_will_do() -> None:
    pairing, duty = wired(signal=Path())
    found = advice_of(pairing, duty).wire("signal")
    assert found is not None
    assert math.isfinite(found.longest)
    longer = Path(Wire(found.size, Amount(1.05 * found.longest, "m")))
    beyond = advice_of(*wired(signal=longer)).wire("signal")
    assert beyond is not None
    assert conductor(beyond.size).area > conductor(found.size).area


def test_that_a_consumer_of_unknown_current_leaves_fuse_and_shared_feed_open() -> None:
    pairing, duty = wired(loads=(Load("heater fan", "gauge earth"),))
    advice = advice_of(pairing, duty)
    assert advice.fuse.rating is None
    assert "heater fan" in RENDERER.sentence(advice.fuse.reasons[0])
    shared, feed = advice.wire("shared feed"), advice.wire("feed")
    assert shared is not None
    assert feed is not None
    assert shared.size == ""
    assert feed.size


def test_that_a_lamp_of_unknown_watts_leaves_the_fuse_open_too() -> None:
    pairing, duty = wired(lamp=WarningLamp("switch in sender"))
    assert advice_of(pairing, duty).fuse.rating is None


def test_that_the_fuse_never_passes_more_than_any_wire_behind_it_carries() -> None:
    heavy = Load("lights", "gauge earth", watts=Amount(120.0, "W"))
    pairing, duty = wired(loads=(heavy,), signal=Path())
    advice = advice_of(pairing, duty)
    rating = advice.fuse.rating
    assert rating is not None
    assert rating >= run_currents(pairing).amperes["shared feed"]
    for one in advice.wires:
        if one.size:
            assert "hangs on a fuse" in " ".join(RENDERER.sentence(each) for each in one.reasons)


def test_that_a_thin_wire_of_the_user_behind_a_wide_fuse_is_refused() -> None:
    heavy = Load("lights", "gauge earth", watts=Amount(120.0, "W"))
    thin = Path(Wire("0.5 mm²", Amount(2.0, "m")))
    pairing, duty = wired(loads=(heavy,), signal=thin)
    advice = advice_of(pairing, duty)
    assert advice.fuse.rating is None
    assert "fusesize.none_wire" in [one.key for one in advice.fuse.reasons]


def test_that_a_wire_of_no_length_is_told_and_nothing_is_proposed() -> None:
    pairing, duty = wired(signal=Path(Wire("1 mm²", Amount(0.0, "m"))))
    found = advice_of(pairing, duty).wire("signal")
    assert found is not None
    assert found.size == ""
    assert found.reasons


def test_that_a_boat_gets_tinned_wires_of_the_size_that_boats_need() -> None:
    """ISO 10133 and 33 CFR 183.425 (public excerpts): no wire by itself under 1 mm², AWG 16."""
    plan = sheet_plan("harbour-launch")
    found = {
        afloat: advice_of(
            replace(
                plan.pairing(), installation=replace(plan.pairing().installation, afloat=afloat)
            ),
            plan.duty,
        )
        for afloat in ("yes", "no", "unknown")
    }
    told = {
        afloat: {(one.size, one.afloat, one.tinned) for one in advice.wires if one.size}
        for afloat, advice in found.items()
    }
    assert told == {
        "yes": {("1 mm²", "", True)},
        "no": {("0.5 mm²", "", False)},
        "unknown": {("0.5 mm²", "1 mm²", False)},
    }
    keys = {afloat: advice.general[0].key for afloat, advice in found.items()}
    assert keys == {"yes": "advice.in_boat", "no": "advice.codes", "unknown": "advice.tinned"}
    says = {afloat: advice.wires[0].says.key for afloat, advice in found.items()}
    assert says == {"yes": "advice.wire", "no": "advice.wire", "unknown": "advice.wire.either"}


def test_that_a_shared_earth_that_asks_for_a_thick_wire_is_better_left_to_the_loads() -> None:
    lights = Load("lights", "gauge earth", None, Figure(Amount(5.0, "A")), "at times", "no")
    pairing, duty = wired(loads=(lights,))
    shared = advice_of(pairing, duty).wire("gauge earth")
    alone = advice_of(*wired(loads=())).wire("gauge earth")
    assert shared is not None
    assert alone is not None
    assert conductor(shared.size).area > conductor(alone.size).area
    told = next(one for one in shared.reasons if one.key == "advice.own_earth")
    assert dict(told.values)["size"] == alone.size
    assert "advice.own_earth" not in [one.key for one in alone.reasons]
