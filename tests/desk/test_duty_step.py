"""The first step: the quantity, the notes, and how another plan is begun."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from retrofit.cli import main
from retrofit.desk.steps.duty import DutyStep
from retrofit.desk.widgets.notes_edit import MOST, NotesEdit
from retrofit.desk.window import Window
from retrofit.plan.file import read_plan, write_plan
from tests.desk.whole_window import type_into

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
CONTROL = Qt.KeyboardModifier.ControlModifier


def duty(window: Window) -> DutyStep:
    step = window.steps["duty"]
    assert isinstance(step, DutyStep)
    return step


def offered(qtbot: QtBot, window: Window) -> QMenu:
    qtbot.keyClick(window, Key.Key_N, CONTROL)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    return menu


def test_that_ctrl_n_asks_for_the_quantity_and_the_step_tells_it(
    qtbot: QtBot, window: Window
) -> None:
    before = window.place.view.plan
    assert duty(window).quantity.text() == "Temperature"
    menu = offered(qtbot, window)
    assert [action.text() for action in menu.actions()] == ["Temperature", "Pressure", "Level"]
    assert menu.activeAction().text() == "Temperature"  # what the open plan reads
    qtbot.keyClick(menu, Key.Key_Escape)
    assert window.place.view.plan is before
    for downs, quantity, said in ((1, "pressure", "Pressure"), (1, "level", "Level")):
        menu = offered(qtbot, window)
        for _ in range(downs):
            qtbot.keyClick(menu, Key.Key_Down)
        qtbot.keyClick(menu, Key.Key_Return)
        assert window.place.view.plan.duty.quantity == quantity
        assert duty(window).quantity.text() == said
        assert window.step == "duty"


def write(qtbot: QtBot, editor: NotesEdit, words: str) -> None:
    qtbot.mouseClick(editor.viewport(), LEFT)
    qtbot.keyClicks(editor, words)


def test_that_notes_are_kept_as_they_are_written_and_are_one_step_of_undo(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    notes = duty(window).notes
    before = window.place.view.plan
    assert notes.toPlainText() == before.notes
    notes.selectAll()
    qtbot.keyClick(notes, Key.Key_Delete)
    write(qtbot, notes, "Sender from the spares box.")
    qtbot.waitUntil(lambda: window.place.view.plan.notes == "Sender from the spares box.")
    qtbot.keyClick(notes, Key.Key_Return)
    qtbot.keyClicks(notes, "Port side.")
    qtbot.keyClick(notes, Key.Key_Tab)  # leaves the field, and takes what stands in it
    assert QApplication.focusWidget() is not notes
    assert window.place.view.plan.notes == "Sender from the spares box.\nPort side."
    file = tmp_path / "noted.json"
    write_plan(file, window.place.view.plan)
    assert read_plan(file).notes == window.place.view.plan.notes
    window.undo()
    assert window.place.view.plan == before
    assert notes.toPlainText() == before.notes


def test_that_the_notes_of_the_command_line_stand_in_the_window(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    file = tmp_path / "made.json"
    parts = [
        "--sender",
        "temperature-291-22-120c",
        "--gauge",
        "gauge-temperature-291-22-120c-ratio-12v",
    ]
    assert main(["new", str(file), *parts, "--notes", "as told by the yard"]) == 0
    window.keeper.open_path(file)
    assert duty(window).notes.toPlainText() == "as told by the yard"
    type_into(qtbot, window.top.name, "Renamed")
    assert window.place.view.plan.notes == "as told by the yard"


@pytest.mark.parametrize("more", [0, 1])
def test_that_a_paste_is_refused_only_where_it_is_too_long(
    qtbot: QtBot, window: Window, more: int
) -> None:
    notes = duty(window).notes
    notes.selectAll()
    qtbot.keyClick(notes, Key.Key_Delete)
    QApplication.clipboard().setText("x" * (MOST + more))
    qtbot.mouseClick(notes.viewport(), LEFT)
    qtbot.keyClick(notes, Key.Key_V, CONTROL)
    assert len(notes.toPlainText()) == (0 if more else MOST)
    assert bool(duty(window).fields["notes"].problem) is bool(more)
