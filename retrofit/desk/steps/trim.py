"""The resistors between sender and gauge: typed in their places, or found."""

from __future__ import annotations

from typing import cast

from PySide6.QtWidgets import QLabel, QWidget

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Area, Edit, remove_resistor, set_mends, set_resistor
from retrofit.desk.session import Change
from retrofit.desk.steps.page import AmountEdit, Card, StepPage
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.bench_test_rows import BenchTestRows
from retrofit.desk.widgets.svg_view import LayeredView
from retrofit.desk.widgets.trim_finder import TrimFinder
from retrofit.desk.workplace import Workplace
from retrofit.drawing.look import Look
from retrofit.drawing.trim_sketch import trim_sketch
from retrofit.installation import PLACES, Place, TrimResistor, YesNo
from retrofit.plan.trim_words import ohms_by_place

_SKETCH_HEIGHT = 176


class TrimStep(StepPage):
    """Trim resistors by place, and the search for the best."""

    CAUTIONS = frozenset(
        {
            "caution.battery",
            "caution.fuel",
            "caution.hot_resistor",
            "caution.needle",
            "caution.no_resistor_at_tank",
        }
    )

    AREAS = frozenset(Area) - {Area.NAME}

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("trim", place, parent)
        self._theme = theme
        self._shown: dict[Place, float] | None = None
        self._ohms = {
            where: self.amount_field(where, Kind.RESISTANCE, self._setter(where), optional=True)
            for where in PLACES
        }
        self._mends = self.word_field("mends", ("yes", "no", "unknown"), _mends)
        self.tests = BenchTestRows(place)
        self.sketch = LayeredView()
        self.sketch.setFixedHeight(_SKETCH_HEIGHT)
        self._caption = QLabel()
        self._caption.setObjectName("muted")
        self.finder = TrimFinder(place, theme)
        self.finder.looked_at.connect(self._look_at)
        caution = QLabel(self.place.reader.text("caution.hot_resistor"))
        caution.setObjectName("caution")
        caution.setWordWrap(True)
        for card in self._cards():
            self.column.addWidget(card)
        self.column.addWidget(caution)
        self.column.addWidget(self.caution_line())
        self.column.addStretch(1)
        theme.changed.connect(self._draw)
        self.read()

    def _cards(self) -> tuple[Card, Card, Card]:
        where = Card(self.text("resistors"))
        where.add(self.sketch, wide=True)
        where.add(self._caption, wide=True)
        for spot in PLACES:
            where.add(self.fields[spot])
        find = Card(self.text("proposals"), columns=1)
        find.add(self.finder)
        before = Card(self.text("before"), columns=1)
        before.add(self.fields["mends"])
        before.add(self.tests)
        return where, before, find

    def read(self) -> None:
        """Show the trim as it is now."""
        plan = self.place.view.plan
        there = {resistor.place: resistor.value for resistor in self.place.view.pairing.trim}
        for where, editor in self._ohms.items():
            editor.set_amount(there.get(where))
        self._mends.set_word(plan.mends)
        self.tests.setVisible(plan.mends == "yes")
        self.tests.read()
        self.finder.read()
        self._draw()

    def go_to(self, field: str) -> None:
        """Go to a field, or to the tests before a trim."""
        if field == "tests":
            self.ensureWidgetVisible(self.tests)
            self.tests.go_there()
        else:
            super().go_to(field)

    def _look_at(self, ohms: dict[Place, float] | None) -> None:
        self._shown = ohms
        self._draw()

    def _draw(self) -> None:
        """Draw where the resistors sit: of the row that is looked at, else of the plan."""
        now = ohms_by_place(self.place.view.pairing.trim)
        other = self._shown is not None and self._shown != now
        shown = now if self._shown is None else self._shown
        look = Look(self._theme.palette, self.place.reader.renderer)
        self.sketch.show_ground(trim_sketch(shown, look))
        self._caption.setText(self.text("sketch.proposal" if other else "sketch.now"))

    def _setter(self, where: Place) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            label = self.place.view.label
            if amount is None:
                return remove_resistor(label, where)
            return set_resistor(label, TrimResistor(where, amount))

        return edit

    def _heard(self, change: Change) -> None:
        if Area.DOCUMENT in change.touches:
            self.tests.forget()
        self.finder.heard(change)
        super()._heard(change)


def _mends(word: str) -> Edit:
    return set_mends(cast(YesNo, word))
