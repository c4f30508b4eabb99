"""Tables of a bench: two columns of text become the points of a curve, or say what is wrong.

From a file or the clipboard: comma, semicolon or tab, either decimal mark, a heading with
units, a unit in any cell, comments after ``#``, quoted cells. Pure: it opens no file. What can
be read in two ways is refused with the row it stands in; rows count as a spreadsheet counts
them, from the first line of the text.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.fields import QUANTITY_KIND, SIGNAL_KINDS, QuantityName
from catalog.parts.laws import Point, point_problems
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, Unit, default_unit, unit_named
from catalog.quantities.numerals import LONGEST, DecimalMark, cleaned, shown
from catalog.quantities.parse import kind_name, parse

MOST_ROWS = 10_000
"""Longest table that is read; a curve of a sender needs a dozen points."""

BARE = re.compile(r"[-+−–]?[\d\s.,/'_]+(?:[eE][-+]?\d+)?")
"""A cell that is a number without a unit."""

_MOST_PROBLEMS = 12
_ROWS = frozenset({"row", "before"})
_NUMBER = re.compile(r"[-+−–]?\s*[.,]?\d")
_COMMA_MARK = re.compile(r"\d,(?:\d{1,2}|\d{4,})(?!\d|,)|(?<!\d)0,\d")
_LETTER = re.compile(r"[^\W\d_]|[%°]")
_NO_HEADING = frozenset({"nan", "inf", "infinity", "+inf", "-inf", "n/a", "na", "null", "none"})


@dataclass(frozen=True)
class ReadTable:
    """What a table holds.

    Attributes
    ----------
    points : tuple of Point
        In order of the value; empty where there are problems.
    problems : tuple of Message
        One for each problem, with its row; empty where the table can be used.
    """

    points: tuple[Point, ...]
    problems: tuple[Message, ...] = ()


@dataclass(frozen=True)
class Wanted:
    """What a table is about.

    Attributes
    ----------
    quantity : str
        What the first column holds: "level", "pressure" or "temperature".
    signal : Kind or None
        What the second column holds: resistance, voltage or current; None: its units tell,
        ohms where there are none.
    decimal : "." or ","
        The reader's decimal mark, where the table does not tell.
    sort : bool
        Whether rows in another order are sorted by the first column.
    units : pair of str or None
        Unit of the bare cells of each column, where its heading names none; None: the usual
        one.
    curve : bool
        Whether the rows have to make a curve; else they are taken as they stand, one row or
        more, slips and all.
    """

    quantity: QuantityName
    signal: Kind | None = None
    decimal: DecimalMark = "."
    sort: bool = False
    units: tuple[str | None, str | None] = (None, None)
    curve: bool = True


@dataclass(frozen=True)
class _Row:
    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class _Column:
    """One column: its kind, the unit of its bare cells, who named it: the heading, the reader."""

    kind: Kind
    unit: str
    headed: bool
    bare_wanted: bool
    decimal: DecimalMark
    chosen: bool = False


def read_table(text: str, wanted: Wanted, where: str) -> ReadTable:
    r"""Read a table of two columns: the value, and what the sender gives or the dial needs.

    Parameters
    ----------
    text : str
        The whole table.
    wanted : Wanted
        What it is about.
    where : str
        Name of the file, or what the window calls the field, for messages.

    Returns
    -------
    ReadTable
        At least two points, values increasing, outputs strictly monotone; or the problems.

    Notes
    -----
    Tests: ``tests/catalog/test_tables.py``.

    Examples
    --------
    >>> table = read_table("temperature °F; ohm\n100; 450\n150; 158,2\n", Wanted("temperature"), "")
    >>> [(str(point.at), str(point.gives)) for point in table.points]
    [('100 °F', '450 Ω'), ('150 °F', '158.2 Ω')]
    >>> [found.values[1][1].key for found in read_table("", Wanted("level"), "pasted").problems]
    ['table.empty']
    """
    points: tuple[Point, ...] = ()
    try:
        rows = _rows(text)
        points, lines = _points(rows, wanted)
        problems: list[Message] = []
        if wanted.curve:
            points, lines = _in_order(points, lines, wanted)
            problems = _curve_problems(points, lines, wanted)
    except UserError as error:
        problems = list(error.messages)
    if not problems:
        return ReadTable(points)
    told = problems[:_MOST_PROBLEMS]
    if len(problems) > len(told):
        told.append(message("table.more", count=len(problems) - len(told)))
    return ReadTable((), tuple(message("file.at", path=where, problem=one) for one in told))


def raw_rows(text: str) -> tuple[tuple[int, tuple[str, ...]], ...]:
    r"""Return the rows of a table as they stand, with their numbers: for a preview.

    Never raises: what cannot be split is one cell; of a table that is too long, the beginning.

    Examples
    --------
    >>> raw_rows("# bench\n100; 450\n\n150; 158,2\n")
    ((2, ('100', '450')), (4, ('150', '158,2')))
    """
    lines = text.removeprefix("\ufeff").splitlines()
    filled = [
        (number, line)
        for number, line in enumerate(lines, 1)
        if line.strip() and not line.lstrip().startswith("#")
    ][: MOST_ROWS + 1]
    delimiter = _delimiter([line for _, line in filled])
    return tuple((number, _cells(line, delimiter)) for number, line in filled)


def _cells(line: str, delimiter: str) -> tuple[str, ...]:
    try:
        row = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True))
    except (csv.Error, StopIteration):
        row = [line]
    return tuple(cell.strip() for cell in row)


def bare_columns(text: str, wanted: Wanted) -> tuple[bool, bool]:
    r"""Return which columns name no unit, neither in their heading nor in any cell.

    Examples
    --------
    >>> bare_columns("0; 10\n5; 184\n", Wanted("pressure"))
    (True, True)
    >>> bare_columns("bar; track\n0; 10\n5; 184\n", Wanted("pressure"))
    (False, True)
    """
    try:
        rows = _rows(text)
        heading = rows[0].cells if _is_heading(rows[0]) else None
        body = rows[1:] if heading else rows
        if not body:
            return False, False
        columns = _columns(heading, rows[0].number, body, wanted)
    except UserError:
        return False, False
    first, second = (
        not column.headed and _is_bare([row.cells[i] for row in body])
        for i, column in enumerate(columns)
    )
    return first, second


# --- rows ---------------------------------------------------------------------------------------


def _rows(text: str) -> list[_Row]:
    """Split the text into rows of two cells; comments and empty rows are left out."""
    lines = text.removeprefix("\ufeff").splitlines()
    kept = ["" if line.lstrip().startswith("#") else line for line in lines]
    filled = [line for line in kept if line.strip()]
    if not filled:
        raise UserError(message("table.empty"))
    if len(filled) > MOST_ROWS + 1:
        raise UserError(message("table.too_long", rows=len(filled), limit=MOST_ROWS))
    delimiter = _delimiter(filled)
    reader = csv.reader(kept, delimiter=delimiter, skipinitialspace=True)
    rows = []
    try:
        for cells in reader:
            trimmed = [cell.strip() for cell in cells]
            while trimmed and not trimmed[-1]:
                trimmed.pop()
            if trimmed:
                rows.append(_Row(reader.line_num, tuple(trimmed)))
    except csv.Error:
        raise UserError(message("table.quotes", row=reader.line_num)) from None
    if not rows:
        raise UserError(message("table.empty"))
    _refuse_widths(rows, delimiter)
    return rows


def _delimiter(filled: Sequence[str]) -> str:
    for sign in "\t;":
        if sum(sign in line for line in filled) * 2 > len(filled):
            return sign
    return ","


def _refuse_widths(rows: Sequence[_Row], delimiter: str) -> None:
    problems: list[Message] = []
    for row in rows:
        if len(row.cells) == 1:
            problems.append(message("table.one_cell", row=row.number, text=shown(row.cells[0])))
        elif len(row.cells) > 2 and delimiter == ",":
            problems.append(message("table.commas", row=row.number, cells=len(row.cells)))
        elif len(row.cells) > 2:
            problems.append(message("table.many_cells", row=row.number, cells=len(row.cells)))
    if problems:
        raise UserError(problems)


# --- cells --------------------------------------------------------------------------------------


def _points(rows: list[_Row], wanted: Wanted) -> tuple[tuple[Point, ...], list[int]]:
    """Return the points and the row of each."""
    heading = rows[0].cells if _is_heading(rows[0]) else None
    body = rows[1:] if heading else rows
    if not body:
        raise UserError(message("table.empty"))
    columns = _columns(heading, rows[0].number, body, wanted)
    points: list[Point] = []
    lines: list[int] = []
    problems: list[Message] = []
    for row in body:
        try:
            at, gives = (
                _amount(cell, column, row.number)
                for cell, column in zip(row.cells, columns, strict=True)
            )
        except UserError as error:
            problems += error.messages
            continue
        points.append(Point(at, gives))
        lines.append(row.number)
    if problems:
        raise UserError(problems)
    return tuple(points), lines


def _is_heading(row: _Row) -> bool:
    return not any(
        _NUMBER.match(cell) or cell.casefold() in _NO_HEADING or not _LETTER.search(cell)
        for cell in row.cells
    )


def _columns(
    heading: tuple[str, ...] | None, number: int, body: Sequence[_Row], wanted: Wanted
) -> tuple[_Column, _Column]:
    reading = QUANTITY_KIND[wanted.quantity]
    signals = SIGNAL_KINDS if wanted.signal is None else (wanted.signal,)
    cells = list(zip(*(row.cells for row in body), strict=True))
    decimal = decimal_of([*cells[0], *cells[1]], wanted.decimal)
    units: list[tuple[Kind, str] | None] = [None, None]
    if heading is not None:
        units = [_headed(heading[0], (reading,)), _headed(heading[1], signals)]
        _refuse_swapped(heading, reading, signals)
        _refuse_unknown_unit(heading, units, number, reading, signals[0])
    chosen = [
        _chosen(wanted.units[0], cells[0], (reading,)),
        _chosen(wanted.units[1], cells[1], signals),
    ]
    chosen = [None if headed else own for headed, own in zip(units, chosen, strict=True)]
    named = [headed or own for headed, own in zip(units, chosen, strict=True)]
    kind = named[1][0] if named[1] else _kind_in(cells[1], signals)
    kinds = (reading, kind)
    # Nobody said volts: a bare number among volts could be ohms.
    told = (True, kind is signals[0])
    made = [
        _Column(
            kinds[i],
            default_unit(kinds[i]).symbol if found is None else found[1],
            units[i] is not None,
            found is not None or (told[i] and _bare_is_clear(cells[i], kinds[i])),
            decimal,
            chosen[i] is not None,
        )
        for i, found in enumerate(named)
    ]
    return made[0], made[1]


def _chosen(
    unit: str | None, cells: Sequence[str], kinds: Sequence[Kind]
) -> tuple[Kind, str] | None:
    """Return the unit that the reader chose, with its kind, where no cell names one."""
    if unit is None or not _is_bare(cells):
        return None
    return next(((kind, unit) for kind in kinds if unit_named(kind, unit) is not None), None)


def _is_bare(cells: Sequence[str]) -> bool:
    return all(BARE.fullmatch(cell) for cell in cells)


def decimal_of(cells: Sequence[str], preferred: DecimalMark) -> DecimalMark:
    """Return the decimal mark of a table: a comma that cannot part thousands tells.

    Examples
    --------
    >>> decimal_of(["1,000", "158,2"], "."), decimal_of(["1,000", "158.2"], ",")
    (',', '.')
    """
    commas = any(_COMMA_MARK.search(cell) for cell in cells)
    points = any("." in cell for cell in cells)
    if commas and not points:
        return ","
    return "." if points and not commas else preferred


def _kind_in(cells: Sequence[str], signals: Sequence[Kind]) -> Kind:
    """Return the kind of a column without a heading: what the units in its cells name."""
    found = (kind for cell in cells for kind in signals if _unit_in(cell, kind) is not None)
    return next(found, signals[0])


def _bare_is_clear(cells: Sequence[str], kind: Kind) -> bool:
    """Return whether a cell without a unit can only mean the usual one of its column."""
    usual = default_unit(kind)
    return all(_unit_in(cell, kind) in (None, usual) for cell in cells)


def _unit_in(cell: str, kind: Kind) -> Unit | None:
    """Return the unit of `kind` behind the number of a cell, None where there is none."""
    if BARE.fullmatch(cell):
        return None
    unit = cleaned(cell[:LONGEST]).lstrip("+-0123456789.,/ ")
    return unit_named(kind, unit) if unit else None


def _headed(title: str, kinds: Sequence[Kind]) -> tuple[Kind, str] | None:
    """Return the unit that a heading names, with its kind: "temperature (°F)", "R [kΩ]"."""
    text = cleaned(title[:200])
    bracketed = re.findall(r"[\[(]([^\])]+)[\])]", text)
    words = re.sub(r"[\[(][^\])]*[\])]", " ", text).replace(",", " ").replace("/", " / ").split()
    # A lone word may be a unit ("ohm", "bar"), and else the last one is ("pressure bar"); "at"
    # and "a" are words before they are units.
    tail = [word for word in words[-1:] if len(words) == 1 or word.casefold() not in ("at", "a")]
    if len(words) == 1 and words[0].casefold() in ("at", "a"):
        tail = []
    for candidate in (*bracketed, *tail):
        for kind in kinds:
            unit = unit_named(kind, candidate.strip())
            if unit is not None:
                return kind, unit.symbol
    return None


def _refuse_swapped(heading: tuple[str, ...], reading: Kind, signals: Sequence[Kind]) -> None:
    first, second = _headed(heading[0], signals), _headed(heading[1], (reading,))
    if first and second and not _headed(heading[0], (reading,)):
        raise UserError(message("table.swapped"))


def _refuse_unknown_unit(
    heading: tuple[str, ...],
    units: Sequence[tuple[Kind, str] | None],
    number: int,
    reading: Kind,
    signal: Kind,
) -> None:
    """Refuse a heading whose square brackets, or a unit of another kind, name no usable unit."""
    for title, found, kind in zip(heading, units, (reading, signal), strict=True):
        if found is not None:
            continue
        square = re.search(r"\[([^\]]+)\]", title)
        other = _headed(title, [one for one in Kind if one is not kind])
        name = square[1] if square else other[1] if other else None
        if name is not None:
            raise UserError(
                message("table.heading_unit", row=number, unit=shown(name), kind=kind_name(kind))
            )


def _amount(cell: str, column: _Column, row: int) -> Amount:
    """Read one cell; a cell without a unit has the heading's."""
    if not cell:
        raise UserError(message("table.empty_cell", row=row))
    bare = BARE.fullmatch(cell) is not None
    if bare and not column.bare_wanted:
        raise UserError(message("table.some_bare", row=row, text=shown(cell)))
    try:
        default = column.unit if column.headed or column.chosen else None
        amount = parse(cell, column.kind, default=default, decimal=column.decimal)
    except UserError as error:
        raise UserError(
            [message("table.cell", row=row, problem=problem) for problem in error.messages]
        ) from None
    # Ω and kΩ in one column are one thing; °C below a heading of °F are a mistake.
    if column.headed and column.kind not in SIGNAL_KINDS and amount.unit != column.unit:
        raise UserError(message("table.contradicts", row=row, text=shown(cell), unit=column.unit))
    return amount


