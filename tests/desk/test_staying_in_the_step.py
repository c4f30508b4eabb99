"""Where the cursor is after a button has gone and after a change of step: never where it renames.

Keys go to whatever has the focus, as a user's do.
"""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from retrofit.desk.steps.part_step import PartStep
from retrofit.desk.window import STEPS, Window
from tests.desk.whole_window import field, type_into

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


@pytest.mark.parametrize("kind", ["gauge", "sender"])
def test_that_who_types_on_after_using_a_part_does_not_rename_the_plan(
    qtbot: QtBot, window: Window, kind: str
) -> None:
    window.show_step(kind)
    step = window.steps[kind]
    assert isinstance(step, PartStep)
    picker = step.picker
    name, before = window.place.view.plan.name, step.present()
    row = next(i for i, one in enumerate(picker.model.rows) if one.key != before)
    picker.list.scrollTo(picker.model.index(row))
    box = picker.list.visualRect(picker.model.index(row))
    qtbot.mouseClick(picker.list.viewport(), LEFT, pos=box.center())
    qtbot.mouseClick(picker.take, LEFT)
    assert step.present() != before
    assert not picker.take.isEnabled()
    assert focused() is picker.list
    for key in ("1", "2", "0"):
        qtbot.keyClick(focused(), key)
    qtbot.keyClick(focused(), Key.Key_Tab)
    assert window.place.view.plan.name == window.top.name.text() == name


def test_that_saving_by_the_button_does_not_put_the_cursor_into_the_name(
    qtbot: QtBot, window: Window, tmp_path_factory: pytest.TempPathFactory
) -> None:
    assert window.keeper.save_to(tmp_path_factory.mktemp("plans") / "mine.json")
    type_into(qtbot, field(window, "duty", "allowed"), "4")
    buttons = window.top.findChildren(QToolButton)
    save = next(one for one in buttons if one.defaultAction() is window.save_action)
    qtbot.mouseClick(save, LEFT)
    assert not window.save_action.isEnabled()
    assert focused() is not window.top.name


def test_that_a_step_asked_for_by_its_keys_has_the_cursor_in_it(
    qtbot: QtBot, window: Window
) -> None:
    for number, key in enumerate(STEPS, 1):
        window.top.name.setFocus()
        qtbot.keyClick(focused(), Key(Key.Key_0 + number), Qt.KeyboardModifier.ControlModifier)
        assert window.step == key
        assert window.steps[key].isAncestorOf(focused()), key


def test_that_a_step_come_back_to_by_its_keys_goes_on_where_it_was_left(
    qtbot: QtBot, window: Window
) -> None:
    editor = field(window, "duty", "high")
    qtbot.mouseClick(editor, LEFT, pos=QPoint(20, 10))
    qtbot.keyClick(focused(), Key.Key_6, Qt.KeyboardModifier.ControlModifier)
    assert window.step == "wiring"
    qtbot.keyClick(focused(), Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    assert focused() is editor
