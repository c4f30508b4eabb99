"""The resistors between sender and gauge, each in its place, typed in."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QWidget

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Area, Edit, remove_resistor, set_resistor
from retrofit.desk.steps.page import AmountEdit, Card, StepPage
from retrofit.desk.workplace import Workplace
from retrofit.installation import PLACES, Place, TrimResistor


class TrimStep(StepPage):
    """Trim resistors by place."""

    AREAS = frozenset({Area.DOCUMENT, Area.TRIM, Area.PAIRINGS})

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__("trim", place, parent)
        self._ohms = {
            where: self.amount_field(where, Kind.RESISTANCE, self._setter(where), optional=True)
            for where in PLACES
        }
        card = Card(self.text("resistors"))
        for where in PLACES:
            card.add(self.fields[where])
        caution = QLabel(self.place.reader.text("caution.hot_resistor"))
        caution.setObjectName("caution")
        caution.setWordWrap(True)
        self.column.addWidget(card)
        self.column.addWidget(caution)
        self.column.addStretch(1)
        self.read()

    def read(self) -> None:
        """Show the trim as it is now."""
        there = {resistor.place: resistor.value for resistor in self.place.view.pairing.trim}
        for where, editor in self._ohms.items():
            editor.set_amount(there.get(where))

    def _setter(self, where: Place) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            label = self.place.view.label
            if amount is None:
                return remove_resistor(label, where)
            return set_resistor(label, TrimResistor(where, amount))

        return edit
