"""What a supply does besides: test voltages, jump start, cranking, load dump, earth offset.

Where editions of ISO 16750-2 differ (jump start, reversed battery) there is a row of each. Rows
that an open catalogue of clauses restates say so: nobody here opened the standard itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from catalog.provenance import Basis
from catalog.supplies.codes import SYSTEMS, System
from catalog.supplies.rows import basis_of, table_rows


@dataclass(frozen=True)
class SupplyEvent:
    """Volts that a supply may take on for a while.

    Attributes
    ----------
    name : str
        "test voltage", "regulator failed", "jump start", "momentary drop", "cranking I" to
        "cranking IV", "load dump", "load dump held", "battery reversed" or "earth offset".
    system : str
        "6 V", "12 V" or "24 V".
    low, high : float
        From and to [V]; equal where there is one figure.
    seconds : float
        How long at most [s]; NaN where none is given or it lasts.
    basis : Basis
        Which edition, and how it was read.
    """

    name: str
    system: System
    low: float
    high: float
    seconds: float
    basis: Basis


@cache
def supply_events() -> tuple[SupplyEvent, ...]:
    """Return all events of the table."""
    return tuple(
        SupplyEvent(
            row["name"],
            SYSTEMS[row["system"]],
            float(row["low_v"]),
            float(row["high_v"]),
            float(row["seconds"]) if row["seconds"] else math.nan,
            basis_of(row),
        )
        for row in table_rows("events.csv")
    )


def events(name: str, system: System) -> tuple[SupplyEvent, ...]:
    """Return the rows of one event in one system, one an edition; empty where there is none.

    Examples
    --------
    >>> [one.high for one in events("jump start", "12 V")]
    [24.0, 26.0]
    """
    return tuple(one for one in supply_events() if (one.name, one.system) == (name, system))


def running_voltage(system: System) -> float:
    """Return U_A, the voltage at which equipment is tested with the engine running [V].

    Examples
    --------
    >>> running_voltage("12 V"), running_voltage("24 V")
    (14.0, 28.0)
    """
    return events("test voltage", system)[0].high
