"""Tables of supplies: rows of a file beside this module, each with source and basis."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from importlib import resources

from catalog.provenance import Basis, BasisKind


def table_rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a table, column by name."""
    text = resources.files("catalog.supplies").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def basis_of(row: Mapping[str, str]) -> Basis:
    """Return the basis of a row: its source, and how it is known."""
    return Basis(BasisKind(row["basis"]), row["source"])
