"""The list of the catalogue: search, filters, order, and the buttons for the part looked at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from catalog.shelf import SORTS, Kept, Shelf, Sort
from retrofit.desk.catalogue.compare_panel import SIGNS
from retrofit.desk.catalogue.filters import Filters
from retrofit.desk.catalogue.part_words import part_row
from retrofit.desk.catalogue.row_list import RowList
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.flow import FlowLayout

MOST_ROWS = 200
"""Rows that are listed; more are not looked through by anyone, the count says what to do."""

_HEIGHT = 260


class ShelfList(QWidget):
    """Lists the parts of a shelf.

    Parameters
    ----------
    reader, theme : Reader, Theme
        Texts, units and colours.
    """

    looked_at = Signal(str)
    """Another part is looked at: its key, empty for none."""

    listed = Signal(object)
    """Other parts are found: all of them (a list of Kept), not only those that are shown."""

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        self._shelf = Shelf()
        self._compared: tuple[str, ...] = ()
        self._found: list[Kept] = []
        text = reader.text
        self.words = QLineEdit()
        self.words.setPlaceholderText(text("shelf.placeholder"))
        self.words.setAccessibleName(text("parts.search"))
        self.words.setMaxLength(200)
        self.words.setClearButtonEnabled(True)
        orders = [(sort, text(f"shelf.sort.{sort}")) for sort in SORTS]
        self.sort = Choice(orders, text("shelf.sort"))
        self.filters = Filters(reader)
        self.list = RowList(text("shelf.list"), reader, theme)
        self.list.setFixedHeight(_HEIGHT)
        self.count = QLabel()
        self.count.setObjectName("muted")
        self.count.setWordWrap(True)
        self.use = self._button("use")
        self.compare = self._button("compare")
        self.copy = self._button("copy")
        self.retire = self._button("retire")
        self.new_sender = self._button("new_sender")
        self.new_gauge = self._button("new_gauge")
        self.take_back = self._button("take_back")
        self._arrange()
        self.words.textChanged.connect(self._search)
        self.filters.changed.connect(self._search)
        self.sort.chosen.connect(self._search)
        self.list.looked_at.connect(self.looked_at)
        down = QShortcut(QKeySequence(Qt.Key.Key_Down), self.words)
        down.setContext(Qt.ShortcutContext.WidgetShortcut)
        down.activated.connect(self._into_list)
        self.words.returnPressed.connect(self._into_list)
        reader.changed.connect(self._search)

    def _button(self, name: str) -> QPushButton:
        made = QPushButton(self._reader.text(f"step.catalogue.{name}"))
        made.setAccessibleName(made.text())
        return made

    def _arrange(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.words, 1)
        top.addWidget(self.sort)
        buttons = QWidget()
        flow = FlowLayout(8)
        buttons.setLayout(flow)
        for button in (
            self.use,
            self.compare,
            self.copy,
            self.retire,
            self.new_sender,
            self.new_gauge,
            self.take_back,
        ):
            flow.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addLayout(top)
        column.addWidget(self.filters)
        column.addWidget(self.list)
        column.addWidget(self.count)
        column.addWidget(buttons)
        self.setFocusProxy(self.words)

    # --- what is asked of it --------------------------------------------------------------------

    @property
    def key(self) -> str:
        """Key of the part that is looked at, empty for none."""
        return self.list.key

    @property
    def found(self) -> Sequence[Kept]:
        """All parts that were found, in order."""
        return tuple(self._found)

    def show_shelf(self, shelf: Shelf, compared: Sequence[str]) -> None:
        """List the parts of a shelf; those that are compared say so."""
        self._shelf, self._compared = shelf, tuple(compared)
        self._search()

    def look_at(self, key: str) -> None:
        """Look at a part; the filters let everything through where they would hide it."""
        if self.list.model.row_of(key) < 0:
            self.words.clear()
            self.filters.reset()
            one = self._shelf.get(key)
            if one is not None and one.retired:
                self.filters.show_retired()
        if self.list.model.row_of(key) < 0:
            # Beyond the rows that are listed: its own name finds it.
            self.words.setText(key)
        self.list.look_at(key)

    # --- listing --------------------------------------------------------------------------------

    def _search(self, *_: object) -> None:
        sieve = self.filters.sieve(self.words.text())
        self._found = self._shelf.find(sieve, cast(Sort, self.sort.word))
        rows = [part_row(one, self._reader, self._sign(one.key)) for one in self._found[:MOST_ROWS]]
        text = self._reader.text
        narrowed = bool(sieve.count or self.words.text().strip())
        self.list.show_rows(rows, text("shelf.none" if narrowed else "shelf.loading"))
        total = len(self._found)
        shown = "shelf.count_cut" if total > len(rows) else "shelf.count"
        self.count.setText(text(shown, shown=len(rows), total=total) if rows else "")
        self.listed.emit(self._found)

    def _sign(self, key: str) -> str:
        return SIGNS[self._compared.index(key)] if key in self._compared else ""

    def _into_list(self) -> None:
        """Go from the words to the list."""
        if self.list.model.rowCount():
            self.list.view.setFocus()
            if not self.key:
                self.list.look_at(self.list.model.rows[0].key)
