"""Editing the marks that matter: each edit one step of undo, nothing lost, all by keyboard."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from retrofit.desk.session import Change
from retrofit.desk.widgets.mark_rows import MarkRows
from retrofit.desk.workplace import Workplace
from retrofit.plan.document import DutyMark
from retrofit.settings import Settings
from tests.desk.seeing import opened, plain

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def rows(qtbot: QtBot, place: Workplace) -> MarkRows:
    made = MarkRows(place)

    def hear(change: Change) -> None:
        del change
        made.read()

    place.changed.connect(hear)
    return opened(qtbot, made, 700, 300)


def marks(place: Workplace) -> tuple[DutyMark, ...]:
    return place.view.plan.duty.marks


def retype(qtbot: QtBot, editor: QLineEdit, text: str) -> None:
    editor.setFocus()
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Key.Key_Return)


def test_that_the_marks_of_the_plan_are_shown(rows: MarkRows) -> None:
    shown = [(row.name.text(), plain(row.at.text()), row.flatters.word) for row in rows.rows]
    assert shown == [("alarm", "98 °C", "low"), ("warm", "60 °C", "low")]


def test_that_every_field_of_a_mark_is_edited_and_undone(
    qtbot: QtBot, rows: MarkRows, place: Workplace
) -> None:
    before = place.view.plan
    retype(qtbot, rows.rows[0].name, "boiling")
    retype(qtbot, rows.rows[0].at, "212 F")
    retype(qtbot, rows.rows[0].allowed, "3 K")
    rows.rows[0].flatters.setFocus()
    qtbot.keyClicks(rows.rows[0].flatters, "not")
    assert marks(place)[0] == DutyMark("boiling", Amount(212.0, "°F"), Amount(3.0, "K"), "unknown")
    for _ in range(4):
        assert place.session.undo()
    assert place.view.plan == before
    assert plain(rows.rows[0].at.text()) == "98 °C"


def test_that_a_new_mark_is_typed_by_keyboard_alone(
    qtbot: QtBot, rows: MarkRows, place: Workplace
) -> None:
    rows.add.setFocus()
    qtbot.keyClick(rows.add, Key.Key_Space)
    assert rows.draft.name.hasFocus()
    qtbot.keyClicks(rows.draft.name, "hot idle")
    qtbot.keyClick(rows.draft.name, Key.Key_Tab)
    assert rows.draft.at.hasFocus()
    qtbot.keyClicks(rows.draft.at, "80")
    qtbot.keyClick(rows.draft.at, Key.Key_Return)
    assert marks(place)[2] == DutyMark("hot idle", Amount(80.0, "°C"))
    assert not rows.draft.isVisible()
    assert rows.add.hasFocus()
    assert [row.name.text() for row in rows.rows] == ["alarm", "warm", "hot idle"]


@pytest.mark.parametrize(
    ("name", "value", "says"),
    [
        ("", "80", "has no name"),
        ("idle", "", "has no value"),
        ("idle", "warm", "does not begin with a number"),
        ("idle", "300 °C", "outside"),
        ("idle", "4 bar", "does not measure what is wanted"),
    ],
)
def test_that_a_new_mark_that_cannot_be_says_why_and_keeps_what_was_typed(
    qtbot: QtBot, rows: MarkRows, place: Workplace, name: str, value: str, says: str
) -> None:
    before = place.view.plan
    qtbot.mouseClick(rows.add, LEFT)
    qtbot.keyClicks(rows.draft.name, name)
    qtbot.keyClicks(rows.draft.at, value)
    qtbot.mouseClick(rows.take, LEFT)
    rows.draft.at.commit()
    assert says in rows.draft.under.text()
    assert (rows.draft.name.text(), bool(rows.draft.at.text())) == (name, bool(value))
    assert place.view.plan is before


def test_that_escape_forgets_a_new_mark(qtbot: QtBot, rows: MarkRows) -> None:
    qtbot.mouseClick(rows.add, LEFT)
    qtbot.keyClicks(rows.draft.name, "id")
    qtbot.keyClick(rows.draft.name, Key.Key_Escape)
    assert not rows.draft.isVisible()
    assert rows.draft.name.text() == ""


def test_that_a_mark_outside_the_range_is_refused_at_its_row(
    qtbot: QtBot, rows: MarkRows, place: Workplace
) -> None:
    before = place.view.plan
    retype(qtbot, rows.rows[1].at, "300 C")
    assert place.view.plan is before
    assert "warm" in rows.rows[1].under.text()
    assert plain(rows.rows[1].at.text()) == "300 °C"
    assert not rows.rows[0].under.isVisible()


def test_that_a_mark_cannot_lose_its_name(qtbot: QtBot, rows: MarkRows, place: Workplace) -> None:
    rows.rows[0].name.setFocus()
    rows.rows[0].name.selectAll()
    qtbot.keyClick(rows.rows[0].name, Key.Key_Delete)
    qtbot.keyClick(rows.rows[0].name, Key.Key_Return)
    assert "has no name" in rows.rows[0].under.text()
    assert marks(place)[0].name == "alarm"


def test_that_marks_are_removed_one_by_one_and_the_focus_never_gets_lost(
    qtbot: QtBot, rows: MarkRows, place: Workplace
) -> None:
    rows.rows[1].remove.setFocus()
    qtbot.keyClick(rows.rows[1].remove, Key.Key_Space)
    assert [mark.name for mark in marks(place)] == ["alarm"]
    assert rows.rows[0].remove.hasFocus()
    qtbot.keyClick(rows.rows[0].remove, Key.Key_Space)
    assert rows.add.hasFocus()
    assert "Name the values that matter" in rows.empty.text()
    assert rows.empty.isVisible()
    place.session.undo()
    place.session.undo()
    assert [row.name.text() for row in rows.rows] == ["alarm", "warm"]


def test_that_an_arrow_key_held_down_is_one_step_of_undo(
    qtbot: QtBot, rows: MarkRows, place: Workplace
) -> None:
    at = rows.rows[0].at
    at.setFocus()
    for _ in range(5):
        qtbot.keyClick(at, Key.Key_Up)
    assert marks(place)[0].at == Amount(103.0, "°C")
    place.session.undo()
    assert marks(place)[0].at == Amount(98.0, "°C")


def test_that_an_arrow_key_moves_the_number_that_is_shown(
    qtbot: QtBot, rows: MarkRows, place: Workplace
) -> None:
    place.reader.use(Settings(units={"temperature": "°F"}))
    at = rows.rows[0].at
    at.setFocus()
    assert plain(at.text()) == "208.4 °F"
    qtbot.keyClick(at, Key.Key_Up)
    assert plain(at.text()) == "209.4 °F"
    qtbot.keyClick(rows.rows[0].allowed, Key.Key_Tab)
    retype(qtbot, rows.rows[0].allowed, "9")
    assert marks(place)[0].allowed == Amount(9.0, "°F")


def test_that_tab_goes_through_the_rows_from_above_also_after_one_was_added(
    qtbot: QtBot, rows: MarkRows
) -> None:
    qtbot.mouseClick(rows.add, LEFT)
    qtbot.keyClicks(rows.draft.name, "idle")
    qtbot.keyClicks(rows.draft.at, "80 C")
    qtbot.keyClick(rows.draft.at, Key.Key_Return)
    wanted = [editor for row in rows.rows for editor in row.editors] + [rows.add]
    wanted[0].setFocus()
    seen = []
    for _ in wanted:
        focus = QApplication.focusWidget()
        seen.append(focus)
        qtbot.keyClick(focus, Key.Key_Tab)
    assert [wanted.index(widget) for widget in seen if widget] == list(range(len(wanted)))


def test_that_every_field_tells_a_screen_reader_whose_it_is(rows: MarkRows) -> None:
    names = [editor.accessibleName() for editor in rows.rows[0].editors]
    assert names == [
        "What happens there, alarm",
        "Value, alarm",
        "Allowed error, alarm",
        "Hides danger, alarm",
        "Remove the mark: alarm",
    ]
    assert plain(rows.rows[0].at.accessibleDescription()) == "98 °C"
