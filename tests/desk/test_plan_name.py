"""The plan's name in the bar: a long one ends in …, and is there whole for tip and typing."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication, QToolTip
from pytestqt.qtbot import QtBot

from retrofit.desk.window import Window
from tests.desk.whole_window import type_into

LONG = "Tractor of the lower yard, 12 V since the rebuild, coolant gauge with its 6 V heater"


def hovered(window: Window) -> str:
    """Return the tip that comes where the pointer rests on the name."""
    name = window.top.name
    spot = QPoint(20, 12)
    help_event = QHelpEvent(QEvent.Type.ToolTip, spot, name.mapToGlobal(spot))
    QApplication.sendEvent(name, help_event)
    return QToolTip.text()


def test_that_a_name_too_long_for_a_small_window_ends_in_an_ellipsis_and_tells_itself_whole(
    qtbot: QtBot, window: Window
) -> None:
    name = window.top.name
    window.resize(1024, 700)
    type_into(qtbot, name, LONG)
    window.rail.buttons["duty"].setFocus()
    assert window.place.view.plan.name == name.text() == LONG
    assert name.shown.endswith("…")
    assert LONG.startswith(name.shown[:-1].strip())
    assert name.fontMetrics().horizontalAdvance(name.shown) <= name.width()
    elided = name.grab().toImage()
    assert hovered(window) == LONG
    QToolTip.hideText()
    qtbot.mouseClick(name, Qt.MouseButton.LeftButton)
    assert name.hasFocus()
    assert name.text() == LONG
    name.home(False)
    window.rail.buttons["duty"].setFocus()
    assert name.grab().toImage() == elided


def test_that_a_name_that_fits_is_shown_as_it_is(qtbot: QtBot, window: Window) -> None:
    type_into(qtbot, window.top.name, "Launch")
    window.rail.buttons["duty"].setFocus()
    assert window.top.name.shown == "Launch"
    assert hovered(window) == ""
