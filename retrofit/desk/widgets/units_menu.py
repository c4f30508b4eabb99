"""The menu that switches shown units and the decimal mark."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from catalog.quantities.kinds import Kind, default_unit
from catalog.quantities.numerals import DecimalMark
from retrofit.desk.reader import Reader
from retrofit.settings import Settings

OFFERED: tuple[tuple[Kind, tuple[str, ...]], ...] = (
    (Kind.PRESSURE, ("bar", "psi", "kPa", "kgf/cm²")),
    (Kind.TEMPERATURE, ("°C", "°F")),
    (Kind.RESISTANCE, ("Ω", "kΩ")),
    (Kind.LENGTH, ("mm", "in")),
    (Kind.VOLUME, ("L", "gal (US)", "gal (imp)")),
)
"""Units that the menu offers; any other can still be typed."""

_ON_BUTTON = (Kind.PRESSURE, Kind.TEMPERATURE, Kind.LENGTH)
_AS_TYPED = ""

Use = Callable[[Settings], None]


class UnitsMenu(QToolButton):
    """A button that names the shown units, with a menu to change them.

    Parameters
    ----------
    reader : Reader
        The settings in force, and texts.
    use : callable
        Takes the changed settings into force, and keeps them.
    """

    def __init__(self, reader: Reader, use: Use, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        self._use = use
        self._groups: dict[Kind, QActionGroup] = {}
        self.setObjectName("flat")
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(reader.text("units.name"))
        self.setToolTip(reader.text("units.tip"))
        menu = QMenu(self)
        menu.setAccessibleName(reader.text("units.name"))
        for kind, symbols in OFFERED:
            self._add_kind(menu, kind, symbols)
        menu.addSeparator()
        self._marks = self._add_marks(menu)
        self.setMenu(menu)
        reader.changed.connect(self.read)
        self.read()

    def _add_kind(self, menu: QMenu, kind: Kind, symbols: tuple[str, ...]) -> None:
        below = menu.addMenu(self._reader.text(f"units.{kind.value}"))
        group = QActionGroup(below)
        typed = below.addAction(self._reader.text("units.as_typed", unit=default_unit(kind).symbol))
        typed.setData(_AS_TYPED)
        for action in (typed, *(below.addAction(symbol) for symbol in symbols)):
            if action is not typed:
                action.setData(action.text())
            action.setCheckable(True)
            group.addAction(action)
        group.triggered.connect(self._unit_chosen)
        self._groups[kind] = group

    def _add_marks(self, menu: QMenu) -> QActionGroup:
        below = menu.addMenu(self._reader.text("units.decimal"))
        group = QActionGroup(below)
        for mark, key in ((".", "units.point"), (",", "units.comma")):
            action = below.addAction(self._reader.text(key))
            action.setData(mark)
            action.setCheckable(True)
            group.addAction(action)
        group.triggered.connect(self._mark_chosen)
        return group

    def read(self) -> None:
        """Show the units in force."""
        settings = self._reader.settings
        for kind, group in self._groups.items():
            for action in group.actions():
                action.setChecked(action.data() == settings.units.get(kind.value, _AS_TYPED))
        for action in self._marks.actions():
            action.setChecked(action.data() == settings.decimal)
        shown = " · ".join(
            settings.units.get(kind.value) or default_unit(kind).symbol for kind in _ON_BUTTON
        )
        self.setText(shown)
        self.setAccessibleDescription(self._reader.text("units.shown", units=shown))

    def action_for(self, kind: Kind, symbol: str) -> QAction | None:
        """Return the action that shows a kind in a unit; an empty symbol: as typed."""
        found = (a for a in self._groups[kind].actions() if a.data() == symbol)
        return next(found, None)

    def decimal_action(self, mark: str) -> QAction | None:
        """Return the action that chooses a decimal mark."""
        return next((a for a in self._marks.actions() if a.data() == mark), None)

    def _unit_chosen(self, action: QAction) -> None:
        kind = next(k for k, group in self._groups.items() if action in group.actions())
        settings = self._reader.settings
        units = {name: symbol for name, symbol in settings.units.items() if name != kind.value}
        if action.data():
            units[kind.value] = str(action.data())
        self._use(replace(settings, units=MappingProxyType(units)))

    def _mark_chosen(self, action: QAction) -> None:
        decimal: DecimalMark = "," if action.data() == "," else "."
        self._use(replace(self._reader.settings, decimal=decimal))
