"""Supply ranges of road vehicles by their code (ISO 16750-2:2010, tables 1 and 2)."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.provenance import Basis, BasisKind


@dataclass(frozen=True)
class SupplyRange:
    """Volts between which a code says that equipment has to work.

    Attributes
    ----------
    code : str
        "A" to "D" in 12 V systems, "E" to "H" in 24 V systems.
    system : str
        "12 V" or "24 V".
    low, high : float
        Lowest and highest supply [V].
    """

    code: str
    system: str
    low: float
    high: float

    @property
    def basis(self) -> Basis:
        """Where the figures come from."""
        return Basis(BasisKind.PUBLISHED, "ISO 16750-2:2010, tables 1 and 2")


SUPPLY_CODES = (
    SupplyRange("A", "12 V", 6.0, 16.0),
    SupplyRange("B", "12 V", 8.0, 16.0),
    SupplyRange("C", "12 V", 9.0, 16.0),
    SupplyRange("D", "12 V", 10.5, 16.0),
    SupplyRange("E", "24 V", 10.0, 32.0),
    SupplyRange("F", "24 V", 16.0, 32.0),
    SupplyRange("G", "24 V", 22.0, 32.0),
    SupplyRange("H", "24 V", 18.0, 32.0),
)


def supply_code(code: str) -> SupplyRange:
    """Return the range of a code.

    Raises
    ------
    KeyError
        For a code that is none.

    Examples
    --------
    >>> supply_code("C").low, supply_code("C").high
    (9.0, 16.0)
    """
    return {one.code: one for one in SUPPLY_CODES}[code]
