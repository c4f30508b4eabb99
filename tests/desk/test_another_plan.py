"""What was typed for one plan and not taken never shows up in another one."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from retrofit.desk.steps.duty import DutyStep
from retrofit.desk.steps.gauge import GaugeStep
from retrofit.desk.steps.part_step import KNOWN
from retrofit.desk.window import Window
from tests.desk.whole_window import field, type_into

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton


def new_plan(qtbot: QtBot, window: Window, downs: int) -> None:
    """Begin another plan by the keys: temperature, pressure, level."""
    qtbot.keyClick(window, Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    menu = QApplication.activePopupWidget()
    assert menu is not None
    qtbot.keyClick(menu, Key.Key_Home)
    for _ in range(downs):
        qtbot.keyClick(menu, Key.Key_Down)
    qtbot.keyClick(menu, Key.Key_Return)


def problems(window: Window, step: str) -> list[str]:
    return [one.problem for one in window.steps[step].fields.values() if one.problem]


def text_of(window: Window, step: str, name: str) -> str:
    editor = field(window, step, name)
    assert isinstance(editor, QLineEdit)
    return editor.text()


@pytest.mark.parametrize("downs", [0, 1, 2])
def test_that_a_refused_entry_stays_behind(qtbot: QtBot, window: Window, downs: int) -> None:
    new_plan(qtbot, window, 1)
    type_into(qtbot, field(window, "duty", "allowed"), "nonsense")
    type_into(qtbot, field(window, "duty", "high"), "80 furlongs")
    assert len(problems(window, "duty")) == 2
    new_plan(qtbot, window, downs)
    assert problems(window, "duty") == []
    assert text_of(window, "duty", "allowed") == ""
    assert "furlongs" not in text_of(window, "duty", "high")


def test_that_a_mark_half_typed_stays_behind(qtbot: QtBot, window: Window) -> None:
    step = window.steps["duty"]
    assert isinstance(step, DutyStep)
    new_plan(qtbot, window, 1)
    qtbot.mouseClick(step.marks.add, LEFT)
    qtbot.keyClicks(step.marks.draft.name, "hot idle")
    qtbot.keyClicks(step.marks.draft.at, "25 psi")
    new_plan(qtbot, window, 0)
    assert not step.marks.draft.isVisible()
    qtbot.mouseClick(step.marks.add, LEFT)
    assert step.marks.draft.isVisible()
    assert step.marks.draft.name.text() == step.marks.draft.at.text() == ""
    assert step.marks.draft.under.text() == ""


def test_that_half_a_row_of_the_dial_stays_behind(qtbot: QtBot, window: Window) -> None:
    window.show_step("gauge")
    step = window.steps["gauge"]
    assert isinstance(step, GaugeStep)
    new_plan(qtbot, window, 1)
    window.show_step("gauge")
    step.tabs.setCurrentIndex(KNOWN)
    qtbot.mouseClick(step.marks.add, LEFT)
    qtbot.keyClicks(step.marks.rows[0].at, "30 psi")
    qtbot.keyClick(step.marks.rows[0].at, Key.Key_Tab)
    assert len(step.marks.rows) == 1
    new_plan(qtbot, window, 1)
    assert step.marks.rows == ()
    assert not step.marks.says.isVisible()


def test_that_what_was_typed_last_is_still_taken_by_the_old_plan(
    qtbot: QtBot, window: Window
) -> None:
    editor = field(window, "duty", "high")
    qtbot.mouseClick(editor, LEFT)
    qtbot.keyClick(editor, Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(editor, "131")
    new_plan(qtbot, window, 1)
    qtbot.mouseClick(window.notice.buttons[0], LEFT)  # back to the one that was open
    assert window.place.view.plan.duty.high.number == 131.0


def test_that_an_amount_shows_its_start_once_it_is_left(qtbot: QtBot, window: Window) -> None:
    editor = field(window, "duty", "high")
    assert isinstance(editor, QLineEdit)
    type_into(qtbot, editor, "120.12345678901234")
    qtbot.keyClick(editor, Key.Key_Tab)
    assert editor.cursorPosition() == 0
