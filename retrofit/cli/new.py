"""``retrofit new``: a plan from two parts of the catalogue, or from tables of the bench."""

from __future__ import annotations

import argparse
import os
import shlex
from functools import partial
from pathlib import Path
from typing import cast

from catalog.codec import Part
from catalog.errors import UserError, user_error
from catalog.json_file import read_text
from catalog.message import Message, message
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.kinds import Kind, difference
from catalog.tables import Wanted, read_table
from retrofit.cli.assess import verdict_word
from retrofit.cli.catalogue import SHIPPED_REVISION, Catalogue, read_catalogue
from retrofit.cli.layout import wrapped
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed, gathered
from retrofit.finder.notes import EXAMPLE
from retrofit.installation import Supply
from retrofit.plan.assess import assess
from retrofit.plan.document import Plan
from retrofit.plan.draft import (
    Bench,
    Wish,
    draft,
    measured_gauge,
    measured_sender,
    usual_supply,
)
from retrofit.plan.file import write_plan

_TABLES = frozenset({".csv", ".tsv", ".txt"})


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Write a new plan and say what it is worth."""
    out = Path(options.out)
    if not options.force and os.path.lexists(out):
        raise user_error("cli.new.exists", path=str(out))
    typed = Typed(terminal.decimal)
    catalogue = read_catalogue(terminal)
    quantity = _quantity(options, catalogue)
    sender, gauge = _parts(options, quantity, typed, catalogue)
    wish = _wish(options, gauge, typed)
    catalogued = {
        part.key: catalogue.revisions.get(part.key, SHIPPED_REVISION)
        for part, named in ((sender, options.sender), (gauge, options.gauge))
        if not _is_table(named)
    }
    plan = draft(sender, gauge, wish, catalogued)
    write_plan(out, plan)
    for line in _said(options, plan, out, terminal):
        terminal.say(wrapped(line, terminal.width))
    found = assess(plan)
    first = found.checks[0]
    terminal.say(
        wrapped(
            terminal.text(first.says), terminal.width, f"{verdict_word(first.verdict, terminal)}  "
        )
    )
    terminal.say([terminal.text(message("cli.new.next", path=shlex.quote(str(out))))])
    return 0


def _said(options: argparse.Namespace, plan: Plan, out: Path, terminal: Terminal) -> list[str]:
    """Return what was done, what was taken for granted, and what nothing can be judged without."""
    found = [message("cli.new.written", path=str(out), name=plan.name)]
    if _is_table(options.gauge) and options.movement is None:
        found.append(message("cli.new.movement_assumed"))
    told = [plan.duty.allowed_at(mark) for mark in (None, *plan.duty.marks)]
    if all(one is None for one in told):
        such = EXAMPLE[plan.duty.quantity]
        found.append(message("cli.new.nothing_allowed", such=such))
    return [terminal.text(one) for one in found]


def _is_table(named: str) -> bool:
    return Path(named).suffix.lower() in _TABLES


def _quantity(options: argparse.Namespace, catalogue: Catalogue) -> QuantityName:
    """Return what is read: as said, else as a part of the catalogue says."""
    if options.quantity is not None:
        return cast(QuantityName, options.quantity)
    for named in (options.gauge, options.sender):
        if not _is_table(named):
            return catalogue.library.part(named).quantity
    raise user_error("cli.new.no_quantity")


def _parts(
    options: argparse.Namespace, quantity: QuantityName, typed: Typed, catalogue: Catalogue
) -> tuple[Sender, Gauge]:
    terminals = typed.terminals(options.terminals, options.meter_error)

    def sender() -> Part:
        if _is_table(options.sender):
            return measured_sender(_bench(options.sender, options, quantity, typed), options.shape)
        return catalogue.library.part(options.sender)

    def gauge() -> Part:
        if _is_table(options.gauge):
            bench = _bench(options.gauge, options, quantity, typed)
            return measured_gauge(bench, options.movement, terminals)
        for option, given in (("--movement", options.movement), ("--terminals", terminals)):
            if given is not None:
                raise user_error("cli.new.only_measured", option=option)
        return catalogue.library.part(options.gauge)

    found_sender, found_gauge = gathered([sender, gauge])
    if not isinstance(found_sender, Sender):
        raise user_error("cli.new.no_sender", part=found_sender.key)
    if not isinstance(found_gauge, Gauge):
        raise user_error("cli.new.no_gauge", part=found_gauge.key)
    return found_sender, found_gauge


def _bench(named: str, options: argparse.Namespace, quantity: QuantityName, typed: Typed) -> Bench:
    """Read a table of the bench from its file."""
    path = Path(named)
    wanted = Wanted(quantity, decimal=typed.decimal, sort=options.sort)
    table = read_table(read_text(path), wanted, str(path))
    if table.problems:
        raise UserError([*table.problems, *_remedy(table.problems)])
    return Bench(path.stem, quantity, table.points)


def _remedy(problems: tuple[Message, ...]) -> list[Message]:
    inner = [problem.values[-1][1] for problem in problems]
    keys = {found.key for found in inner if isinstance(found, Message)}
    if keys & {"table.unsorted", "table.downwards"}:
        return [message("cli.new.sort")]
    return []


def _wish(options: argparse.Namespace, gauge: Gauge, typed: Typed) -> Wish:
    kind = QUANTITY_KIND[gauge.quantity]
    asked = (
        ("--low", options.low, kind),
        ("--high", options.high, kind),
        ("--allowed", options.allowed, difference(kind)),
        ("--capacity", options.capacity, Kind.VOLUME),
        ("--supply", options.supply, Kind.VOLTAGE),
        ("--supply-low", options.supply_low, Kind.VOLTAGE),
        ("--supply-high", options.supply_high, Kind.VOLTAGE),
        ("--sender-earth", options.sender_earth, Kind.RESISTANCE),
        ("--tolerance", options.tolerance, Kind.FRACTION),
        ("--dial-error", options.dial_error, Kind.FRACTION),
        ("--needle-width", options.needle_width, Kind.FRACTION),
    )
    amounts = gathered([partial(typed.amount, *one) for one in asked])
    low, high, allowed, capacity, nominal, lowest, highest, earth, off, dial, width = amounts
    marks = gathered([partial(typed.mark, text, kind) for text in options.mark])
    trim = gathered([partial(typed.trim, text) for text in options.trim])
    supply = Supply(nominal or usual_supply(gauge).nominal, lowest, highest)
    return Wish(
        options.name,
        low,
        high,
        allowed,
        tuple(marks),
        options.medium,
        options.controller,
        capacity,
        supply,
        tuple(trim),
        options.notes,
        earth,
        off,
        dial,
        width,
        options.afloat,
    )
