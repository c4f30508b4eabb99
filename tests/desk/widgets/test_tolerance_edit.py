"""The line edit for a tolerance: per cent or the number's own unit, typed by real keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.tolerance_edit import ToleranceEdit
from tests.desk.seeing import opened, plain


@pytest.fixture
def edit(qtbot: QtBot, reader: Reader) -> ToleranceEdit:
    made = opened(qtbot, ToleranceEdit(reader, "tolerance"))
    made.set_kinds(Kind.RESISTANCE, Kind.TEMPERATURE_DIFFERENCE)
    made.setFocus()
    return made


@pytest.mark.parametrize(
    ("keys", "amount"),
    [
        ("5", Amount(5.0, "%")),
        ("0.5 %", Amount(0.5, "%")),
        ("2 ohm", Amount(2.0, "Ω")),
        ("3 °C", Amount(3.0, "°C")),
    ],
)
def test_that_a_tolerance_is_a_share_or_in_the_unit_of_the_number(
    qtbot: QtBot, edit: ToleranceEdit, keys: str, amount: Amount
) -> None:
    with qtbot.waitSignal(edit.edited) as told:
        qtbot.keyClicks(edit, keys)
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert told.args == [amount]
    assert edit.amount == amount


def test_that_a_bare_number_goes_on_in_the_unit_that_was_there(
    qtbot: QtBot, edit: ToleranceEdit
) -> None:
    edit.set_amount(Amount(2.0, "Ω"))
    edit.selectAll()
    qtbot.keyClicks(edit, "3")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert edit.amount == Amount(3.0, "Ω")
    assert plain(edit.text()) == "3 Ω"


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("2 bar", "is no tolerance of these"),
        ("-5 %", "is below zero"),
        ("5 x 2", "5 x 2"),
    ],
)
def test_that_what_is_no_tolerance_is_refused_with_a_sentence_and_stays_typed(
    qtbot: QtBot, edit: ToleranceEdit, keys: str, says: str
) -> None:
    edit.set_amount(Amount(5.0, "%"))
    edit.selectAll()
    with qtbot.waitSignal(edit.refused) as told:
        qtbot.keyClicks(edit, keys)
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert says in plain(told.args[0])
    assert edit.text() == keys
    assert edit.amount == Amount(5.0, "%")


def test_that_emptying_the_field_says_that_nobody_knows(qtbot: QtBot, edit: ToleranceEdit) -> None:
    edit.set_amount(Amount(2.0, "Ω"))
    edit.selectAll()
    with qtbot.waitSignal(edit.edited) as told:
        qtbot.keyClick(edit, Qt.Key.Key_Delete)
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert told.args == [None]
