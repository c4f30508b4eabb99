"""``retrofit identify``: which class a sender or a gauge on the bench is."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator, Sequence

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.cli.catalogue import read_catalogue
from retrofit.cli.identify_typed import seen_gauge, seen_sender, typed_tolerance
from retrofit.cli.layout import Side, table, wrapped
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed
from retrofit.finder.class_spread import ASSUMED_TOLERANCE
from retrofit.finder.identification import (
    Expected,
    Identification,
    NextMeasurement,
    RankedClass,
    SeenBeside,
)
from retrofit.finder.identify import identify_gauge, identify_sender
from retrofit.finder.identify_export import exported_identification

_LEAST_SHOWN = 0.001
_DOUBTFUL = 0.5
_RANK_SIDES: tuple[Side, ...] = ("right", "left")
_BESIDE_SIDES: tuple[Side, ...] = ("right", "right", "right", "right", "right", "left")
_NEXT_SIDES: tuple[Side, ...] = ("left", "right", "right")


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Identify a sender or a gauge from what was typed."""
    typed, library = Typed(terminal.decimal), read_catalogue(terminal).library
    if options.part == "sender":
        tolerance = typed_tolerance(options, typed)
        seen = seen_sender(options, typed)
        found = identify_sender(
            seen, library.senders, ASSUMED_TOLERANCE if tolerance is None else tolerance
        )
    else:
        found = identify_gauge(seen_gauge(options, typed), library.gauges)
    if options.json:
        terminal.data(exported_identification(found, options.part))
    else:
        terminal.say(_report(found, terminal))
    return 0


def _report(found: Identification, terminal: Terminal) -> Iterator[str]:
    """Give the lines that tell a person all of an identification."""
    for one in found.says:
        yield from wrapped(terminal.text(one), terminal.width)
    sections = [
        (message("cli.identify.ranked"), _ranking(found, terminal)),
        (message("cli.identify.beside"), _beside(found.ranked[0], terminal)),
        *_next(found.telling, terminal),
        (message("cli.identify.assumed"), _listed(found.assumed, terminal)),
        (message("cli.assess.cautions"), _listed(found.cautions, terminal)),
    ]
    for heading, lines in sections:
        if lines:
            yield ""
            yield terminal.text(heading)
            yield from lines
    if found.left_out:
        yield ""
        said = message("cli.identify.left_out", keys=", ".join(found.left_out))
        yield from wrapped(terminal.text(said), terminal.width)


def _heads(names: Sequence[str], terminal: Terminal) -> list[str]:
    return [terminal.text(Message(f"cli.identify.column.{name}")) for name in names]


def _percent(share: float, terminal: Terminal) -> str:
    if 0.0 < share < _LEAST_SHOWN:
        return f"< {terminal.value(_LEAST_SHOWN, Kind.FRACTION)}"
    return terminal.value(share, Kind.FRACTION)


def _ranking(found: Identification, terminal: Terminal) -> list[str]:
    """Return each class with how likely it is, its name below it, and 'none of these'."""
    shown = [one for one in found.ranked if one.leads or one.share >= _LEAST_SHOWN]
    shown = shown or list(found.ranked[:1])
    rows = [[_percent(one.share, terminal), one.key] for one in shown]
    none = terminal.text(message("cli.identify.unlisted"))
    rows.append([_percent(found.unlisted, terminal), none])
    lines = table(_heads(("likely", "key"), terminal), rows, _RANK_SIDES)
    told = [lines[0]]
    for line, one in zip(lines[1:], shown, strict=False):
        told += [line, *wrapped(one.name, terminal.width, " " * 12)]
    return [*told, lines[-1]]


def _beside(first: RankedClass, terminal: Terminal) -> list[str]:
    rows = [
        [
            str(row),
            _place(one.at, terminal),
            _read(one.seen, terminal),
            terminal.amount(one.expected.value),
            _range(one.expected, terminal),
            _note(first, row, one, terminal),
        ]
        for row, one in enumerate(first.beside, 1)
    ]
    if not rows:
        return []
    heads = [*_heads(("row", "at", "seen", "expected", "range"), terminal), ""]
    return table(heads, rows, _BESIDE_SIDES)


def _place(at: SiValue, terminal: Terminal) -> str:
    if math.isinf(at.value):
        return terminal.text(message("cli.identify.open_lead"))
    return terminal.amount(at)


def _read(seen: SiValue, terminal: Terminal) -> str:
    if math.isinf(seen.value):
        low = seen.value < 0.0
        return terminal.text(message("cli.identify.low_end" if low else "cli.identify.high_end"))
    return terminal.amount(seen)


def _range(one: Expected, terminal: Terminal) -> str:
    if math.isnan(one.low):
        return terminal.text(message("value.unknown"))
    kind = one.value.kind
    return f"{terminal.number(one.low, kind)}…{terminal.number(one.high, kind)}"


def _note(first: RankedClass, row: int, one: SeenBeside, terminal: Terminal) -> str:
    if one.doubt >= _DOUBTFUL:
        return terminal.text(message("cli.identify.doubt"))
    if first.swapped is not None and row in first.swapped:
        return terminal.text(message("cli.identify.swap"))
    return ""


def _next(telling: NextMeasurement | None, terminal: Terminal) -> list[tuple[Message, list[str]]]:
    if telling is None:
        return []
    heads = _heads(("key", "expected", "range"), terminal)
    rows = [
        [one.key, terminal.amount(one.value), _range(one, terminal)] for one in telling.expected
    ]
    return [(message("cli.identify.next", at=telling.at), table(heads, rows, _NEXT_SIDES))]


def _listed(messages: Sequence[Message], terminal: Terminal) -> list[str]:
    return [
        line for one in messages for line in wrapped(terminal.text(one), terminal.width, "  - ")
    ]
