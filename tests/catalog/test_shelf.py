"""Looking through the catalogue: words, ohms, filters and order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import Part
from catalog.library import load_generic
from catalog.likeness import likeness
from catalog.parts.facts import curve_of, facts_of, known_pairs
from catalog.parts.fitting import SenderFitting, WarningSwitch
from catalog.parts.gauge import Gauge, HeaterMovement
from catalog.parts.laws import SwitchLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.shelf import SORTS, Kept, Shelf, Sieve, kept

LIBRARY = load_generic()
PARTS: tuple[Part, ...] = (*LIBRARY.senders, *LIBRARY.gauges)
SHELF = Shelf(map(kept, PARTS)).prepared()
WORDS = ("240", "33", "level", "dual", "ohm", "12 V", "platinum", "4k7", "zeppelin", "0", "Ω", "-")


def keys(sieve: Sieve) -> list[str]:
    return [one.key for one in SHELF.find(sieve)]


@given(st.lists(st.sampled_from(WORDS), max_size=3))
def test_that_words_find_what_each_part_by_itself_answers(words: list[str]) -> None:
    typed = " ".join(words)
    found = [(part.key, likeness(part, typed)) for part in PARTS]
    expected = sorted(
        ((key, like.far) for key, like in found if like is not None), key=lambda pair: pair[1]
    )
    assert keys(Sieve(typed)) == [key for key, _ in expected]


CASES: dict[str, tuple[Sieve, Callable[[Sender | Gauge], bool]]] = {
    "kind": (Sieve(kind="gauge"), lambda part: isinstance(part, Gauge)),
    "quantity": (Sieve(quantity="pressure"), lambda part: part.quantity == "pressure"),
    "movement": (
        Sieve(movement="heater"),
        lambda part: isinstance(part, Gauge) and isinstance(part.movement, HeaterMovement),
    ),
    "stations": (Sieve(stations=2), lambda part: isinstance(part, Sender) and part.stations == 2),
    "switch": (Sieve(switch=True), lambda part: isinstance(getattr(part, "law", None), SwitchLaw)),
}


@pytest.mark.parametrize("name", CASES)
def test_that_a_filter_lets_through_what_it_names_and_nothing_else(name: str) -> None:
    sieve, wanted = CASES[name]
    assert keys(sieve) == [part.key for part in PARTS if wanted(part)]
    assert keys(sieve)
    assert sieve.count == 1


@pytest.mark.parametrize("rising", [True, False])
def test_that_the_direction_is_that_of_the_known_points(rising: bool) -> None:
    found = SHELF.find(Sieve(direction="rising" if rising else "falling"))
    assert found
    for one in found:
        pairs = known_pairs(one.part)
        if pairs:
            assert (pairs[-1][1] > pairs[0][1]) is rising


def test_that_ohms_at_a_value_are_met_within_a_tenth_and_nothing_else() -> None:
    # 103 Ω at half is one of the usual level classes (common practice, no source).
    found = SHELF.find(Sieve(kind="sender", quantity="level", at=0.5, ohms=103.0))
    assert "level-240-33-mid-103" in [one.key for one in found]
    for sender in LIBRARY.senders:
        curve = curve_of(sender)
        if sender.quantity != "level" or curve is None or sender.signal is not Kind.RESISTANCE:
            continue
        ohms = float(curve.output(np.array([0.5]))[0])
        assert (sender.key in [one.key for one in found]) == (103.0 / 1.1 <= ohms <= 103.0 * 1.1)


def test_that_a_span_has_to_be_reached_on_both_sides() -> None:
    found = SHELF.find(Sieve(quantity="temperature", low=0.0, high=140.0))
    assert found
    spans = [one.facts.span for one in found]
    assert all(span is not None and span[0] <= 0.0 and span[1] >= 140.0 for span in spans)
    narrower = SHELF.find(Sieve(quantity="temperature", low=40.0, high=100.0))
    assert len(narrower) > len(found)


def sender(key: str) -> Sender:
    part = LIBRARY.part(key)
    assert isinstance(part, Sender)
    return part


def fitted() -> Kept:
    fitting = SenderFitting("M10×1", switch=WarningSwitch(Amount(0.5, "bar")))
    return kept(replace(sender("pressure-10bar-10-184"), key="mine", fitting=fitting))


@pytest.mark.parametrize("typed", ["m10x1", "M10 × 1", "M10"])
def test_that_a_thread_is_found_however_it_is_typed(typed: str) -> None:
    shelf = SHELF.with_parts([fitted()])
    assert [one.key for one in shelf.find(Sieve(thread=typed))] == ["mine"]
    assert "mine" in [one.key for one in shelf.find(Sieve(switch=True))]


def test_that_a_sender_that_takes_either_return_is_found_under_both() -> None:
    either = kept(replace(sender("level-240-30"), key="both", earth_return="either"))
    shelf = SHELF.with_parts([either])
    for wanted in ("body", "insulated"):
        assert "both" in [one.key for one in shelf.find(Sieve(earth_return=wanted))]


def test_that_retired_parts_and_the_users_own_are_told_apart() -> None:
    own = replace(kept(LIBRARY.part("level-240-30")), own=True)
    retired = replace(kept(LIBRARY.part("level-0-190")), retired=True)
    shelf = SHELF.with_parts([own, retired])
    assert [one.key for one in shelf.find(Sieve(whose="own"))] == ["level-240-30"]
    assert [one.key for one in shelf.find(Sieve(whose="retired"))] == ["level-0-190"]
    assert "level-0-190" not in [one.key for one in shelf.find(Sieve())]
    assert len(shelf) == len(SHELF)


@pytest.mark.parametrize("sort", SORTS)
def test_that_an_order_loses_no_part(sort: str) -> None:
    found = SHELF.find(Sieve(), sort)  # type: ignore[arg-type]
    assert sorted(one.key for one in found) == sorted(part.key for part in PARTS)


def test_that_an_order_by_the_low_end_rises_and_leaves_the_unknown_to_the_last() -> None:
    ends = [one.facts.ends for one in SHELF.find(Sieve(), "low")]
    known = [pair[0] for pair in ends if pair is not None]
    assert known == sorted(known)
    assert all(pair is None for pair in ends[len(known) :])


def test_that_an_empty_shelf_finds_nothing() -> None:
    assert Shelf().prepared().find(Sieve("240")) == []


def test_that_a_switch_has_no_span_and_no_direction() -> None:
    switch = next(one for one in LIBRARY.senders if isinstance(one.law, SwitchLaw))
    facts = facts_of(switch)
    assert (facts.span, facts.ends, facts.rising, facts.switch) == (None, None, None, True)
