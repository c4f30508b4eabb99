"""How far a number may be off: in per cent of it, or in a unit of its own kind."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from catalog.errors import UserError
from catalog.provenance import Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, unit_named
from catalog.quantities.parse import parse
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.quantity_edit import QuantityEdit


class ToleranceEdit(QuantityEdit):
    """A line edit for the half width of a tolerance; empty where nobody knows it.

    Parameters
    ----------
    kinds : sequence of Kind
        What it may be in besides per cent.
    """

    def __init__(
        self, kinds: Sequence[Kind], reader: Reader, name: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(Kind.FRACTION, reader, name, optional=True, parent=parent)
        self._kinds = tuple(kinds)

    def set_tolerance(self, tolerance: Tolerance | None) -> None:
        """Show a tolerance."""
        amount = None if tolerance is None else tolerance.half_width
        if amount is not None:
            self._kind = self._kind_of(amount)
        self.set_amount(amount)

    @property
    def tolerance(self) -> Tolerance | None:
        """The tolerance that is held."""
        return None if self.amount is None else Tolerance(self.amount)

    def _kind_of(self, amount: Amount) -> Kind:
        if amount.unit == "%":
            return Kind.FRACTION
        fitting = (kind for kind in self._kinds if unit_named(kind, amount.unit) is not None)
        return next(fitting, Kind.FRACTION)

    def _parsed(self, text: str) -> Amount:
        """Read what was typed: a bare number goes on in the unit that was there, or in per cent."""
        decimal = self._reader.decimal
        problem: UserError | None = None
        for kind in (self._kind, Kind.FRACTION, *self._kinds):
            unit = self._unit() if kind is self._kind else None
            try:
                amount = parse(text, kind, default=unit, decimal=decimal)
            except UserError as error:
                problem = problem or error
                continue
            self._kind = kind
            return amount
        assert problem is not None
        raise problem
