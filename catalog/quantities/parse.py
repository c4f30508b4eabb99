"""The one parser for all that is typed: a number, then a unit of the kind that is wanted.

Files are read with it too (``decimal="."``). It must not know where the text came from: the
caller adds the field or the row to the message.
"""

from __future__ import annotations

import math
import re

from catalog.errors import BugError, UserError, user_error
from catalog.message import Message, message
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import (
    Kind,
    Unit,
    default_unit,
    unit_in_other_case,
    unit_named,
    usual_symbols,
)
from catalog.quantities.numerals import DecimalMark, Numeral, read, shown

_PRESSURES = frozenset({Kind.PRESSURE, Kind.PRESSURE_DIFFERENCE})
_SHARES = frozenset({Kind.LEVEL, Kind.LEVEL_DIFFERENCE, Kind.FRACTION})

_VACUUM = re.compile(r"(.*?)[ (]*vac(?:uum)?[.)]*", re.IGNORECASE)
_ABSOLUTE = re.compile(r"(.*?)[ (]*abs(?:olute)?[.)]*", re.IGNORECASE)
_SUFFIX = re.compile(r"(.*?) ?(?:\((?P<bracketed>[ag])\)|(?P<bare>[ag])|gauge)", re.IGNORECASE)

# Measures of two countries under one name; Pint would silently take the American one.
_TWO_COUNTRIES = frozenset({"gal", "gallon", "qt", "quart", "pt", "pint", "floz", "fluidounce"})


def parse(
    text: str,
    kind: Kind,
    *,
    default: str | None = None,
    decimal: DecimalMark | None = None,
) -> Amount:
    """Read a typed number with its unit as an amount of `kind`.

    Parameters
    ----------
    text : str
        What was typed, 64 characters at most: ``"4.7k"``, ``"4,7 kΩ"``, ``"4k7"``,
        ``"45 psi"``, ``"2 1/16 in"``, ``"1/2"`` (a level), ``"18 inHg vac"``.
    kind : Kind
        What is measured.
    default : str, optional
        Symbol of the unit of a bare number; the kind's usual unit when left out.
    decimal : "." or ",", optional
        The reader's decimal mark, needed only for the other mark before exactly three digits
        (``"1,000"``). A point when left out; files are read with a point.

    Returns
    -------
    Amount
        A finite number [in the unit typed]; a unit outside ``UNITS`` is converted to the
        kind's usual one. Vacuum is negative gauge pressure.

    Raises
    ------
    UserError
        With one message that quotes the text, says what is wrong and what to write; no other
        exception for any text. BugError where `default` is no unit of `kind`.

    Notes
    -----
    A bare level, share or difference of levels above 0 and up to 1 could mean the whole or
    per cent and is refused, unless `default` says that a bare number is in per cent.
    Tests: ``tests/catalog/quantities/test_parse.py``.

    Examples
    --------
    >>> parse("4k7", Kind.RESISTANCE), parse("45 psi", Kind.PRESSURE)
    (Amount(number=4.7, unit='kΩ'), Amount(number=45.0, unit='psi'))
    >>> parse("18 inHg vac", Kind.PRESSURE), parse("1/2", Kind.LEVEL)
    (Amount(number=-18.0, unit='inHg'), Amount(number=50.0, unit='%'))
    >>> parse("1,000 ohm", Kind.RESISTANCE, decimal=",")
    Amount(number=1.0, unit='Ω')
    """
    bare = default_unit(kind) if default is None else unit_named(kind, default)
    if bare is None:
        raise BugError(f"{default!r} is no unit of {kind.value}")
    numeral = read(text, rkm=kind is Kind.RESISTANCE, decimal=decimal)
    if not numeral.unit:
        amount = _bare(text, numeral, kind, bare, stated=default is not None)
    elif kind in _PRESSURES:
        amount = _pressure(text, numeral, kind, bare)
    else:
        amount = _with_unit(text, numeral.value, numeral.unit, kind)
    if not (math.isfinite(amount.number) and math.isfinite(amount.si(kind))):
        raise user_error("number.range", text=shown(text))
    return amount


