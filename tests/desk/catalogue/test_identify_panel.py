"""Identify, as somebody at the bench uses it: readings typed, classes ranked, one taken."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from retrofit.desk.catalogue.identify_panel import IdentifyPanel
from retrofit.desk.steps.catalogue import IDENTIFY, PARTS, CataloguePage
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.window import Window
from tests.desk.seeing import plain
from tests.desk.whole_window import type_into

Key, Left = Qt.Key, Qt.MouseButton.LeftButton
Mode = QAbstractItemModelTester.FailureReportingMode


@pytest.fixture
def panel(page: CataloguePage) -> IdentifyPanel:
    page.tabs.setCurrentIndex(IDENTIFY)
    return page.identify


def choose(qtbot: QtBot, choice: Choice, word: str) -> None:
    choice.setFocus()
    while choice.word != word:
        down = choice.findData(word) > choice.currentIndex()
        qtbot.keyClick(choice, Key.Key_Down if down else Key.Key_Up)


def readings(qtbot: QtBot, panel: IdentifyPanel, *pairs: tuple[str, str]) -> None:
    rows = panel.points if panel.part.word == "sender" else panel.needles
    for row, (at, gives) in zip(rows.rows, pairs, strict=False):
        type_into(qtbot, row.at, at)
        type_into(qtbot, row.gives, gives)


def test_that_it_begins_with_the_quantity_of_the_plan_and_says_what_to_do(
    panel: IdentifyPanel,
) -> None:
    assert panel.quantity.word == "temperature"
    assert "Type what the meter showed" in panel.answer.says.text()
    assert not panel.answer.list.isVisible()
    assert not panel.answer.use.isEnabled()


def test_that_two_readings_leave_several_and_name_the_next_to_take(
    panel: IdentifyPanel, qtbot: QtBot
) -> None:
    tester = QAbstractItemModelTester(panel.answer.list.model, Mode.Fatal)
    choose(qtbot, panel.quantity, "level")
    readings(qtbot, panel, ("0", "241"), ("100", "33.4"))
    names = [row.key for row in panel.answer.list.model.rows]
    assert names[0] == "level-240-33-mid-103"
    assert "level-240-33-straight" in names
    assert names[-1] == ""  # none of these
    said = plain(panel.answer.next.text())
    # Half of a straight 240 to 33 Ω track is 136.5 Ω.
    assert "At 50.0 %" in said
    assert "136" in said
    assert tester.model() is panel.answer.list.model


def test_that_three_readings_name_the_class_and_it_goes_into_the_plan(
    desk: Window, panel: IdentifyPanel, qtbot: QtBot
) -> None:
    # 291 Ω at 40 °C to 22 Ω at 120 °C (common practice, no source).
    readings(qtbot, panel, ("40", "287"), ("80", "70"), ("120", "22.3"))
    assert panel.answer.list.key == "temperature-291-22-120c"
    assert "this class gives" in panel.answer.beside.text()
    qtbot.mouseClick(panel.answer.use, Left)
    pairing = desk.place.view.pairing
    assert pairing.sender.key == "temperature-291-22-120c"
    assert pairing.sender_origin is not None
    desk.undo()
    assert desk.place.view.pairing.sender.key != "temperature-291-22-120c"


def test_that_another_quantity_than_the_plan_s_is_refused_with_a_sentence(
    desk: Window, page: CataloguePage, panel: IdentifyPanel, qtbot: QtBot
) -> None:
    before = desk.place.view.pairing.sender
    choose(qtbot, panel.quantity, "level")
    readings(qtbot, panel, ("0", "241"), ("50", "102"), ("100", "33.4"))
    qtbot.mouseClick(panel.answer.use, Left)
    assert "something else than this plan" in page.notice.text
    assert desk.place.view.pairing.sender == before


def test_that_a_part_that_no_catalogue_lists_ends_in_none_of_these(
    panel: IdentifyPanel, qtbot: QtBot
) -> None:
    readings(qtbot, panel, ("40", "9000"), ("80", "5000"), ("120", "4900"))
    rows = panel.answer.list.model.rows
    shares = {row.key: plain(row.worst) for row in rows}
    assert float(shares[""].split()[0]) > 90.0


def test_that_a_class_is_shown_in_the_list(
    page: CataloguePage, panel: IdentifyPanel, qtbot: QtBot
) -> None:
    readings(qtbot, panel, ("40", "287"), ("80", "70"), ("120", "22.3"))
    qtbot.mouseClick(panel.answer.show_part, Left)
    assert page.tabs.currentIndex() == PARTS
    assert page.parts.key == "temperature-291-22-120c"


def test_that_a_gauge_is_told_by_its_needle(panel: IdentifyPanel, qtbot: QtBot) -> None:
    choose(qtbot, panel.part, "gauge")
    choose(qtbot, panel.quantity, "level")
    assert not panel.points.isVisible()
    choose(qtbot, panel.open, "low")
    readings(qtbot, panel, ("33", "100"), ("103", "50"))
    leading = {one.key for one in panel.answer.ranked if one.leads}
    assert "gauge-level-240-33-ratio-12v" in leading
    assert panel.caution.isVisible() or panel.answer.assumed.isVisible()


def test_that_what_cannot_be_read_is_named_and_left_out(panel: IdentifyPanel, qtbot: QtBot) -> None:
    type_into(qtbot, panel.points.rows[0].at, "warm")
    assert panel.points.rows[0].under.text()
    assert panel.points.pairs == []
    type_into(qtbot, panel.amounts["rest"], "-5")
    assert panel.answer.says.text()
    assert not panel.answer.use.isEnabled()


def test_that_an_own_part_is_a_class_like_the_others(
    page: CataloguePage, panel: IdentifyPanel, qtbot: QtBot
) -> None:
    page.tabs.setCurrentIndex(PARTS)
    page.show_part("temperature-291-22-120c")
    qtbot.mouseClick(page.parts.copy, Left)
    page.tabs.setCurrentIndex(IDENTIFY)
    readings(qtbot, panel, ("40", "287"), ("80", "70"), ("120", "22.3"))
    assert "temperature-291-22-120c-copy" in [row.key for row in panel.answer.list.model.rows]


def test_that_return_goes_on_to_the_next_reading_and_makes_a_new_row(
    panel: IdentifyPanel, qtbot: QtBot
) -> None:
    count = len(panel.points.rows)
    last = panel.points.rows[-1]
    last.gives.setFocus()
    qtbot.keyClicks(last.gives, "100")
    qtbot.keyClick(last.gives, Key.Key_Return)
    assert len(panel.points.rows) == count + 1
    assert panel.points.rows[-1].at.hasFocus()
    qtbot.mouseClick(panel.clear, Left)
    assert all(row.gives.amount is None for row in panel.points.rows)
