"""The one line edit for quantities: typed in any unit, taken back, moved by arrow keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.settings import Settings
from tests.desk.seeing import opened, plain

Key = Qt.Key


def made(
    qtbot: QtBot,
    reader: Reader,
    kind: Kind,
    amount: Amount | None = None,
    *,
    optional: bool = False,
) -> QuantityEdit:
    edit = QuantityEdit(kind, reader, "Value", optional=optional)
    edit.set_amount(amount)
    opened(qtbot, edit)
    edit.setFocus()
    edit.selectAll()
    return edit


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("45 psi", Amount(45.0, "psi")),
        ("4.1", Amount(4.1, "bar")),
        ("4,1", Amount(4.1, "bar")),
        ("310 kPa", Amount(310.0, "kPa")),
        ("4 kgf/cm2", Amount(4.0, "kgf/cm²")),
    ],
)
def test_that_any_unit_can_be_typed_and_stays_as_typed(
    qtbot: QtBot, reader: Reader, typed: str, amount: Amount
) -> None:
    edit = made(qtbot, reader, Kind.PRESSURE, Amount(1.0, "bar"))
    with qtbot.waitSignal(edit.edited) as edited:
        qtbot.keyClicks(edit, typed)
        qtbot.keyClick(edit, Key.Key_Return)
    assert edited.args == [amount]
    assert edit.amount == amount


def test_that_a_bare_number_has_the_shown_unit_also_for_a_difference(
    qtbot: QtBot, reader: Reader
) -> None:
    reader.use(Settings(units={"pressure": "psi", "temperature": "°F"}))
    for kind, unit in (
        (Kind.PRESSURE, "psi"),
        (Kind.PRESSURE_DIFFERENCE, "psi"),
        (Kind.TEMPERATURE_DIFFERENCE, "°F"),
    ):
        edit = made(qtbot, reader, kind)
        qtbot.keyClicks(edit, "3")
        qtbot.keyClick(edit, Key.Key_Return)
        assert edit.amount == Amount(3.0, unit)


def test_that_a_bare_number_keeps_the_unit_that_stood_there_and_shows_it_while_it_is_typed(
    qtbot: QtBot, reader: Reader
) -> None:
    edit = made(qtbot, reader, Kind.LENGTH, Amount(400.0, "m"))
    assert edit.lent_unit == ""
    box = edit.rect().adjusted(edit.width() - 30, 4, -4, -4)  # right of all that is typed
    before = edit.grab(box).toImage()
    qtbot.keyClicks(edit, "12")
    assert edit.lent_unit == "m"
    assert edit.grab(box).toImage() != before
    qtbot.keyClicks(edit, " mm")
    assert edit.lent_unit == ""
    assert edit.grab(box).toImage() == before
    qtbot.keyClick(edit, Key.Key_Return)
    assert edit.amount == Amount(12.0, "mm")
    assert edit.lent_unit == ""


def test_that_escape_takes_back_what_was_typed(qtbot: QtBot, reader: Reader) -> None:
    edit = made(qtbot, reader, Kind.PRESSURE, Amount(1.0, "bar"))
    qtbot.keyClicks(edit, "lots")
    qtbot.keyClick(edit, Key.Key_Escape)
    assert (plain(edit.text()), edit.amount) == ("1 bar", Amount(1.0, "bar"))


def test_that_what_cannot_be_read_is_said_and_stays_to_be_mended(
    qtbot: QtBot, reader: Reader
) -> None:
    edit = made(qtbot, reader, Kind.PRESSURE, Amount(1.0, "bar"))
    with qtbot.waitSignal(edit.refused) as refused, qtbot.assertNotEmitted(edit.edited):
        qtbot.keyClicks(edit, "12 volt")
        qtbot.keyClick(edit, Key.Key_Return)
    assert "does not measure what is wanted here" in refused.args[0]
    assert edit.text() == "12 volt"


def test_that_an_optional_field_can_be_emptied_and_says_that_it_is_unknown(
    qtbot: QtBot, reader: Reader
) -> None:
    edit = made(qtbot, reader, Kind.PRESSURE, Amount(1.0, "bar"), optional=True)
    with qtbot.waitSignal(edit.edited) as edited:
        qtbot.keyClick(edit, Key.Key_Delete)
        qtbot.keyClick(edit, Key.Key_Return)
    assert edited.args == [None]
    assert edit.accessibleDescription() == "unknown"


@pytest.mark.parametrize(
    ("key", "units", "shown"),
    [
        (Key.Key_Up, {}, "4.2 bar"),
        (Key.Key_PageDown, {}, "3.1 bar"),
        (Key.Key_Up, {"pressure": "psi"}, "60.5 psi"),
    ],
)
def test_that_arrow_keys_move_the_number_that_is_shown(
    qtbot: QtBot, reader: Reader, key: Key, units: dict[str, str], shown: str
) -> None:
    reader.use(Settings(units=units))
    edit = made(qtbot, reader, Kind.PRESSURE, Amount(4.1, "bar"))
    with qtbot.waitSignal(edit.nudged):
        qtbot.keyClick(edit, key)
    assert plain(edit.text()) == shown


def test_that_a_decimal_comma_reads_back_what_it_shows(qtbot: QtBot, comma: Reader) -> None:
    edit = made(qtbot, comma, Kind.RESISTANCE)
    qtbot.keyClicks(edit, "12,125")
    qtbot.keyClick(edit, Key.Key_Return)
    assert (plain(edit.text()), edit.amount) == ("12,125 Ω", Amount(12.125, "Ω"))


def test_that_of_a_long_number_the_start_is_seen_and_typing_replaces_it_whole(
    qtbot: QtBot, reader: Reader
) -> None:
    row = QWidget()
    qtbot.addWidget(row)
    side = QHBoxLayout(row)
    before = QLineEdit()
    editor = QuantityEdit(Kind.PRESSURE, reader, "pressure")
    side.addWidget(before)
    side.addWidget(editor)
    editor.setFixedWidth(90)
    editor.set_amount(Amount(31.9083023006, "psi"))
    row.show()
    row.activateWindow()
    qtbot.waitUntil(row.isActiveWindow)
    shown = editor.text()
    assert editor.fontMetrics().horizontalAdvance(shown) > editor.width()
    assert editor.cursorPosition() == 0
    before.setFocus()
    qtbot.keyClick(before, Key.Key_Tab)
    assert editor.hasFocus()
    assert editor.selectedText() == shown
    assert editor.cursorPosition() == 0
    qtbot.keyClicks(editor, "2.25 bar")
    assert editor.text() == "2.25 bar"
    qtbot.keyClick(editor, Key.Key_Tab)
    assert editor.amount == Amount(2.25, "bar")
    assert editor.cursorPosition() == 0
