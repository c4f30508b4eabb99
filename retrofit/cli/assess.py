"""``retrofit assess``: what the needle will show, for people or, with --json, for scripts."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from catalog.quantities.show import show_amount
from retrofit.cli.layout import Side, clipped, facts, table, wrapped
from retrofit.cli.sums import advice_lines, sum_lines
from retrofit.cli.terminal import Terminal
from retrofit.fit.adapters import pieces_say
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.causes import cause_says
from retrofit.plan.checks.check import Check, Verdict
from retrofit.plan.checks.spread import listed
from retrofit.plan.conclusion import conclusion_of
from retrofit.plan.export import exported
from retrofit.plan.file import read_plan
from retrofit.plan.mark_readings import weightiest
from retrofit.plan.measuring import ASKED, Measuring, measurings_of
from retrofit.plan.stages import POINTS, LeadState, supply_range

SYMBOLS = {
    Verdict.STOP: "■",
    Verdict.CAUTION: "▲",
    Verdict.UNKNOWN: "?",
    Verdict.GOOD: "●",
}

_SHARES = 8
"""Causes told at most; the rest hardly counts."""

_NAME = 24
"""Columns that the name of a mark may take in a table."""


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Assess one pairing of a plan and show it."""
    found = assess(read_plan(Path(options.plan)), options.pairing, likely=True)
    if options.json:
        terminal.data(exported(found))
    else:
        terminal.say(report(found, terminal, options.points, sums=options.sums))
    return 0


def verdict_word(verdict: Verdict, terminal: Terminal) -> str:
    """Return a verdict as its symbol and its word."""
    return f"{SYMBOLS[verdict]} {terminal.text(message(f'verdict.{verdict.value}'))}"


def report(
    found: Assessment, terminal: Terminal, points: int, *, sums: bool = False
) -> Iterator[str]:
    """Give the lines that tell a person all of an assessment.

    Parameters
    ----------
    found : Assessment
        What was worked out.
    terminal : Terminal
        Units, language, width.
    points : int
        Rows of the reading table, 2 to 201.
    sums : bool
        Whether to show how each number was made.
    """
    yield from _title(found, terminal)
    yield ""
    yield from _sections(found, terminal, points, sums=sums)


def _sections(found: Assessment, terminal: Terminal, points: int, *, sums: bool) -> Iterator[str]:
    sections = [
        ("cli.assess.conclusion", _listed(conclusion_of(found), terminal)),
        ("cli.assess.marks", _marks(found, terminal)),
        ("cli.assess.reading", _reading(found, terminal, points)),
        ("cli.assess.shares", shares(found, terminal)),
        ("cli.assess.second", _second(found, terminal)),
        ("cli.assess.lead", _lead(found, terminal)),
        ("cli.assess.fit", _fit(found, terminal)),
        ("cli.assess.checks", _checks(found.checks, terminal)),
        ("cli.assess.unknown", _unknown(found, terminal)),
        ("cli.assess.advice", advice_lines(found, terminal, reasons=sums)),
        ("cli.assess.cautions", _listed(found.cautions, terminal)),
        ("cli.assess.sums", sum_lines(found, terminal) if sums else []),
    ]
    filled = [(key, lines) for key, lines in sections if lines]
    for number, (key, lines) in enumerate(filled):
        if number:
            yield ""
        yield terminal.text(Message(key))
        yield from lines


def _title(found: Assessment, terminal: Terminal) -> Iterator[str]:
    plan, pairing = found.plan, found.pairing
    title = message("cli.assess.title", plan=plan.name, label=pairing.label)
    yield from wrapped(terminal.text(title), terminal.width)
    style = terminal.settings.number_style()
    supply = pairing.installation.supply
    volts = show_amount(supply.nominal, style, Kind.VOLTAGE)
    ends = supply_range(supply)
    if ends is not None:
        low, high = (show_amount(Amount(end, "V"), style, Kind.VOLTAGE) for end in ends)
        range_of = message("cli.assess.supply_range", volts=volts, low=low, high=high)
        volts = terminal.text(range_of)
    trims = [
        f"{show_amount(resistor.value, style, Kind.RESISTANCE)} "
        + terminal.text(message(f"place.{resistor.place}"))
        for resistor in pairing.trim
    ] or [terminal.text(message("cli.assess.no_trim"))]
    yield from facts(
        [
            (terminal.text(message("cli.word.gauge")), pairing.gauge.name),
            (terminal.text(message("cli.word.sender")), pairing.sender.name),
            (terminal.text(message("cli.word.trim")), ", ".join(trims)),
            (terminal.text(message("cli.word.supply")), volts),
            (terminal.text(message("cli.word.verdict")), verdict_word(found.verdict, terminal)),
        ],
        terminal.width,
    )


def _head(terminal: Terminal, key: str, kind: Kind) -> str:
    return f"{terminal.text(Message(key))} {terminal.unit(kind)}"


