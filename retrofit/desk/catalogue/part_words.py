"""A part of the catalogue in two lines, as its list shows it."""

from __future__ import annotations

from dataclasses import replace

from catalog.parts.fields import QUANTITY_KIND
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.show import preferred
from catalog.shelf import Kept
from retrofit.desk.catalogue.curve_chart import rounded
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.drawing.look import in_unit


def ends_words(one: Kept, reader: Reader) -> str:
    """Return what a part gives or needs at its two ends, empty where nobody knows."""
    facts = one.facts
    if facts.ends is None or facts.signal is None:
        return ""
    low, high = (reader.value(end, facts.signal) for end in facts.ends)
    return reader.text("shelf.ends", low=low, high=high)


def _plain(end: float, kind: Kind, reader: Reader) -> str:
    """Return an end of a span without zeros behind it: 0 %, not 0.0 %."""
    unit = preferred(kind, reader.style)
    number = rounded(in_unit(end, unit), unit.step or 1e-6)
    return reader.amount(Amount(number, unit.symbol), kind)


def part_row(one: Kept, reader: Reader, compared: str = "") -> PartRow:
    """Return the row of a part; `compared` is the sign under which it is compared."""
    facts, name = one.facts, one.part.name
    said = [reader.text(f"shelf.{facts.kind}")]
    if facts.movement is not None:
        said.append(reader.text(f"movement.{facts.movement}"))
    elif facts.law not in (None, "table"):
        said.append(reader.text(f"word.{facts.law}"))
    if facts.span is not None:
        kind = QUANTITY_KIND[facts.quantity]
        low, high = (_plain(end, kind, reader) for end in facts.span)
        said.append(reader.text("shelf.span", low=low, high=high))
    if facts.thread is not None:
        said.append(facts.thread)
    if facts.stations == 2:
        said.append(reader.text("shelf.dual"))
    if facts.switch and facts.law != "switch":
        said.append(reader.text("shelf.has_switch"))
    said.append(reader.text(f"basis.{facts.basis.value}"))
    if one.available is not None:
        said.append(reader.text("shelf.newer"))
    if compared:
        said.insert(0, reader.text("shelf.compared", sign=compared))
    ends = ends_words(one, reader)
    detail = " · ".join(said)
    whose = f"{reader.text('parts.own')}. " if one.own else ""
    row = PartRow(one.key, name, detail, worst=ends, own=one.own)
    return replace(row, spoken=f"{name}. {whose}{detail}. {ends}")
