"""Editing the marks of a dial and the points of a sender."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from catalog.parts.gauge import DialMark
from catalog.parts.laws import Point
from catalog.provenance import Basis, BasisKind
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.dial_mark_rows import DialMarkRows, PointRows
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from tests.desk.seeing import opened, plain

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
MEASURED = Basis(BasisKind.MEASURED, "bench")


def ohms(number: float) -> Amount:
    return Amount(number, "Ω")


def degrees(number: float) -> Amount:
    return Amount(number, "°C")


MARKS = (
    DialMark(degrees(40.0), ohms(291.0), ohms(295.0), ohms(287.0), MEASURED),
    DialMark(degrees(80.0), ohms(70.0)),
    DialMark(degrees(120.0), ohms(22.0)),
)


class Plan:
    """Takes what the rows hand on, or says why not."""

    def __init__(self) -> None:
        self.taken: list[tuple[object, ...]] = []
        self.problem = ""

    def take(self, points: tuple[object, ...], more: bool) -> str:
        del more
        if not self.problem:
            self.taken.append(points)
        return self.problem


@pytest.fixture
def plan() -> Plan:
    return Plan()


@pytest.fixture
def dial(qtbot: QtBot, plan: Plan, reader: Reader, theme: Theme) -> DialMarkRows:
    rows = DialMarkRows(plan.take, reader, theme)
    rows.show_marks(MARKS, "temperature", Kind.RESISTANCE)
    return opened(qtbot, rows, 520, 400)


@pytest.fixture
def sender(qtbot: QtBot, plan: Plan, reader: Reader, theme: Theme) -> PointRows:
    rows = PointRows(plan.take, reader, theme)
    rows.show_points((), "temperature", Kind.RESISTANCE)
    return opened(qtbot, rows, 520, 400)


def retype(qtbot: QtBot, editor: QuantityEdit, text: str) -> None:
    editor.setFocus()
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Key.Key_Tab)


def test_that_a_changed_reading_is_handed_on_and_the_other_marks_keep_what_is_known_of_them(
    qtbot: QtBot, dial: DialMarkRows, plan: Plan
) -> None:
    retype(qtbot, dial.rows[1].gives, "71.5")
    assert plan.taken == [(MARKS[0], DialMark(degrees(80.0), ohms(71.5)), MARKS[2])]


def test_that_the_friction_of_an_old_reading_does_not_stay_with_a_new_one(
    qtbot: QtBot, dial: DialMarkRows, plan: Plan
) -> None:
    retype(qtbot, dial.rows[0].gives, "300")
    assert plan.taken[0][0] == DialMark(degrees(40.0), ohms(300.0))


def test_that_points_are_typed_in_one_go_by_keyboard_alone(
    qtbot: QtBot, sender: PointRows, plan: Plan
) -> None:
    assert sender.empty.isVisible()
    sender.add.setFocus()
    qtbot.keyClick(sender.add, Key.Key_Space)
    for value, gives in (("100 F", "450"), ("200 F", "64.3"), ("300 F", "14.96")):
        focus = QApplication.focusWidget()
        qtbot.keyClicks(focus, value)
        qtbot.keyClick(focus, Key.Key_Tab)
        focus = QApplication.focusWidget()
        qtbot.keyClicks(focus, gives)
        qtbot.keyClick(focus, Key.Key_Return)
    fahrenheit = [Amount(n, "°F") for n in (100.0, 200.0, 300.0)]
    points = zip(fahrenheit, (450.0, 64.3, 14.96), strict=True)
    assert plan.taken[-1] == tuple(Point(at, ohms(gives)) for at, gives in points)
    assert [len(taken) for taken in plan.taken] == [2, 3]


def test_that_one_point_alone_is_not_handed_on_and_says_why(
    qtbot: QtBot, sender: PointRows, plan: Plan
) -> None:
    sender.begin()
    retype(qtbot, sender.rows[0].at, "40")
    assert "there are 0" in sender.says.text()
    retype(qtbot, sender.rows[0].gives, "291")
    assert "there are 1. What was kept before stays" in sender.says.text()
    assert plan.taken == []


@pytest.mark.parametrize(
    ("row", "field", "text", "says"),
    [
        (1, "at", "130", "Row 3 (120.0 °C) stands below row 2 but its value is lower"),
        (1, "at", "40", "Rows 1 and 2 are both at 40.0 °C"),
        (1, "gives", "10", "The table turns at row 3"),
        (2, "gives", "-5", "Row 3 gives −5 Ω"),
        (1, "gives", "lots", "'lots' does not begin with a number"),
        (1, "gives", "3 bar", "does not measure what is wanted here"),
    ],
)
def test_that_each_problem_stands_at_its_row_and_the_plan_keeps_the_sound_list(
    qtbot: QtBot, dial: DialMarkRows, plan: Plan, row: int, field: str, text: str, says: str
) -> None:
    retype(qtbot, getattr(dial.rows[row], field), text)
    assert says in plain(" ".join(shown.problem for shown in dial.rows))
    assert "what was kept before stays" in dial.says.text()
    assert plan.taken == []
    undone = getattr(dial.rows[row], field)
    retype(qtbot, undone, {"at": "80", "gives": "70" if row == 1 else "22"}[field])
    assert "".join(shown.problem for shown in dial.rows) == ""
    assert dial.says.text() == ""


def test_that_unsorted_rows_are_sorted_on_request(
    qtbot: QtBot, dial: DialMarkRows, plan: Plan
) -> None:
    assert not dial.sort.isVisible()
    retype(qtbot, dial.rows[0].at, "130")
    retype(qtbot, dial.rows[0].gives, "18")
    assert dial.sort.isVisible()
    qtbot.mouseClick(dial.sort, LEFT)
    handed = plan.taken[-1]
    assert [mark.at.number for mark in handed if isinstance(mark, DialMark)] == [80, 120, 130]
    assert not dial.sort.isVisible()


def test_that_removing_keeps_the_focus_and_none_at_all_is_sound_for_a_dial(
    qtbot: QtBot, dial: DialMarkRows, plan: Plan
) -> None:
    dial.rows[2].remove.setFocus()
    qtbot.keyClick(dial.rows[2].remove, Key.Key_Space)
    assert plan.taken[-1] == MARKS[:2]
    assert dial.rows[1].remove.hasFocus()
    qtbot.keyClick(dial.rows[1].remove, Key.Key_Space)
    assert "Two points at least" in dial.says.text()
    qtbot.keyClick(dial.rows[0].remove, Key.Key_Space)
    assert [len(taken) for taken in plan.taken] == [2, 0]
    assert dial.add.hasFocus()


def test_that_what_the_plan_refuses_is_said_and_stays_typed(
    qtbot: QtBot, dial: DialMarkRows, plan: Plan
) -> None:
    plan.problem = "This plan is open in another copy of the program."
    retype(qtbot, dial.rows[1].gives, "71")
    assert dial.says.text() == plan.problem
    assert plain(dial.rows[1].gives.text()) == "71 Ω"


def test_that_reading_the_plan_again_leaves_an_unfinished_row_alone(
    qtbot: QtBot, dial: DialMarkRows
) -> None:
    dial.begin()
    retype(qtbot, dial.rows[3].at, "140")
    dial.show_marks(MARKS, "temperature", Kind.RESISTANCE)
    assert len(dial.rows) == 4
    assert plain(dial.rows[3].at.text()) == "140 °C"
    dial.show_marks(MARKS[:2], "temperature", Kind.RESISTANCE)
    assert [plain(row.at.text()) for row in dial.rows] == ["40 °C", "80 °C"]


def test_that_tab_goes_through_the_rows_from_above(qtbot: QtBot, dial: DialMarkRows) -> None:
    dial.begin()
    wanted = [editor for row in dial.rows for editor in row.editors] + [dial.add]
    wanted[0].setFocus()
    seen = []
    for _ in wanted:
        focus = QApplication.focusWidget()
        seen.append(focus)
        qtbot.keyClick(focus, Key.Key_Tab)
    assert [wanted.index(widget) for widget in seen if widget] == list(range(len(wanted)))


def test_that_a_decimal_comma_is_typed_and_shown(
    qtbot: QtBot, plan: Plan, comma: Reader, theme: Theme
) -> None:
    rows = PointRows(plan.take, comma, theme)
    points = tuple(Point(mark.at, mark.needs) for mark in MARKS)
    rows.show_points(points, "temperature", Kind.RESISTANCE)
    opened(qtbot, rows, 520, 400)
    retype(qtbot, rows.rows[1].gives, "71,125")
    assert plain(rows.rows[1].gives.text()) == "71,125 Ω"
    assert plan.taken[0][1] == Point(degrees(80.0), ohms(71.125))


def test_that_every_field_has_a_name_with_its_row(dial: DialMarkRows) -> None:
    names = [editor.accessibleName() for editor in dial.rows[1].editors]
    assert names == ["Temperature, row 2", "Puts the needle there, row 2", "Remove row 2"]
