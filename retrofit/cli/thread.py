"""``retrofit thread``: which thread a part has, from calliper and thread gauge."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from functools import partial
from typing import Any, cast

from catalog.errors import UserError, user_error
from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import read, shown
from catalog.threads.thread import Gender
from retrofit.cli.layout import Side, table, wrapped
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed, gathered
from retrofit.fit.thread_identity import Candidate, Identity, Separation, identify
from retrofit.fit.thread_readings import (
    CALLIPER,
    PITCH_ERROR,
    Measured,
    Reading,
    turns_per_inch,
)
from retrofit.plan.export import message_data

FORMAT, VERSION = "retrofit-thread", 1

_SHOWN = 8
_SIDES: tuple[Side, ...] = ("left", "right", "right", "right", "left")


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Rank the threads that the readings allow."""
    found = identify(_measured(options, Typed(terminal.decimal)))
    if options.json:
        terminal.data(_exported(found))
        return 0
    if not found.fitting:
        raise UserError(found.problems)
    terminal.say(_report(found, options.part, terminal))
    return 0


def _measured(options: argparse.Namespace, typed: Typed) -> Measured:
    asked = (
        ("--diameter", options.diameter),
        ("--second", options.second),
        ("--apart", options.apart),
        ("--pitch", options.pitch),
        ("--error", options.error),
        ("--pitch-error", options.pitch_error),
    )
    amounts = gathered([partial(typed.amount, *one, Kind.LENGTH) for one in asked])
    lengths = [None if one is None else one.si(Kind.LENGTH) for one in amounts]
    diameter, second, apart, pitch, error, pitch_error = lengths
    error = CALLIPER if error is None else error
    pitch_error = PITCH_ERROR if pitch_error is None else pitch_error
    found = None if pitch is None else Reading(pitch, pitch_error)
    if options.tpi is not None:
        if found is not None:
            raise user_error("cli.thread.both_pitches")
        found = turns_per_inch(_count(options.tpi, typed), pitch_error)
    return Measured(
        cast(Gender, options.part),
        None if diameter is None else Reading(diameter, error),
        None if second is None else Reading(second, error),
        apart or 0.0,
        found,
        worn=options.worn,
    )


def _count(text: str, typed: Typed) -> float:
    found = read(text, decimal=typed.decimal)
    if found.unit or not found.value > 0.0:
        raise user_error("cli.thread.turns", text=shown(text))
    return found.value


def _report(found: Identity, part: str, terminal: Terminal) -> Iterator[str]:
    """Give the threads that agree, and what tells them apart."""
    yield terminal.text(message(f"cli.thread.{part}"))
    heads = [
        terminal.text(Message(f"cli.thread.column.{name}"))
        for name in ("thread", "likely", "off", "pitch", "standard")
    ]
    rows = [_row(one, terminal) for one in found.fitting[:_SHOWN]]
    yield from table(heads, rows, _SIDES)
    if found.look_alikes:
        yield ""
        yield terminal.text(message("cli.thread.apart"))
        for one in found.look_alikes[:_SHOWN]:
            yield from wrapped(terminal.text(one.says), terminal.width, "  - ")


def _row(one: Candidate, terminal: Terminal) -> list[str]:
    worst = max((abs(z) for _, z in one.distances), default=0.0)
    return [
        one.thread.designation,
        terminal.value(one.probability, Kind.FRACTION),
        f"{worst:.1f}".replace(".", terminal.decimal),
        terminal.value(one.thread.pitch, Kind.LENGTH),
        one.thread.standard,
    ]


def _exported(found: Identity) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "threads": [
            {
                "key": one.thread.key,
                "designation": one.thread.designation,
                "share": one.probability,
                "fits": one.fits,
                "deviations": dict(one.distances),
            }
            for one in found.candidates[:_SHOWN]
        ],
        "apart": [_separated(one) for one in found.look_alikes[:_SHOWN]],
        "problems": [message_data(one) for one in found.problems],
    }


def _separated(one: Separation) -> dict[str, Any]:
    expected = [None if math.isnan(value) else value for value in one.expected]
    return {
        "first": one.first.key,
        "second": one.second.key,
        "measure": one.measure or None,
        "expected": expected,
        "deviations": one.deviations,
    }
