"""Numbers and quantities in the cells of a file: written for a spreadsheet, read from one."""

from __future__ import annotations

import re
from dataclasses import dataclass

from catalog.errors import user_error
from catalog.exchange.columns import Column
from catalog.parts.fields import SIGNAL_KINDS
from catalog.quantities.amounts import plain
from catalog.quantities.kinds import Kind, Unit, unit_named
from catalog.quantities.numerals import LONGEST, DecimalMark, read, shown
from catalog.quantities.parse import parse
from catalog.tables import BARE

_AMOUNT = re.compile(r"(-?[\d.]+(?:e[-+]?\d+)?) (.*)", re.DOTALL)
_THOUSANDS = re.compile(r"-?[1-9]\d{0,2},\d{3}")


def number_text(number: float, decimal: DecimalMark) -> str:
    """Write a number so that it can be read in one way only.

    Examples
    --------
    >>> number_text(158.2, ","), number_text(1.234, ","), number_text(1.234, ".")
    ('158,2', '1,2340', '1.234')
    """
    text = plain(number) if isinstance(number, float) else str(number)
    if decimal == ".":
        return text
    text = text.replace(".", ",")
    return f"{text}0" if _THOUSANDS.fullmatch(text) else text


def split_amount(text: str) -> tuple[float, str]:
    """Return number and unit of an amount as the codec writes it.

    Examples
    --------
    >>> split_amount("14.96 Ω")
    (14.96, 'Ω')
    """
    found = _AMOUNT.fullmatch(text)
    assert found is not None, text
    return float(found[1]), found[2]


@dataclass(frozen=True)
class Units:
    """What a file says of the unit of a cell.

    Attributes
    ----------
    heading : str
        Unit that the heading of the column names; empty where it names none.
    beside : str
        Unit in the column of units beside it; empty where there is none.
    """

    heading: str = ""
    beside: str = ""


def amount_text(cell: str, column: Column, units: Units, decimal: DecimalMark) -> str:
    """Return an amount as the codec reads it, from a cell as people and spreadsheets write it.

    Parameters
    ----------
    cell : str
        The cell, not blank.
    column : Column
        What it may measure.
    units : Units
        What the file says of its unit elsewhere.
    decimal : "." or ","
        Decimal mark of the file.

    Raises
    ------
    UserError
        ``exchange.bare`` for a number whose unit nobody names, ``exchange.contradicts`` for one
        that has two units, or what the parser says of the text.

    Examples
    --------
    >>> bar = Column("low", "amount", (Kind.PRESSURE,))
    >>> amount_text("4,1", bar, Units(beside="bar"), ",")
    '4.1 bar'
    """
    told = units.beside or units.heading
    if BARE.fullmatch(cell):
        if not told:
            raise user_error("exchange.bare", text=shown(cell), column=column.name)
        kind, unit = known_unit(told, column)
        _refuse_two(cell, unit, units.heading, kind)
        return str(parse(cell, kind, default=unit.symbol, decimal=decimal))
    measured = _kind_of(cell, column.kinds)
    if measured is None:  # the codec says better what is wanted
        return cell.strip()
    amount = parse(cell, measured, decimal=decimal)
    own = unit_named(measured, amount.unit)
    for said in (units.heading, units.beside):
        if own is not None:
            _refuse_two(cell, own, said, measured)
    return str(amount)


def known_unit(symbol: str, column: Column) -> tuple[Kind, Unit]:
    """Return the unit that a heading or a cell names, with its kind.

    Raises
    ------
    UserError
        ``exchange.no_unit``, when it measures nothing that the column may hold.
    """
    for kind in column.kinds:
        unit = unit_named(kind, symbol)
        if unit is not None:
            return kind, unit
    raise user_error("exchange.no_unit", unit=shown(symbol), column=column.name)


def _refuse_two(cell: str, unit: Unit, said: str, kind: Kind) -> None:
    if not said or unit_named(kind, said) == unit:
        return
    if kind in SIGNAL_KINDS and unit_named(kind, said) is not None:
        return  # Ω below a heading of kΩ are one thing; °C below °F are a mistake
    raise user_error("exchange.contradicts", text=shown(cell), unit=unit.symbol, said=shown(said))


def _kind_of(cell: str, kinds: tuple[Kind, ...]) -> Kind | None:
    if len(kinds) == 1:
        return kinds[0]
    if len(cell) > LONGEST:
        return None
    unit = read(cell, decimal=".").unit
    return next((kind for kind in kinds if unit_named(kind, unit) is not None), None)


def number_of(cell: str, decimal: DecimalMark, *, whole: bool) -> float | int:
    """Return a plain number.

    Raises
    ------
    UserError
        What the parser says, or ``exchange.no_number`` for anything behind the number, and for
        a fraction where a whole number is wanted.

    Examples
    --------
    >>> number_of("2", ".", whole=True), number_of("1,5e-4", ",", whole=False)
    (2, 0.00015)
    """
    numeral = read(cell, decimal=decimal)
    if numeral.unit or (whole and not numeral.value.is_integer()):
        raise user_error("exchange.no_number", text=shown(cell))
    return int(numeral.value) if whole else numeral.value
