"""Tables of the generic stock: rows of a file beside this module, each with source and tag."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from importlib import resources

from catalog.provenance import Basis, BasisKind


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a shipped table, column by name."""
    text = resources.files("catalog.fittings").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def basis_of(row: Mapping[str, str]) -> Basis:
    """Return the basis of a row: its tag is the name of a kind of basis."""
    return Basis(BasisKind(row["tag"]), row["source"])
