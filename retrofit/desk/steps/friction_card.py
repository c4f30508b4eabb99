"""The same marks read without tapping, from below and from above: friction of the needle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QLabel

from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import DialMark, Gauge
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Edit, set_gauge
from retrofit.desk.steps.page import FoldCard, StepPage
from retrofit.desk.widgets.quantity_edit import QuantityEdit

_SIDES = ("from_below", "from_above")


class FrictionCard:
    """A row for each mark of the dial, folded away until somebody has such readings.

    Parameters
    ----------
    page : StepPage
        The step of the gauge; it keeps the fields, ``mark0.from_below`` and so on.
    """

    def __init__(self, page: StepPage) -> None:
        self._page = page
        self.card = FoldCard(page.text("friction"), columns=3)
        how = QLabel(page.text("friction.how"))
        how.setObjectName("muted")
        how.setWordWrap(True)
        self.card.add(how, wide=True)
        self._rows: list[_Row] = []

    def show(self, marks: Sequence[DialMark], signal: Kind) -> None:
        """Show what the marks say; nothing where there are none."""
        while len(self._rows) < len(marks):
            self._rows.append(_Row(self._page, len(self._rows), self.card))
        kind = QUANTITY_KIND[self._page.place.view.pairing.gauge.quantity]
        reader = self._page.place.reader
        for number, row in enumerate(self._rows):
            mark = marks[number] if number < len(marks) else None
            row.show(mark, "" if mark is None else reader.amount(mark.at, kind), signal)
        self.card.setVisible(bool(marks))
        self.card.open(opened=any(mark.from_below or mark.from_above for mark in marks))

    def unfold(self, field: str) -> str:
        """Unfold the card where it holds the field; return the field to go to."""
        if field == "friction" and self._rows:
            field = "mark0.from_below"
        if field.partition(".")[2] in _SIDES:
            self.card.open()
        return field


class _Row:
    """The two readings of one mark."""

    def __init__(self, page: StepPage, number: int, card: FoldCard) -> None:
        self._page, self._number = page, number
        text = page.place.reader.text
        self._at = QLabel()
        # Level with the words in the fields, which stand under a label of their own.
        self._at.setContentsMargins(0, self._at.fontMetrics().height() + 14, 0, 0)
        card.begin_row()
        card.add(self._at)
        self._editors: dict[str, QuantityEdit] = {}
        for side in _SIDES:
            name = f"mark{number}.{side}"
            label = text(f"step.gauge.{side}")
            self._editors[side] = page.amount_field(
                name, Kind.RESISTANCE, self._edit(side), optional=True, label=label
            )
            card.add(page.fields[name])

    def show(self, mark: DialMark | None, at: str, signal: Kind) -> None:
        """Show a mark, or hide the row where there is none."""
        self._at.setText(at)
        self._at.setVisible(mark is not None)
        for side, editor in self._editors.items():
            field = self._page.fields[f"mark{self._number}.{side}"]
            field.setVisible(mark is not None)
            field.say_whose(self._page.place.reader, at)
            editor.set_kind(signal)
            editor.set_amount(None if mark is None else getattr(mark, side))

    def _edit(self, side: str) -> Callable[[Amount | None], Edit]:
        def edit(amount: Amount | None) -> Edit:
            view = self._page.place.view
            changes: Any = {side: amount}
            return set_gauge(
                view.label, "marks", _changed(view.pairing.gauge, self._number, changes)
            )

        return edit


def _changed(gauge: Gauge, number: int, changes: dict[str, Any]) -> tuple[DialMark, ...]:
    mark = replace(gauge.marks[number], **changes)
    return (*gauge.marks[:number], mark, *gauge.marks[number + 1 :])
