"""Supply ranges of road vehicles by their code (ISO 16750-2), and that of 6 V systems."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from catalog.provenance import Basis
from catalog.supplies.rows import basis_of, table_rows

System = Literal["6 V", "12 V", "24 V"]
SYSTEMS: dict[str, System] = {"6 V": "6 V", "12 V": "12 V", "24 V": "24 V"}


@dataclass(frozen=True)
class SupplyRange:
    """Volts between which a code says that equipment has to work.

    Attributes
    ----------
    code : str
        "A" to "D" in 12 V systems, "E" to "H" in 24 V systems; empty in 6 V systems, for which
        the standard has none.
    system : str
        "6 V", "12 V" or "24 V".
    low, high : float
        Lowest and highest supply [V].
    basis : Basis
        Where the figures come from.
    """

    code: str
    system: System
    low: float
    high: float
    basis: Basis


_RANGES = tuple(
    SupplyRange(
        row["code"],
        SYSTEMS[row["system"]],
        float(row["low_v"]),
        float(row["high_v"]),
        basis_of(row),
    )
    for row in table_rows("codes.csv")
)

SUPPLY_CODES = tuple(one for one in _RANGES if one.code)
"""The ranges that have a code."""

SIX_VOLTS = next(one for one in _RANGES if one.system == "6 V")
"""Range of a 6 V system with its engine running (common practice, no source)."""


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
