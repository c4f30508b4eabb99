"""A line edit for a tolerance: a share of the number, or an amount of the number's own kind."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from catalog.errors import UserError, user_error
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, unit_named
from catalog.quantities.parse import parse
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.quantity_edit import QuantityEdit

_OTHER_UNIT = frozenset({"unit.wrong_kind", "unit.unknown"})
"""What the parser says of a unit that another kind may have."""


class ToleranceEdit(QuantityEdit):
    """Holds half a width: "5 %", or "2 Ω" where the number is in ohms.

    Parameters
    ----------
    reader : Reader
        Units and decimal mark.
    name : str
        Accessible name.
    """

    def __init__(self, reader: Reader, name: str, parent: QWidget | None = None) -> None:
        super().__init__(Kind.FRACTION, reader, name, optional=True, parent=parent)
        self._kinds: tuple[Kind, ...] = (Kind.FRACTION,)

    def set_kinds(self, *own: Kind) -> None:
        """Take amounts of these kinds too, besides a share."""
        self._kinds = (Kind.FRACTION, *own)

    def set_amount(self, amount: Amount | None) -> None:
        """Show an amount of any of its kinds."""
        self._kind = self._kind_of(amount)
        super().set_amount(amount)

    def _kind_of(self, amount: Amount | None) -> Kind:
        if amount is None:
            return Kind.FRACTION
        named = (kind for kind in self._kinds if unit_named(kind, amount.unit) is not None)
        return next(named, Kind.FRACTION)

    def _parsed(self, text: str) -> Amount:
        """Read the text as the kind that its unit belongs to; a bare number is as before."""
        first: UserError | None = None
        for kind in (self._kind, *(one for one in self._kinds if one is not self._kind)):
            default = self._unit() if kind is self._kind else None
            try:
                amount = parse(text, kind, default=default, decimal=self._reader.decimal)
            except UserError as error:
                if error.messages[0].key not in _OTHER_UNIT:
                    first = first or error
                continue
            if amount.number < 0.0:
                raise user_error("tolerance.negative", text=text)
            self._kind = kind
            return amount
        raise first or user_error("tolerance.unit", text=text)
