"""Parts read from CSV files: rows become the dict form, and the one codec reads that.

What the codec finds wrong is told with the file, the row and the column that it came from.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from catalog.codec import decode_part
from catalog.errors import UserError, user_error
from catalog.exchange.arrived import Arrived
from catalog.exchange.columns import Column, gauge_columns, sender_columns
from catalog.exchange.csv_form import GAUGES, OWN_CURVE, POINTS, SENDERS
from catalog.exchange.flat import BETWEEN_WORDS, MARK, put
from catalog.exchange.formulas import restored
from catalog.exchange.numbers import Units, amount_text, number_of
from catalog.exchange.problems import Place, Problems
from catalog.exchange.sheet import Row, Sheet
from catalog.message import Message, message
from catalog.quantities.numerals import shown

_LISTED = re.compile(r"(.*)\[(\d+)\](?:\.(.*))?")
_ROWS = frozenset({"row", "before"})


@dataclass
class _Draft:
    """A part on its way: its dict form so far, and where everything in it stands."""

    kind: str
    place: Place
    raw: dict[str, Any]
    filled: frozenset[str]
    sound: bool = True
    points: dict[str, list[tuple[Place, dict[str, Any]]]] = field(default_factory=dict)


def read_csv_parts(sheets: Sequence[Sheet], problems: Problems) -> tuple[Arrived, ...]:
    """Return the parts that CSV files hold together.

    Parameters
    ----------
    sheets : sequence of Sheet
        The files, taken apart.
    problems : Problems
        Takes what is wrong.

    Returns
    -------
    tuple of Arrived
        The parts that can be read, in the order of their rows.
    """
    drafts: dict[str, _Draft] = {}
    for sheet in sheets:
        if sheet.kind != POINTS:
            _read_drafts(sheet, drafts, problems)
    for sheet in sheets:
        if sheet.kind == POINTS:
            _read_points(sheet, drafts, problems)
    arrived = (_arrived(draft, problems) for draft in drafts.values())
    return tuple(part for part in arrived if part is not None)


def _read_drafts(sheet: Sheet, drafts: dict[str, _Draft], problems: Problems) -> None:
    tag = "sender" if sheet.kind == SENDERS else "gauge"
    for row in sheet.rows:
        before = problems.count
        place = Place(sheet.path, row.number)
        raw = _raw(row, sheet, sheet.columns, place, problems)
        draft = _Draft(sheet.kind, place, {"part": tag, **raw}, frozenset(row.cells))
        draft.sound = problems.count == before
        key = raw.get("key", "")
        if key in drafts:
            earlier = drafts[key].place
            said = message("exchange.twice", part=shown(key), path=earlier.file, row=earlier.row)
            problems.add(said, replace(place, column="key"))
        else:
            drafts[key] = draft


def _read_points(sheet: Sheet, drafts: dict[str, _Draft], problems: Problems) -> None:
    for row in sheet.rows:
        place = Place(sheet.path, row.number)
        key = restored(row.cells.get("part", ""))
        draft = drafts.get(key)
        if draft is None:
            said = message("exchange.no_such_part", part=shown(key))
            problems.add(said, replace(place, column="part"))
            continue
        before = problems.count
        curve = row.cells.get("curve", "").strip() or OWN_CURVE[draft.kind]
        columns = (sender_columns() if draft.kind == SENDERS else gauge_columns()).lists
        if curve not in columns:
            said = message("exchange.no_curve", text=shown(curve), known=", ".join(columns))
            problems.add(said, replace(place, column="curve"))
        else:
            wanted = {**columns[curve], "part": sheet.columns["part"]}
            wanted["curve"] = sheet.columns["curve"]
            raw = _raw(row, sheet, wanted, place, problems)
            point = {name: value for name, value in raw.items() if name not in ("part", "curve")}
            draft.points.setdefault(curve, []).append((place, point))
        draft.sound &= problems.count == before


# --- cells --------------------------------------------------------------------------------------


def _raw(row: Row, sheet: Sheet, columns: Any, place: Place, problems: Problems) -> dict[str, Any]:
    """Return the dict form of a row; what cannot be read is left out and told."""
    raw: dict[str, Any] = {}
    for name, cell in row.cells.items():
        column = columns.get(name.removesuffix(".unit"))
        at = replace(place, column=name)
        if column is None:
            problems.add(message("exchange.not_of_curve"), at)
        elif column.name == name:
            try:
                value = _value(cell, column, row, sheet)
                path = f"{name}.is" if column.figure else name
                if value is not None and not put(raw, path, value):
                    raise user_error("exchange.in_the_way")
            except UserError as error:
                problems.add_all(error.messages, at)
    for column in columns.values():
        if column.text_needed and _belongs(column.name, raw):
            put(raw, column.name, "")
    return raw


def _belongs(name: str, raw: dict[str, Any]) -> bool:
    """Whether a text that is not there can only be empty: the object that it stands in is."""
    *steps, _ = name.split(".")
    for step in steps:
        raw = raw.get(step, {})
    return bool(raw)


def _value(cell: str, column: Column, row: Row, sheet: Sheet) -> Any:
    """Return what a cell says; None for a blank one."""
    text = restored(cell)
    if column.holds == "text":
        return text
    text = text.strip()
    if not text:
        return None
    if column.holds == "mark":
        if text.casefold() != MARK:
            raise user_error("exchange.no_mark", text=shown(text), known=MARK)
        return {}
    if column.holds == "words":
        return text.split(BETWEEN_WORDS)
    if column.holds == "amount":
        units = Units(
            sheet.units.get(column.name, ""), row.cells.get(f"{column.name}.unit", "").strip()
        )
        return amount_text(text, column, units, sheet.decimal)
    return number_of(text, sheet.decimal, whole=column.holds == "whole")


# --- whole parts --------------------------------------------------------------------------------


def _arrived(draft: _Draft, problems: Problems) -> Arrived | None:
    for curve, points in draft.points.items():
        if not put(draft.raw, curve, [point for _, point in points]):
            draft.sound = False
            problems.add(message("exchange.in_the_way"), replace(points[0][0], column="curve"))
    if not draft.sound:
        return None
    try:
        return Arrived(decode_part(draft.raw, ""), draft.place)
    except UserError as error:
        for problem in error.messages:
            for said, place in _placed(problem, draft):
                problems.add(said, place)
        return None


def _placed(problem: Message, draft: _Draft) -> list[tuple[Message, Place]]:
    """Return what the codec said of a field as what is to be said of cells."""
    values = dict(problem.values)
    path = str(values["path"]).lstrip(".")
    if problem.key == "file.extra":
        prefix = f"{path}." if path else ""
        names = [f"{prefix}{name}" for name in str(values["names"]).split(", ")]
        kind = message("exchange.not_of_kind")
        return [(kind, _place(name, draft)) for name in names]
    if problem.key == "file.missing_field":
        if path in draft.points or path in OWN_CURVE.values() or path.endswith(".points"):
            said = message("exchange.no_points", part=shown(draft.raw["key"]), curve=path)
            return [(said, draft.place)]
        return [(message("exchange.empty_cell"), _place(path, draft))]
    inner = values.get("problem")
    if not isinstance(inner, Message):
        return [(problem, draft.place)]
    if _ROWS & {name for name, _ in inner.values}:
        return [_of_points(inner, draft)]
    return [(inner, _place(path, draft))]


def _place(path: str, draft: _Draft) -> Place:
    listed = _LISTED.fullmatch(path)
    if listed and listed[1] in draft.points:
        return replace(draft.points[listed[1]][int(listed[2])][0], column=listed[3] or "")
    if path in draft.points:
        return replace(draft.points[path][0][0], column="curve")
    return replace(draft.place, column=path.removesuffix(".is"))


def _of_points(problem: Message, draft: _Draft) -> tuple[Message, Place]:
    """Return a problem of a curve with the rows of the file in place of the points' numbers."""
    curve = _curve_meant(draft)
    places = [place for place, _ in draft.points.get(curve, [])]
    if not places:  # the two ends of a transmitter stand in the part's own row
        return problem, draft.place
    rows = tuple(
        (name, places[value - 1].row if name in _ROWS and isinstance(value, int) else value)
        for name, value in problem.values
    )
    row = problem.value("row")
    assert isinstance(row, int)
    return replace(problem, values=rows), replace(
        places[row - 1], column=_column_meant(problem, curve)
    )


def _column_meant(problem: Message, curve: str) -> str:
    """Return the column that a problem of a curve is about."""
    if problem.key in ("table.same_value", "table.unsorted", "table.wrong_quantity"):
        return "at"
    return "needs" if curve == OWN_CURVE[GAUGES] else "gives"


def _curve_meant(draft: _Draft) -> str:
    """Return which curve of a part a problem is about: a gauge may have two."""
    if draft.kind == SENDERS:
        return OWN_CURVE[SENDERS]
    alone = {name: value for name, value in draft.raw.items() if name != "scaled_for"}
    try:
        decode_part(alone, "")
    except UserError:
        return OWN_CURVE[GAUGES]
    return "scaled_for.law.points"
