"""What the pairing hangs on: supply, stabiliser and the sender's way to earth."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QWidget

from catalog.parts.gauge import HeaterMovement
from catalog.provenance import Basis, BasisKind, Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Area, Edit, set_installation
from retrofit.desk.steps.page import AmountEdit, Card, StepPage, WordEdit
from retrofit.desk.workplace import Workplace
from retrofit.installation import Installation

_MEASURED = Basis(BasisKind.MEASURED)


class WiringStep(StepPage):
    """Supply, stabiliser and earth."""

    CAUTIONS = frozenset({"caution.battery"})

    AREAS = frozenset({Area.DOCUMENT, Area.INSTALLATION, Area.GAUGE, Area.PAIRINGS})

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__("wiring", place, parent)
        self._volts = {
            name: self.amount_field(
                name, Kind.VOLTAGE, self._supply(name), optional=name != "nominal"
            )
            for name in ("nominal", "low", "high")
        }
        self._fitted = self.word_field("fitted", ("yes", "no", "unknown"), self._word("fitted"))
        self._holds = self.word_field(
            "holds", ("heat-equivalent", "mean", "unknown"), self._word("holds")
        )
        self._output = self.amount_field("output", Kind.VOLTAGE, self._held, optional=True)
        self._earth = self.amount_field(
            "sender_earth", Kind.RESISTANCE, self._earth_path, optional=True
        )
        supply = Card(self.text("supply"), columns=3)
        for name in ("nominal", "low", "high"):
            supply.add(self.fields[name])
        self._stabiliser = Card(self.text("stabiliser"), columns=3)
        for name in ("fitted", "holds", "output"):
            self._stabiliser.add(self.fields[name])
        earth = Card(self.text("earth"), columns=3)
        earth.add(self.fields["sender_earth"], wide=True)
        for card in (supply, self._stabiliser, earth):
            self.column.addWidget(card)
        self.column.addWidget(self.caution_line())
        self.column.addStretch(1)
        self.read()

    def read(self) -> None:
        """Show the installation as it is now."""
        installation = self._installation
        for name, editor in self._volts.items():
            editor.set_amount(getattr(installation.supply, name))
        stabiliser = installation.stabiliser
        self._fitted.set_word(stabiliser.fitted)
        self._holds.set_word(stabiliser.holds)
        self._output.set_amount(None if stabiliser.output is None else stabiliser.output.amount)
        earth = installation.sender_earth
        self._earth.set_amount(None if earth is None else earth.amount)
        movement = self.place.view.pairing.gauge.movement
        self._stabiliser.setVisible(isinstance(movement, HeaterMovement))

    def go_to(self, field: str) -> None:
        """Go to a field; to the stabiliser where the supply's effect hangs on it."""
        if field == "supply":
            field = "fitted" if self._stabiliser.isVisibleTo(self) else "low"
        super().go_to(field)

    @property
    def _installation(self) -> Installation:
        return self.place.view.pairing.installation

    def _edit(self, field: str, installation: Installation) -> Edit:
        return set_installation(self.place.view.label, field, installation)

    def _supply(self, name: str) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            changes: Any = {name: amount}
            supply = replace(self._installation.supply, **changes)
            return self._edit(name, replace(self._installation, supply=supply))

        return edit

    def _word(self, name: str) -> WordEdit:
        def edit(word: str) -> Edit:
            changes: Any = {name: word}
            stabiliser = replace(self._installation.stabiliser, **changes)
            return self._edit("stabiliser", replace(self._installation, stabiliser=stabiliser))

        return edit

    def _held(self, amount: Amount | None) -> Edit:
        output = None if amount is None else Figure(amount, None, _MEASURED)
        stabiliser = replace(self._installation.stabiliser, output=output)
        return self._edit("stabiliser", replace(self._installation, stabiliser=stabiliser))

    def _earth_path(self, amount: Amount | None) -> Edit:
        earth = None if amount is None else Figure(amount, None, _MEASURED)
        return self._edit("sender_earth", replace(self._installation, sender_earth=earth))
