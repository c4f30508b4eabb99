"""A small window: no choice of words is cut, and a list of parts shows a few of its rows."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication, QStyleOptionComboBox
from pytestqt.qtbot import QtBot

from retrofit.desk.edits import set_installation
from retrofit.desk.steps.page import FoldCard
from retrofit.desk.steps.part_step import KNOWN, PartStep
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.window import Window
from retrofit.installation import Load, WarningLamp

SIZES = [(1024, 700), (1440, 900)]
NARROW = SIZES[0]


def settled(window: Window, size: tuple[int, int]) -> None:
    window.resize(*size)
    for _ in range(5):
        QApplication.processEvents()
        QApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)


def full_of_choices(window: Window) -> None:
    """Put in a load and a lamp that watches the signal: their choices have the longest words."""
    view = window.place.view
    installation = replace(
        view.pairing.installation,
        lamp=WarningLamp(circuit="tapped from signal"),
        loads=(Load("blower"),),
    )
    assert window.place.attempt(set_installation(view.label, "lamp", installation)) == ""


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("key", ["duty", "gauge", "sender", "trim", "fit", "wiring"])
def test_that_no_choice_of_words_is_cut(
    qtbot: QtBot, window: Window, key: str, size: tuple[int, int]
) -> None:
    full_of_choices(window)
    window.show_step(key)
    step = window.steps[key]
    if isinstance(step, PartStep):
        step.tabs.setCurrentIndex(KNOWN)
    for card in step.findChildren(FoldCard):
        if card.isVisible() and not card.heading.isChecked():
            qtbot.mouseClick(card.heading, Qt.MouseButton.LeftButton)
    settled(window, size)
    seen = [choice for choice in step.findChildren(Choice) if choice.isVisible()]
    assert seen or key == "trim"
    # The list of second gauges is as wide as the page already: what is longer ends in ….
    cut = [
        (choice.accessibleName(), choice.room, choice.width())
        for choice in seen
        if choice.room > choice.width() and choice.accessibleName() != "Second gauge"
    ]
    assert cut == []


def test_that_a_choice_gets_its_room_back_in_a_wide_window(qtbot: QtBot, window: Window) -> None:
    del qtbot
    full_of_choices(window)
    window.show_step("wiring")
    fields = window.steps["wiring"].fields
    compared, ohms = fields["lamp.trip_follows"], fields["lamp.input"]
    settled(window, NARROW)
    assert ohms.y() > compared.y()
    assert compared.editor.width() > 1.5 * ohms.editor.width()
    settled(window, (1920, 1080))
    assert ohms.y() == compared.y()
    settled(window, NARROW)
    assert ohms.y() > compared.y()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("key", ["gauge", "sender"])
def test_that_a_list_of_parts_shows_three_rows(
    qtbot: QtBot, window: Window, key: str, size: tuple[int, int]
) -> None:
    del qtbot
    window.show_step(key)
    step = window.steps[key]
    assert isinstance(step, PartStep)
    settled(window, size)
    listed = step.picker.list
    assert listed.model().rowCount() > 3
    assert listed.viewport().height() >= 3 * listed.sizeHintForRow(0)


def test_that_a_long_choice_ends_in_an_ellipsis(qtbot: QtBot) -> None:
    choice = Choice([("a", "A thermistor of ten kilohms, moving coil, 12 V")], "gauge")
    qtbot.addWidget(choice)
    choice.set_word("a")
    choice.show()  # not before has it the font of the style
    choice.resize(choice.room, 34)
    assert _written(choice) == choice.currentText()
    choice.resize(choice.room // 2, 34)
    assert _written(choice).endswith("…")
    assert choice.currentText().startswith(_written(choice)[:-1].strip())


def _written(choice: Choice) -> str:
    option = QStyleOptionComboBox()
    choice.initStyleOption(option)
    return option.currentText
