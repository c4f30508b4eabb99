"""The line edit for words: what is typed or picked reaches the plan, by mouse and by keys."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListView
from pytestqt.qtbot import QtBot

from retrofit.desk.widgets.words_edit import WordsEdit
from tests.desk.seeing import opened

Key = Qt.Key
NAMES = ("G 1/8", "R 1/8", "1/8-27 NPT", "M10x1")


@pytest.fixture
def edit(qtbot: QtBot) -> Iterator[WordsEdit]:
    made = opened(qtbot, WordsEdit("Thread"))
    made.offer(NAMES)
    made.setFocus()
    yield made
    popup_of(made).hide()


def popup_of(edit: WordsEdit) -> QListView:
    popup = edit.completer().popup()
    assert isinstance(popup, QListView)
    return popup


def listed(edit: WordsEdit) -> list[str]:
    model = edit.completer().completionModel()
    return [str(model.index(row, 0).data()) for row in range(model.rowCount())]


def begun(qtbot: QtBot, edit: WordsEdit, text: str) -> QListView:
    """Type, and wait for the names that are offered."""
    qtbot.keyClicks(edit, text)
    popup = popup_of(edit)
    qtbot.waitUntil(popup.isVisible)
    return popup


def test_that_a_name_picked_with_the_mouse_is_finished_with(qtbot: QtBot, edit: WordsEdit) -> None:
    popup = begun(qtbot, edit, "1/8")
    assert listed(edit) == ["G 1/8", "R 1/8", "1/8-27 NPT"]
    place = popup.visualRect(edit.completer().completionModel().index(2, 0)).center()
    with qtbot.waitSignal(edit.finished) as finished:
        qtbot.mouseClick(popup.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert finished.args == ["1/8-27 NPT"]
    assert edit.text() == "1/8-27 NPT"
    assert not edit.waits


def test_that_a_name_picked_with_keys_is_finished_with_once(qtbot: QtBot, edit: WordsEdit) -> None:
    heard: list[str] = []
    edit.finished.connect(heard.append)
    popup = begun(qtbot, edit, "1/8")
    for _ in range(3):
        qtbot.keyClick(popup, Key.Key_Down)
    qtbot.keyClick(popup, Key.Key_Return)
    qtbot.keyClick(edit, Key.Key_Return)
    assert heard == ["1/8-27 NPT"]
    assert not edit.waits


def test_that_a_name_only_highlighted_is_finished_with_when_the_field_is_left(
    qtbot: QtBot, edit: WordsEdit
) -> None:
    popup = begun(qtbot, edit, "1/8")
    qtbot.keyClick(popup, Key.Key_Down)
    assert edit.text() == "G 1/8"
    with qtbot.waitSignal(edit.finished) as finished:
        qtbot.keyClick(popup, Key.Key_Tab)
    assert finished.args == ["G 1/8"]


def test_that_refused_words_wait_while_the_plan_stays_the_same_and_go_when_it_changes(
    qtbot: QtBot, edit: WordsEdit
) -> None:
    edit.hold("M10x1")
    edit.finished.connect(lambda _: edit.refuse())
    qtbot.keyClick(edit, Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(edit, "1/8 NPSF")
    qtbot.keyClick(edit, Key.Key_Return)
    assert (edit.text(), edit.held, edit.waits) == ("1/8 NPSF", "M10x1", True)
    edit.hold("M10x1")  # something else in the plan changed
    assert edit.text() == "1/8 NPSF"
    with qtbot.waitSignal(edit.settled):
        edit.hold("G 1/8")
    assert (edit.text(), edit.waits) == ("G 1/8", False)


def test_that_escape_closes_the_names_first_and_then_takes_back_what_was_typed(
    qtbot: QtBot, edit: WordsEdit
) -> None:
    edit.hold("M10x1")
    qtbot.keyClick(edit, Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    popup = begun(qtbot, edit, "1/8")
    qtbot.keyClick(popup, Key.Key_Escape)
    assert popup.isHidden()
    assert edit.text() == "1/8"
    qtbot.keyClick(edit, Key.Key_Escape)
    assert (edit.text(), edit.waits) == ("M10x1", False)
