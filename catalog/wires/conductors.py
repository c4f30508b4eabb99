"""Copper conductors by size: their ohms per metre at 20 °C, from tables and by formula.

A plain "1.5 mm²" is the flexible stranded wire that vehicles and boats are wired with, since
solid and coarse strands break where an engine shakes them: IEC 60228 class 5, the greatest
resistance that its table allows, in boats the column of tinned strands. Of the sizes that only
the vehicle table has (0.22, 0.35, 2 and 3 mm²) it is that table's, from memory. "AWG 16" is a
solid round wire of pure copper after ASTM B258: what the formula gives, no greatest value.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

from catalog.errors import UserError, user_error
from catalog.provenance import Basis, BasisKind
from catalog.quantities.numerals import LONGEST, cleaned, read, shown
from catalog.wires.copper import COLD, COPPER_RESISTIVITY, heat_factor

Make = Literal["flexible", "solid", "vehicle"]

_THICKEST, _THINNEST = -3, 30
_AREA_UNITS = frozenset({"mm2", "mm^2", "sqmm", "qmm", "mmq"})
_AWG = re.compile(r"awg(?:-| ?)(?P<after>\S+)|(?P<before>\S+?)(?:-| ?)awg", re.IGNORECASE)
_AUGHTS = re.compile(r"(?:([1-4])/0|(0{1,4}))")
_NO_NUMBER = frozenset({"number.none", "number.empty"})


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
        Resistance at 20 °C [Ω/m]: the greatest that its table allows, or that of its formula.
    tinned_ohm_per_metre : float or None
        The same of tinned strands [Ω/m]; None where the table has none.
    basis : Basis
        Where that comes from.
    greatest : bool
        Whether that is a greatest value; a formula's is that of the bare copper, and real
        strands have more.
    """

    size: str
    area: float
    ohm_per_metre: float
    tinned_ohm_per_metre: float | None
    basis: Basis
    greatest: bool = True

    @property
    def copper_ohm_per_metre(self) -> float:
        """Resistance of the nominal area in pure copper at 20 °C [Ω/m]."""
        return COPPER_RESISTIVITY / self.area

    def ohms(self, length: float, temperature: float = COLD, *, tinned: bool = False) -> float:
        """Return the resistance of a length: R20·ℓ·(1 + α·(T − 20 °C)).

        Parameters
        ----------
        length : float
            Of the wire, one way [m], at least 0.
        temperature : float
            Of the copper [°C].
        tinned : bool
            Whether its strands are tinned; where its table has no such column the plain one
            counts.

        Examples
        --------
        >>> wire = conductor("0.5 mm²")
        >>> round(wire.ohms(5.0), 4), round(wire.ohms(5.0, 85.0), 4)
        (0.195, 0.2448)
        """
        plain = self.tinned_ohm_per_metre is None or not tinned
        per_metre = self.ohm_per_metre if plain else self.tinned_ohm_per_metre
        assert per_metre is not None
        return per_metre * length * heat_factor(temperature)


def table_rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a table beside this module, column by name."""
    text = resources.files("catalog.wires").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def basis_of(row: Mapping[str, str]) -> Basis:
    """Return the basis of a row: its source, and how it is known."""
    return Basis(BasisKind(row["basis"]), row["source"])


@cache
def metric(make: Make = "flexible") -> tuple[Conductor, ...]:
    """Return the metric sizes of one make, thinnest first.

    Parameters
    ----------
    make : str
        "flexible": IEC 60228 class 5 and 6; "solid": class 1 and 2; "vehicle": ISO 6722-1,
        all but one row of it from memory.
    """
    return tuple(
        Conductor(
            f"{float(row['area_mm2']):g} mm²",
            float(row["area_mm2"]) * 1e-6,
            float(row["ohm_per_km"]) * 1e-3,
            float(row["tinned_ohm_per_km"]) * 1e-3 if row["tinned_ohm_per_km"] else None,
            basis_of(row),
        )
        for row in table_rows("metric.csv")
        if row["kind"] == make
    )


def awg(number: int) -> Conductor:
    """Return an American wire gauge size: d = 0.127 mm · 92^((36 − n)/39) (ASTM B258).

    Parameters
    ----------
    number : int
        n, from −3 for AWG 4/0 to 30.

    Examples
    --------
    >>> round(awg(16).area * 1e6, 4), round(awg(16).ohm_per_metre * 1e3, 2), awg(-1).size
    (1.3087, 13.17, 'AWG 2/0')
    """
    diameter = 0.127e-3 * 92.0 ** ((36 - number) / 39.0)
    area = math.pi / 4.0 * diameter**2
    basis = Basis(BasisKind.PUBLISHED, "ASTM B258 formula, IACS copper")
    return Conductor(_awg_name(number), area, COPPER_RESISTIVITY / area, None, basis, False)


def _awg_name(number: int) -> str:
    return f"AWG {number}" if number > 0 else f"AWG {1 - number}/0"


def conductor(text: str) -> Conductor:
    """Return the conductor that a text names.

    Parameters
    ----------
    text : str
        "1.5 mm²", "1,5", "AWG 16", "16 AWG" or "AWG 2/0". A bare whole number might be either
        and is refused.

    Raises
    ------
    UserError
        ``wire.unknown_size``, naming the nearest size there is; ``wire.which_size`` for a bare
        whole number; else what the parser of numbers says.

    Notes
    -----
    Tests: ``tests/catalog/wires/test_conductors.py``.

    Examples
    --------
    >>> conductor("1,5 mm2").size, conductor("16 AWG").size, conductor("1.5").size
    ('1.5 mm²', 'AWG 16', '1.5 mm²')
    """
    gauge = _AWG.fullmatch(cleaned(text)) if len(text) <= LONGEST else None
    if gauge is not None:
        return _gauge_size(text, gauge["after"] or gauge["before"])
    return _metric_size(text)


def _unknown(text: str, nearest: str) -> UserError:
    return user_error("wire.unknown_size", text=shown(text), nearest=nearest)


def _gauge_size(text: str, typed: str) -> Conductor:
    aughts = _AUGHTS.fullmatch(typed)
    if aughts is not None:
        return awg(1 - (int(aughts[1]) if aughts[1] else len(aughts[2])))
    if not re.fullmatch(r"-?[0-9]+", typed):
        raise _unknown(text, "AWG 16")
    number = int(typed)
    if 0 < number <= _THINNEST:
        return awg(number)
    raise _unknown(text, _awg_name(min(max(number, _THICKEST), _THINNEST)))


def _metric_size(text: str) -> Conductor:
    try:
        numeral = read(text)
    except UserError as error:
        if error.messages[0].key in _NO_NUMBER:
            raise _unknown(text, "1.5 mm²") from None
        raise
    unit = "".join(numeral.unit.split()).casefold().rstrip(".")
    if unit and unit not in _AREA_UNITS:
        raise _unknown(text, "1.5 mm²")
    if not unit and numeral.value == int(numeral.value) and 0 < numeral.value <= _THINNEST:
        number = int(numeral.value)
        raise user_error(
            "wire.which_size", text=shown(text), metric=f"{number} mm²", gauge=f"AWG {number}"
        )
    area = numeral.value * 1e-6
    sizes = {round(one.area * 1e9): one for one in (*metric("vehicle"), *metric())}
    for one in sizes.values():
        if math.isclose(one.area, area, rel_tol=1e-9):
            return one
    if area <= 0.0:
        raise _unknown(text, min(sizes.values(), key=lambda one: one.area).size)
    nearest = min(sizes.values(), key=lambda one: abs(math.log(one.area / area)))
    raise _unknown(text, nearest.size)
