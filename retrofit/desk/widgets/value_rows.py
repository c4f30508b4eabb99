"""A list of known points, a row each: what is typed stays, and only a sound list is handed on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import cast

from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from catalog.message import Message, message
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.laws import Point, point_problems
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.value_row import MARK_WIDE, REMOVE_WIDE, ValueRow


@dataclass(frozen=True)
class Entry:
    """One complete row.

    Attributes
    ----------
    at, gives : Amount
        The two numbers.
    kept : object
        What the row came from, None for a new one.
    """

    at: Amount
    gives: Amount
    kept: object = None


Take = Callable[[tuple[Entry, ...], bool], str]
"""Puts a sound list into the plan; whether more of the same follows. Returns why not, or ""."""


@dataclass(frozen=True)
class RowWords:
    """What the rows are of; each is a key of the texts.

    Attributes
    ----------
    name : str
        Accessible name of the list.
    gives : str
        Heading of the second column.
    add : str
        The button that adds a row.
    empty : str
        What to do while there is none.
    """

    name: str
    gives: str
    add: str
    empty: str


class ValueRows(QWidget):
    """Edits a list of points.

    The rows may be incomplete or in disorder while somebody types; the plan keeps the last
    sound list meanwhile, and the widget says so.

    Parameters
    ----------
    words : RowWords
        What the points are.
    take : callable
        Puts a sound list into the plan.
    reader, theme : Reader, Theme
        Units, texts and colours.
    fewest : int
        Fewest points of a sound list, besides none where that is 0.
    """

    def __init__(
        self,
        words: RowWords,
        take: Take,
        reader: Reader,
        theme: Theme,
        *,
        fewest: int = 2,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._words, self._take = words, take
        self._reader, self._theme = reader, theme
        self._fewest = fewest
        self._quantity: QuantityName = "temperature"
        self._signal = Kind.RESISTANCE
        self._given: tuple[Entry, ...] | None = None
        self._rows: list[ValueRow] = []
        self._at_head, self._gives_head = QLabel(), QLabel(reader.text(words.gives))
        self.heads = QWidget()
        self.empty = QLabel(reader.text(words.empty))
        self.empty.setObjectName("muted")
        self.empty.setWordWrap(True)
        self.says = QLabel()
        self.says.setObjectName("field-problem")
        self.says.setWordWrap(True)
        self.add = QPushButton(reader.text(words.add))
        self.add.setAccessibleName(reader.text(words.add))
        self.sort = QPushButton(reader.text("points.sort"))
        self.sort.setAccessibleName(reader.text("points.sort"))
        self.sort.setAccessibleDescription(reader.text("points.sort.description"))
        self.setAccessibleName(reader.text(words.name))
        self._arrange()
        self.add.clicked.connect(self.begin)
        self.sort.clicked.connect(self.sort_rows)
        reader.changed.connect(self._judge)
        self._judge()

    def _arrange(self) -> None:
        heads = QGridLayout(self.heads)
        heads.setContentsMargins(0, 0, 0, 0)
        heads.setHorizontalSpacing(8)
        for column, label in enumerate((self._at_head, self._gives_head)):
            label.setObjectName("field-label")
            heads.addWidget(label, 0, column)
            heads.setColumnStretch(column, 1)
        heads.setColumnMinimumWidth(2, MARK_WIDE)
        heads.setColumnMinimumWidth(3, REMOVE_WIDE)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.sort)
        buttons.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(6)
        self._column.addWidget(self.heads)
        self._column.addWidget(self.empty)
        self._column.addWidget(self.says)
        self._column.addLayout(buttons)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    # --- what is asked of it ----------------------------------------------------------------

    @property
    def rows(self) -> Sequence[ValueRow]:
        """The rows, in the order shown."""
        return tuple(self._rows)

    def show_entries(self, entries: Sequence[Entry], quantity: QuantityName, signal: Kind) -> None:
        """Show the points that the plan holds; rows that it already took are left alone."""
        same_kinds = (quantity, signal) == (self._quantity, self._signal)
        if same_kinds and (tuple(entries) == self._given or self._shows(entries)):
            self._given = tuple(entries)
            return
        self._given = tuple(entries)
        self._quantity, self._signal = quantity, signal
        while len(self._rows) > len(entries):
            self._drop(self._rows.pop())
        while len(self._rows) < len(entries):
            self._new_row()
        for row, entry in zip(self._rows, entries, strict=True):
            row.set_kinds(QUANTITY_KIND[quantity], signal)
            row.show_point(entry.at, entry.gives, entry.kept)
        self._judge()

    def _shows(self, entries: Sequence[Entry]) -> bool:
        """Return whether the complete rows are these points; they then know where from."""
        complete = [row for row in self._rows if None not in row.amounts]
        if [row.amounts for row in complete] != [(entry.at, entry.gives) for entry in entries]:
            return False
        for row, entry in zip(complete, entries, strict=True):
            row.kept = entry.kept
        return True

    def forget(self) -> None:
        """Drop all rows, also what was typed and not taken: another plan is open."""
        while self._rows:
            self._drop(self._rows.pop())
        self._given = None
        self._judge()

    def go_there(self) -> None:
        """Put the cursor in the first row, or in a new one."""
        if self._rows:
            self._rows[0].at.setFocus()
            self._rows[0].at.selectAll()
        else:
            self.begin()

    def begin(self) -> None:
        """Add an empty row and go there; one that is empty already is used."""
        if not self._rows or self._rows[-1].amounts != (None, None):
            self._new_row()
            self._judge()
        self._rows[-1].at.setFocus()

    def sort_rows(self) -> None:
        """Put the rows in order of the value; incomplete ones stay last."""
        kind = QUANTITY_KIND[self._quantity]
        shown = [(*row.amounts, row.kept) for row in self._rows]
        shown.sort(key=lambda point: (point[0] is None, point[0].si(kind) if point[0] else 0.0))
        for row, (at, gives, kept) in zip(self._rows, shown, strict=True):
            row.show_point(at, gives, kept)
        self._changed(more=False)

    # --- rows -------------------------------------------------------------------------------

    def _new_row(self) -> None:
        row = ValueRow(QUANTITY_KIND[self._quantity], self._signal, self._reader, self._theme)
        row.changed.connect(self._changed)
        row.removed.connect(self._remove)
        row.finished.connect(self._next)
        before = self._rows[-1] if self._rows else self.heads
        self._column.insertWidget(self._column.indexOf(before) + 1, row)
        self._rows.append(row)
        row.show()  # now, so that it can have the focus
        self._order_tabs()

    def _order_tabs(self) -> None:
        """Let Tab go through the rows from above: later rows were made last."""
        order: list[QWidget] = [self.heads]
        for row in self._rows:
            order += row.editors
        order += [self.add, self.sort]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def _drop(self, row: ValueRow) -> None:
        self._column.removeWidget(row)
        row.hide()
        row.deleteLater()

    def _remove(self) -> None:
        index = self._rows.index(cast("ValueRow", self.sender()))
        self._drop(self._rows.pop(index))
        if self._rows:
            self._rows[min(index, len(self._rows) - 1)].remove.setFocus()
        else:
            self.add.setFocus()
        self._changed(more=False)

    def _next(self) -> None:
        """Go to the row below, or to a new one: points are typed in one go."""
        index = self._rows.index(cast("ValueRow", self.sender()))
        if index + 1 < len(self._rows):
            self._rows[index + 1].at.setFocus()
            self._rows[index + 1].at.selectAll()
        elif not self._rows[index].refused and None not in self._rows[index].amounts:
            self.begin()

    # --- judging ----------------------------------------------------------------------------

    def _changed(self, more: bool) -> None:
        """Hand the list on when it is sound, else say what it lacks."""
        entries = self._judge()
        if entries is None or entries == self._given:
            return
        before, self._given = self._given, entries
        problem = self._take(entries, more)
        if problem:
            self._given = before
            self._say(problem)

    def _judge(self) -> tuple[Entry, ...] | None:
        """Mark what is wrong; return the list where it is sound."""
        entries: list[Entry] = []
        places: list[int] = []
        complete = True
        for place, row in enumerate(self._rows):
            at, gives = row.amounts
            row.name_fields(place + 1, self._at_head.text(), self._gives_head.text())
            if at is not None and gives is not None:
                entries.append(Entry(at, gives, row.kept))
                places.append(place)
            complete = complete and not row.refused and (at is None) == (gives is None)
        found = self._problems(entries)
        whole = self._mark(found, places)
        self._show(found)
        kept = complete and not found
        self._say(whole or ("" if kept else self._reader.text("points.kept")))
        return tuple(entries) if kept else None

    def _problems(self, entries: Sequence[Entry]) -> list[Message]:
        if not entries and self._fewest == 0:
            return []
        if len(entries) < max(2, self._fewest):
            return [message("points.short", rows=len(entries))]
        return point_problems(
            tuple(Point(entry.at, entry.gives) for entry in entries), self._quantity
        )

    def _mark(self, found: Sequence[Message], places: Sequence[int]) -> str:
        """Show each problem at the row that it names; return those that name none."""
        by_row: dict[int, list[str]] = {}
        whole = []
        for problem in found:
            row = dict(problem.values).get("row")
            if isinstance(row, int):
                told = _with_places(problem, places)
                by_row.setdefault(places[row - 1], []).append(self._reader.sentence(told))
            else:
                whole.append(self._reader.sentence(problem))
        for place, shown in enumerate(self._rows):
            shown.tell(" ".join(by_row.get(place, ())))
        return "\n".join(whole)

    def _show(self, found: Sequence[Message]) -> None:
        self._at_head.setText(self._reader.text(f"quantity.{self._quantity}"))
        self.heads.setVisible(bool(self._rows))
        self.empty.setVisible(not self._rows)
        self.sort.setVisible(any(problem.key == "table.unsorted" for problem in found))

    def _say(self, text: str) -> None:
        shown = text if self._rows or self._given else ""
        self.says.setText(shown)
        self.says.setVisible(bool(shown))


def _with_places(problem: Message, places: Sequence[int]) -> Message:
    """Return a problem with the numbers of the rows shown, incomplete ones counted."""
    return Message(
        problem.key,
        tuple(
            (name, places[value - 1] + 1)
            if name in ("row", "before") and isinstance(value, int)
            else (name, value)
            for name, value in problem.values
        ),
    )
