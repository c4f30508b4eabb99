"""Import and export in the window: looked at first, decided part by part, all or nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from catalog.codec import Part
from catalog.exchange.files import read_files, write_files
from catalog.library import load_generic
from catalog.message import message
from retrofit.desk.catalogue.exchange_panel import ExchangePanel
from retrofit.desk.steps.catalogue import EXCHANGE, CataloguePage
from retrofit.desk.widgets.choice import Choice
from tests.desk.whole_window import type_into

Key, Left = Qt.Key, Qt.MouseButton.LeftButton
Mode = QAbstractItemModelTester.FailureReportingMode
LIBRARY = load_generic()
MINE, SHIPPED = "level-240-30", "level-0-190"


@pytest.fixture
def panel(page: CataloguePage) -> ExchangePanel:
    """The page where the user has noted something of one part."""
    part = replace(LIBRARY.part(MINE), notes="mine")
    page._shelves.save(part, message("shelves.add", part="x"))
    page.tabs.setCurrentIndex(EXCHANGE)
    return page.exchange


@pytest.fixture
def arriving(tmp_path: Path) -> Path:
    """A file with a new part, one that differs from the user's, and one that is shipped."""
    parts: list[Part] = [
        replace(LIBRARY.part(MINE), notes="theirs"),
        replace(LIBRARY.part(SHIPPED), notes="theirs"),
        replace(LIBRARY.part(SHIPPED), key="theirs-new", name="Their new part"),
    ]
    write_files(tmp_path / "theirs.json", parts)
    return tmp_path / "theirs.json"


def choose(qtbot: QtBot, choice: Choice, word: str) -> None:
    choice.setFocus()
    while choice.word != word:
        down = choice.findData(word) > choice.currentIndex()
        qtbot.keyClick(choice, Key.Key_Down if down else Key.Key_Up)


def note(page: CataloguePage, key: str) -> str:
    one = page._shelves.shelf.get(key)
    assert one is not None
    return one.part.notes


def test_that_a_file_is_only_looked_at_until_it_is_applied(
    page: CataloguePage,
    panel: ExchangePanel,
    arriving: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tester = QAbstractItemModelTester(panel.list.model, Mode.Fatal)
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: ([str(arriving)], ""))
    qtbot.mouseClick(panel.open, Left)
    assert "theirs.json: 1 new, 1 replace what the program ships, 1 differ" in panel.says.text()
    assert [row.key for row in panel.list.model.rows] == [MINE, SHIPPED, "theirs-new"]
    panel.list.look_at(MINE)
    assert panel.differs.text() == "notes: mine → theirs"
    assert note(page, MINE) == "mine"
    assert not panel.apply.isEnabled()  # the conflict is not decided
    assert tester.model() is panel.list.model


def test_that_a_conflict_decided_by_itself_is_taken_and_can_be_taken_back(
    page: CataloguePage, panel: ExchangePanel, arriving: Path, qtbot: QtBot
) -> None:
    panel.look_at([arriving])
    panel.list.look_at(MINE)
    choose(qtbot, panel.one, "mine-as-new")
    assert panel.apply.isEnabled()
    qtbot.mouseClick(panel.apply, Left)
    assert "Done: 4 parts" in panel.says.text()
    assert (note(page, MINE), note(page, f"{MINE}-mine"), note(page, SHIPPED)) == (
        "theirs", "mine", "theirs",
    )  # fmt: skip
    page.take_back()
    assert (note(page, MINE), note(page, SHIPPED)) == ("mine", LIBRARY.part(SHIPPED).notes)
    new = page._shelves.shelf.get("theirs-new")
    assert new is not None
    assert new.retired


def test_that_one_choice_serves_all_conflicts_and_a_shipped_part_can_be_left(
    page: CataloguePage, panel: ExchangePanel, arriving: Path, qtbot: QtBot
) -> None:
    panel.look_at([arriving])
    choose(qtbot, panel.all, "leave")
    panel.list.look_at(SHIPPED)
    choose(qtbot, panel.one, "leave")
    qtbot.mouseClick(panel.apply, Left)
    assert (note(page, MINE), note(page, SHIPPED)) == ("mine", LIBRARY.part(SHIPPED).notes)
    assert page._shelves.shelf.get("theirs-new") is not None


def test_that_nothing_is_taken_of_a_file_with_a_fault(
    page: CataloguePage, panel: ExchangePanel, tmp_path: Path
) -> None:
    (tmp_path / "senders.csv").write_text(
        "key,name,quantity,law.kind\ngood-one,Good,level,unknown\nbad-one,Bad,speed,unknown\n"
    )
    panel.look_at([tmp_path / "senders.csv"])
    assert "senders.csv" in panel.says.text()
    assert "speed" in panel.says.text()
    assert not panel.apply.isEnabled()
    panel.drop()
    assert not panel.says.isVisible()
    assert page._shelves.shelf.get("good-one") is None


def test_that_a_file_that_is_none_is_told(panel: ExchangePanel, tmp_path: Path) -> None:
    panel.look_at([tmp_path / "nothing.json"])
    assert "nothing.json" in panel.says.text()
    assert not panel.apply.isEnabled()


def test_that_repeating_an_import_would_change_nothing(
    panel: ExchangePanel, arriving: Path, qtbot: QtBot
) -> None:
    panel.look_at([arriving])
    choose(qtbot, panel.all, "theirs")
    qtbot.mouseClick(panel.apply, Left)
    panel.look_at([arriving])
    assert "0 new, 0 replace" in panel.says.text()
    assert not panel.apply.isEnabled()


def test_that_the_listed_parts_go_out_and_come_in_again(
    page: CataloguePage,
    panel: ExchangePanel,
    tmp_path: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    type_into(qtbot, page.parts.words, "dual")
    target = tmp_path / "out"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    qtbot.mouseClick(panel.save_json, Left)
    written = read_files([target.with_suffix(".json")])
    assert [one.part for one in written.parts] == [one.part for one in page.parts.found]
    choose(qtbot, panel.what, "own")
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path / "csv"))
    qtbot.mouseClick(panel.save_csv, Left)
    assert [one.part.key for one in read_files([tmp_path / "csv"]).parts] == [MINE]
    qtbot.mouseClick(panel.save_csv, Left)
    assert "Choose an empty folder" in panel.told.text()


def test_that_without_a_part_to_save_no_file_is_made(
    page: CataloguePage, panel: ExchangePanel, tmp_path: Path, qtbot: QtBot
) -> None:
    type_into(qtbot, page.parts.words, "zeppelin")
    panel.write(tmp_path / "none.json")
    assert "no such part" in panel.told.text()
    assert not (tmp_path / "none.json").exists()
