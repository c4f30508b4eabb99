"""Copper conductors by size: their ohms per metre at 20 °C, from tables and by formula.

A plain "1.5 mm²" is the flexible stranded wire that vehicles and boats are wired with (IEC 60228
class 5, the table's greatest resistance). "AWG 16" is a solid round wire after ASTM B258.
"""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

from catalog.errors import user_error
from catalog.provenance import Basis, BasisKind
from catalog.quantities.numerals import shown

COPPER_RESISTIVITY = 1e-6 / 58.0
"""Resistivity of annealed copper at 20 °C [Ω·m] (IEC 60028:1925, IACS)."""

Make = Literal["flexible", "solid", "vehicle"]

_METRIC = re.compile(r"^\s*(?P<number>\d+(?:[.,]\d+)?)\s*(?:mm²|mm2|mm\^2|qmm)?\s*$", re.IGNORECASE)
_AWG = re.compile(r"^\s*(?:awg\s*(?P<after>\d{1,2})|(?P<before>\d{1,2})\s*awg)\s*$", re.IGNORECASE)
_THICKEST, _THINNEST = 0, 30


@dataclass(frozen=True)
class Conductor:
    """A size of copper wire.

    Attributes
    ----------
    size : str
        "1.5 mm²" or "AWG 16".
    area : float
        Nominal cross-section [m²].
    ohm_per_metre : float
        Greatest resistance at 20 °C after its table, or that of its formula [Ω/m].
    tinned_ohm_per_metre : float or None
        The same of tinned strands [Ω/m]; None where the table has none.
    basis : Basis
        Where that comes from.
    """

    size: str
    area: float
    ohm_per_metre: float
    tinned_ohm_per_metre: float | None
    basis: Basis

    @property
    def copper_ohm_per_metre(self) -> float:
        """Resistance of the nominal area in pure copper at 20 °C [Ω/m]."""
        return COPPER_RESISTIVITY / self.area


@cache
def metric(make: Make = "flexible") -> tuple[Conductor, ...]:
    """Return the metric sizes of one make, thinnest first."""
    found = []
    path = Path(__file__).with_name("metric.csv")
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["kind"] != make:
                continue
            kind = BasisKind.PUBLISHED if row["basis"] == "published" else BasisKind.MEMORY
            tinned = row["tinned_ohm_per_km"]
            found.append(
                Conductor(
                    f"{float(row['area_mm2']):g} mm²",
                    float(row["area_mm2"]) * 1e-6,
                    float(row["ohm_per_km"]) * 1e-3,
                    float(tinned) * 1e-3 if tinned else None,
                    Basis(kind, row["source"]),
                )
            )
    return tuple(found)


def awg(number: int) -> Conductor:
    """Return an American wire gauge size: d = 0.127 mm · 92^((36 − n)/39) (ASTM B258).

    Examples
    --------
    >>> round(awg(16).area * 1e6, 4), round(awg(16).ohm_per_metre * 1e3, 2)
    (1.3087, 13.17)
    """
    diameter = 0.127e-3 * 92.0 ** ((36 - number) / 39.0)
    area = math.pi / 4.0 * diameter**2
    basis = Basis(BasisKind.PUBLISHED, "ASTM B258, IACS copper")
    return Conductor(f"AWG {number}", area, COPPER_RESISTIVITY / area, None, basis)


def conductor(text: str) -> Conductor:
    """Return the conductor that a text names.

    Parameters
    ----------
    text : str
        "1.5 mm²", "1,5", "AWG 16" or "16 AWG".

    Raises
    ------
    UserError
        ``wire.unknown_size``, naming the nearest size there is.

    Examples
    --------
    >>> conductor("1,5 mm2").size, conductor("16 AWG").size
    ('1.5 mm²', 'AWG 16')
    """
    gauge = _AWG.match(text)
    if gauge is not None:
        number = int(gauge["after"] or gauge["before"])
        if _THICKEST <= number <= _THINNEST:
            return awg(number)
        raise user_error("wire.unknown_size", text=shown(text), nearest=f"AWG {_THINNEST}")
    named = _METRIC.match(text)
    if named is None:
        raise user_error("wire.unknown_size", text=shown(text), nearest="1.5 mm²")
    area = float(named["number"].replace(",", ".")) * 1e-6
    for one in metric():
        if math.isclose(one.area, area, rel_tol=1e-9):
            return one
    nearest = min(metric(), key=lambda one: abs(math.log(one.area / area)) if area else one.area)
    raise user_error("wire.unknown_size", text=shown(text), nearest=nearest.size)
