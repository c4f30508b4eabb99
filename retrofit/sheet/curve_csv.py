"""The reading curve as CSV for spreadsheets: numbers and headings only, in the reader's units."""

from __future__ import annotations

import csv
import io
import math

import numpy as np

from catalog.arrays import Array
from catalog.errors import UserError
from catalog.message import message
from catalog.quantities.kinds import Kind, difference
from catalog.quantities.show import NumberStyle, preferred
from retrofit.drawing.look import in_unit
from retrofit.plan.assess import Assessment
from retrofit.sheet.wording import Wording

_DIGITS = 10


def as_csv(found: Assessment, words: Wording) -> str:
    """Return the reading curve over the range of the duty, a row a point.

    Parameters
    ----------
    found : Assessment
        What was worked out.
    words : Wording
        Language and units. With a decimal comma the columns are parted by semicolons, as
        spreadsheets of such countries expect.

    Returns
    -------
    str
        Columns: true, sender, shown, error, ends of the likely band and of the worst case;
        a number that nobody knows, or an infinite one, is an empty cell.

    Raises
    ------
    UserError
        Where nobody can tell what is shown: says why.
    """
    if found.reading is None or found.spread is None:
        raise UserError(found.reason or message("sheet.csv.nothing"))
    style = words.renderer.style
    columns = _columns(found)
    heads = [f"{words.say(f'csv.{name}')} [{_unit(kind, style)}]" for name, kind, _ in columns]
    numbers = [[_number(one, kind, style) for one in all_.tolist()] for _, kind, all_ in columns]
    written = io.StringIO()
    between = ";" if style.decimal == "," else ","
    writer = csv.writer(written, delimiter=between, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows(zip(*numbers, strict=True))
    return written.getvalue()


def _columns(found: Assessment) -> list[tuple[str, Kind, Array]]:
    reading, spread, likely = found.reading, found.spread, found.likely
    assert reading is not None
    assert spread is not None
    kind = found.plan.duty.kind
    signal = found.pairing.sender.signal or found.pairing.gauge.signal
    nobody = np.full_like(reading.x, np.nan)
    return [
        ("true", kind, reading.x),
        ("sender", signal, reading.ohms),
        ("shown", kind, reading.shown),
        ("error", difference(kind), reading.error),
        ("likely_low", kind, nobody if likely is None else likely.low),
        ("likely_high", kind, nobody if likely is None else likely.high),
        ("worst_low", kind, spread.low),
        ("worst_high", kind, spread.high),
    ]


def _unit(kind: Kind, style: NumberStyle) -> str:
    return preferred(kind, style).symbol


def _number(value: float, kind: Kind, style: NumberStyle) -> str:
    if not math.isfinite(value):
        return ""
    number = in_unit(value, preferred(kind, style))
    return f"{number:.{_DIGITS}g}".replace(".", style.decimal)
