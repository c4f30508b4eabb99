"""What is not known of an installation is told as unknown, and the same thing counts once.

Numbers from closed forms beside each test; no outside source.
"""

from __future__ import annotations

import numpy as np
import pytest

from catalog.codec import decode
from catalog.errors import UserError
from catalog.message import Message
from retrofit.plan.assess import assess, at_supply
from retrofit.plan.causes import causes_of
from retrofit.plan.document import Plan
from retrofit.plan.second_gauge import second_of
from tests.retrofit.plan.plans import (
    COILS,
    LEVEL_240_33,
    Raw,
    assessed,
    check_of,
    gauge,
    mark,
    plan,
    sender,
)
from tests.retrofit.plan.verdicts.case import ENDS, HEATER, SOURCE

KNOWN = gauge(LEVEL_240_33, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
UNKNOWN = gauge(LEVEL_240_33)
SOURCED = gauge(LEVEL_240_33, source=SOURCE)
HEATED = gauge(LEVEL_240_33, movement=HEATER)
COIL = gauge(ENDS, movement={"kind": "coil", "coil": "60 Ω", "feed": "13.5 V"})
STRAIGHT = sender(ENDS, shape="straight")
DUAL = sender({"0 %": "120 Ω", "50 %": "51.5 Ω", "100 %": "16.5 Ω"}, stations=2)
HALF = [mark("half", "50 %", "high")]
STRAY: Raw = {"sender_earth": {"is": "5 Ω", "tolerance": "10 %"}, "sender_earth_reversed": "1 Ω"}


def verdict(raw: Raw, name: str) -> tuple[str, str]:
    check = check_of(assessed(raw), name)
    return check.verdict.value, check.why.key


def on(dial: Raw, **wiring: object) -> Raw:
    return plan(dial, STRAIGHT, wiring=wiring, marks=HALF)


def refused(raw: Raw) -> list[str]:
    with pytest.raises(UserError) as caught:
        decode(raw, Plan, "test")
    problems = [dict(one.values)["problem"] for one in caught.value.messages]
    return [one.key for one in problems if isinstance(one, Message)]


@pytest.mark.parametrize("dial", [UNKNOWN, SOURCED])
def test_that_the_gauges_earth_is_not_judged_while_its_coils_are_unknown(dial: Raw) -> None:
    found = verdict(on(dial, gauge_earth={"measured": "3 Ω"}), "wires")
    assert found == ("unknown", "check.wires.coils")


def test_that_a_stray_voltage_counts_as_no_ohms_in_the_band_either() -> None:
    found = assessed(on(KNOWN, **STRAY))
    causes = causes_of(found.pairing, found.plan.duty)
    assert "sender earth" not in [cause.name for cause in causes.counted]
    assert "unstated.earth" in [one.key for one in causes.unstated]


def test_that_the_lamp_is_not_judged_over_a_stray_voltage() -> None:
    found = verdict(on(KNOWN, lamp={"watts": "5 W"}, **STRAY), "lamp")
    assert found == ("unknown", "check.lamp.no_earth")


def test_that_each_ohm_of_earth_is_told_though_only_the_second_reading_was_entered() -> None:
    one = check_of(assessed(on(KNOWN, sender_earth_reversed="0.1 Ω")), "earth").number
    none = check_of(assessed(on(KNOWN)), "earth").number
    assert one is not None
    assert one == none
    assert one.value != 0.0


def test_that_an_earth_read_within_the_meters_error_of_nothing_is_never_below_it() -> None:
    earth = {"is": "0.1 Ω", "tolerance": "0.2 Ω"}
    found = assessed(on(KNOWN, sender_earth=earth, signal={"measured": {**earth, "is": "-0.1 Ω"}}))
    causes = {one.name: one for one in causes_of(found.pairing, found.plan.duty).counted}
    assert (causes["sender earth"].low, causes["signal wire"].low) == (0.0, 0.0)
    assert causes["signal wire"].nominal == 0.0


def test_that_contacts_below_zero_are_refused() -> None:
    found = verdict(on(KNOWN, signal={"contacts": "-0.1 Ω"}), "wires")
    assert found == ("unknown", "wires.contradict")


def test_that_warmth_is_not_judged_without_a_reading() -> None:
    movement = {"kind": "ratio", "pull_off": "0 %", "copper": "100 %", **COILS}
    nothing = sender(None, law={"kind": "unknown"})
    raw = plan(gauge(LEVEL_240_33, movement=movement), nothing, wiring={"panel_high": "70 °C"})
    assert verdict(raw, "copper") == ("unknown", "check.earth.no_reading")


def test_that_a_source_measured_live_says_nothing_of_a_second_gauge_that_is_off() -> None:
    found = assessed(on(KNOWN, second={"gauge": SOURCED, "powered": "no"}))
    assert found.reason is not None
    assert found.reason.key == "movement.second_unknown"


@pytest.mark.parametrize("dial", [KNOWN, UNKNOWN])
def test_that_nothing_is_read_while_nobody_knows_whether_the_second_gauge_is_on(dial: Raw) -> None:
    second = {"gauge": dial, "powered": "unknown"}
    found = assessed(plan(dial, DUAL, wiring={"second": second}, marks=HALF))
    assert found.reason is not None
    assert found.reason.key == "movement.second_powered"
    assert check_of(found, "second").why.key == "movement.second_powered"
    assert check_of(found, "mark").verdict.value == "unknown"


@pytest.mark.parametrize(
    "stabiliser",
    [
        {"fitted": "no"},
        {"fitted": "yes", "holds": "heat-equivalent", "state": "stuck"},
        {"fitted": "yes", "holds": "mean", "output": "7 V"},
        {"fitted": "yes", "holds": "heat-equivalent", "output": "8 V"},
    ],
)
def test_that_two_equal_heaters_share_one_stabiliser_and_read_alike(stabiliser: Raw) -> None:
    wiring = {"second": {"gauge": HEATED}, "stabiliser": stabiliser}
    found = assessed(plan(HEATED, DUAL, wiring=wiring))
    second = second_of(found.pairing, found.plan.duty)
    assert found.reading is not None
    assert second is not None
    assert not isinstance(second, Message)
    np.testing.assert_allclose(second.reading.shown, found.reading.shown, atol=1e-9)


def test_that_a_resistor_to_earth_at_one_of_two_equal_gauges_needs_their_coils() -> None:
    # With known coils and no wire each gauge sees 2·(R∥150 Ω), not (2·R)∥150 Ω.
    raw = plan(UNKNOWN, DUAL, {"signal to earth": "150 Ω"}, wiring={"second": {"gauge": UNKNOWN}})
    reason = assessed(raw).reason
    assert reason is not None
    assert reason.key == "movement.second_unknown"


def test_that_a_load_keeps_its_ohms_at_a_supply_that_is_tried() -> None:
    loads = [{"name": "lights", "watts": "100 W", "when": "always"}]
    feed, earth = {"measured": "0.3 Ω"}, {"measured": "0.01 Ω"}
    found = assessed(on(COIL, shared_feed=feed, gauge_earth=earth, loads=loads))
    tried = at_supply(found, 11.0).reading
    assert tried is not None
    assert found.reading is not None
    np.testing.assert_allclose(tried.shown, found.reading.supply_low, atol=1e-9)


@pytest.mark.parametrize(
    ("load", "feed", "why"),
    [
        ({"on_feed": "unknown"}, {"measured": "0.3 Ω"}, "check.offset.no_feed"),
        ({"on_feed": "yes"}, {}, "check.offset.feed_ohms"),
    ],
)
def test_that_a_gauge_that_follows_its_feed_needs_to_know_it(
    load: Raw, feed: Raw, why: str
) -> None:
    loads = [{"name": "fan", "watts": "55 W", **load}]
    earth = {"measured": "0.001 Ω"}
    found = verdict(on(COIL, shared_feed=feed, gauge_earth=earth, loads=loads), "offset")
    assert found == ("unknown", why)


def test_that_a_stuck_stabiliser_is_named_as_the_reason() -> None:
    stuck = {"fitted": "yes", "holds": "heat-equivalent", "state": "stuck"}
    assert verdict(on(HEATED, stabiliser=stuck), "supply") == ("stop", "check.supply.why_stuck")


def test_that_two_loads_of_one_name_and_currents_below_zero_are_refused_together() -> None:
    load = {"name": "lights", "amperes": "-1 A", "on_feed": "no"}
    assert set(refused(on(KNOWN, loads=[load, load]))) == {"loads.same_name", "loads.negative"}


def test_that_an_assessment_at_a_tried_supply_is_the_plans_own_at_its_supply() -> None:
    found = assess(decode(on(COIL), Plan, "test"))
    tried = at_supply(found, 13.5).reading
    assert tried is not None
    assert found.reading is not None
    np.testing.assert_allclose(tried.shown, found.reading.shown, atol=1e-12)
