"""The first step: what has to be read, how well, and where it matters."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QLabel, QWidget

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from retrofit.desk.edits import Area, Edit, set_duty, write_notes
from retrofit.desk.steps.limits_card import LimitsCard
from retrofit.desk.steps.original_card import OriginalCard
from retrofit.desk.steps.page import AmountEdit, Card, StepPage, WordEdit
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.mark_rows import MarkRows
from retrofit.desk.widgets.notes_edit import MOST, NotesEdit
from retrofit.desk.workplace import Workplace
from retrofit.plan.document import Medium

_FIELDS = ("low", "high", "allowed", "capacity")


class DutyStep(StepPage):
    """What has to be read."""

    CAUTIONS = frozenset({"caution.no_safety_device"})

    AREAS = frozenset({Area.DOCUMENT, Area.DUTY, Area.NAME, Area.PAIRINGS})

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__("duty", place, parent)
        kind = place.view.plan.duty.kind
        self._amounts = {
            name: self.amount_field(
                name, _kind(name, kind), _setter(name), optional=name in ("allowed", "capacity")
            )
            for name in _FIELDS
        }
        self._medium = self.word_field("medium", get_args(Medium), _word("medium"))
        self._shares = self.word_field(
            "controller_shares", ("yes", "no", "unknown"), _word("controller_shares")
        )
        self.quantity = QLabel()
        self.quantity.setObjectName("field-value")
        self.quantity.setIndent(0)
        card = Card(self.text("what"))
        card.add(Field(self.text("quantity"), self.quantity, self.text("quantity.hint")))
        for name in ("medium", "low", "high", "allowed", "controller_shares", "capacity"):
            card.add(self.fields[name])
        self._limits = LimitsCard(self)
        self._original = OriginalCard(self)
        self.marks = MarkRows(place)
        marks = Card(self.text("marks"), columns=1)
        marks.add(self.marks)
        self.column.addWidget(card)
        self.column.addWidget(marks)
        self.column.addWidget(self._limits.card)
        self.column.addWidget(self._original.card)
        self.column.addWidget(self._notes_card())
        self.column.addWidget(self.caution_line())
        self.column.addStretch(1)
        self.read()

    def _notes_card(self) -> Card:
        self.notes = NotesEdit(self.text("notes"))
        self.notes.written.connect(self._noted)
        self.notes.refused.connect(self._too_long)
        self.fields["notes"] = Field(self.text("notes"), self.notes, self.text("notes.hint"))
        card = Card("", columns=1)
        card.add(self.fields["notes"])
        return card

    def _noted(self, words: str, more: bool) -> None:
        self.fields["notes"].show_problem(self.place.attempt(write_notes(words), more=more))

    def _too_long(self) -> None:
        said = self.place.reader.text("step.duty.notes.too_long", most=MOST)
        self.fields["notes"].show_problem(said)

    def read(self) -> None:
        """Show the duty as it is now."""
        duty = self.place.view.plan.duty
        self.quantity.setText(self.place.reader.text(f"quantity.{duty.quantity}"))
        self.notes.hold(self.place.view.plan.notes)
        for name, editor in self._amounts.items():
            editor.set_kind(_kind(name, duty.kind))
            editor.set_amount(getattr(duty, name))
        self._medium.set_word(duty.medium)
        self._shares.set_word(duty.controller_shares)
        self.fields["capacity"].setVisible(duty.quantity == "level")
        self.marks.read()
        self._limits.read()
        self._original.read()

    def forget(self) -> None:
        """Drop what was typed and not taken, also of the marks: another plan is open."""
        super().forget()
        self.marks.forget()

    def go_to(self, field: str) -> None:
        """Go to a field, or to the marks."""
        if field == "marks":
            self.ensureWidgetVisible(self.marks)
            self.marks.go_there()
        else:
            self._limits.unfold(field)
            super().go_to(self._original.unfold(field))


def _kind(name: str, kind: Kind) -> Kind:
    return {"allowed": difference(kind), "capacity": Kind.VOLUME}.get(name, kind)


def _setter(name: str) -> AmountEdit:
    def edit(amount: Amount | None) -> Edit:
        return set_duty(name, amount)

    return edit


def _word(name: str) -> WordEdit:
    def edit(word: str) -> Edit:
        return set_duty(name, word)

    return edit
