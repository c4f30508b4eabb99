"""The wheel over a list within a page: the page scrolls first, the list once it is chosen."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QStringListModel, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QLabel, QScrollArea, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from retrofit.desk.widgets.rows_view import RowsView
from tests.desk.seeing import opened


def turn(area: QScrollArea, view: RowsView, notches: int) -> None:
    """Turn the wheel over the list, down for less than 0; what it refuses goes to the page."""
    at = QPointF(view.viewport().rect().center())
    where, still = view.viewport().mapToGlobal(at), QPoint(0, 0)
    for _ in range(abs(notches)):
        by = QPoint(0, 120 if notches > 0 else -120)
        button, keys = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
        phase = Qt.ScrollPhase.NoScrollPhase
        event = QWheelEvent(at, where, still, by, button, keys, phase, False)
        QApplication.sendEvent(view.viewport(), event)
        if not event.isAccepted():  # Qt hands on by itself only what comes from the system
            QApplication.sendEvent(area.viewport(), event)


def page(qtbot: QtBot, above: int) -> tuple[QScrollArea, RowsView]:
    """A page with a list of forty rows under a label so high [logical pixels]."""
    inside = QWidget()
    column = QVBoxLayout(inside)
    label = QLabel("above")
    label.setFixedHeight(above)
    view = RowsView()
    view.setModel(QStringListModel([f"row {n}" for n in range(40)], view))
    view.setFixedHeight(120)
    column.addWidget(label)
    column.addWidget(view)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setWidget(inside)
    opened(qtbot, area, 300, 260)
    area.setFocus()
    return area, view


def test_that_the_page_scrolls_to_its_end_before_a_list_that_nobody_chose(qtbot: QtBot) -> None:
    area, view = page(qtbot, 600)
    turn(area, view, -1)
    assert area.verticalScrollBar().value() > 0
    assert view.verticalScrollBar().value() == 0
    turn(area, view, -40)
    assert area.verticalScrollBar().value() == area.verticalScrollBar().maximum()
    assert view.verticalScrollBar().value() > 0


def test_that_a_list_that_was_chosen_scrolls_first(qtbot: QtBot) -> None:
    area, view = page(qtbot, 600)
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(10, 5))
    before = area.verticalScrollBar().value()
    turn(area, view, -1)
    assert view.verticalScrollBar().value() > 0
    assert area.verticalScrollBar().value() == before


def test_that_a_list_in_a_page_with_room_scrolls_at_once(qtbot: QtBot) -> None:
    area, view = page(qtbot, 20)
    turn(area, view, -1)
    assert view.verticalScrollBar().value() > 0
