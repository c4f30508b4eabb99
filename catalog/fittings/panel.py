"""Usual panel holes of round gauges, and the room behind them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from catalog.fittings.rows import basis_of, rows
from catalog.provenance import Basis
from catalog.threads.thread import INCH

COVERED = 3e-3
"""How far a rim reaches beyond the hole, either side [m] (common practice, no source)."""


@dataclass(frozen=True)
class PanelSize:
    """One usual size.

    Attributes
    ----------
    name : str
        As the trade says it: "2 1/16 in".
    hole, depth : float
        Diameter of the hole, and depth behind the panel with its terminals [m].
    basis : Basis
        Common practice, no source.
    """

    name: str
    hole: float
    depth: float
    basis: Basis


@cache
def panel_sizes() -> tuple[PanelSize, ...]:
    """Return the usual sizes, smallest first.

    Examples
    --------
    >>> [round(size.hole * 1e3, 1) for size in panel_sizes()]
    [50.8, 52.4, 66.7, 85.7]
    """
    return tuple(
        PanelSize(
            row["name"],
            float(row["inch"]) * INCH,
            float(row["depth_inch"]) * INCH,
            basis_of(row),
        )
        for row in rows("panel_sizes.csv")
    )
