"""The band counts every element, and tells what nominal parts alone would get wrong."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from retrofit.plan.checks.check import Verdict
from tests.bands.pairings import decoded, uncertain
from tests.retrofit.plan.plans import Raw, assessed, check_of, gauge, mark, plan, sender

WHOLE = uncertain(2)

ELEMENTS = (
    *("sender_earth", "signal", "gauge_earth", "engine_earth", "feed", "loads", "panel_high"),
    *("supply range", "sender tolerance", "dial error", "needle width", "coils", "copper"),
    *("pull-off", "across sender", "pull-up"),
)


def without(element: str) -> Raw:
    """The whole installation with one element taken away, or known exactly."""
    if element in WHOLE["pairings"][0]["installation"]:
        return uncertain(2, **{element: None})
    raw = uncertain(2)
    pairing = raw["pairings"][0]
    movement, dial = pairing["gauge"]["movement"], pairing["gauge"]
    if element == "supply range":
        pairing["installation"]["supply"] = {"nominal": "13.5 V"}
    elif element == "sender tolerance":
        del pairing["sender"]["law"]["tolerance"]
    elif element == "dial error":
        del dial["dial_error"]
    elif element == "needle width":
        del dial["needle_width"]
    elif element == "coils":
        for coil in ("supply_coil", "earth_coil"):
            movement[coil] = movement[coil]["is"]
    elif element == "copper":
        del movement["copper"]
    elif element == "pull-off":
        movement["pull_off"] = "0 %"
    else:
        pairing["trim"] = [one for one in pairing["trim"] if one["place"] != element]
    return raw


def band(raw: Raw) -> Any:
    found = assessed(raw)
    assert found.spread is not None
    return np.concatenate([found.spread.low, found.spread.high])


@pytest.mark.parametrize("element", ELEMENTS)
def test_that_each_element_that_is_taken_away_changes_the_band(element: str) -> None:
    whole, less = band(WHOLE), band(without(element))
    assert np.nanmax(np.abs(whole - less)) > 1e-5  # of the scale


# --- wrong by nominal parts, right by the band ---------------------------------------------------

ROWS = {"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}
OWN = {"key": "c", "name": "The class", "law": sender(ROWS)["law"]}
RESERVE = [mark("reserve", "50 %", "high")]
COILS = {"supply_coil": "90 Ω", "earth_coil": "110 Ω", "copper": "100 %"}


def sure(tolerance: str) -> Raw:
    rows = [{"at": at, "gives": gives} for at, gives in ROWS.items()]
    return sender(None, law={"kind": "table", "points": rows, "tolerance": tolerance})


def dial(**fields: Any) -> Raw:
    movement = {"kind": "ratio", "pull_off": "0 %", **COILS}
    return gauge(None, scaled_for=OWN, movement=movement, **fields)


def on(dial: Raw, source: Raw, **wiring: object) -> Raw:
    return plan(dial, source, marks=RESERVE, wiring=wiring)


STRAP = {"measured": "0.05 Ω"}
ALL_RIGHT_ON_PAPER = {
    "a sender of 15 %": on(dial(), sure("15 %")),
    "a dial that may be 6 % off": on(dial(dial_error="6 %"), sure("1 %")),
    "a starter's charge through the engine's earth": on(
        dial(),
        sure("1 %"),
        engine_earth=STRAP,
        loads=[
            {
                "name": "charging",
                "returns": "engine earth",
                "amperes": "25 A",
                "when": "charging",
                "on_feed": "no",
            }
        ],
    ),
    "copper coils behind a hot panel": on(dial(), sure("1 %"), panel_high="70 °C"),
    "a lamp through a poor earth": on(
        dial(), sure("1 %"), sender_earth="3 Ω", lamp={"watts": "5 W"}
    ),
    "friction that was read from both sides": on(
        {
            **dial(),
            "marks": [
                {
                    "at": at,
                    "needs": f"{ohm:g} Ω",
                    "from_below": f"{ohm * 0.82:g} Ω",
                    "from_above": f"{ohm * 1.2:g} Ω",
                }
                for at, ohm in (("0 %", 240.0), ("50 %", 103.0), ("100 %", 33.0))
            ],
        },
        sure("1 %"),
    ),
    "a heater behind nothing": on(
        gauge(
            None,
            scaled_for=OWN,
            movement={"kind": "heater", "heater": "60 Ω", "feed": "13.5 V"},
        ),
        sure("1 %"),
        stabiliser={"fitted": "no"},
    ),
}


@pytest.mark.parametrize("name", ALL_RIGHT_ON_PAPER)
def test_that_what_is_right_by_nominal_parts_is_called_unsure_by_the_band(name: str) -> None:
    """By their nominal values all these read true within 5 % at the mark; none may be relied on."""
    found = assessed(ALL_RIGHT_ON_PAPER[name])
    (reading,) = found.marks
    assert abs(reading.error) < 0.05
    assert reading.worst > 0.05
    assert check_of(found, "mark").verdict is Verdict.CAUTION
    assert check_of(found, "mark").why.key == "check.mark.maybe"


def test_that_the_same_class_without_any_of_it_is_good() -> None:
    found = assessed(on(dial(dial_error="1 %"), sure("1 %")))
    assert check_of(found, "mark").verdict is Verdict.GOOD


def test_that_a_plan_gives_the_same_bands_each_time() -> None:
    one, other = decoded(WHOLE), decoded(uncertain(2))
    assert one is not other
    assert one == replace(other)
    assert np.array_equal(band(WHOLE), band(uncertain(2)), equal_nan=True)
