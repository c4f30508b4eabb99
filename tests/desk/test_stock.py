"""The parts on offer: the shipped files at once, the user's catalogue when it is open."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from catalog.errors import UserError
from catalog.home import catalogue_path
from catalog.library import load_generic
from catalog.message import Message
from catalog.store.open import open_store
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.stock import MOST, Stock
from retrofit.desk.threads import ThreadExecutor
from tests.catalog.store.parts_to_store import sender
from tests.desk.executors import HeldExecutor
from tests.desk.hostile_places import sentence

OPENING = 20_000  # ms; a first start fills the catalogue


@pytest.fixture
def stock(qtbot: QtBot) -> Iterator[Stock]:
    del qtbot
    made = Stock()
    yield made
    made.close()


@pytest.fixture
def told(stock: Stock) -> list[Message]:
    """What the user was told about the catalogue."""
    heard: list[Message] = []
    stock.told.connect(heard.append)
    return heard


def test_that_the_shipped_parts_are_on_offer_before_the_catalogue_is_open(stock: Stock) -> None:
    found = stock.search("", "level", "sender")
    assert [one.part for one in found] == list(
        load_generic().search("", quantity="level", kind="sender")
    )
    assert {(one.own, one.revision) for one in found} == {(False, 1)}
    assert not catalogue_path().exists()
    assert stock.part(found[0].part.key) == found[0]
    assert len(stock.search("240 33", "level", "gauge")) < len(stock.search("", "level", "gauge"))
    with pytest.raises(UserError) as refused:
        stock.part("no-such-part")
    assert "no-such-part" in sentence(refused.value)


def test_that_the_catalogue_opened_in_a_thread_serves_the_window(
    stock: Stock, told: list[Message], qtbot: QtBot
) -> None:
    with open_store() as store:
        store.save(sender("level-mine", notes="the old tank"), "mine")
    shipped = stock.search("", "level", "sender")
    executor = ThreadExecutor()
    with qtbot.waitSignal(stock.ready, timeout=OPENING):
        stock.open(executor)
    executor.close()
    found = stock.search("", "level", "sender")
    assert [one.part.key for one in found if one.own] == ["level-mine"]
    assert [one.part for one in found if not one.own] == [one.part for one in shipped]
    (mine,) = stock.search("old tank", "level", "sender")
    assert (mine.part, mine.own, mine.revision) == (
        sender("level-mine", notes="the old tank"),
        True,
        1,
    )
    assert stock.part("level-mine") == mine
    assert stock.search("old tank", "level", "gauge") == ()
    assert told == []


def test_that_a_damaged_catalogue_is_told_and_the_shipped_parts_serve(
    stock: Stock, told: list[Message]
) -> None:
    path = catalogue_path()
    path.parent.mkdir(parents=True)
    path.write_bytes(b"no database\n" * 500)
    stock.open(InlineExecutor())
    said = " ".join(sentence(UserError(one)) for one in told)
    assert "is damaged" in said
    assert str(path) in said
    assert len(stock.search("", "level", "sender")) > 20
    assert path.read_bytes() == b"no database\n" * 500


def test_that_a_home_that_cannot_be_written_is_told_and_the_shipped_parts_serve(
    stock: Stock, told: list[Message], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("RETROFIT_HOME", str(tmp_path / "file"))
    stock.open(InlineExecutor())
    assert "parts that come with the program" in " ".join(sentence(UserError(one)) for one in told)
    assert len(stock.search("", "level", "sender")) > 20


def test_that_a_window_closed_while_the_catalogue_opens_lets_it_go(
    stock: Stock, told: list[Message]
) -> None:
    executor = HeldExecutor()
    heard: list[bool] = []
    stock.ready.connect(lambda: heard.append(True))
    stock.open(executor)
    job = executor.jobs[0]
    worker = threading.Thread(target=lambda: job.work(job.progress))  # its end is never told
    worker.start()
    worker.join()
    stock.close()
    assert (heard, told) == ([], [])
    assert len(stock.search("", "level", "sender")) > 20
    catalogue_path().unlink()


def test_that_every_part_comes_a_portion_at_a_time_whole_and_once(stock: Stock) -> None:
    with open_store() as store:
        for number in range(230):
            store.save(sender(f"level-mine-{number}"), "mine")
    shipped, _ = stock.every("level", "sender")
    stock.open(InlineExecutor())
    count, portions = stock.every("level", "sender")
    every = [one for portion in portions for one in portion]
    assert count == len(every) == shipped + 230
    assert len({one.part.key for one in every}) == count
    assert every[0] == stock.part(every[0].part.key)
    assert every[-1] == stock.part("level-mine-229")


def test_that_a_large_catalogue_is_listed_by_name_as_it_is_searched(stock: Stock) -> None:
    with open_store() as store:
        for number in range(MOST + 5):
            store.save(sender(f"level-mine-{number}", notes="the old tank"), "mine")
    stock.open(InlineExecutor())
    for words in ("", "old tank", "mine-40", "nowhere"):
        listed = stock.listed(words, "level", "sender")
        found = stock.search(words, "level", "sender")
        assert [one.key for one in listed] == [one.part.key for one in found]
        assert [one.own for one in listed] == [one.own for one in found]
        assert len(listed) <= MOST
    assert stock.listed("nowhere", "level", "sender") == ()


def test_that_a_small_catalogue_lists_the_nearest_ohms_first(stock: Stock) -> None:
    listed = stock.listed("245 30", "level", "sender")
    found = stock.search("245 30", "level", "sender")
    assert [(one.key, one.like) for one in listed] == [(one.part.key, one.like) for one in found]
    assert listed
