"""The closed form of the one node against the whole network and the dial."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.arrays import Array
from catalog.codec import decode
from catalog.curves.family import EndsOnly
from catalog.errors import UserError
from catalog.message import Message
from retrofit.installation import PLACES
from retrofit.movements import apparent
from retrofit.plan.document import Pairing, Plan
from retrofit.trim.question import Flattery, Question, objective, shown
from retrofit.trim.signal_node import SignalNode, signal_node
from retrofit.wired import Supplies
from tests.retrofit.plan.plans import LEVEL_240_33, RENDERER, gauge, plan, sender

DIAL = EndsOnly(0.0, 1.0, 240.0, 33.0, q=0.5)
LAST: Any = (math.inf, 0.0, math.inf, 0.0, math.inf)

ohm = st.floats(1.0, 1000.0)
maybe = st.one_of(st.none(), ohm)
MOVEMENTS: list[dict[str, str]] = [
    {"kind": "ratio", "supply_coil": "90 Ω", "earth_coil": "110 Ω"},
    {"kind": "heater", "heater": "60 Ω", "feed": "10 V"},
    {"kind": "heater", "heater": "60 Ω"},
    {"kind": "coil", "coil": "75 Ω", "feed": "13.5 V"},
    {"kind": "electronic", "pull_up": "220 Ω", "rail": "reference", "reference": "5 V"},
    {"kind": "electronic", "pull_up": "410 Ω", "rail": "supply", "feed": "12.5 V"},
    {"kind": "electronic", "pull_up": "410 Ω", "rail": "supply"},
    {"kind": "ratio"},
    {"kind": "heater"},
]
SOURCE = {
    "first": "20 Ω",
    "first_volts": "2.5 V",
    "second": "200 Ω",
    "second_volts": "7.3 V",
    "supply": "13.5 V",
    "meter_error": "0.5 %",
}


def pairing(
    movement: dict[str, str], trim: dict[str, str], earth: float, source: dict[str, str] | None
) -> Pairing:
    made = gauge(LEVEL_240_33, movement=movement)
    if source is not None:
        made["source"] = source
    wiring: dict[str, Any] = {"supply": {"nominal": "13.5 V"}}
    if earth:
        wiring["sender_earth"] = f"{earth!r} Ω"
    return decode(plan(made, sender(LEVEL_240_33), trim, wiring=wiring), Plan, "test").pairings[0]


@given(
    st.lists(st.floats(0.0, 1000.0), min_size=2, max_size=5),
    st.tuples(maybe, maybe, maybe, maybe, maybe),
    st.sampled_from([0.0, 0.4]),
    st.sampled_from(MOVEMENTS),
    st.booleans(),
    st.floats(9.0, 15.0),
)
def test_that_the_closed_form_shows_what_the_whole_network_shows(
    ohms: list[float],
    places: tuple[float | None, ...],
    earth: float,
    movement: dict[str, str],
    measured: bool,
    volts: float,
) -> None:
    # Nodal analysis in retrofit.movements, itself held against the circuit simulator.
    chosen = dict(zip(PLACES, places, strict=True))
    typed = {str(place): f"{value!r} Ω" for place, value in chosen.items() if value is not None}
    known = measured and movement == {"kind": "ratio"}
    pair = pairing(movement, typed, earth, SOURCE if known else None)
    law = apparent(pair.gauge, pair.installation, pair.trim, Supplies(np.array([volts])))
    node = signal_node(pair.gauge, volts)
    assert isinstance(node, SignalNode)
    if isinstance(law, Message):
        assert not node.pull_up
        return
    each = np.array(ohms)
    wanted = DIAL.value(law.of(each)[0])
    one = np.ones_like(each)
    question = Question(one, each, one, DIAL, node, earth)
    filled = (
        np.array(none if value is None else value) for none, value in zip(LAST, places, strict=True)
    )
    found = shown(question, *filled)
    close = np.abs(found - wanted) <= 1e-9 * np.maximum(1.0, np.abs(wanted))
    # Past 1e6 dials off its scale the needle is at the pole, and its side is rounding.
    far = (np.abs(found) > 1e6) & (np.abs(wanted) > 1e6)
    assert np.all(close | (found == wanted) | far)


def simple(**fields: Any) -> Question:
    x = np.linspace(0.0, 1.0, 5)
    made = Question(x, DIAL.output(x), np.full(5, 0.05), DIAL, SignalNode.path_only())
    return replace(made, **fields)


def none_at_all() -> tuple[Array, Array, Array, Array, Array]:
    p, s1, q, s2, u = (np.array(each) for each in LAST)
    return p, s1, q, s2, u


def test_that_a_class_on_its_own_dial_needs_no_trim() -> None:
    assert float(objective(simple(), *none_at_all())) < 1e-9


def test_that_flattering_beyond_its_limit_is_refused_on_that_side_only() -> None:
    off = simple(ohms=simple().ohms + 5.0)  # falling: reads low
    plain = float(objective(off, *none_at_all()))
    for side, refused in ((1.0, False), (-1.0, True), (0.0, False)):
        limits = Flattery(np.full(5, side), np.zeros(5))
        found = float(objective(replace(off, flattery=limits), *none_at_all()))
        assert math.isinf(found) is refused
        assert refused or found == plain


@pytest.mark.parametrize(
    ("fields", "key"),
    [
        ({"ohms": np.array([1.0, 2.0, 3.0, np.nan, 5.0])}, "trim.sender_unknown"),
        ({"ohms": np.array([1.0, 2.0, 3.0, -4.0, 5.0])}, "trim.sender_unknown"),
        ({"allowed": np.array([0.1, 0.1, 0.0, 0.1, 0.1])}, "trim.nothing_allowed"),
    ],
)
def test_that_a_question_with_a_hole_says_which(fields: dict[str, Any], key: str) -> None:
    with pytest.raises(UserError) as raised:
        simple(**fields)
    assert [each.key for each in raised.value.messages] == [key]
    assert RENDERER.sentence(raised.value.messages[0])


def test_that_one_point_is_too_few() -> None:
    one = np.array([0.5])
    with pytest.raises(UserError) as raised:
        Question(one, one, one, DIAL, SignalNode.path_only())
    assert "1" in RENDERER.sentence(raised.value.messages[0])
