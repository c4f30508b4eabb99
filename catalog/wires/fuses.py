"""Ratings in which blade fuses of vehicles are sold."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from catalog.provenance import Basis
from catalog.wires.conductors import basis_of, table_rows


@dataclass(frozen=True)
class BladeFuse:
    """A blade fuse.

    Attributes
    ----------
    rating : float
        Rated current [A].
    basis : Basis
        Where the step comes from: from memory.
    """

    rating: float
    basis: Basis


@cache
def blade_fuses() -> tuple[BladeFuse, ...]:
    """Return the blade fuses, least rating first.

    Examples
    --------
    >>> [fuse.rating for fuse in blade_fuses()][:6], blade_fuses()[0].basis.kind.value
    ([1.0, 2.0, 3.0, 4.0, 5.0, 7.5], 'from memory')
    """
    return tuple(
        BladeFuse(float(row["rating_a"]), basis_of(row)) for row in table_rows("fuses.csv")
    )
