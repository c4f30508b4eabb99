"""A second gauge on the sender: what may be off in it moves both needles, and is in both bands.

The numbers come from one node solved here by hand: two plain dividers beside the sender.
"""

from __future__ import annotations

import numpy as np
import pytest

from retrofit.plan.assess import Assessment
from retrofit.plan.spread import Share
from tests.retrofit.plan.plans import COILS, Raw, assessed, gauge, mark, plan, sender
from tests.retrofit.plan.verdicts.case import ENDS

VOLTS, SUPPLY_COIL, EARTH_COIL = 13.5, 90.0, 110.0
HALF = (240.0 + 33.0) / 2.0
DIAL = {"0 %": "240 Ω", "25 %": "188.25 Ω", "50 %": "136.5 Ω", "75 %": "84.75 Ω", "100 %": "33 Ω"}


def ratio(**fields: object) -> Raw:
    """A straight dial of 240 to 33 Ω on 90 and 110 Ω."""
    made = gauge(DIAL, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
    return {**made, **fields}


def shared(second: Raw) -> Assessment:
    raw = plan(
        ratio(dial_error="0 %", needle_width="0 %"),
        sender(ENDS, shape="straight"),
        marks=[mark("half", "50 %", "high")],
        wiring={"second": {"gauge": second}},
    )
    return assessed(raw)


def shown(supply: float = 200.0, earth: float = 300.0) -> float:
    """What the first gauge shows at half beside a second one of these coils, as a share."""
    fed = VOLTS / SUPPLY_COIL + VOLTS / supply
    signal = fed / (1 / SUPPLY_COIL + 1 / supply + 1 / EARTH_COIL + 1 / earth + 1 / HALF)
    d = (signal / EARTH_COIL) / ((VOLTS - signal) / SUPPLY_COIL)
    return (240.0 - EARTH_COIL * d / (1.0 - d)) / 207.0


def other(tolerance: str = "5 %", **fields: object) -> Raw:
    coils = {"supply_coil": ("200 Ω", tolerance), "earth_coil": ("300 Ω", tolerance)}
    told = {name: {"is": ohm, "tolerance": off} for name, (ohm, off) in coils.items()}
    return ratio(movement={"kind": "ratio", "pull_off": "0 %", **told}, **fields)


def share(found: Assessment, name: str) -> Share:
    return next(one for one in found.marks[0].shares if one.name == name)


@pytest.mark.parametrize("coil", ["supply", "earth"])
def test_that_a_coil_of_the_second_gauge_moves_the_first_needle_as_worked_out_by_hand(
    coil: str,
) -> None:
    found = shared(other())
    assert found.marks[0].shown == pytest.approx(shown(), abs=1e-9)
    nominal = {"supply": 200.0, "earth": 300.0}[coil]
    moves = [shown(**{coil: nominal * factor}) - shown() for factor in (0.95, 1.05)]
    told = share(found, f"second {coil} coil")
    assert (told.alone_low, told.alone_high) == pytest.approx((min(moves), max(moves)), abs=1e-9)


def test_that_the_worst_case_of_the_first_needle_is_at_a_corner_of_both_coils() -> None:
    found = shared(other())
    corners = [shown(s, e) for s in (190.0, 210.0) for e in (285.0, 315.0)]
    assert found.marks[0].worst_low == pytest.approx(min(corners), abs=1e-6)
    assert found.marks[0].worst_high == pytest.approx(max(corners), abs=1e-6)


def test_that_the_second_needle_has_a_band_of_its_own_with_its_own_dial_s_error() -> None:
    wide, plain = shared(other(dial_error="4 %")), shared(other(dial_error="0 %"))
    ends = []
    for one in (wide, plain):
        spread = one.second_spread
        assert spread is not None
        ends.append((spread.low, spread.high))
    (low, high), (least, most) = ends
    free = (low > -0.05) & (high < 1.05)  # where neither end of the band is held by a stop
    assert np.sum(free) > 10
    assert least[free] - low[free] == pytest.approx(0.04, abs=1e-9)
    assert high[free] - most[free] == pytest.approx(0.04, abs=1e-9)
    # It is no business of the first needle.
    assert wide.marks[0].worst_high == pytest.approx(plain.marks[0].worst_high, abs=1e-12)


def test_that_a_second_dial_of_which_nobody_said_how_good_it_is_is_left_out_and_named() -> None:
    unsaid = shared(other())
    assert unsaid.spread is not None
    assert "unstated.second_dial" in [one.key for one in unsaid.spread.unstated]
    said = shared(other(dial_error="2 %"))
    assert said.spread is not None
    assert "unstated.second_dial" not in [one.key for one in said.spread.unstated]


# --- the earth that both may share --------------------------------------------------------------

STRAP, LIGHTS = 0.1, 5.0


def beside(earth: str, amperes: float) -> Assessment:
    """Two gauges on a strap of 0.1 Ω to which lights return; the second shares it or does not."""
    lights = {"name": "lights", "amperes": f"{amperes!r} A", "when": "always", "on_feed": "no"}
    second = {"gauge": other(dial_error="0 %"), "earth": earth}
    raw = plan(
        ratio(dial_error="0 %", needle_width="0 %"),
        sender(ENDS, shape="straight"),
        marks=[mark("half", "50 %", "high")],
        wiring={
            "second": second,
            "gauge_earth": {"measured": f"{STRAP!r} Ω"},
            "loads": [lights],
        },
    )
    return assessed(raw)


def by_hand(*, shared: bool, amperes: float) -> float:
    """What the first gauge shows at half: signal and strap, two nodes by Cramer's rule."""
    conductances = {"a1": 1 / 90.0, "b1": 1 / 110.0, "a2": 1 / 200.0, "b2": 1 / 300.0}
    g = conductances
    to_strap = g["b1"] + (g["b2"] if shared else 0.0)
    a11 = sum(g.values()) + 1 / HALF
    a12 = -to_strap
    a22 = to_strap + 1 / STRAP
    fed = VOLTS * (g["a1"] + g["a2"])
    determinant = a11 * a22 - a12 * a12
    signal = (fed * a22 - a12 * amperes) / determinant
    strap = (a11 * amperes - a12 * fed) / determinant
    d = (signal - strap) * g["b1"] / ((VOLTS - signal) * g["a1"])
    return (240.0 - EARTH_COIL * d / (1.0 - d)) / 207.0


@pytest.mark.parametrize(("earth", "shared"), [("own", False), ("gauge earth", True)])
@pytest.mark.parametrize("amperes", [0.0, LIGHTS])
def test_that_an_earth_that_both_share_moves_both_as_worked_out_by_hand(
    earth: str, shared: bool, amperes: float
) -> None:
    found = beside(earth, amperes or 1e-12)
    assert found.marks[0].shown == pytest.approx(by_hand(shared=shared, amperes=amperes), abs=1e-9)


def test_that_an_earth_of_which_nobody_said_whose_it_is_is_named() -> None:
    unsaid, said = beside("unknown", LIGHTS), beside("own", LIGHTS)
    for found, there in ((unsaid, True), (said, False)):
        assert found.spread is not None
        keys = [one.key for one in found.spread.unstated]
        assert ("unstated.second_earth" in keys) is there
    assert unsaid.marks[0].shown == said.marks[0].shown
