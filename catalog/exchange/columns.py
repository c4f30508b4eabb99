"""The columns of the CSV files: the fields of a part's dict form, named by their path.

They are read off the dataclasses, so that a field that a part gets has its column at once. A
list of points is no column: each of its points is a row of the file of points.
"""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass, replace
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from catalog.codec import TOLERANCE_KINDS
from catalog.errors import BugError
from catalog.parts.fields import (
    ANY_DIFFERENCE,
    ANY_READING,
    DIFFERENCE_KINDS,
    QUANTITY_KIND,
    SIGNAL_KINDS,
)
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.provenance import Basis, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind

Holds = Literal["text", "amount", "number", "whole", "words", "mark"]
"""What a cell is: words are a list of short texts, a mark says that an object is there."""

_KINDS: dict[object, tuple[Kind, ...]] = {
    ANY_READING: tuple(QUANTITY_KIND.values()),
    ANY_DIFFERENCE: DIFFERENCE_KINDS,
}


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes
    ----------
    name : str
        Path of the field, steps joined by points: ``"law.tolerance"``.
    holds : str
        What a cell is.
    kinds : tuple of Kind
        What an amount may measure.
    figure : bool
        Whether it is the number of a figure, beside its tolerance and its basis.
    needed : bool
        Whether the file must have it.
    text_needed : bool
        Whether an empty cell is an empty text, and not a field that is left out.
    """

    name: str
    holds: Holds
    kinds: tuple[Kind, ...] = ()
    figure: bool = False
    needed: bool = False
    text_needed: bool = False


@dataclass(frozen=True)
class Columns:
    """All that a part of one kind can hold.

    Attributes
    ----------
    cells : mapping of str to Column
        By name, in the order in which they are written.
    lists : mapping of str to mapping of str to Column
        Columns of a point, by the path of its list.
    """

    cells: dict[str, Column]
    lists: dict[str, dict[str, Column]]


@cache
def sender_columns() -> Columns:
    """Return what ``senders.csv`` can hold.

    Examples
    --------
    >>> sender_columns().cells["law.tolerance"].holds
    'amount'
    """
    return _columns(Sender)


@cache
def gauge_columns() -> Columns:
    """Return what ``gauges.csv`` can hold.

    Examples
    --------
    >>> list(gauge_columns().lists)
    ['marks', 'scaled_for.law.points']
    """
    return _columns(Gauge)


@cache
def point_columns() -> dict[str, Column]:
    """Return what ``points.csv`` can hold: which part, which of its curves, and a point of it."""
    made = {"part": Column("part", "text", needed=True), "curve": Column("curve", "text")}
    for columns in (sender_columns(), gauge_columns()):
        for points in columns.lists.values():
            for column in points.values():
                known = made.get(column.name)
                made[column.name] = _merged(known, column) if known else column
    return {**made, "at": replace(made["at"], needed=True)}


def _columns(part: type) -> Columns:
    cells: dict[str, Column] = {}
    lists: dict[str, dict[str, Column]] = {}
    for found in _walk(part, "", needed=True):
        if isinstance(found, Column):
            known = cells.get(found.name)
            cells[found.name] = _merged(known, found) if known else found
        else:
            path, item = found
            points = [one for one in _walk(item, "", needed=False) if isinstance(one, Column)]
            lists[path] = {column.name: column for column in points}
    return Columns(cells, lists)


def _merged(one: Column, other: Column) -> Column:
    """Return the one column of two kinds of law or movement that name a field alike."""
    if (one.holds, one.figure) != (other.holds, other.figure):
        raise BugError(f"{one.name} is {one.holds} here and {other.holds} there")
    kinds = tuple(dict.fromkeys((*one.kinds, *other.kinds)))
    return replace(one, kinds=kinds, text_needed=one.text_needed and other.text_needed)


_Found = Column | tuple[str, Any]


def _walk(record: Any, prefix: str, *, needed: bool) -> Iterator[_Found]:
    """Walk the fields of a dataclass: a column each, or a list with the type of its items."""
    hints = get_type_hints(record, include_extras=True)
    for field in fields(record):
        wanted = _is_needed(field)
        path = prefix + field.name
        yield from _field(hints[field.name], path, needed=needed and wanted, filled=wanted)


def _is_needed(field: Field[Any]) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _field(hint: Any, path: str, *, needed: bool, filled: bool) -> Iterator[_Found]:
    members = [hint]
    if get_origin(hint) in (Union, types.UnionType):
        members = [member for member in get_args(hint) if member is not types.NoneType]
    if len(members) > 1:
        yield Column(f"{path}.kind", "text", needed=needed)
        for member in members:
            yield from _walk(member, f"{path}.", needed=False)
    elif get_origin(members[0]) is tuple:
        item = get_args(members[0])[0]
        yield (path, item) if is_dataclass(item) else Column(path, "words")
    elif is_dataclass(members[0]) and members[0] not in (Tolerance, Basis):
        if not any(_is_needed(field) for field in fields(members[0])):
            yield Column(path, "mark")
        yield from _walk(members[0], f"{path}.", needed=False)
    else:
        yield from _leaf(members[0], path, needed=needed, filled=filled)


def _leaf(hint: Any, path: str, *, needed: bool, filled: bool) -> Iterator[Column]:
    if get_origin(hint) is Annotated:
        base, kind = get_args(hint)
        kinds = (kind,) if isinstance(kind, Kind) else _KINDS.get(kind, SIGNAL_KINDS)
        yield Column(path, "amount", kinds, figure=base is Figure, needed=needed)
        if base is Figure:
            yield Column(f"{path}.tolerance", "amount", TOLERANCE_KINDS)
            yield Column(f"{path}.basis", "text")
        elif base is not Amount:
            raise BugError(f"{path}: no column for {hint}")
    elif hint is Tolerance:
        yield Column(path, "amount", TOLERANCE_KINDS)
    elif hint in (str, Basis) or get_origin(hint) is Literal:
        whole = get_origin(hint) is Literal and isinstance(get_args(hint)[0], int)
        empty = filled and hint is str
        yield Column(path, "whole" if whole else "text", needed=needed, text_needed=empty)
    elif hint in (int, float):
        yield Column(path, "whole" if hint is int else "number", needed=needed)
    else:
        raise BugError(f"{path}: no column for {hint}")
