"""Which thread it is, from calliper and thread gauge: readings, ranked threads, look-alikes."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from catalog.errors import UserError
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import read
from catalog.threads.thread import Gender, Thread
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import FoldCard
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.fit.thread_identity import Candidate, Identity, identify
from retrofit.fit.thread_readings import (
    CALLIPER,
    PITCH_ERROR,
    Measured,
    Reading,
    turns_per_inch,
)

SHOWN = 5
"""Threads that are shown at most."""


class CalliperCard(FoldCard):
    """Finds a thread from what was measured; nothing of it is kept in the plan.

    Parameters
    ----------
    title : str
        Title of the card.
    reader : Reader
        Units and sentences.
    """

    picked = Signal(str, str)
    """The user takes a thread: its designation, and "male" or "female"."""

    def __init__(self, title: str, reader: Reader, parent: QWidget | None = None) -> None:
        super().__init__(title, 3, parent)
        self._reader = reader
        self.fields: dict[str, Field] = {}
        text = reader.text
        self.gender = Choice(
            [(word, text(f"calliper.{word}")) for word in ("male", "female")],
            text("calliper.part"),
        )
        self._keep("part", self.gender)
        self.worn = Choice([(w, text(f"word.{w}")) for w in ("no", "yes")], text("calliper.worn"))
        self._keep("worn", self.worn)
        self.lengths = {
            name: self._length(name)
            for name in ("diameter", "second", "apart", "pitch", "error", "pitch_error")
        }
        self.turns = QLineEdit()
        self.turns.setMaxLength(12)
        self._keep("turns", self.turns)
        asked = ("part", "diameter", "pitch", "turns", "second", "apart")
        for name in (*asked, "error", "pitch_error", "worn"):
            self.add(self.fields[name])
        self.lengths["error"].set_amount(Amount(round(CALLIPER * 1e3, 6), "mm"))
        self.lengths["pitch_error"].set_amount(Amount(round(PITCH_ERROR * 1e3, 6), "mm"))
        self.button = QPushButton(text("calliper.find"))
        self.button.clicked.connect(self.rank)
        self.add(self.button)
        self.problem, self.says = QLabel(), QLabel()
        for label, name in ((self.problem, "caution"), (self.says, "muted")):
            label.setObjectName(name)
            label.setWordWrap(True)
            self.add(label, wide=True)
            label.setVisible(False)
        self.rows_of: list[_Row] = []
        self._results = QVBoxLayout()
        self._results.setSpacing(6)
        self._results.setContentsMargins(0, 0, 0, 0)
        holder = QWidget()
        holder.setLayout(self._results)
        self.add(holder, wide=True)
        for _ in range(SHOWN):
            row = _Row(reader)
            row.taken.connect(self._take)
            row.setVisible(False)
            self.rows_of.append(row)
            self._results.addWidget(row)
        self.look_alikes = QLabel()
        self.look_alikes.setObjectName("muted")
        self.look_alikes.setWordWrap(True)
        self.add(self.look_alikes, wide=True)
        self.look_alikes.setVisible(False)

    def _keep(self, name: str, editor: QWidget) -> None:
        text = self._reader.text
        hint = self._reader.renderer.known(f"calliper.{name}.hint") or ""
        self.fields[name] = Field(text(f"calliper.{name}"), editor, hint)

    def _length(self, name: str) -> QuantityEdit:
        words = self._reader.text(f"calliper.{name}")
        editor = QuantityEdit(Kind.LENGTH, self._reader, words, optional=True)
        self._keep(name, editor)
        editor.refused.connect(self.fields[name].show_problem)
        return editor

    def rank(self) -> None:
        """Rank the threads that the readings allow."""
        for editor in self.lengths.values():
            editor.commit()
        try:
            found = identify(self._measured())
        except UserError as error:
            self._show(None, self._reader.error(error))
            return
        problems = " ".join(self._reader.sentence(one) for one in found.problems)
        self._show(found, problems)

    def _measured(self) -> Measured:
        error, pitch_error = self._si("error"), self._si("pitch_error")
        pitch = self._reading("pitch", pitch_error or 0.0)
        turns = self.turns.text().strip()
        if turns and pitch is None:
            count = read(turns, decimal=self._reader.decimal).value
            pitch = turns_per_inch(count, pitch_error or 0.0)
        return Measured(
            cast(Gender, self.gender.word),
            self._reading("diameter", error or 0.0),
            self._reading("second", error or 0.0),
            self._si("apart") or 0.0,
            pitch,
            worn=self.worn.word == "yes",
        )

    def _si(self, name: str) -> float | None:
        amount = self.lengths[name].amount
        return None if amount is None else amount.si(Kind.LENGTH)

    def _reading(self, name: str, error: float) -> Reading | None:
        value = self._si(name)
        return None if value is None else Reading(value, error)

    def _show(self, found: Identity | None, problem: str) -> None:
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))
        fitting = () if found is None else found.fitting[:SHOWN]
        count = len(() if found is None else found.fitting)
        self.says.setText(self._reader.text("calliper.found", count=count))
        self.says.setVisible(not problem or count > 0)
        for number, row in enumerate(self.rows_of):
            row.setVisible(number < len(fitting))
            if number < len(fitting):
                row.show_candidate(fitting[number])
        lines = [] if found is None else [one.says for one in found.look_alikes[:SHOWN]]
        self.look_alikes.setText("\n".join(self._reader.sentence(one) for one in lines))
        self.look_alikes.setVisible(bool(lines))

    def _take(self, designation: str) -> None:
        self.picked.emit(designation, self.gender.word)


class _Row(QWidget):
    """One thread that agrees, and a button that takes it."""

    taken = Signal(str)

    def __init__(self, reader: Reader) -> None:
        super().__init__()
        self._reader = reader
        self._thread: Thread | None = None
        self.says = QLabel()
        self.says.setWordWrap(True)
        self.button = QPushButton(reader.text("calliper.take"))
        self.button.clicked.connect(self._clicked)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        row.addWidget(self.button)
        row.addWidget(self.says, 1)

    def show_candidate(self, one: Candidate) -> None:
        """Show another thread."""
        self._thread = one.thread
        worst = max((abs(z) for _, z in one.distances), default=0.0)
        self.says.setText(
            self._reader.text(
                "calliper.row",
                thread=one.thread.designation,
                share=self._reader.value(one.probability, Kind.FRACTION),
                off=round(worst, 1),
                standard=one.thread.standard,
            )
        )
        name = self._reader.text("calliper.take_thread", thread=one.thread.designation)
        self.button.setAccessibleName(name)

    def _clicked(self) -> None:
        if self._thread is not None:
            self.taken.emit(self._thread.designation)
