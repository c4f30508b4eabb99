"""What a user types into a step: measured where it is asked for so, else only entered."""

from __future__ import annotations

from catalog.provenance import UNSTATED, Basis, BasisKind, Figure
from catalog.quantities.amounts import Amount

MEASURED = Basis(BasisKind.MEASURED)
"""Read where the parts are fitted."""

ENTERED = UNSTATED
"""Typed, and nobody asked how it is known: read off a bulb, a label, a data sheet."""

BENCH = Basis(BasisKind.MEASURED, "bench")
"""Read on a part that lies on the bench."""


def figure(amount: Amount | None, basis: Basis = MEASURED) -> Figure | None:
    """Return what was typed as a figure, None where the field was left empty."""
    return None if amount is None else Figure(amount, None, basis)
