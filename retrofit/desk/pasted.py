"""What a pasted text is: a table that can be used, or its rows and what is wrong with each.

Knows no Qt: the window reads short texts at once and long ones in a job.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from catalog.message import Message
from catalog.parts.laws import Point
from catalog.tables import Wanted, bare_columns, raw_rows, read_table

LARGEST = 1_000_000
"""Longest text that is taken [characters]; a table of 10,000 rows has 200,000."""

MOST_LINES = 20_000
"""Most lines that are taken; comments and empty lines count here."""

_WHERE = "table"


@dataclass(frozen=True)
class PastedRow:
    """One row as it stands in the text.

    Attributes
    ----------
    number : int
        As a spreadsheet counts it.
    cells : tuple of str
        As typed.
    problems : tuple of Message
        What is wrong with it.
    """

    number: int
    cells: tuple[str, ...]
    problems: tuple[Message, ...] = ()


@dataclass(frozen=True)
class Pasted:
    """What a text is.

    Attributes
    ----------
    points : tuple of Point
        The table; empty where it cannot be used.
    rows : tuple of PastedRow
        The rows as they stand.
    problems : tuple of Message
        What is wrong with the table as a whole.
    bare : pair of bool
        Which column names no unit anywhere, so that a usual one was taken or the chosen one.
    sortable : bool
        Whether nothing is wrong but the order of the rows.
    """

    points: tuple[Point, ...] = ()
    rows: tuple[PastedRow, ...] = ()
    problems: tuple[Message, ...] = ()
    bare: tuple[bool, bool] = (False, False)
    sortable: bool = False


def too_long(text: str) -> bool:
    """Return whether a text is longer than any table that is taken."""
    return len(text) > LARGEST or text.count("\n") > MOST_LINES


def read_pasted(text: str, wanted: Wanted) -> Pasted:
    r"""Return what a text is.

    Parameters
    ----------
    text : str
        What was pasted, dropped or typed.
    wanted : Wanted
        What it is about.

    Notes
    -----
    Tests: ``tests/desk/test_pasted.py``.

    Examples
    --------
    >>> pasted = read_pasted("0 %, 240\n50 %, 103\n100 %, 103\n", Wanted("level"))
    >>> pasted.points, [row.number for row in pasted.rows if row.problems]
    ((), [3])
    """
    if not text.strip():
        return Pasted()
    table = read_table(text, wanted, _WHERE)
    found = [_bare(problem) for problem in table.problems]
    placed = _Placed()
    for problem in found:
        placed.add(problem)
    rows = tuple(
        PastedRow(number, cells, tuple(placed.by_row.pop(number, ())))
        for number, cells in raw_rows(text)
    )
    # A row that the preview doesn't show (of a table too long) is told with the whole.
    rest = [problem for problems in placed.by_row.values() for problem in problems]
    return Pasted(
        table.points,
        rows,
        (*placed.whole, *rest),
        bare_columns(text, wanted),
        bool(found) and _only_unsorted(text, wanted),
    )


def _only_unsorted(text: str, wanted: Wanted) -> bool:
    return not wanted.sort and not read_table(text, replace(wanted, sort=True), _WHERE).problems


def _bare(problem: Message) -> Message:
    """Return a problem without the name of the file: the user sees where it is."""
    inner = dict(problem.values).get("problem") if problem.key == "file.at" else None
    return inner if isinstance(inner, Message) else problem


@dataclass
class _Placed:
    """Problems by the row that they name."""

    by_row: dict[int, list[Message]] = field(default_factory=dict)
    whole: list[Message] = field(default_factory=list)

    def add(self, problem: Message) -> None:
        """Take one more."""
        row = dict(problem.values).get("row")
        if isinstance(row, int):
            self.by_row.setdefault(row, []).append(problem)
        else:
            self.whole.append(problem)
