"""Which resistors a trim may be made of, and those of a trim in words; shared by two commands."""

from __future__ import annotations

import argparse
from pathlib import Path

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.cli.layout import wrapped
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed
from retrofit.installation import TrimResistor
from retrofit.plan.stock_file import read_stock
from retrofit.plan.trim_question import Beyond
from retrofit.plan.trim_wishes import LEAST, MOST, TrimWishes
from retrofit.plan.trims import TrimCandidate
from retrofit.trim.marking import marking
from retrofit.trim.preferred import Series
from retrofit.trim.stock import Stock


def trim_wishes(options: argparse.Namespace, typed: Typed) -> TrimWishes:
    """Return what trims are wanted.

    Raises
    ------
    UserError
        For ohms, own values or a stock that can't be read, naming the option or the file.
    """
    low = typed.amount("--low", options.low, Kind.RESISTANCE)
    high = typed.amount("--high", options.high, Kind.RESISTANCE)
    own = options.values is not None or options.stock is not None
    least, most = (0.0, float("inf")) if own else (LEAST, MOST)
    beyond = None
    if options.no_flattery is not None:
        beyond = Beyond(options.no_flattery or None)
    return TrimWishes(
        _values(options, typed),
        least if low is None else low.si(Kind.RESISTANCE),
        most if high is None else high.si(Kind.RESISTANCE),
        options.most,
        options.pull_up,
        beyond,
    )


def _values(options: argparse.Namespace, typed: Typed) -> Series | Stock:
    if options.values is not None:
        return typed.resistors(options.values)
    if options.stock is not None:
        return read_stock(Path(options.stock))
    series: Series = options.series
    return series


def resistor_lines(lead: TrimCandidate | None, terminal: Terminal) -> list[str]:
    """Return each resistor of a trim: where, how it is marked, what it has to take."""
    if lead is None or not lead.trim:
        return []
    lines: list[str] = []
    for one in lead.trim:
        ohm = one.value.si(Kind.RESISTANCE)
        size = SiValue(ohm, Kind.RESISTANCE)
        name = message("trims.resistor", ohm=size, place=message(f"place.{one.place}"))
        lines += wrapped(terminal.text(name), terminal.width, "  ")
        lines += wrapped(_marked(one, ohm, terminal), terminal.width, "    ")
        if not isinstance(lead.needs, Message):
            need = next(each for each in lead.needs if each.place == one.place)
            lines += wrapped(terminal.text(need.says), terminal.width, "    ")
    if isinstance(lead.needs, Message):
        unknown = terminal.text(message("trims.power_unknown", why=lead.needs))
        lines += wrapped(unknown, terminal.width, "  ")
    return lines


def _marked(one: TrimResistor, ohm: float, terminal: Terminal) -> str:
    share = None if one.tolerance is None else one.tolerance.si(ohm, Kind.RESISTANCE) / ohm
    found = marking(ohm, None if share is None else round(share, 9))
    colours = ", ".join(terminal.text(colour.text) for colour in found.bands)
    key = "trims.marked" if found.bands else "trims.marked_code"
    return terminal.text(message(key, code=found.code, bands=colours))
