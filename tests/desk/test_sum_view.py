"""Show the sum in the window: a click or a key on a number opens how it was made."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_resistor
from retrofit.desk.files import demo_plan, start_session
from retrofit.desk.window import Window
from retrofit.installation import TrimResistor
from retrofit.plan.document import Plan
from tests.desk.whole_window import shown, shut

LEFT, Key = Qt.MouseButton.LeftButton, Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier


@cache
def the_demo() -> Plan:
    """One plan for all tests here, so that its likely band is worked out once."""
    return demo_plan()


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[Window]:
    made = shown(qtbot, start_session(the_demo()))
    yield made
    shut(made)


def first_with_a_number(window: Window) -> int:
    checks = window.place.assessment().checks
    return next(n for n, check in enumerate(checks) if check.number is not None)


def test_that_a_click_on_the_sign_of_a_check_opens_its_sum(qtbot: QtBot, window: Window) -> None:
    row = window.panel.checks.rows[first_with_a_number(window)]
    assert not window.sums.isVisible()
    qtbot.mouseClick(row.how, LEFT)
    assert window.sums.isVisible()
    text = window.sums.text.toPlainText()
    assert "e = s − x" in text
    assert "common practice" in text
    assert "Ω" in text


def test_that_only_checks_that_judged_a_number_have_the_sign(window: Window) -> None:
    checks = window.place.assessment().checks
    for row, check in zip(window.panel.checks.rows, checks, strict=True):
        assert row.how.isVisibleTo(window) == (check.number is not None)


def test_that_a_click_on_the_check_itself_still_goes_to_its_step(
    qtbot: QtBot, window: Window
) -> None:
    index = first_with_a_number(window)
    qtbot.mouseClick(window.panel.checks.rows[index], LEFT, pos=window.rect().topLeft())
    assert window.step == window.place.assessment().checks[index].step
    assert not window.sums.isVisible()


def test_that_keys_open_and_close_the_sum_of_what_is_shown(qtbot: QtBot, window: Window) -> None:
    window.panel.slider.setFocus()
    qtbot.keyClick(window, Key.Key_H, CTRL)
    assert window.sums.isVisible()
    assert QApplication.focusWidget() is window.sums.text
    qtbot.keyClick(window.sums.text, Key.Key_Escape)
    assert not window.sums.isVisible()
    assert QApplication.focusWidget() is window.panel.slider


def test_that_the_sign_is_reached_and_pressed_by_keys(qtbot: QtBot, window: Window) -> None:
    row = window.panel.checks.rows[first_with_a_number(window)]
    row.setFocus()
    qtbot.keyClick(row, Key.Key_Tab)
    assert QApplication.focusWidget() is row.how
    qtbot.keyClick(row.how, Key.Key_Space)
    assert window.sums.isVisible()
    assert row.how.accessibleName()


def test_that_the_sum_follows_the_plan(qtbot: QtBot, window: Window) -> None:
    qtbot.mouseClick(window.panel.how, LEFT)
    before = window.sums.text.toPlainText()
    label = window.place.view.label
    window.place.attempt(set_resistor(label, TrimResistor("series at sender", Amount(47.0, "Ω"))))
    after = window.sums.text.toPlainText()
    assert before != after
    assert "resistor in series at the sender" in after


def test_that_the_same_click_closes_the_sum_again(qtbot: QtBot, window: Window) -> None:
    qtbot.mouseClick(window.panel.how, LEFT)
    qtbot.mouseClick(window.panel.how, LEFT)
    assert not window.sums.isVisible()


def test_that_the_dial_stays_on_the_screen_beside_the_sum(qtbot: QtBot, window: Window) -> None:
    size = window.panel.dial.size()
    qtbot.mouseClick(window.panel.how, LEFT)
    assert window.panel.dial.isVisible()
    assert window.panel.dial.size() == size
    assert window.steps.height() > 100


def test_that_the_units_of_the_reader_are_those_of_the_sum(qtbot: QtBot, window: Window) -> None:
    qtbot.mouseClick(window.panel.how, LEFT)
    assert "°C" in window.sums.text.toPlainText()