def _heads(found: Assessment, terminal: Terminal) -> list[str]:
    """Return the headings that both tables share: true, sender, shown, error."""
    kind = found.plan.duty.kind
    signal = found.pairing.sender.signal or found.pairing.gauge.signal
    return [
        _head(terminal, "cli.column.true", kind),
        _head(terminal, "cli.column.sender", signal),
        _head(terminal, "cli.column.shown", kind),
        _head(terminal, "cli.column.error", difference(kind)),
    ]


def _cells(found: Assessment, terminal: Terminal, numbers: Sequence[float]) -> list[str]:
    """Return the cells below them for: true, sender, shown, error."""
    kind = found.plan.duty.kind
    signal = found.pairing.sender.signal or found.pairing.gauge.signal
    true, sender, shown, error = numbers
    return [
        terminal.number(true, kind),
        terminal.number(sender, signal),
        terminal.number(shown, kind),
        terminal.number(error, difference(kind), sign=True),
    ]


def _between(found: Assessment, terminal: Terminal, low: float, high: float) -> str:
    kind = found.plan.duty.kind
    return f"{terminal.number(low, kind)}…{terminal.number(high, kind)}"


def _litres(found: Assessment, terminal: Terminal, level: float) -> list[str]:
    """Return what a shown level is in litres, where the tank's capacity is known."""
    capacity = found.plan.duty.capacity
    if capacity is None:
        return []
    return [terminal.number(level * capacity.si(Kind.VOLUME), Kind.VOLUME)]


def _litres_head(found: Assessment, terminal: Terminal) -> list[str]:
    if found.plan.duty.capacity is None:
        return []
    return [_head(terminal, "cli.column.shown", Kind.VOLUME)]


def _stop(terminal: Terminal, held: int) -> str:
    return terminal.text(message(_STOPS[held])) if held in _STOPS else ""


_STOPS = {-1: "cli.stop.lower", 1: "cli.stop.upper"}


def _reading(found: Assessment, terminal: Terminal, points: int) -> list[str]:
    reading, band = found.reading, found.band
    if reading is None or band is None:
        return []
    picked = [round(row * (POINTS - 1) / (points - 1)) for row in range(points)]
    arrays = (reading.x, reading.ohms, reading.shown, reading.error)
    rows = [
        [
            *_cells(found, terminal, [float(array[i]) for array in arrays]),
            _between(found, terminal, float(band.low[i]), float(band.high[i])),
            *_litres(found, terminal, float(reading.shown[i])),
            _stop(terminal, int(np.nan_to_num(reading.held[i]))),
        ]
        for i in picked
    ]
    shape = _head(terminal, "cli.column.band", found.plan.duty.kind)
    heads = [*_heads(found, terminal), shape, *_litres_head(found, terminal), ""]
    sides: list[Side] = ["right"] * (len(heads) - 1)
    return table(heads, rows, [*sides, "left"])


def _marks(found: Assessment, terminal: Terminal) -> list[str]:
    if not found.marks:
        return []
    apart = difference(found.plan.duty.kind)
    rows = [
        [
            clipped(mark.mark.name, _NAME),
            *_cells(found, terminal, (mark.at, mark.ohms, mark.shown, mark.error)),
            _between(found, terminal, mark.likely_low, mark.likely_high),
            _between(found, terminal, mark.worst_low, mark.worst_high),
            *_litres(found, terminal, mark.shown),
            "?" if mark.allowed is None else terminal.number(mark.allowed, apart),
            terminal.text(message(f"cli.flatters.{mark.mark.flatters}")),
            _stop(terminal, mark.held),
        ]
        for mark in found.marks
    ]
    heads = [
        terminal.text(message("cli.column.mark")),
        *_heads(found, terminal),
        _head(terminal, "cli.column.likely", found.plan.duty.kind),
        _head(terminal, "cli.column.worst", found.plan.duty.kind),
        *_litres_head(found, terminal),
        terminal.text(message("cli.column.allowed")),
        terminal.text(message("cli.column.flatters")),
        "",
    ]
    numbers: list[Side] = ["right"] * (len(heads) - 3)
    return table(heads, rows, ["left", *numbers, "left", "left"])


def shares(found: Assessment, terminal: Terminal) -> list[str]:
    """Return what the band at the mark where the error weighs most is made of, most first."""
    mark = weightiest(found.marks)
    if mark is None or found.spread is None:
        return []
    apart = difference(found.plan.duty.kind)
    rows = [
        [
            terminal.text(cause_says(one.name)),
            terminal.number(one.share, Kind.FRACTION),
            terminal.number(one.alone_low, apart, sign=True),
            terminal.number(one.alone_high, apart, sign=True),
        ]
        for one in mark.moving[:_SHARES]
    ]
    heads = [
        terminal.text(message("cli.column.cause", mark=clipped(mark.mark.name, _NAME))),
        _head(terminal, "cli.column.share", Kind.FRACTION),
        _head(terminal, "cli.column.alone_low", apart),
        _head(terminal, "cli.column.alone_high", apart),
    ]
    lines = table(heads, rows, ["left", "right", "right", "right"]) if rows else []
    if found.likely is not None and found.spread.causes:
        stable = found.likely.convergence
        key = "cli.assess.stable" if stable.reached else "cli.assess.unstable"
        says = message(key, draws=stable.draws, seed=stable.seed)
        lines += wrapped(terminal.text(says), terminal.width, "  ")
    if found.spread.searched:
        names = listed(tuple(cause_says(name) for name in found.spread.searched))
        says = message("cli.assess.searched", causes=names)
        lines += wrapped(terminal.text(says), terminal.width, "  ")
    return lines


