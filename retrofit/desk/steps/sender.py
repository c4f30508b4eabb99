"""The sender: its class, a measured table, or what is known of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from PySide6.QtWidgets import QLineEdit, QWidget

from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.laws import Point, SwitchLaw, TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from retrofit.desk.edits import Area, Edit, choose_sender, set_sender
from retrofit.desk.steps.page import Card, WordEdit
from retrofit.desk.steps.part_step import PartStep
from retrofit.desk.steps.typed_figures import BENCH
from retrofit.desk.stock import Stocked
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.dial_mark_rows import PointRows
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.part_picker import SENDERS
from retrofit.desk.widgets.tolerance_edit import ToleranceEdit
from retrofit.desk.workplace import Workplace


class SenderStep(PartStep):
    """What feeds the gauge."""

    CAUTIONS = frozenset(
        {
            "caution.coolant",
            "caution.oil",
            "caution.fuel",
            "caution.air",
            "caution.maybe_taper",
            "caution.pressure",
            "caution.taper",
            "caution.unknown_tank",
        }
    )

    AREAS = frozenset({Area.DOCUMENT, Area.SENDER, Area.PAIRINGS})

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("sender", SENDERS, place, theme, parent)
        self._name = QLineEdit()
        self._name.setMaxLength(200)
        self._name.editingFinished.connect(self._named)
        self.fields["name"] = Field(self.text("name"), self._name)
        self._shape = self.word_field("shape", ("unknown", "straight", "thermistor"), self._shaped)
        self._earth = self.word_field(
            "earth_return", ("body", "insulated", "either", "unknown"), self._word("earth_return")
        )
        self._stations = self.word_field("stations", ("1", "2"), self._stationed)
        self._tolerance = ToleranceEdit(place.reader, self.text("tolerance"))
        self.put_field("tolerance", self._tolerance, self._within)
        card = Card(self.text("about"))
        for name in ("name", "shape", "earth_return", "stations", "tolerance"):
            card.add(self.fields[name])
        self.points = PointRows(self._take_points, place.reader, theme)
        self._table = Card(self.text("points"), columns=1)
        self._table.add(self.points)
        self.form_column.addWidget(card)
        self.form_column.addWidget(self._table)
        self.form_column.addStretch(1)
        self.column.addWidget(self.caution_line())
        self.read()
        self.picker.rate_with(self._rater())

    @property
    def sender_part(self) -> Sender:
        """The sender that is in the plan."""
        return self.place.view.pairing.sender

    def present(self) -> str:
        """Return the key of the sender that is in the plan."""
        return self.sender_part.key

    def choose(self, found: Stocked) -> Edit:
        """Return the edit that puts a sender of the catalogue in."""
        assert isinstance(found.part, Sender)
        return choose_sender(self.place.view.label, found.part, found.revision)

    def from_table(self, points: tuple[Point, ...]) -> Edit:
        """Return the edit that makes the pasted table the sender's curve."""
        quantity = self.place.view.plan.duty.quantity
        falling = points[0].gives.number > points[-1].gives.number
        thermistor = quantity == "temperature" and falling
        law = TableLaw(points, "thermistor" if thermistor else "unknown", basis=BENCH)
        name = self.text("measured")
        return choose_sender(self.place.view.label, Sender("measured-sender", name, quantity, law))

    def fact_lines(self) -> Sequence[str]:
        """Return what the sender gives, on what that rests, and how it is earthed."""
        part, reader = self.sender_part, self.place.reader
        kind = QUANTITY_KIND[part.quantity]
        lines = []
        if part.curve is not None and part.signal is not None:
            ends = part.curve.low, part.curve.high
            gives = [float(y) for y in part.curve.output(np.array(ends))]
            lines.append(
                self.place.reader.text(
                    "sender.gives",
                    low=reader.value(ends[0], kind),
                    high=reader.value(ends[1], kind),
                    at_low=reader.value(gives[0], part.signal),
                    at_high=reader.value(gives[1], part.signal),
                )
            )
        elif isinstance(part.law, SwitchLaw):
            lines.append(reader.text("sender.switch"))
        else:
            lines.append(reader.text("sender.no_curve"))
        basis = getattr(part.law, "basis", None)
        if basis is not None:
            lines.append(reader.text("part.basis", basis=reader.text(f"basis.{basis.kind.value}")))
        if part.notes:
            lines.append(part.notes)
        return lines

    def forget(self) -> None:
        """Drop what was typed and not taken, also of the points: another plan is open."""
        super().forget()
        self.points.forget()

    def show_form(self) -> None:
        """Show what is known of the sender."""
        part = self.sender_part
        if not self._name.isModified():
            self._name.setText(part.name)
            self._name.setCursorPosition(0)
        law = part.law if isinstance(part.law, TableLaw) else None
        self.fields["shape"].setVisible(law is not None)
        if law is not None:
            self._shape.set_word(law.shape)
        self._earth.set_word(part.earth_return)
        self._stations.set_word(str(part.stations))
        tolerance: Tolerance | None = getattr(part.law, "tolerance", None)
        self.fields["tolerance"].setVisible(hasattr(part.law, "tolerance"))
        signal = part.signal or Kind.RESISTANCE
        # Of a level, per cent would be of the ohms or of the tank: it is said to be of the ohms.
        value = () if part.quantity == "level" else (difference(QUANTITY_KIND[part.quantity]),)
        self._tolerance.set_kinds(signal, *value)
        self._tolerance.set_amount(None if tolerance is None else tolerance.half_width)
        self.points.show_points(() if law is None else law.points, part.quantity, signal)

    def _named(self) -> None:
        if self._name.isModified():
            self._name.setModified(False)
            edit = set_sender(self.place.view.label, "name", self._name.text().strip())
            self.fields["name"].show_problem(self.place.attempt(edit))

    def _shaped(self, word: str) -> Edit:
        law = self.sender_part.law
        assert isinstance(law, TableLaw)
        changes: Any = {"shape": word}
        changed = replace(law, **changes)
        return set_sender(self.place.view.label, "law", changed)

    def _within(self, amount: Amount | None) -> Edit:
        changes: Any = {"tolerance": None if amount is None else Tolerance(amount)}
        return set_sender(self.place.view.label, "law", replace(self.sender_part.law, **changes))

    def _word(self, field: str) -> WordEdit:
        def edit(word: str) -> Edit:
            return set_sender(self.place.view.label, field, word)

        return edit

    def _stationed(self, word: str) -> Edit:
        return set_sender(self.place.view.label, "stations", int(word))

    def _take_points(self, points: tuple[Point, ...], more: bool) -> str:
        law = self.sender_part.law
        if isinstance(law, TableLaw):
            changed = replace(law, points=points)
        else:
            changed = TableLaw(points, basis=BENCH)
        return self.place.attempt(set_sender(self.place.view.label, "law", changed), more=more)
