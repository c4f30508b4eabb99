"""Where a number comes from and how far it may be off."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, unit_named


class BasisKind(Enum):
    """How a number is known, most trustworthy first."""

    MEASURED = "measured"
    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    MEMORY = "from memory"
    ASSUMED = "assumed"
    UNSTATED = "unstated"


@dataclass(frozen=True)
class Basis:
    """Where a number comes from.

    Attributes
    ----------
    kind : BasisKind
        How it is known.
    source : str
        The standard, handbook, file or instrument; empty where there is none.
    """

    kind: BasisKind = BasisKind.UNSTATED
    source: str = ""


UNSTATED = Basis()
"""Nobody said where the number comes from."""


@dataclass(frozen=True)
class Tolerance:
    """How far a number may be off, either way.

    Attributes
    ----------
    half_width : Amount
        In per cent of the number (unit ``"%"``) or in a unit of the number's own kind.
    """

    half_width: Amount

    def si(self, nominal: float, kind: Kind) -> float:
        """Return the half width in the SI unit of `kind` at the SI value `nominal`."""
        if self.half_width.unit == "%" and unit_named(kind, "%") is None:
            return abs(nominal) * self.half_width.number / 100.0
        return abs(self.half_width.si(kind))


@dataclass(frozen=True)
class Figure:
    """One number of a part with what is known of it.

    Attributes
    ----------
    amount : Amount
        The number with its unit.
    tolerance : Tolerance or None
        None where nobody knows it.
    basis : Basis
        Where the number comes from.
    """

    amount: Amount
    tolerance: Tolerance | None = None
    basis: Basis = UNSTATED

    def si(self, kind: Kind) -> float:
        """Return the number in the SI unit of `kind`."""
        return self.amount.si(kind)
