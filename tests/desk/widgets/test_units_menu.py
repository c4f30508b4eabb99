"""Switching shown units and the decimal mark."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from catalog.quantities.kinds import Kind, unit_named
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.units_menu import OFFERED, UnitsMenu
from retrofit.settings import Settings
from tests.desk.seeing import opened


@pytest.fixture
def menu(qtbot: QtBot, reader: Reader) -> UnitsMenu:
    made = UnitsMenu(reader, reader.use)
    return opened(qtbot, made, 160, 40)


def test_that_every_offered_unit_is_one_of_its_kind() -> None:
    offered = [(kind, symbol) for kind, symbols in OFFERED for symbol in symbols]
    assert [pair for pair in offered if unit_named(*pair) is None] == []


@pytest.mark.parametrize(
    ("kind", "symbol"), [(kind, symbol) for kind, symbols in OFFERED for symbol in symbols]
)
def test_that_each_unit_is_taken_into_force_and_left_again(
    menu: UnitsMenu, reader: Reader, kind: Kind, symbol: str
) -> None:
    chosen, typed = menu.action_for(kind, symbol), menu.action_for(kind, "")
    assert chosen is not None
    assert typed is not None
    assert typed.isChecked()
    chosen.trigger()
    assert reader.settings.units == {kind.value: symbol}
    assert chosen.isChecked()
    typed.trigger()
    assert reader.settings.units == {}


def test_that_the_button_names_the_shown_units(menu: UnitsMenu, reader: Reader) -> None:
    assert menu.text() == "bar · °C · mm"
    reader.use(Settings(units={"pressure": "psi", "temperature": "°F"}))
    assert menu.text() == "psi · °F · mm"
    assert menu.accessibleDescription() == "Shown in psi · °F · mm"


def test_that_a_decimal_comma_keeps_the_units(menu: UnitsMenu, reader: Reader) -> None:
    reader.use(Settings(units={"pressure": "psi"}))
    comma, point = menu.decimal_action(","), menu.decimal_action(".")
    assert comma is not None
    assert point is not None
    comma.trigger()
    assert (reader.settings.decimal, dict(reader.settings.units)) == (",", {"pressure": "psi"})
    assert comma.isChecked()
    assert not point.isChecked()


def test_that_the_menu_is_opened_and_used_by_keyboard(
    qtbot: QtBot, menu: UnitsMenu, reader: Reader
) -> None:
    popup = menu.menu()
    popup.popup(menu.mapToGlobal(menu.rect().bottomLeft()))
    qtbot.keyClick(popup, Qt.Key.Key_Down)
    qtbot.keyClick(popup, Qt.Key.Key_Right)
    below = popup.actions()[0].menu()
    assert isinstance(below, QMenu)
    qtbot.waitUntil(below.isVisible)
    for _ in range(2):
        qtbot.keyClick(below, Qt.Key.Key_Down)
    qtbot.keyClick(below, Qt.Key.Key_Return)
    assert dict(reader.settings.units) == {"pressure": "psi"}
    popup.close()
