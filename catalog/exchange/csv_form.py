"""Parts written as CSV files: ``senders.csv``, ``gauges.csv``, and ``points.csv`` for both.

A row of senders or gauges is a part, a row of points is one point of one of its curves. Columns
are named by the path of their field in the JSON form. A column that no part fills is left out.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from catalog.codec import Part, encode
from catalog.exchange.columns import Column, gauge_columns, point_columns, sender_columns
from catalog.exchange.flat import Flat, Scalar, flat
from catalog.exchange.formulas import neutralised
from catalog.exchange.numbers import number_text, split_amount
from catalog.parts.sender import Sender
from catalog.quantities.numerals import DecimalMark

SENDERS, GAUGES, POINTS = "senders.csv", "gauges.csv", "points.csv"

OWN_CURVE = {SENDERS: "law.points", GAUGES: "marks"}
"""The curve that a row of points belongs to where it names none, by the file of its part."""


def csv_texts(parts: Sequence[Part], decimal: DecimalMark = ".") -> dict[str, str]:
    """Return the text of each CSV file, by its name; a file without rows is left out.

    Parameters
    ----------
    parts : sequence of Sender or Gauge
        What to write.
    decimal : "." or ","
        Decimal mark; columns are parted by semicolons where it is the comma.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> texts = csv_texts([load_generic().part("temperature-platinum-100")])
    >>> list(texts), texts["senders.csv"].split(",")[:3]
    (['senders.csv'], ['key', 'name', 'quantity'])
    """
    laid: dict[str, list[Flat]] = {SENDERS: [], GAUGES: []}
    for part in parts:
        form = flat(encode(part, Part))
        del form.cells["part"]
        laid[SENDERS if isinstance(part, Sender) else GAUGES].append(form)
    columns = {SENDERS: sender_columns().cells, GAUGES: gauge_columns().cells}
    texts = {
        name: _table(columns[name], [form.cells for form in forms], decimal, apart=False)
        for name, forms in laid.items()
        if forms
    }
    points = [point for forms in laid.values() for form in forms for point in _points(form)]
    if points:
        texts[POINTS] = _table(point_columns(), points, decimal, apart=True)
    return texts


def _points(form: Flat) -> Iterable[dict[str, Scalar]]:
    for curve, points in form.lists.items():
        for point in points:
            yield {"part": form.cells["key"], "curve": curve, **point}


def _table(
    columns: dict[str, Column],
    rows: Sequence[dict[str, Scalar]],
    decimal: DecimalMark,
    *,
    apart: bool,
) -> str:
    """Write rows below their heading; `apart`: each unit in a column beside its number."""
    used = {name for row in rows for name in row}
    written = [column for column in columns.values() if column.needed or column.name in used]
    file = io.StringIO(newline="")
    # RFC 4180, section 2.1; and only signs of the line's end make the writer quote a cell.
    writer = csv.writer(file, delimiter="," if decimal == "." else ";", lineterminator="\r\n")
    writer.writerow([name for column in written for name in _names(column, apart=apart)])
    for row in rows:
        writer.writerow(
            [
                cell
                for column in written
                for cell in _cells(row.get(column.name), column, decimal, apart=apart)
            ]
        )
    return file.getvalue()


def _names(column: Column, *, apart: bool) -> list[str]:
    split = apart and column.holds == "amount"
    return [column.name, f"{column.name}.unit"] if split else [column.name]


def _cells(value: Scalar | None, column: Column, decimal: DecimalMark, *, apart: bool) -> list[str]:
    if column.holds != "amount":
        if value is None:
            return [""]
        if isinstance(value, str):
            return [neutralised(value)]
        return [number_text(value, decimal)]
    if value is None:
        return ["", ""] if apart else [""]
    number, unit = split_amount(str(value))
    text = number_text(number, decimal)
    return [text, unit] if apart else [neutralised(f"{text} {unit}")]
