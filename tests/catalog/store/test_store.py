"""Saving, going back, retiring, copying: what each does to a part and to its history."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest

from catalog.codec import content_hash
from catalog.errors import UserError
from catalog.library import load_generic
from catalog.message import message
from catalog.store.open import Opening, open_files
from catalog.store.store import Store
from tests.catalog.store.conftest import Open
from tests.catalog.store.parts_to_store import gauge, sender, sentences


def labels(store: Store, key: str = "level-9-1") -> list[tuple[int, str, str, bool]]:
    return [(r.number, r.origin, r.label, r.current) for r in store.history(key)]


def test_that_the_first_start_loads_the_generic_catalogue_as_it_is_shipped() -> None:
    library = load_generic()
    with open_files() as store:
        assert store.parts() == (*library.senders, *library.gauges)
        records = store.search(limit=None).records
    assert not any(record.own or record.retired or record.available for record in records)
    assert {record.revision for record in records} == {1}


def test_that_a_new_part_comes_back_as_it_was_saved(store: Store) -> None:
    mine = sender("level-mine", empty=12.5, notes="Ω, ä and \N{GRINNING FACE}: 0.1 %")
    record = store.save(mine, "measured on the bench")
    assert store.part("level-mine") == mine
    assert (record.own, record.revision, record.ohms_low) == (True, 1, 12.5)
    assert record.content_hash == content_hash(mine)
    assert labels(store, "level-mine") == [(1, "user", "measured on the bench", True)]


def test_that_an_edit_is_a_new_revision_and_the_old_one_is_still_there(store: Store) -> None:
    record = store.save(sender(empty=10), "ten ohms", revision=1)
    assert (record.revision, record.own, record.available) == (2, True, None)
    assert store.part("level-9-1") == sender(empty=10)
    assert store.part("level-9-1", 1) == sender()
    assert labels(store) == [(2, "user", "ten ohms", True), (1, "shipped", "", False)]


def test_that_saving_what_is_saved_already_makes_no_revision(store: Store) -> None:
    store.save(sender(empty=10), "once", revision=1)
    again = store.save(sender(empty=10), "twice", revision=1)
    assert again.revision == 2
    assert len(store.history("level-9-1")) == 2


def test_that_an_edit_of_a_stale_revision_is_refused_with_both_numbers(
    reopen: Open, opening: Opening
) -> None:
    mine, other = reopen(opening), reopen(opening)
    other.save(sender(empty=10), "the other copy", revision=1)
    with pytest.raises(UserError) as error:
        mine.save(sender(empty=11), "mine", revision=1)
    (sentence,) = sentences(error.value)
    assert "began with revision 1 of level-9-1" in sentence
    assert "current revision is 2" in sentence
    assert mine.part("level-9-1") == sender(empty=10)
    assert mine.save(sender(empty=11), "mine", revision=2).revision == 3


def test_that_going_back_is_a_revision_with_its_own_way_back(store: Store) -> None:
    store.save(sender(empty=10), "ten", revision=1)
    store.save(sender(empty=11), "eleven", revision=2)
    back = store.revert("level-9-1", 2, "back to ten")
    assert (back.revision, store.part("level-9-1")) == (4, sender(empty=10))
    store.revert("level-9-1", 3, "forth again")
    assert store.part("level-9-1") == sender(empty=11)
    assert [label for _, _, label, _ in labels(store)] == [
        "forth again",
        "back to ten",
        "eleven",
        "ten",
        "",
    ]


def test_that_going_back_to_the_shipped_revision_makes_the_part_a_shipped_one(
    store: Store,
) -> None:
    assert store.save(sender(empty=10), "ten", revision=1).own
    assert not store.revert("level-9-1", 1, "as shipped").own
    assert store.revert("level-9-1", 2, "ten after all").own


def test_that_going_back_to_the_current_revision_changes_nothing(store: Store) -> None:
    assert store.revert("level-9-1", 1, "nothing").revision == 1
    assert len(store.history("level-9-1")) == 1


def test_that_a_retired_part_leaves_the_lists_and_can_still_be_read(store: Store) -> None:
    assert store.retire("level-9-1").retired
    assert [record.key for record in store.search().records] == ["gauge-level-9-1"]
    assert store.parts() == (gauge(),)
    assert store.part("level-9-1") == sender()
    found = store.search("level", kind="sender", include_retired=True).records
    assert [record.retired for record in found] == [True]
    assert not store.unretire("level-9-1").retired
    assert store.parts() == (sender(), gauge())
    assert len(store.history("level-9-1")) == 1


def test_that_a_copy_is_the_user_s_own_and_leaves_the_original(store: Store) -> None:
    record = store.duplicate("level-9-1", "level-mine", "a copy", name="My tank")
    assert (record.own, record.name, record.revision) == (True, "My tank", 1)
    copy = store.part("level-mine")
    assert copy.key == "level-mine"
    assert getattr(copy, "law", None) == sender().law
    assert store.part("level-9-1") == sender()


@pytest.mark.parametrize("key", ["", "  ", "a" * 201, "a\0b", "a\ud800b"])
def test_that_a_key_that_cannot_be_stored_is_refused(store: Store, key: str) -> None:
    with pytest.raises(UserError) as error:
        store.save(sender(key), "odd")
    assert "cannot be the key" in sentences(error.value)[0]
    with pytest.raises(UserError, match="no_part"):
        store.part(key)


@pytest.mark.parametrize("notes", ["a\0b", "a\ud800b"])
def test_that_characters_that_cannot_be_stored_are_refused(store: Store, notes: str) -> None:
    with pytest.raises(UserError) as error:
        store.save(sender("level-mine", notes=notes), "odd")
    assert "characters that cannot be stored" in sentences(error.value)[0]
    with pytest.raises(UserError, match="bad_text"):
        store.save(sender("level-mine"), notes)
    assert len(store.search().records) == 2


def test_that_what_is_not_there_is_named(store: Store) -> None:
    with pytest.raises(UserError) as error:
        store.part("no-such")
    assert "no part called no-such" in sentences(error.value)[0]
    for revision in (0, 7, 2**40):
        with pytest.raises(UserError) as error:
            store.part("level-9-1", revision)
        assert f"level-9-1 has no revision {revision}" in sentences(error.value)[0]
    for act in (store.retire, store.unretire, store.record, store.history):
        with pytest.raises(UserError, match="no_part"):
            act("no-such")
    with pytest.raises(UserError, match="no_part"):
        store.save(sender("no-such"), "edit", revision=1)


def test_that_a_new_part_does_not_take_another_part_s_key(store: Store) -> None:
    with pytest.raises(UserError, match=r"store\.taken"):
        store.save(sender(empty=10), "new")
    with pytest.raises(UserError, match=r"store\.taken"):
        store.duplicate("gauge-level-9-1", "level-9-1", "copy")
    with pytest.raises(UserError) as error:
        store.save(gauge("level-9-1"), "another kind", revision=1)
    assert sentences(error.value) == [
        "The key level-9-1 belongs to a sender. Give the new part another key."
    ]


def test_that_a_part_is_the_same_object_each_time(store: Store) -> None:
    assert store.part("level-9-1") is store.part("level-9-1", 1)
    assert store.parts()[0] is store.part("level-9-1")


def test_that_a_store_closed_to_writing_says_why_and_still_reads(opening: Opening) -> None:
    why = message("store.locked", path="catalogue.sqlite")
    with open_files(opening, closed_to=why) as store:
        assert store.read_only
        assert store.parts() == (sender(), gauge())
        acts: tuple[Callable[[], object], ...] = (
            lambda: store.save(sender(empty=10), "edit", revision=1),
            lambda: store.retire("level-9-1"),
            lambda: store.revert("level-9-1", 1, "back"),
            lambda: store.duplicate("level-9-1", "level-mine", "copy"),
        )
        for act in acts:
            with pytest.raises(UserError) as error:
                act()
            (sentence,) = sentences(error.value)
            assert sentence.startswith("Nothing can be saved")
            assert "catalogue.sqlite" in sentence


def test_that_threads_that_save_at_once_lose_nothing(store: Store) -> None:
    def work(name: str) -> None:
        for number in range(5):
            store.save(sender(f"level-{name}-{number}"), name)
            store.search("level")

    threads = [threading.Thread(target=work, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(store.search("level-", kind="sender").records) == 21


def test_that_two_copies_of_the_program_see_each_other_s_parts(
    reopen: Open, opening: Opening
) -> None:
    mine, other = reopen(opening), reopen(opening)
    other.save(sender("level-theirs"), "theirs")
    assert mine.part("level-theirs") == sender("level-theirs")
    other.save(sender("level-theirs", empty=8), "edited", revision=1)
    assert mine.part("level-theirs") == sender("level-theirs", empty=8)
