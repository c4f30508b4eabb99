"""A number with the unit in which the user typed it, so that nothing typed is lost."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import BugError
from catalog.quantities.kinds import Kind, default_unit, unit_named


@dataclass(frozen=True)
class Amount:
    """A number and the symbol of its unit, as typed; the kind is known by the field it fills.

    Attributes
    ----------
    number : float
        The number as typed, finite.
    unit : str
        Symbol of a unit in ``catalog.quantities.kinds.UNITS``.
    """

    number: float
    unit: str

    def si(self, kind: Kind) -> float:
        """Return the value in the SI unit of `kind` (°C for temperatures).

        Raises BugError when the unit does not belong to the kind: parsing has ruled it out.

        Examples
        --------
        >>> Amount(60, "psi").si(Kind.PRESSURE)
        413685.4375901017
        """
        unit = unit_named(kind, self.unit)
        if unit is None:
            raise BugError(f"{self.unit!r} is no unit of {kind.value}")
        return self.number * unit.factor + unit.offset

    def __str__(self) -> str:
        """Write the amount the way files hold it, exact: ``"4.1 bar"``."""
        return f"{plain(self.number)} {self.unit}"


def plain(number: float) -> str:
    """Write a float shortest and exact, with a point, no exponent where it is readable.

    Examples
    --------
    >>> plain(33.0), plain(0.1), plain(1e-9)
    ('33', '0.1', '1e-09')
    """
    if math.isfinite(number) and number == int(number) and abs(number) < 1e15:
        return str(int(number))
    return repr(float(number))


def of_si(value: float, kind: Kind, symbol: str | None = None) -> Amount:
    """Express an SI value in a unit, rounded to the 12 digits that the conversion keeps.

    Parameters
    ----------
    value : float
        Value in the SI unit of `kind`.
    kind : Kind
        What is measured.
    symbol : str, optional
        Unit symbol; the kind's usual unit when left out.

    Examples
    --------
    >>> of_si(310264.07819257623, Kind.PRESSURE, "psi")
    Amount(number=45.0, unit='psi')
    """
    unit = default_unit(kind) if symbol is None else unit_named(kind, symbol)
    if unit is None:
        raise BugError(f"{symbol!r} is no unit of {kind.value}")
    number = (value - unit.offset) / unit.factor
    return Amount(float(f"{number:.12g}"), unit.symbol)
