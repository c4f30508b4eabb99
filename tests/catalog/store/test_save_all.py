"""Many parts saved together: all of them or none, on SQLite and on a server."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.errors import UserError
from catalog.exchange.arrived import Arrived
from catalog.exchange.compare import compare
from catalog.exchange.files import Incoming
from catalog.exchange.problems import Place
from catalog.exchange.taking import Decision, take
from catalog.store.open import Opening
from catalog.store.records import Change
from catalog.store.store import Store
from tests.catalog.store.conftest import Open
from tests.catalog.store.parts_to_store import gauge, sender, sentences


def keys(store: Store) -> list[str]:
    return [record.key for record in store.search(include_retired=True, limit=None).records]


def test_that_new_and_changed_parts_are_saved_together_in_their_order(store: Store) -> None:
    changes = [Change(sender("z-first")), Change(sender(empty=10), 1), Change(sender("a-second"))]
    records = store.save_all(changes, "imported")
    assert [(record.key, record.revision) for record in records] == [
        ("z-first", 1),
        ("level-9-1", 2),
        ("a-second", 1),
    ]
    assert keys(store) == ["level-9-1", "z-first", "a-second", "gauge-level-9-1"]
    assert store.history("level-9-1")[0].label == "imported"
    assert store.part("level-9-1") == sender(empty=10)


def test_that_one_bad_part_keeps_all_others_out_and_every_bad_one_is_told(store: Store) -> None:
    before = keys(store)
    changes = [
        Change(sender("good")),
        Change(sender(empty=10)),  # taken: not said which revision it began with
        Change(sender("not-there"), 3),
        Change(sender("bad-text", notes="\0")),
        Change(replace(gauge(), key="level-9-1", notes="other kind"), 1),
        Change(sender("good-too")),
    ]
    with pytest.raises(UserError) as error:
        store.save_all(changes, "imported")
    assert [problem.key for problem in error.value.messages] == [
        "store.taken",
        "store.no_part",
        "store.bad_text",
        "store.other_kind",
    ]
    assert keys(store) == before
    assert store.part("level-9-1") == sender()
    assert len(store.history("level-9-1")) == 1


def test_that_a_key_no_store_can_hold_is_told_before_anything_is_saved(store: Store) -> None:
    with pytest.raises(UserError, match=r"store\.no_key"):
        store.save_all([Change(sender("good")), Change(sender(" "))], "imported")
    assert "good" not in keys(store)


def test_that_a_part_saved_by_another_copy_meanwhile_keeps_the_whole_import_out(
    reopen: Open, opening: Opening
) -> None:
    mine, other = reopen(opening), reopen(opening)
    place = Place("theirs.json", item="parts[0]")
    arrived = (Arrived(sender("brand-new"), place), Arrived(sender(empty=12), place))
    found = compare(Incoming(arrived), mine)
    other.save(sender(empty=11), "the other copy", revision=1)
    with pytest.raises(UserError) as error:
        take(found, Decision(), mine, "imported")
    assert "began with revision 1" in sentences(error.value)[0]
    assert "brand-new" not in keys(mine)
    assert mine.part("level-9-1") == sender(empty=11)


def test_that_an_import_is_taken_over_with_mine_beside_it(store: Store) -> None:
    store.save(sender(empty=10), "my bench", revision=1)
    arrived = (Arrived(sender(empty=12), Place("theirs.csv", 2)),)
    found = compare(Incoming(arrived), store)
    take(found, Decision("mine-as-new"), store, "imported")
    assert store.part("level-9-1") == sender(empty=12)
    assert store.part("level-9-1-mine") == replace(sender(empty=10), key="level-9-1-mine")


def test_that_a_crash_in_the_middle_keeps_all_parts_out(store: Store) -> None:
    """The second part breaks inside the transaction, after the first was written."""

    def broken() -> str:
        raise OSError("no clock")

    before = keys(store)
    times = iter(["2026-11-25T02:00:00+00:00"])
    store._clock = lambda: next(times, None) or broken()
    with pytest.raises(OSError, match="no clock"):
        store.save_all([Change(sender("one")), Change(sender("two"))], "imported")
    assert keys(store) == before