def _second(found: Assessment, terminal: Terminal) -> list[str]:
    """Return what the second gauge shows at the marks."""
    second, spread, kind = found.second, found.second_spread, found.plan.duty.kind
    if second is None or spread is None:
        return []
    worst = spread.at_marks
    ends = zip(worst.low.tolist(), worst.high.tolist(), strict=True)
    rows = [
        [
            clipped(mark.mark.name, _NAME),
            terminal.number(mark.at, kind),
            terminal.number(mark.at + float(error), kind),
            terminal.number(float(error), difference(kind), sign=True),
            f"{terminal.number(low, kind)}…{terminal.number(high, kind)}",
        ]
        for mark, error, (low, high) in zip(found.marks, second.mark_errors, ends, strict=True)
    ]
    heads = [
        terminal.text(message("cli.column.mark")),
        _head(terminal, "cli.column.true", kind),
        _head(terminal, "cli.column.shown", kind),
        _head(terminal, "cli.column.error", difference(kind)),
        _head(terminal, "cli.column.worst", kind),
    ]
    return table(heads, rows, ["left", "right", "right", "right", "right"]) if rows else []


def _lead(found: Assessment, terminal: Terminal) -> list[str]:
    states = (
        ("cli.lead.open", found.lead_open),
        ("cli.lead.earthed", found.lead_earthed),
    )
    pairs = [
        (terminal.text(Message(key)), _where(found, state, terminal))
        for key, state in states
        if state is not None
    ]
    return facts(pairs, terminal.width)


def _where(found: Assessment, state: LeadState, terminal: Terminal) -> str:
    shown = SiValue(state.shown, found.plan.duty.kind)
    keys = {-1: "cli.lead.lower", 0: "cli.lead.free", 1: "cli.lead.upper"}
    return terminal.text(Message(keys[state.held], (("shown", shown),)))


def _fit(found: Assessment, terminal: Terminal) -> list[str]:
    """Return threads and the pieces between them; nothing while no thread is known."""
    fit = found.fit
    if fit.port is None and fit.sender is None:
        return []
    pairs = [
        (terminal.text(Message(f"cli.fit.{name}")), thread.designation)
        for name, thread in (("port", fit.port), ("sender", fit.sender))
        if thread is not None
    ]
    if fit.direct is not None:
        pairs.append(
            (terminal.text(message("cli.fit.direct")), terminal.text(fit.direct.check.says))
        )
    if fit.chain is not None and fit.chain.pieces:
        between = terminal.text(pieces_say(fit.chain.pieces))
        pairs.append((terminal.text(message("cli.fit.between")), between))
    if fit.allowed_earth is not None:
        ohms = terminal.amount(SiValue(fit.allowed_earth, Kind.RESISTANCE))
        pairs.append((terminal.text(message("cli.fit.earth")), ohms))
    return facts(pairs, terminal.width)


def _checks(checks: Sequence[Check], terminal: Terminal) -> list[str]:
    lines = []
    words = {verdict: verdict_word(verdict, terminal) for verdict in Verdict}
    widest = max(map(len, words.values()))
    for check in checks:
        says, why = terminal.text(check.says), terminal.text(check.why)
        lines += wrapped(says, terminal.width, f"  {words[check.verdict]:<{widest}}  ")
        lines += wrapped(why, terminal.width, " " * (widest + 6))
    return lines


def _unknown(found: Assessment, terminal: Terminal) -> list[str]:
    """Return what is not known and what to measure, with what and where."""
    return _listed([_step(one) for one in measurings_of(found)], terminal)


def _step(one: Measuring) -> Message:
    if one.instrument.key == ASKED:
        return message("cli.assess.ask", what=one.what, where=one.where)
    told = {"what": one.what, "instrument": one.instrument, "where": one.where}
    step = message("cli.assess.measure", **told)
    if one.battery != "either":
        battery = message(f"measuring.battery.{one.battery}")
        step = message("cli.assess.measure.battery", step=step, battery=battery)
    if one.caution is not None:
        step = message("cli.assess.measure.caution", step=step, caution=one.caution)
    return step


def _listed(messages: Sequence[Message], terminal: Terminal) -> list[str]:
    return [
        line for found in messages for line in wrapped(terminal.text(found), terminal.width, "  - ")
    ]