# --- the curve ----------------------------------------------------------------------------------


def _in_order(
    points: tuple[Point, ...], lines: list[int], wanted: Wanted
) -> tuple[tuple[Point, ...], list[int]]:
    """Sort the rows where that is wished; refuse a table that only stands upside down."""
    kind = QUANTITY_KIND[wanted.quantity]
    values = [point.at.si(kind) for point in points]
    if wanted.sort:
        order = sorted(range(len(values)), key=values.__getitem__)
        return tuple(points[i] for i in order), [lines[i] for i in order]
    pairs = list(pairwise(values))
    if len(pairs) > 1 and all(second < first for first, second in pairs):
        raise UserError(message("table.downwards"))
    return points, lines


def _curve_problems(
    points: tuple[Point, ...], lines: Sequence[int], wanted: Wanted
) -> list[Message]:
    """Return what is wrong with the points as a curve, told by the rows of the text."""
    problems = [_with_rows(found, lines) for found in point_problems(points, wanted.quantity)]
    if wanted.quantity == "temperature":
        problems += [
            message("table.no_ohms", row=line, value=SiValue(0.0, Kind.RESISTANCE))
            for line, point in zip(lines, points, strict=True)
            if point.gives.number == 0.0 and unit_named(Kind.RESISTANCE, point.gives.unit)
        ]
    return problems


def _with_rows(found: Message, lines: Sequence[int]) -> Message:
    """Return a message about points with the rows of the text instead of their numbers."""
    values = tuple(
        (name, lines[value - 1] if name in _ROWS and isinstance(value, int) else value)
        for name, value in found.values
    )
    return replace(found, values=values)
