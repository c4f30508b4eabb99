"""Finding parts by words, and the columns that lists show."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.library import PartKind, load_generic
from catalog.parts.fields import QuantityName
from catalog.parts.sender import Sender
from catalog.store.open import open_files
from catalog.store.store import Store
from tests.catalog.store.parts_to_store import sender, sentences

LIBRARY = load_generic()


@pytest.fixture(scope="module")
def generic() -> Iterator[Store]:
    with open_files() as store:
        yield store


def keys(store: Store, words: str) -> list[str]:
    return [record.key for record in store.search(words).records]


WORDS = st.sampled_from(
    [
        "level",
        "rising",
        "Falling",
        "OHM",
        "Ω",
        "12 V",
        "240",
        "0-90",
        "0–90",
        "ratio",
        "%",
        "_",
        "/",
        "\\",
        "'",
        "x",
    ]
) | st.text(max_size=3)


@given(
    words=st.lists(WORDS, max_size=3).map(" ".join),
    quantity=st.sampled_from([None, "level", "pressure", "temperature"]),
    kind=st.sampled_from([None, "sender", "gauge"]),
)
def test_that_a_search_in_the_store_finds_what_a_search_in_the_files_finds(
    generic: Store, words: str, quantity: QuantityName | None, kind: PartKind | None
) -> None:
    found = generic.search(words, quantity=quantity, kind=kind).records
    wanted = LIBRARY.search(words, quantity=quantity, kind=kind)
    assert [record.key for record in found] == [part.key for part in wanted]


@pytest.mark.parametrize("words", ["50%", "a_b", "C:/x", "back\\slash", "o'clock", "ÄÖ", "STRASSE"])
def test_that_signs_of_the_query_language_are_only_signs(store: Store, words: str) -> None:
    plain = {"ÄÖ": "äö", "STRASSE": "straße"}.get(words, words)
    store.save(sender("with", notes=f"before {plain} after"), "")
    store.save(sender("without", notes="50 ab aXb c:x backslash o clock ao"), "")
    assert keys(store, words) == ["with"]


def test_that_more_than_the_limit_is_said(store: Store) -> None:
    for number in range(3):
        store.save(sender(f"level-{number}"), "")
    for limit, shown, more in ((2, 2, True), (4, 4, False), (None, 4, False)):
        found = store.search("level", kind="sender", limit=limit)
        assert (len(found.records), found.more) == (shown, more)


def test_that_the_user_s_own_parts_follow_the_shipped_ones_in_order_of_making(
    store: Store,
) -> None:
    for key in ("z-first", "a-second"):
        store.save(sender(key), "")
    store.save(sender("z-first", empty=3), "an edit moves nothing", revision=1)
    assert keys(store, "") == ["level-9-1", "z-first", "a-second", "gauge-level-9-1"]


def test_that_pasted_prose_gets_a_sentence_and_not_a_search(store: Store) -> None:
    with pytest.raises(UserError) as error:
        store.search("a word " * 10_000)
    assert sentences(error.value) == [
        "The text to search for is longer than 500 characters. Search for a few words."
    ]


@pytest.mark.parametrize("words", ["\0", "\ud800", "level \0"])
def test_that_characters_that_no_part_can_hold_find_nothing(store: Store, words: str) -> None:
    assert keys(store, words) == []


def test_that_the_columns_of_a_sender_are_those_of_its_curve(generic: Store) -> None:
    for record in generic.search(kind="sender").records:
        part = generic.part(record.key)
        assert isinstance(part, Sender)
        assert (record.stations, record.movement) == (part.stations, None)
        if record.ohms_low is not None and record.ohms_high is not None:
            assert type(record.ohms_low) is type(record.ohms_high) is float
            assert part.curve is not None
            assert record.rising is part.curve.rising
            assert record.rising == (record.ohms_high > record.ohms_low)


# The ends are those in the names of the classes (common practice, no source); platinum after
# IEC 60751: 100 Ω at 0 °C.
@pytest.mark.parametrize(
    ("key", "low", "high", "rising", "signal", "movement"),
    [
        ("level-240-33-mid-103", 240.0, 33.0, False, "resistance", None),
        ("level-0-190", 0.0, 190.0, True, "resistance", None),
        ("temperature-450-15-300f", 450.0, 14.96, False, "resistance", None),
        ("pressure-5bar-0v5-4v5", None, None, True, "voltage", None),
        ("gauge-level-240-33-ratio-12v", 240.0, 33.0, False, "resistance", "ratio"),
        ("gauge-pressure-10bar-10-184-ratio-12v", 10.0, 184.0, True, "resistance", "ratio"),
    ],
)
def test_that_the_columns_hold_the_ends_direction_and_signal(
    generic: Store,
    key: str,
    low: float | None,
    high: float | None,
    rising: bool,
    signal: str,
    movement: str | None,
) -> None:
    record = generic.record(key)
    assert (record.ohms_low, record.ohms_high) == (
        low if low is None else pytest.approx(low, rel=1e-9, abs=1e-9),
        high if high is None else pytest.approx(high, rel=1e-9, abs=1e-9),
    )
    assert record.rising is rising
    assert (record.signal, record.movement) == (signal, movement)


def test_that_a_switch_has_no_ends_and_no_signal(generic: Store) -> None:
    switches = [r for r in generic.search("switch", kind="sender").records if r.signal is None]
    assert switches
    for record in switches:
        assert (record.ohms_low, record.ohms_high, record.rising) == (None, None, None)


def test_that_no_column_holds_infinity_or_nan(generic: Store) -> None:
    for record in generic.search(limit=None).records:
        for ohms in (record.ohms_low, record.ohms_high):
            assert ohms is None or math.isfinite(ohms)


def test_that_names_find_the_same_parts_as_a_search(generic: Store) -> None:
    for words in ("", "240 33", "DUAL station", "nothing like it", "\0"):
        found = generic.search(words, kind="sender", limit=None).records
        named = generic.names(words, kind="sender")
        assert [(one.key, one.name, one.revision, one.own) for one in found] == list(named)
    assert len(generic.names("", limit=3)) == 3
    assert generic.count(kind="sender") == len(generic.names("", kind="sender"))


def test_that_parts_of_some_keys_come_whole_and_unknown_keys_are_left_out(generic: Store) -> None:
    wanted = [LIBRARY.senders[2].key, LIBRARY.senders[0].key, "no-such-part"]
    assert generic.whole(wanted) == (LIBRARY.senders[0], LIBRARY.senders[2])
    assert generic.whole([]) == ()
