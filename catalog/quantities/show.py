"""The one formatter: SI numbers in the reader's unit, decimal mark and resolution.

What it writes, ``catalog.quantities.parse`` reads back. It must not know languages: the word
for an unknown number comes with the style.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal

from catalog.errors import BugError
from catalog.quantities.amounts import Amount, plain
from catalog.quantities.kinds import DIFFERENCE, Kind, Unit, default_unit, unit_named
from catalog.quantities.numerals import DecimalMark

_MINUS = "\u2212"
_NBSP = "\u00a0"
_BASE = {of_two: kind for kind, of_two in DIFFERENCE.items()}
_SIGNIFICANT = 4
_FINEST = Decimal("1e-9")
_ROUNDED_FROM = 1e15  # above, four digits and an exponent: zeros that long are not read


@dataclass(frozen=True)
class NumberStyle:
    """How a reader wants numbers.

    Attributes
    ----------
    decimal : "." or ","
        Decimal mark.
    units : mapping of Kind to str
        Symbol of the preferred unit of a kind; a kind left out is shown in its usual unit.
        Differences follow the kind that they are a difference of.
    nbsp : bool
        Whether a no-break space, not a plain one, stands before the unit.
    unknown : str
        The word for a number that nobody knows.
    """

    decimal: DecimalMark = "."
    units: Mapping[Kind, str] = field(default_factory=dict)
    nbsp: bool = True
    unknown: str = "unknown"


def show(
    value_si: float,
    kind: Kind,
    style: NumberStyle,
    *,
    step: float | None = None,
    sign: bool = False,
    unit: bool = True,
) -> str:
    """Write an SI value in the reader's unit, rounded to what can be read off.

    Parameters
    ----------
    value_si : float
        Value [SI unit of `kind`, °C for temperatures].
    kind : Kind
        What is measured.
    style : NumberStyle
        The reader's unit and decimal mark.
    step : float, optional
        Resolution [unit shown], positive; the unit's usual one when left out. Units without
        one show four significant digits without closing zeros, not finer than 1e-9.
    sign : bool
        Whether a positive number gets a plus sign.
    unit : bool
        Whether the unit follows the number.

    Returns
    -------
    str
        The number and its unit. NaN gives the style's word for unknown, infinity ∞ or −∞,
        neither with a unit. Ohms of 10 000 and more are shown in kΩ, of 10 000 000 and more
        in MΩ, where the unit follows and the reader prefers none. Half a step is rounded away
        from zero.

    Raises
    ------
    BugError
        Where the style prefers a unit that is none of the kind's.

    Notes
    -----
    Tests: ``tests/catalog/quantities/test_show.py``.

    Examples
    --------
    >>> comma = NumberStyle(",", {Kind.PRESSURE: "psi"}, nbsp=False)
    >>> show(310264.078, Kind.PRESSURE, comma), show(-6894.757, Kind.PRESSURE_DIFFERENCE, comma)
    ('45,0 psi', '−1,0 psi')
    >>> show(12_000.0, Kind.RESISTANCE, comma), show(33.0, Kind.RESISTANCE, comma)
    ('12 kΩ', '33 Ω')
    """
    if math.isnan(value_si):
        return style.unknown
    shown_unit = preferred(kind, style)
    number = _in(value_si, shown_unit)
    if kind is Kind.RESISTANCE and unit and not style.units.get(kind):
        shown_unit = _readable_ohms(value_si)
        number = _in(value_si, shown_unit)
    if math.isinf(number):
        return "∞" if number > 0 else f"{_MINUS}∞"
    digits = _digits(number, shown_unit.step if step is None else step)
    if sign and not digits.startswith("-") and any(c in "123456789" for c in digits):
        digits = f"+{digits}"
    written = _marked(digits, style)
    return f"{written}{_gap(shown_unit.symbol, style)}{shown_unit.symbol}" if unit else written


def show_digits(value_si: float, kind: Kind, style: NumberStyle, digits: int) -> str:
    """Write an SI value in the reader's unit with so many digits, zeros among them told.

    Parameters
    ----------
    value_si : float
        Value [SI unit of `kind`, °C for temperatures].
    kind, style : Kind, NumberStyle
        As of `show`.
    digits : int
        Digits from the first that is no zero on, at least 1.

    Examples
    --------
    >>> plain = NumberStyle(nbsp=False)
    >>> show_digits(0.02387, Kind.LENGTH, plain, 2), show_digits(0.5, Kind.CURRENT, plain, 2)
    ('24 mm', '500 mA')
    """
    number = _in(value_si, preferred(kind, style))
    if kind is Kind.RESISTANCE and not style.units.get(kind):
        number = _in(value_si, _readable_ohms(value_si))
    if not math.isfinite(number) or number == 0.0:
        return show(value_si, kind, style)
    first = math.floor(math.log10(float(f"{abs(number):.{digits - 1}e}")))
    return show(value_si, kind, style, step=10.0 ** (first - digits + 1))


def show_amount(amount: Amount, style: NumberStyle, kind: Kind | None = None) -> str:
    """Write an amount: as typed, or in the reader's unit where one is preferred.

    Parameters
    ----------
    amount : Amount
        The amount.
    style : NumberStyle
        The reader's unit and decimal mark.
    kind : Kind, optional
        What is measured; without it no preference can apply.

    Returns
    -------
    str
        Every digit that was typed, in the unit that was typed; or, where the reader prefers
        another unit, the converted number rounded as ``show`` does.

    Examples
    --------
    >>> style = NumberStyle(",", {Kind.PRESSURE: "bar"}, nbsp=False)
    >>> show_amount(Amount(4.125, "bar"), style, Kind.PRESSURE)
    '4,125 bar'
    >>> show_amount(Amount(60.0, "psi"), style, Kind.PRESSURE)
    '4,14 bar'
    """
    if kind is not None and _preference(kind, style) not in (None, amount.unit):
        return show(amount.si(kind), kind, style)
    number = amount.number
    readable = 1e-9 <= abs(number) < _ROUNDED_FROM
    digits = format(Decimal(repr(float(number))).normalize(), "f") if readable else plain(number)
    return f"{_marked(digits, style)}{_gap(amount.unit, style)}{amount.unit}"


def preferred(kind: Kind, style: NumberStyle) -> Unit:
    """Return the unit in which a kind is shown to a reader of this style.

    Differences are shown in the unit of the kind itself, temperature differences in °C or °F
    with the temperatures.

    Examples
    --------
    >>> preferred(Kind.TEMPERATURE_DIFFERENCE, NumberStyle()).symbol
    '°C'
    """
    symbol = _preference(kind, style) or default_unit(_BASE.get(kind, kind)).symbol
    unit = unit_named(kind, symbol)
    if unit is None:
        raise BugError(f"{symbol!r} is no unit of {kind.value}")
    return unit


def _preference(kind: Kind, style: NumberStyle) -> str | None:
    return style.units.get(kind) or style.units.get(_BASE.get(kind, kind))


def _in(value_si: float, unit: Unit) -> float:
    return (value_si - unit.offset) / unit.factor


def _readable_ohms(value: float) -> Unit:
    """Return Ω, kΩ or MΩ for a resistance, judged after rounding (9999.9 Ω is 10 kΩ)."""
    size = abs(float(f"{value:.{_SIGNIFICANT}g}"))
    symbol = "Ω" if size < 1e4 else "kΩ" if size < 1e7 else "MΩ"
    unit = unit_named(Kind.RESISTANCE, symbol)
    assert unit is not None
    return unit


def _digits(number: float, step: float) -> str:
    """Round to the step, or to four significant digits where it is 0; a point, no exponent."""
    # Conversion leaves noise behind the 12th digit, which must not decide a half step.
    exact = Decimal(f"{number:.12g}")
    if abs(number) >= _ROUNDED_FROM:
        return f"{number:.{_SIGNIFICANT - 1}e}"
    if step > 0.0:
        unit = Decimal(repr(step)).normalize()
        rounded = (exact / unit).quantize(Decimal(1), ROUND_HALF_UP) * unit
        places = max(0, -int(unit.as_tuple().exponent))
        digits = f"{rounded:.{places}f}"
    else:
        place = Decimal(1).scaleb(exact.adjusted() - _SIGNIFICANT + 1) if exact else Decimal(1)
        rounded = exact.quantize(max(place, _FINEST), ROUND_HALF_UP)
        digits = format(rounded, "f")
        digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return digits.removeprefix("-") if rounded == 0 else digits


def _marked(digits: str, style: NumberStyle) -> str:
    return digits.replace("-", _MINUS).replace(".", style.decimal)


def _gap(symbol: str, style: NumberStyle) -> str:
    if symbol == "°":
        return ""
    return _NBSP if style.nbsp else " "
