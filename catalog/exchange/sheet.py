"""One CSV file taken apart: its heading understood, its rows in cells.

Comma, semicolon or tab, whichever makes known columns of the first row; either decimal mark.
It knows which columns there can be, and not what a part is.
"""

from __future__ import annotations

import csv
import difflib
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from catalog.errors import UserError, user_error
from catalog.exchange.columns import Column, gauge_columns, point_columns, sender_columns
from catalog.exchange.csv_form import GAUGES, POINTS, SENDERS
from catalog.exchange.numbers import known_unit
from catalog.exchange.problems import Place, Problems
from catalog.message import message
from catalog.quantities.numerals import DecimalMark, cleaned, shown
from catalog.tables import decimal_of

MOST_ROWS = 200_000
"""Most rows of one file; the shipped catalogue has some five hundred points."""

_MOST_LINES = 2 * MOST_ROWS  # a text in a cell may take several lines; a table has few of them

LONGEST_CELL = 10_000
"""Longest cell that is read, in characters."""

_HEADING_UNIT = re.compile(r"(.*?)\s*[\[(]\s*([^\])]+?)\s*[\])]\s*", re.DOTALL)
_UNIT = ".unit"
_NUMERIC = ("amount", "number", "whole")


@dataclass(frozen=True)
class Row:
    """One row: its number as a spreadsheet counts, its filled cells by the name of the column."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Sheet:
    """A CSV file taken apart.

    Attributes
    ----------
    kind : str
        Which of the three files it is, by the name that it is exported under.
    path : str
        Where it lies, for messages.
    columns : mapping of str to Column
        What can stand in it.
    units : mapping of str to str
        Unit that the heading names for a column.
    decimal : "." or ","
        Its decimal mark.
    rows : tuple of Row
        Rows that are not empty.
    """

    kind: str
    path: str
    columns: Mapping[str, Column]
    units: Mapping[str, str]
    decimal: DecimalMark
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class _Heading:
    """Names of the columns by their place, empty for one without; units that it names."""

    names: tuple[str, ...]
    units: dict[str, str]


def columns_of(kind: str) -> Mapping[str, Column]:
    """Return the columns that one of the three files can have, by its name."""
    if kind == POINTS:
        return point_columns()
    return (sender_columns() if kind == SENDERS else gauge_columns()).cells


def read_sheet(text: str, path: str, decimal: DecimalMark, problems: Problems) -> Sheet | None:
    r"""Take a CSV file apart.

    Parameters
    ----------
    text : str
        The whole file.
    path : str
        Where it lies, for messages.
    decimal : "." or ","
        The reader's decimal mark, where a file with semicolons or tabs does not tell.
    problems : Problems
        Takes what is wrong.

    Returns
    -------
    Sheet or None
        None where the heading cannot be used or the rows cannot be told apart.

    Examples
    --------
    >>> text = "part;at [bar];gives\nmine;0;10,5 ohm\n"
    >>> sheet = read_sheet(text, "my points.csv", ".", Problems())
    >>> sheet.kind, sheet.units, sheet.decimal, dict(sheet.rows[0].cells)
    ('points.csv', {'at': 'bar'}, ',', {'part': 'mine', 'at': '0', 'gives': '10,5 ohm'})
    """
    try:
        if text.count("\n") > _MOST_LINES:
            raise user_error("exchange.many_rows", limit=MOST_ROWS)
        delimiter = _delimiter(text)
        records = _records(text, delimiter)
        number, titles = next(records, (0, []))
        if not titles:
            raise user_error("exchange.empty")
        kind = _kind(titles)
        heading = _heading(titles, columns_of(kind), Place(path, number), problems)
        if heading is None:
            return None
        rows = tuple(_rows(records, heading, path, problems))
    except UserError as error:
        problems.add_all(error.messages, Place(path))
        return None
    preferred: DecimalMark = "." if delimiter == "," else decimal
    mark = decimal_of(_numeric(rows, columns_of(kind)), preferred)
    return Sheet(kind, path, columns_of(kind), heading.units, mark, rows)


def _delimiter(text: str) -> str:
    """Return the sign that makes the most known columns of the first row."""
    names = {name for kind in (SENDERS, GAUGES, POINTS) for name in columns_of(kind)}
    first = next((line for line in text[:50_000].splitlines() if line.strip()), "")

    def known(sign: str) -> int:
        return sum(_title(cell)[0] in names for cell in first.split(sign))

    return max(",;\t", key=known)


def _records(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows that hold anything, each with its number as a spreadsheet counts."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, 1):
            if number > MOST_ROWS + 1:
                raise user_error("exchange.many_rows", limit=MOST_ROWS)
            if any(map(str.strip, cells)):
                yield number, cells
    except csv.Error:
        raise user_error("table.quotes", row=number + 1) from None


def _title(cell: str) -> tuple[str, str]:
    """Return the name of a column as it is compared, and the unit behind it."""
    found = _HEADING_UNIT.fullmatch(cell)
    name, unit = (found[1], found[2]) if found else (cell, "")
    return cleaned(name[:200]).strip('" ').casefold(), unit


def _kind(titles: list[str]) -> str:
    """Return which file this is: the one of whose columns it has most."""
    names = {_title(title)[0].removesuffix(_UNIT) for title in titles}
    own = {
        SENDERS: {"law.kind"},
        GAUGES: {"movement.kind", "low", "high", "scaled_for.key"},
        POINTS: {"part", "at", "gives", "needs", "curve"},
    }
    found = max(own, key=lambda kind: len(own[kind] & names) / len(own[kind]))
    if not own[found] & names:
        raise user_error("exchange.no_columns", files=", ".join(own))
    return found


def _heading(
    titles: list[str], columns: Mapping[str, Column], place: Place, problems: Problems
) -> _Heading | None:
    before = problems.count
    names: list[str] = []
    units: dict[str, str] = {}
    for title in titles:
        name, unit = _title(title)
        at = Place(place.file, place.row, shown(title))
        column = columns.get(name.removesuffix(_UNIT))
        if name and (column is None or (name.endswith(_UNIT) and column.holds != "amount")):
            near = difflib.get_close_matches(name, columns, n=1, cutoff=0.5)
            known = near[0] if near else ""
            problems.add(
                message("exchange.column_near" if near else "exchange.column_unknown", near=known),
                at,
            )
        elif name and name in names:
            problems.add(message("exchange.column_twice"), at)
        elif unit and column is not None:
            _note_unit(unit, column, units, at, problems)
        names.append(name)
    missing = [c.name for c in columns.values() if c.needed and c.name not in names]
    if missing:
        problems.add(message("exchange.columns_missing", names=", ".join(missing)), place)
    return _Heading(tuple(names), units) if problems.count == before else None


def _note_unit(
    unit: str, column: Column, units: dict[str, str], place: Place, problems: Problems
) -> None:
    try:
        units[column.name] = known_unit(unit, column)[1].symbol
    except UserError as error:
        problems.add_all(error.messages, place)


def _rows(
    records: Iterator[tuple[int, list[str]]], heading: _Heading, path: str, problems: Problems
) -> Iterator[Row]:
    for number, cells in records:
        extra = [cell for cell in cells[len(heading.names) :] if cell.strip()]
        titled = dict(zip(heading.names, cells, strict=False))
        untitled = [
            cell
            for name, cell in zip(heading.names, cells, strict=False)
            if not name and cell.strip()
        ]
        if extra or untitled:
            text = shown((extra + untitled)[0])
            problems.add(message("exchange.no_heading", text=text), Place(path, number))
        for name, cell in titled.items():
            if len(cell) > LONGEST_CELL:
                limit = message("exchange.long_cell", limit=LONGEST_CELL)
                problems.add(limit, Place(path, number, name))
        yield Row(number, {name: cell for name, cell in titled.items() if name and cell})


def _numeric(rows: tuple[Row, ...], columns: Mapping[str, Column]) -> list[str]:
    wanted = [name for name, column in columns.items() if column.holds in _NUMERIC]
    return [row.cells[name] for row in rows for name in wanted if name in row.cells]
