"""A warning lamp loads the sender's earth only where its switch may be closed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from retrofit.plan.assess import Assessment
from tests.retrofit.plan.plans import (
    COILS,
    PRESSURE_10_184,
    assessed,
    check_of,
    gauge,
    mark,
    plan,
    sender,
)

BULB = {"lamp": {"watts": "5 W"}, "sender_earth": "0.5 Ω"}


def oil(switch: dict[str, str] | None, lamp: dict[str, Any] = BULB) -> Assessment:
    """Oil pressure over a ratio gauge of known coils, the lamp's switch in the same sender."""
    dial = gauge(
        PRESSURE_10_184, "pressure", movement={"kind": "ratio", "pull_off": "0 %", **COILS}
    )
    fitting = None if switch is None else {"switch": switch}
    raw = plan(
        dial,
        sender(PRESSURE_10_184, "pressure", fitting=fitting),
        marks=[mark("idle", "0.3 bar", "high"), mark("working", "4 bar", "high")],
        wiring=lamp,
    )
    return assessed(raw, likely=True)


LOW = {"operates": "0.5 bar", "tolerance": "0.2 bar", "below": "closed"}
HIGH = {"operates": "6 bar", "tolerance": "0.5 bar", "hysteresis": "1 bar", "below": "open"}


@pytest.mark.parametrize(
    ("switch", "first", "last"), [(LOW, 0.0, 0.7), (HIGH, 4.5, 10.0), (None, 0.0, 10.0)]
)
def test_that_the_band_counts_the_lamp_where_its_switch_may_be_closed_and_nowhere_else(
    switch: dict[str, str] | None, first: float, last: float
) -> None:
    found, always = oil(switch), oil(None)
    never = oil(None, {"sender_earth": "0.5 Ω"})
    assert found.reading is not None
    bar = found.reading.x / 1e5
    lit = (bar >= first - 1e-9) & (bar <= last + 1e-9)
    moved = 0.0
    for end in ("low", "high"):
        bands = [getattr(one.spread, end) for one in (found, always, never)]
        moved = max(moved, float(np.max(np.abs(bands[1] - bands[2]))))
        assert bands[0] == pytest.approx(np.where(lit, bands[1], bands[2]), abs=1e-6)
        likely = [getattr(one.likely, end) for one in (found, always, never)]
        assert likely[0] == pytest.approx(np.where(lit, likely[1], likely[2]), abs=1e-6)
    assert moved > 1000.0  # [Pa]: the lamp does move the needle


def test_that_a_mark_at_which_the_lamp_is_dark_has_no_share_of_it() -> None:
    idle, working = oil(LOW).marks
    assert "lamp" in [one.name for one in idle.shares]
    assert "lamp" not in [one.name for one in working.shares]


def test_that_the_lamp_is_judged_where_it_may_be_lit() -> None:
    anywhere, low = (check_of(oil(one), "lamp") for one in (None, LOW))
    assert anywhere.number is not None
    assert low.number is not None
    assert low.moved is not None
    assert low.moved.at <= 0.7e5
    assert abs(low.number.value) < abs(anywhere.number.value)
    beyond = {"operates": "20 bar", "tolerance": "1 bar", "hysteresis": "1 bar", "below": "open"}
    assert check_of(oil(beyond), "lamp").says.key == "check.lamp.dark"


@pytest.mark.parametrize("missing", ["tolerance", "below", "hysteresis"])
def test_that_a_switch_that_is_not_known_well_may_be_closed_anywhere(missing: str) -> None:
    switch = {name: said for name, said in HIGH.items() if name != missing}
    found, always = oil(switch), oil(None)
    assert found.spread is not None
    assert always.spread is not None
    assert found.spread.low == pytest.approx(always.spread.low)
