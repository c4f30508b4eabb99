"""Chips: on as many lines as they need, one of a group at most, told to a screen reader."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from pytestqt.qtbot import QtBot

from retrofit.desk.theme import Theme
from retrofit.desk.widgets.chip_row import ChipRow, ChipWords
from tests.desk.seeing import opened

Left = Qt.MouseButton.LeftButton
CHIPS = [
    ChipWords("one", "one gauge", "stations"),
    ChipWords("two", "two gauges", "stations"),
    ChipWords("body", "body earth", "return"),
]


@pytest.fixture
def row(qtbot: QtBot, theme: Theme) -> ChipRow:
    del theme
    made = ChipRow("Only")
    made.offer(CHIPS)
    return opened(qtbot, made, 500, 60)


def test_that_of_a_group_at_most_one_chip_is_on(qtbot: QtBot, row: ChipRow) -> None:
    for key, expected in (
        ("one", ("one",)),
        ("body", ("one", "body")),
        ("two", ("two", "body")),
        ("two", ("body",)),
    ):
        with qtbot.waitSignal(row.changed):
            qtbot.mouseClick(row.buttons[key], Left)
        assert row.checked == expected


def test_that_of_a_choice_one_chip_stays_on(qtbot: QtBot, theme: Theme) -> None:
    del theme
    made = ChipRow("Each", one=True)
    made.offer([ChipWords(key, key, "most") for key in "ab"])
    made.check("a")
    opened(qtbot, made)
    with qtbot.assertNotEmitted(made.changed):
        qtbot.mouseClick(made.buttons["a"], Left)
    assert made.checked == ("a",)
    qtbot.keyClick(made.buttons["b"], Qt.Key.Key_Space)
    assert made.checked == ("b",)


def test_that_chips_go_on_in_the_next_line_where_they_no_longer_fit(row: ChipRow) -> None:
    assert row.buttons["body"].y() == row.buttons["one"].y()
    line = row.heightForWidth(500)
    assert row.heightForWidth(220) > line
    row.setFixedSize(220, row.heightForWidth(220))
    QCoreApplication.sendPostedEvents()
    assert row.buttons["body"].y() > row.buttons["one"].y()
    assert row.buttons["body"].geometry().right() <= 220


def test_that_what_is_still_offered_stays_on_and_the_rest_goes(qtbot: QtBot, row: ChipRow) -> None:
    for key in ("one", "body"):
        qtbot.mouseClick(row.buttons[key], Left)
    row.offer([CHIPS[2]])
    assert row.checked == ("body",)
    assert row.buttons["body"].accessibleName() == "Only body earth"
