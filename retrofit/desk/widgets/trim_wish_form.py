"""What resistors may be used: a series or the user's own, how many, a pull-up, no flattering."""

from __future__ import annotations

import math
from typing import cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLineEdit, QWidget

from catalog.errors import UserError
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.plan.document import Duty
from retrofit.plan.trim_question import Beyond
from retrofit.plan.trim_wishes import LEAST, MOST, TrimWishes
from retrofit.trim.preferred import Series
from retrofit.trim.stock import typed_stock

OWN = "own"
_SERIES = ("E6", "E12", "E24", "E48", "E96")
_EITHER, _EVERY, _MARK = "either", "every", "mark:"


class TrimWishForm(QWidget):
    """Fields for the wishes of a search.

    Parameters
    ----------
    reader : Reader
        Words and the decimal mark.
    """

    changed = Signal()
    """Other trims are wanted."""

    def __init__(self, reader: Reader, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        text = reader.text
        series = [(name, name) for name in _SERIES]
        self.series = Choice([*series, (OWN, text("trims.wish.own"))], text("trims.wish.series"))
        self.series.set_word("E24")
        self.own = QLineEdit()
        self.own.setPlaceholderText(text("trims.wish.own_example"))
        counts = [(str(n), text(f"trims.wish.most_{n}")) for n in (1, 2, 3)]
        self.most = Choice(counts, text("trims.wish.most"))
        self.most.set_word("2")
        self.flattery = Choice([(_EITHER, text("trims.wish.either"))], text("trims.wish.flattery"))
        self.flattery.set_word(_EITHER)
        self.pull_up = QCheckBox(text("trims.wish.pull_up"))
        self.pull_up.setAccessibleName(self.pull_up.text())
        self._own_field = Field(text("trims.wish.own_values"), self.own)
        self._arrange()
        for choice in (self.series, self.most, self.flattery):
            choice.chosen.connect(self._chosen)
        self.own.textEdited.connect(self._edited)
        self.pull_up.toggled.connect(self._toggled)
        self._show_own()

    def _arrange(self) -> None:
        text = self._reader.text
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(10)
        grid.addWidget(Field(text("trims.wish.series"), self.series), 0, 0)
        grid.addWidget(Field(text("trims.wish.most"), self.most), 0, 1)
        grid.addWidget(self._own_field, 1, 0, 1, 2)
        grid.addWidget(Field(text("trims.wish.flattery"), self.flattery), 2, 0, 1, 2)
        grid.addWidget(self.pull_up, 3, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    def offer_marks(self, duty: Duty) -> None:
        """Offer the marks of a duty to forbid flattering beyond; keep what was chosen."""
        chosen = self.flattery.word
        text = self._reader.text
        offers = [(_EITHER, text("trims.wish.either"))]
        named = [mark.name for mark in duty.marks if mark.name]
        if named:
            offers.append((_EVERY, text("trims.wish.every")))
        offers += [
            (f"{_MARK}{name}", text("trims.wish.beyond", mark=name))
            for name in dict.fromkeys(named)
        ]
        self.flattery.clear()
        for word, said in offers:
            self.flattery.addItem(said, word)
        words = [word for word, _ in offers]
        self.flattery.set_word(chosen if chosen in words else _EITHER)

    def wishes(self) -> TrimWishes | None:
        """Return what is wanted; None where what was typed is no list, which is said there."""
        self._own_field.show_problem("")
        most, word = int(self.most.word), self.flattery.word
        beyond = None
        if word != _EITHER:
            beyond = Beyond(word.removeprefix(_MARK) if word.startswith(_MARK) else None)
        if self.series.word != OWN:
            series = cast(Series, self.series.word)
            return TrimWishes(series, LEAST, MOST, most, self.pull_up.isChecked(), beyond)
        try:
            stock = typed_stock(self.own.text(), self._reader.decimal)
        except UserError as error:
            self._own_field.show_problem(self._reader.error(error))
            self.own.setFocus()
            return None
        return TrimWishes(stock, 0.0, math.inf, most, self.pull_up.isChecked(), beyond)

    def _show_own(self) -> None:
        self._own_field.setVisible(self.series.word == OWN)

    def _chosen(self, word: str) -> None:
        self._show_own()
        if word == OWN:
            self.own.setFocus()
        self.changed.emit()

    def _edited(self, text: str) -> None:
        del text
        self._own_field.show_problem("")
        self.changed.emit()

    def _toggled(self, on: bool) -> None:
        del on
        self.changed.emit()
