"""What the original gauge gave the sender: the limits of any trim in fuel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QLabel

from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Edit, set_duty
from retrofit.desk.steps.page import FoldCard, StepPage
from retrofit.desk.steps.typed_figures import BENCH, figure
from retrofit.installation import SenderLimits
from retrofit.plan.document import Duty

_READ = {
    "current": Kind.CURRENT,
    "open_volts": Kind.VOLTAGE,
    "short_current": Kind.CURRENT,
    "supply": Kind.VOLTAGE,
}


class OriginalCard:
    """Fields of what was read at the sender's lead before anything was changed.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields, ``original.current`` and so on.
    """

    def __init__(self, page: StepPage) -> None:
        self._page = page
        self.card = FoldCard(page.text("original"), columns=2)
        how = QLabel(page.text("original.how"))
        how.setObjectName("muted")
        how.setWordWrap(True)
        self.card.add(how, wide=True)
        self._figures = {
            name: page.amount_field(f"original.{name}", kind, self._part(name), optional=True)
            for name, kind in _READ.items()
        }
        for name in _READ:
            self.card.add(page.fields[f"original.{name}"])
        self.card.add(self._caution(), wide=True)

    def read(self) -> None:
        """Show the limits as they are now; none where it is no fuel."""
        duty = self._duty
        limits = duty.original or SenderLimits()
        for name, editor in self._figures.items():
            figure: Figure | None = getattr(limits, name)
            editor.set_amount(None if figure is None else figure.amount)
        self.card.setVisible(duty.fuel != "no" or duty.original is not None)
        self.card.open(opened=duty.original is not None)

    def unfold(self, field: str) -> str:
        """Unfold the card where it holds the field; return the field to go to."""
        if field == "original":
            limits = self._duty.original or SenderLimits()
            lacking = (name for name in _READ if getattr(limits, name) is None)
            field = f"original.{next(lacking, 'current')}"
        if field.startswith("original."):
            self.card.open()
        return field

    @property
    def _duty(self) -> Duty:
        return self._page.place.view.plan.duty

    def _caution(self) -> QLabel:
        line = QLabel(self._page.text("original.caution"))
        line.setObjectName("caution")
        line.setWordWrap(True)
        return line

    def _part(self, name: str) -> Callable[[Amount | None], Edit]:
        def edit(amount: Amount | None) -> Edit:
            changes: Any = {name: figure(amount, BENCH)}
            limits = replace(self._duty.original or SenderLimits(), **changes)
            return set_duty("original", None if limits == SenderLimits() else limits)

        return edit
