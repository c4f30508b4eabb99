"""What a user types into a step was measured by the user: figures with that basis."""

from __future__ import annotations

from catalog.provenance import Basis, BasisKind, Figure
from catalog.quantities.amounts import Amount

MEASURED = Basis(BasisKind.MEASURED)
"""Read where the parts are fitted."""

BENCH = Basis(BasisKind.MEASURED, "bench")
"""Read on a part that lies on the bench."""


def figure(amount: Amount | None, basis: Basis = MEASURED) -> Figure | None:
    """Return what was typed as a figure, None where the field was left empty."""
    return None if amount is None else Figure(amount, None, basis)