def _bare(text: str, numeral: Numeral, kind: Kind, unit: Unit, *, stated: bool) -> Amount:
    if kind not in _SHARES:
        return Amount(numeral.value, unit.symbol)
    if numeral.fraction:
        return Amount(_neat(numeral.value / unit.factor), unit.symbol)
    if 0.0 < abs(numeral.value) <= 1.0 and not stated:
        raise user_error(
            "number.share",
            text=shown(text),
            whole=str(Amount(_neat(100.0 * numeral.value), "%")),
            part=str(Amount(numeral.value, "%")),
        )
    return Amount(numeral.value, unit.symbol)


def _neat(number: float) -> float:
    """Round to 15 digits, so that 100 × 0.07 is written 7."""
    return float(f"{number:.15g}")


def _pressure(text: str, numeral: Numeral, kind: Kind, bare: Unit) -> Amount:
    """Read a pressure, which may be said to be a vacuum, gauge or absolute."""
    unit = numeral.unit
    if _is_absolute(unit, kind):
        raise user_error("unit.absolute", text=shown(text))
    vacuum = _VACUUM.fullmatch(unit) if kind is Kind.PRESSURE else None
    if vacuum is None:
        return _with_unit(text, numeral.value, _without_gauge(unit, kind), kind)
    if numeral.value < 0.0:
        raise user_error("number.negative_vacuum", text=shown(text))
    base = _without_gauge(vacuum[1].rstrip(), kind)
    amount = (
        _with_unit(text, numeral.value, base, kind) if base else Amount(numeral.value, bare.symbol)
    )
    return Amount(0.0 - amount.number, amount.unit)


def _is_absolute(unit: str, kind: Kind) -> bool:
    if _ABSOLUTE.fullmatch(unit):
        return True
    return _suffix(unit, kind, "a") is not None


def _without_gauge(unit: str, kind: Kind) -> str:
    base = _suffix(unit, kind, "g")
    return unit if base is None else base


def _suffix(unit: str, kind: Kind, letter: str) -> str | None:
    """Return a usual unit without the letter behind it that says gauge or absolute."""
    match = None if unit_named(kind, unit) else _SUFFIX.fullmatch(unit)
    if match is None or unit_named(kind, match[1]) is None:
        return None
    said = match["bracketed"] or match["bare"] or "g"
    return match[1] if said.lower() == letter else None


def _with_unit(text: str, number: float, typed: str, kind: Kind) -> Amount:
    unit = unit_named(kind, typed) or unit_named(kind, typed.rstrip("."))
    if unit is not None:
        return Amount(number, unit.symbol)
    if kind is Kind.RESISTANCE and typed == "m":
        raise user_error("unit.lone_m", text=shown(text))
    meant = unit_in_other_case(kind, typed)
    if meant is not None:
        raise user_error("unit.case", text=shown(text), unit=typed, meant=meant.symbol)
    folded = "".join(typed.split()).casefold().rstrip(".s")
    if kind is Kind.VOLUME and folded in _TWO_COUNTRIES:
        raise user_error("unit.two_countries", text=shown(text), unit=shown(typed))
    if any(unit_named(other, typed) for other in Kind):
        raise _refused("unit.wrong_kind", text, typed, kind)
    return _foreign(text, number, typed, kind)


def _foreign(text: str, number: float, typed: str, kind: Kind) -> Amount:
    from catalog.quantities import foreign  # Pint: 0.7 s, only where such a unit is typed

    factors = foreign.known(typed)
    if factors is None:
        raise _refused("unit.unknown", text, typed, kind)
    value = foreign.in_default_unit(number, factors, kind)
    if value is None:
        raise _refused("unit.wrong_kind", text, typed, kind)
    return Amount(float(f"{value:.12g}") + 0.0, default_unit(kind).symbol)


def _refused(key: str, text: str, typed: str, kind: Kind) -> UserError:
    return user_error(
        key,
        text=shown(text),
        unit=shown(typed),
        kind=kind_name(kind),
        units=usual_symbols(kind),
    )


def kind_name(kind: Kind) -> Message:
    """Return the message that names a kind in the reader's language.

    Examples
    --------
    >>> kind_name(Kind.LEVEL_DIFFERENCE).key
    'kind.level_difference'
    """
    return message(f"kind.{kind.name.lower()}")
