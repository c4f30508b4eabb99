"""What an import would change is told before anything is, and is then done whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from catalog.codec import Part
from catalog.errors import UserError
from catalog.exchange.arrived import Arrived
from catalog.exchange.choices import Choice
from catalog.exchange.compare import Import, compare, differences
from catalog.exchange.files import Incoming
from catalog.exchange.problems import Place
from catalog.exchange.taking import Decision, take
from catalog.message import message
from catalog.parts.laws import TableLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.store.open import open_files
from catalog.store.store import Store
from tests.catalog.exchange.written_parts import SHIPPED, told

SHIPPED_KEY = "level-240-30"


def shipped(stations: int = 1) -> Sender:
    part = next(part for part in SHIPPED if part.key == SHIPPED_KEY)
    assert isinstance(part, Sender)
    return replace(part, stations=stations)  # type: ignore[arg-type]


def own(notes: str, key: str = "own-one") -> Sender:
    return replace(shipped(), key=key, notes=notes)


@pytest.fixture
def store() -> Iterator[Store]:
    with open_files() as store:
        store.save(own("mine"), "bench")
        yield store


def preview(store: Store, *parts: Part) -> Import:
    return compare(Incoming(tuple(Arrived(p, Place("f.csv", 2)) for p in parts)), store)


def content(store: Store) -> list[tuple[str, int, str]]:
    records = store.search(include_retired=True, limit=None).records
    return [(record.key, record.revision, record.content_hash) for record in records]


def test_that_each_part_is_told_as_new_same_changed_or_in_conflict(store: Store) -> None:
    before = content(store)
    found = preview(store, own("n", "brand-new"), own("mine"), shipped(2), SHIPPED[0])
    assert [(line.key, line.state) for line in found.lines] == [
        ("brand-new", "new"),
        ("own-one", "same"),
        (SHIPPED_KEY, "changed"),
        (SHIPPED[0].key, "same"),
    ]
    (conflict,) = preview(store, own("theirs")).lines
    assert (conflict.state, conflict.mine, conflict.theirs) == (
        "conflict",
        own("mine"),
        own("theirs"),
    )
    assert [(d.field, d.mine, d.theirs) for d in conflict.differences] == [
        ("notes", "mine", "theirs")
    ]
    assert content(store) == before


def test_that_a_moved_point_a_new_one_and_a_lost_field_are_each_told() -> None:
    part = shipped()
    assert isinstance(part.law, TableLaw)
    first, last = part.law.points
    points = (replace(first, gives=Amount(241, "Ω")), replace(last, at=Amount(90, "%")), last)
    assert [(d.field, d.mine, d.theirs) for d in differences(part, own_points(part, points))] == [
        ("notes", part.notes, None),
        ("law.points[0].gives", "240 Ω", "241 Ω"),
        ("law.points[1].at", "100 %", "90 %"),
        ("law.points[2].at", None, "100 %"),
        ("law.points[2].gives", None, "29 Ω"),
    ]


def own_points(part: Sender, points: tuple[object, ...]) -> Sender:
    law = part.law
    assert isinstance(law, TableLaw)
    moved = [*points[:-1], replace(law.points[-1], gives=Amount(29, "Ω"))]
    return replace(part, notes="", law=replace(law, points=tuple(moved)))  # type: ignore[arg-type]


def test_that_an_older_state_of_my_own_part_is_recognised(store: Store) -> None:
    store.save(own("mine, later"), "later", revision=1)
    (line,) = preview(store, own("mine")).lines
    assert (line.state, line.earlier) == ("conflict", 1)


def test_that_a_retired_part_is_said_to_be_retired_and_stays_so(store: Store) -> None:
    store.retire("own-one")
    (line,) = preview(store, own("theirs")).lines
    assert line.retired
    take(preview(store, own("theirs")), Decision("theirs"), store, "in")
    assert store.record("own-one").retired


def test_that_a_conflict_without_a_choice_keeps_everything_out(store: Store) -> None:
    before = content(store)
    with pytest.raises(UserError) as error:
        take(preview(store, own("n", "new"), own("theirs")), Decision(), store, "in")
    (sentence,) = told(error.value)
    assert "own-one" in sentence
    assert content(store) == before


@pytest.mark.parametrize(
    ("choice", "current", "beside"),
    [
        ("leave", "mine", {}),
        ("theirs", "theirs", {}),
        ("mine-as-new", "theirs", {"own-one-mine": "mine"}),
        ("theirs-as-new", "mine", {"own-one-theirs": "theirs"}),
    ],
)
def test_that_each_choice_does_what_it_says_and_no_content_is_ever_lost(
    choice: Choice, current: str, beside: dict[str, str], store: Store
) -> None:
    take(preview(store, own("theirs")), Decision(choice), store, "from a friend")
    assert store.part("own-one").notes == current
    new = {record.key for record in store.search("own-one", limit=None).records} - {"own-one"}
    assert {key: store.part(key).notes for key in new} == beside
    assert store.part("own-one", 1).notes == "mine"
    if current == "theirs":
        assert store.history("own-one")[0].label == "from a friend"


def test_that_the_same_import_taken_twice_makes_nothing_twice(store: Store) -> None:
    for choice in ("theirs-as-new", "theirs-as-new", "theirs", "theirs"):
        take(preview(store, own("theirs")), Decision(choice), store, "in")
    assert len(store.search("own-one", limit=None).records) == 2


def test_that_a_key_that_is_taken_gets_a_number(store: Store) -> None:
    store.save(own("another", "own-one-theirs"), "bench")
    take(preview(store, own("theirs")), Decision("theirs-as-new"), store, "in")
    assert store.part("own-one-theirs-2").notes == "theirs"


def test_that_the_longest_key_leaves_room_for_the_copy_s_name(store: Store) -> None:
    key = "k" * 200
    store.save(own("mine", key), "bench")
    take(preview(store, own("theirs", key)), Decision("mine-as-new"), store, "in")
    assert store.part("k" * 195 + "-mine").notes == "mine"


def test_that_single_parts_can_be_decided_apart(store: Store) -> None:
    store.save(own("mine", "own-two"), "bench")
    found = preview(store, own("theirs"), own("theirs", "own-two"), shipped(2))
    each: dict[str, Choice] = {"own-two": "theirs", SHIPPED_KEY: "leave"}
    take(found, Decision("leave", each), store, "in")
    assert [store.part(key).notes for key in ("own-one", "own-two")] == ["mine", "theirs"]
    assert store.part(SHIPPED_KEY) == shipped()


def test_that_a_sender_never_becomes_a_gauge(store: Store) -> None:
    gauge = replace(SHIPPED[-1], key="own-one")
    before = content(store)
    with pytest.raises(UserError, match=r"exchange\.other_kind"):
        take(preview(store, own("n", "new"), gauge), Decision("theirs"), store, "in")
    assert content(store) == before
    take(preview(store, gauge), Decision("theirs-as-new"), store, "in")
    assert type(store.part("own-one-theirs")) is type(gauge)


def test_that_files_with_problems_are_never_taken_over(store: Store) -> None:
    arrived = (Arrived(own("n", "new"), Place("f.csv", 2)),)
    found = compare(Incoming(arrived, (message("exchange.empty"),)), store)
    with pytest.raises(UserError, match=r"exchange\.empty"):
        take(found, Decision("theirs"), store, "in")
    assert "new" not in {key for key, _, _ in content(store)}
