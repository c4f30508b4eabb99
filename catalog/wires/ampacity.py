"""What a wire may carry for good without its insulation growing too hot.

From the table for boats of 33 CFR 183.425, at 30 °C around the wire: a size takes the row of the
thickest tabled wire that is no thicker than itself. Two thinner rows, for metric sizes that the
table does not have, are from memory and assumed, and say so; that of 0.5 mm² is the row of
0.75 mm² times (0.5/0.75)^0.75, rounded down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from catalog.errors import BugError
from catalog.provenance import Basis
from catalog.wires.conductors import Conductor, basis_of, conductor, table_rows

INSULATIONS = (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0)
"""Temperatures that insulation is rated for, the columns of the table [°C]."""

TABLED_AT = 30.0
"""Temperature around the wire at which the table holds [°C]."""


@dataclass(frozen=True)
class Ampacity:
    """What a wire may carry for good.

    Attributes
    ----------
    amperes : float
        [A]; 0 where the place is as hot as the insulation may be.
    row : str
        Size whose row of the table that is.
    basis : Basis
        Where the row comes from.
    """

    amperes: float
    row: str
    basis: Basis


@dataclass(frozen=True)
class _Row:
    size: Conductor
    amperes: dict[float, float]
    basis: Basis


@cache
def _rows() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            conductor(row["size"]),
            {rated: float(row[f"{rated:g}"]) for rated in INSULATIONS},
            basis_of(row),
        )
        for row in table_rows("ampacity.csv")
    )


def hot_place_factor(insulation: float, around: float) -> float:
    """Return the share of its ampacity that a wire keeps in a hotter place.

    √((T_insulation − T)/(T_insulation − 30 °C)): heat goes with the square of the current, and
    the rise that is left with it (law of equal heating). 33 CFR 183.425, note 1, has 0.85 for
    insulation of 105 °C in an engine space of 50 °C.

    Parameters
    ----------
    insulation, around : float
        Rating of the insulation, above 30, and temperature of the place [°C].

    Returns
    -------
    float
        0 to 1 [1]; a place colder than 30 °C gains nothing.

    Examples
    --------
    >>> round(hot_place_factor(105.0, 50.0), 2), hot_place_factor(60.0, 60.0)
    (0.86, 0.0)
    """
    left = max(insulation - around, 0.0)
    return min(math.sqrt(left / (insulation - TABLED_AT)), 1.0)


def ampacity(wire: Conductor, insulation: float = 60.0, around: float = 30.0) -> Ampacity | None:
    """Return what a wire may carry for good; None where it is thinner than every tabled one.

    Parameters
    ----------
    wire : Conductor
        Its size.
    insulation : float
        Rating of its insulation [°C], one of `INSULATIONS`; the lowest where nobody knows it.
    around : float
        Temperature of the place [°C].

    Raises
    ------
    BugError
        For an insulation that has no column.

    Notes
    -----
    Tests: ``tests/published/test_wires.py``.

    Examples
    --------
    >>> ampacity(conductor("AWG 16"), 105.0).amperes, ampacity(conductor("1.5 mm²")).row
    (25.0, 'AWG 16')
    """
    if insulation not in INSULATIONS:
        raise BugError(f"no column for insulation of {insulation} °C")
    held = [row for row in _rows() if row.size.area <= wire.area * (1.0 + 1e-9)]
    if not held:
        return None
    row = max(held, key=lambda one: one.size.area)
    amperes = row.amperes[insulation] * hot_place_factor(insulation, around)
    return Ampacity(amperes, row.size.size, row.basis)
