"""The gauge: its class, a measured table of marks, or what is known of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QLineEdit, QWidget

from catalog.codec import MOVEMENT_TAGS
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import DialMark, Gauge
from catalog.parts.laws import Point
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Area, Edit, choose_gauge, set_gauge
from retrofit.desk.steps.friction_card import FrictionCard
from retrofit.desk.steps.movement_form import MovementForm
from retrofit.desk.steps.page import AmountEdit, Card
from retrofit.desk.steps.part_step import KNOWN, PartStep
from retrofit.desk.steps.typed_figures import BENCH, figure
from retrofit.desk.stock import Stocked
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.dial_mark_rows import DialMarkRows
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.part_picker import GAUGES
from retrofit.desk.workplace import Workplace

_SCALE = ("low", "high", "stop_low", "stop_high")
_SHARES = ("dial_error", "needle_width")
_SYSTEMS = ("", "6 V", "12 V", "24 V", "12 V, 24 V")


class GaugeStep(PartStep):
    """What shows it."""

    CAUTIONS = frozenset({"caution.battery", "caution.needle"})

    AREAS = frozenset({Area.DOCUMENT, Area.GAUGE, Area.PAIRINGS})

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("gauge", GAUGES, place, theme, parent)
        kind = place.view.plan.duty.kind
        self._name = QLineEdit()
        self._name.setMaxLength(200)
        self._name.editingFinished.connect(self._named)
        self.fields["name"] = Field(self.text("name"), self._name)
        self._scale = {
            name: self.amount_field(
                name, kind, self._setter(name), optional=name.startswith("stop")
            )
            for name in _SCALE
        }
        self._shares = {
            name: self.amount_field(name, Kind.FRACTION, self._share(name), optional=True)
            for name in _SHARES
        }
        self._system = self.choice_field(
            "system",
            [(word, self.place.reader.text(f"gauge.system.{word}")) for word in _SYSTEMS],
            lambda word: self.edit_gauge("system", tuple(word.split(", ")) if word else ()),
        )
        scale = Card(self.text("scale"), columns=2)
        scale.add(self.fields["name"], wide=True)
        for name in (*_SCALE, *_SHARES, "system"):
            scale.add(self.fields[name])
        self.movement = MovementForm(self)
        self.marks = DialMarkRows(self._take_marks, place.reader, theme)
        marks = Card(self.text("marks"), columns=1)
        marks.add(self.marks)
        self.friction = FrictionCard(self)
        marks.add(self.friction.card)
        for card in (scale, self.movement, marks):
            self.form_column.addWidget(card)
        self.form_column.addStretch(1)
        self.column.addWidget(self.caution_line())
        self.read()
        self.picker.rate_with(self._rater())

    @property
    def gauge_part(self) -> Gauge:
        """The gauge that is in the plan."""
        return self.place.view.pairing.gauge

    def present(self) -> str:
        """Return the key of the gauge that is in the plan."""
        return self.gauge_part.key

    def choose(self, found: Stocked) -> Edit:
        """Return the edit that puts a gauge of the catalogue in."""
        assert isinstance(found.part, Gauge)
        return choose_gauge(self.place.view.label, found.part, found.revision)

    def from_table(self, points: tuple[Point, ...]) -> Edit:
        """Return the edit that makes the pasted table the marks of a gauge of the user's own.

        The movement stays what it was: a table of ohms does not tell it.
        """
        old = self.gauge_part
        marks = tuple(DialMark(point.at, point.gives) for point in points)
        gauge = replace(
            old,
            key="measured-gauge",
            name=self.text("measured"),
            low=points[0].at,
            high=points[-1].at,
            marks=marks,
            scaled_for=None,
            stop_low=None,
            stop_high=None,
            basis=BENCH,
            notes="",
        )
        return choose_gauge(self.place.view.label, gauge)

    def fact_lines(self) -> Sequence[str]:
        """Return how the gauge works, what its scale is and on what that rests."""
        part, reader = self.gauge_part, self.place.reader
        kind = QUANTITY_KIND[part.quantity]
        movement = reader.text(f"movement.{MOVEMENT_TAGS[type(part.movement)]}")
        lines = [
            reader.text(
                "gauge.scale",
                movement=movement,
                low=reader.value(part.low.si(kind), kind),
                high=reader.value(part.high.si(kind), kind),
            )
        ]
        if part.scaled_for is not None:
            lines.append(reader.text("gauge.scaled_for", name=part.scaled_for.name))
        elif part.marks:
            basis = reader.text(f"basis.{part.basis.kind.value}")
            lines.append(reader.text("gauge.marks", marks=len(part.marks), basis=basis))
        else:
            lines.append(reader.text("gauge.nothing"))
        if part.notes:
            lines.append(part.notes)
        return lines

    def forget(self) -> None:
        """Drop what was typed and not taken, also of the marks: another plan is open."""
        super().forget()
        self.marks.forget()

    def go_to(self, field: str) -> None:
        """Go to a field of the form, to the marks, or to the search for another name."""
        if field == "marks":
            self.tabs.setCurrentIndex(KNOWN)
            self.bring_up(self.marks)
            self.marks.go_there()
            return
        super().go_to(self.friction.unfold({"movement": "kind"}.get(field, field)))

    def show_form(self) -> None:
        """Show what is known of the gauge."""
        part = self.gauge_part
        kind = QUANTITY_KIND[part.quantity]
        if not self._name.isModified():
            self._name.setText(part.name)
            self._name.setCursorPosition(0)
        for name, editor in self._scale.items():
            editor.set_kind(kind)
            editor.set_amount(getattr(part, name))
        for name, editor in self._shares.items():
            figure: Figure | None = getattr(part, name)
            editor.set_amount(None if figure is None else figure.amount)
        self._system.set_word(", ".join(part.system))
        self.movement.read()
        self.marks.show_marks(part.marks, part.quantity, part.signal)
        self.friction.show(part.marks, part.signal)

    def edit_gauge(self, field: str, value: Any) -> Edit:
        """Return the edit of one field of the gauge."""
        return set_gauge(self.place.view.label, field, value)

    def _setter(self, name: str) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            return self.edit_gauge(name, amount)

        return edit

    def _share(self, name: str) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            return self.edit_gauge(name, figure(amount, BENCH))

        return edit

    def _named(self) -> None:
        if self._name.isModified():
            self._name.setModified(False)
            problem = self.place.attempt(self.edit_gauge("name", self._name.text().strip()))
            self.fields["name"].show_problem(problem)

    def _take_marks(self, marks: tuple[DialMark, ...], more: bool) -> str:
        return self.place.attempt(self.edit_gauge("marks", marks), more=more)
