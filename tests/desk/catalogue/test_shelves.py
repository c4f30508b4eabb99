"""Changes of the catalogue one after another: waiting, failing, taken back, saved at the end."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from catalog.codec import Part
from catalog.exchange.files import read_files
from catalog.home import catalogue_path, left_for_later
from catalog.message import message
from catalog.store.open import open_store
from retrofit.desk.catalogue.shelves import Shelves
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.stock import Stock
from tests.desk.executors import HeldExecutor

LABEL = message("shelves.add", part="x")
KEY = "level-240-30"


@pytest.fixture
def held() -> HeldExecutor:
    return HeldExecutor()


@pytest.fixture
def stock() -> Iterator[Stock]:
    made = Stock()
    made.open(InlineExecutor())
    yield made
    made.close()


@pytest.fixture
def shelves(stock: Stock, held: HeldExecutor, reader: Reader) -> Shelves:
    made = Shelves(stock, held, reader)
    made.load()
    held.let_all_go()
    return made


def noted(shelves: Shelves, notes: str) -> Part:
    one = shelves.shelf.get(KEY)
    assert one is not None
    return replace(one.part, notes=notes)


def notes_in_store() -> str:
    with open_store() as store:
        return store.part(KEY).notes


def test_that_of_edits_that_wait_only_the_newest_is_saved(
    shelves: Shelves, held: HeldExecutor
) -> None:
    for notes in ("a", "ab", "abc"):
        shelves.save(noted(shelves, notes), LABEL)
    assert shelves.unsaved
    held.let_all_go()
    one = shelves.shelf.get(KEY)
    assert one is not None
    # The first had begun; of the other two the older gave way.
    assert (one.part.notes, one.revision) == ("abc", 3)
    assert not shelves.unsaved


def test_that_a_change_that_fails_is_kept_and_can_be_made_again(
    qtbot: QtBot, shelves: Shelves, held: HeldExecutor
) -> None:
    with open_store() as other:  # another copy of the program saves the same part
        other.save(noted(shelves, "theirs"), "other", revision=1)
    shelves.save(noted(shelves, "mine"), LABEL)
    with qtbot.waitSignal(shelves.failed) as said:
        held.let_all_go()
    assert "revision" in str(said.args)
    assert shelves.unsaved
    assert notes_in_store() == "theirs"
    shelves.try_again()
    held.let_all_go()
    assert notes_in_store() == "mine"
    assert not shelves.unsaved


def test_that_giving_up_shows_what_the_store_says(shelves: Shelves, held: HeldExecutor) -> None:
    with open_store() as other:
        other.save(noted(shelves, "theirs"), "other", revision=1)
    shelves.save(noted(shelves, "mine"), LABEL)
    held.let_all_go()
    shelves.give_up()
    held.let_all_go()
    one = shelves.shelf.get(KEY)
    assert one is not None
    assert one.part.notes == "theirs"
    assert not shelves.unsaved


def test_that_changes_are_taken_back_from_the_last_to_the_first(
    shelves: Shelves, held: HeldExecutor
) -> None:
    before = shelves.shelf.get(KEY)
    assert before is not None
    shelves.save(noted(shelves, "a"), LABEL)
    held.let_all_go()
    shelves.retire(KEY)
    held.let_all_go()
    shelves.save(replace(noted(shelves, "new"), key="mine"), LABEL)
    held.let_all_go()
    for _ in range(3):
        shelves.take_back()
        held.let_all_go()
    one, new = shelves.shelf.get(KEY), shelves.shelf.get("mine")
    assert one is not None
    assert (one.part, one.own, one.retired) == (before.part, False, False)
    assert new is not None
    assert new.retired  # nothing is deleted
    assert shelves.last is None


def test_that_saving_what_is_there_already_is_no_step_to_take_back(
    shelves: Shelves, held: HeldExecutor
) -> None:
    one = shelves.shelf.get(KEY)
    assert one is not None
    shelves.save(one.part, LABEL)
    held.let_all_go()
    assert shelves.last is None


def test_that_what_waits_is_saved_when_the_window_closes(
    shelves: Shelves, held: HeldExecutor, stock: Stock
) -> None:
    shelves.save(noted(shelves, "typed last"), LABEL)
    held.close()  # the job never ran
    shelves.finish()
    stock.close()
    assert notes_in_store() == "typed last"
    assert not left_for_later().exists()


def test_that_what_cannot_be_saved_at_the_end_is_left_beside_the_catalogue(
    shelves: Shelves, held: HeldExecutor, stock: Stock, reader: Reader, qtbot: QtBot
) -> None:
    with open_store() as other:
        other.save(noted(shelves, "theirs"), "other", revision=1)
    shelves.save(noted(shelves, "mine"), LABEL)
    held.close()
    shelves.finish()
    (left,) = read_files([left_for_later()]).parts
    assert left.part.notes == "mine"
    again = Shelves(stock, InlineExecutor(), reader)
    with qtbot.waitSignal(again.failed) as said:
        again.load()
    assert str(left_for_later()) in str(said.args)


def test_that_a_part_that_cannot_be_read_is_told_and_the_others_are_listed(
    stock: Stock, reader: Reader, qtbot: QtBot
) -> None:
    with closing(sqlite3.connect(catalogue_path())) as connection, connection:
        said_otherwise = "UPDATE revisions SET document = ? WHERE key = ?"
        connection.execute(said_otherwise, ('{"part": "sender"}', KEY))
    made = Shelves(stock, InlineExecutor(), reader)
    with qtbot.waitSignal(made.failed) as said:
        made.load()
    assert KEY in str(said.args)
    assert made.shelf.get(KEY) is None
    assert len(made.shelf) > 100


def test_that_the_shipped_parts_serve_until_the_catalogue_is_open(reader: Reader) -> None:
    stock = Stock()
    made = Shelves(stock, InlineExecutor(), reader)
    made.load()
    assert made.shelf.get(KEY) is not None
    before = made.can_save
    stock.open(InlineExecutor())
    assert (before, made.can_save) == (False, True)
    stock.close()
    assert Path(catalogue_path()).exists()
