"""What ``retrofit find`` says: what stands in the way, the rows, and one row whole."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import compress

from catalog.message import Message, message
from catalog.quantities.kinds import difference
from retrofit.cli.assess import verdict_word
from retrofit.cli.layout import Side, facts, table, wrapped
from retrofit.cli.resistors import resistor_lines
from retrofit.cli.terminal import Terminal
from retrofit.finder.judged import JudgedRow
from retrofit.finder.notes import Note
from retrofit.finder.ranking import Ranking, unbeaten
from retrofit.finder.rows import Excluded
from retrofit.plan.candidates import NEEDLE_CHECKS
from retrofit.plan.cautions import cautions_for
from retrofit.plan.checks.check import Check, Verdict
from retrofit.plan.document import Plan
from retrofit.plan.trim_words import ohms_by_place, trim_formula

_TELLING = NEEDLE_CHECKS | {"supply", "current", "power", "wiper", "controller"}
"""Checks that tell of one row what its two verdicts rest on."""


@dataclass(frozen=True)
class Told:
    """What a search is told with.

    Attributes
    ----------
    plan, label : Plan, str
        What was asked.
    options : Namespace
        The options of the command.
    found : Ranking
        What came of it.
    judged : sequence of JudgedRow
        The rows that are shown, in their order.
    notes : sequence of Note
        What stands in the way.
    """

    plan: Plan
    label: str
    options: argparse.Namespace
    found: Ranking
    judged: Sequence[JudgedRow]
    notes: Sequence[Note]


def report(told: Told, terminal: Terminal) -> Iterator[str]:
    """Give the lines of a search: what was tried and left out, then the rows.

    The rows come last, so that they stay on the screen.
    """
    title = message("cli.assess.title", plan=told.plan.name, label=told.label)
    yield from wrapped(terminal.text(title), terminal.width)
    yield from facts(_given(told, terminal), terminal.width)
    for note in told.notes:
        yield ""
        yield from wrapped(terminal.text(note.at_the_prompt), terminal.width)
    yield ""
    yield from _left_out(told.found.excluded, terminal, every=told.options.excluded)
    yield ""
    yield from cautions(told.plan, told.label, terminal)
    yield ""
    if not told.judged:
        key = "cli.find.none_listed" if told.options.excluded else "cli.find.none"
        yield from wrapped(terminal.text(message(key)), terminal.width)
        return
    yield from _rows(told, terminal)
    yield ""
    yield from _remarks(told, terminal)
    legend = message("cli.find.legend", most=told.options.most)
    yield from wrapped(terminal.text(legend), terminal.width)


def cautions(plan: Plan, label: str, terminal: Terminal) -> Iterator[str]:
    """Give the caution of what the sender sits in, and where the others stand."""
    medium, *_ = cautions_for(plan.duty, plan.pairing(label))
    said = f"{terminal.text(medium)} {terminal.text(message('cli.more_cautions'))}"
    yield from wrapped(said, terminal.width)


def _given(told: Told, terminal: Terminal) -> list[tuple[str, str]]:
    pairing, pairs = told.plan.pairing(told.label), []
    way, found = told.options.way, told.found
    if way != "gauges":
        pairs.append(("sender", terminal.text(message("cli.find.sought"))))
    else:
        pairs.append(("sender", pairing.sender.name))
    gauge = pairing.gauge.name if way == "senders" else ""
    pairs.append(("gauge", gauge or terminal.text(message("cli.find.sought"))))
    tried = message(
        "cli.find.tried", total=found.total, ranked=len(found.rows), left=len(found.excluded)
    )
    named = [(terminal.text(message(f"cli.word.{name}")), text) for name, text in pairs]
    return [*named, (terminal.text(message("cli.find.word.tried")), terminal.text(tried))]


# --- the rows -----------------------------------------------------------------------------------

_SIDES: tuple[Side, ...] = (
    "right", "left", "left", "right", "right", "right", "left", "left", "left",
)  # fmt: skip


def _rows(told: Told, terminal: Terminal) -> list[str]:
    names = ("part", "trim", "worst", "likely", "share", "flatters", "verdict", "plan")
    heads = ["", *(terminal.text(Message(f"cli.find.column.{name}")) for name in names)]
    unit = terminal.unit(difference(told.plan.duty.kind))
    heads[3] = f"{heads[3]} {unit}"
    best = unbeaten(told.found.rows)
    asked = [True] * 6 + [bool(told.plan.duty.marks)] + [True] * 2
    cells = [
        [
            f"{'*' if one.row.key in best else ''}{number}",
            one.row.key,
            terminal.text(trim_formula(ohms_by_place(one.judged.trim))),
            ("≥ " if one.judged.judged.at_least else "")
            + terminal.number(one.judged.judged.worst.value, one.judged.judged.worst.kind),
            "–" if one.wide is None else f"± {terminal.number(one.wide.value, one.wide.kind)}",
            times(one.judged.judged.share, terminal),
            terminal.text(message(f"cli.find.flatters.{_flatters(one.flatters)}")),
            verdict_word(one.judged.judged.verdict, terminal),
            verdict_word(one.whole.verdict, terminal),
        ]
        for number, one in enumerate(told.judged, 1)
    ]
    kept = [list(compress(line, asked)) for line in (heads, *cells)]
    return table(kept[0], kept[1:], list(compress(_SIDES, asked)))


def _flatters(verdict: Verdict) -> str:
    known = {Verdict.STOP: "yes", Verdict.CAUTION: "maybe", Verdict.GOOD: "no"}
    return known.get(verdict, "unknown")


def times(share: float, terminal: Terminal) -> str:
    """Return a share of the allowed error with two decimals."""
    if share != share:
        return "?"
    return f"{share:.2f}".replace(".", terminal.decimal)


def _remarks(told: Told, terminal: Terminal) -> Iterator[str]:
    """Give why a small error is no good all the same, and which rows may change places."""
    reasons: dict[tuple[Verdict, Message], list[str]] = {}
    for number, one in enumerate(told.judged, 1):
        judged = one.judged.judged
        if judged.verdict in (Verdict.STOP, Verdict.UNKNOWN) and judged.share <= 1.0:
            reasons.setdefault((judged.verdict, judged.says), []).append(str(number))
    for (verdict, says), rows in reasons.items():
        word, listed = verdict_word(verdict, terminal), ", ".join(rows)
        said = message("cli.find.why_row", rows=listed, verdict=word, says=says)
        yield from wrapped(terminal.text(said), terminal.width)
    close = overlapping(told.judged)
    if len(close) > 1:
        listed = ", ".join(str(number) for number in close)
        said = message("cli.find.overlap", rows=listed, hint=_hint(told.judged[0]))
        yield from wrapped(terminal.text(said), terminal.width)


def overlapping(judged: Sequence[JudgedRow]) -> list[int]:
    """Return the numbers, from 1, of the rows that may read better than the first one.

    So may those whose error less its likely band is below the first's with its band.
    """
    if not judged or judged[0].row.band is None:
        return []
    most = judged[0].judged.judged.share + judged[0].row.band
    return [
        number
        for number, one in enumerate(judged, 1)
        if one.row.band is not None
        and max(one.judged.judged.share - one.row.band, 0.0) < most - 1e-9
    ]


def _hint(first: JudgedRow) -> Message:
    """Return the reading that tells most: at the dial where that is a guess, else of the sender."""
    dial = next(check for check in first.checks if check.name == "dial")
    if dial.why.key == "check.dial.ends_only":
        return message("cli.find.hint_dial", why=dial.why)
    if first.open_at is None:
        return message("cli.find.hint_spread")
    both = dial.why.key in ("check.dial.marks", "check.dial.class_and_marks")
    return message(f"cli.find.hint_{'both' if both else 'sender'}", at=first.open_at)


# --- one row whole ------------------------------------------------------------------------------


def whole_row(one: JudgedRow, plan: Plan, terminal: Terminal) -> Iterator[str]:
    """Give all that is known of one row: parts, trim, numbers, checks that tell, its resistors."""
    candidate, judged = one.row.candidate, one.judged.judged
    yield from wrapped(one.row.key, terminal.width)
    worst = terminal.amount(judged.worst)
    size = message(
        "cli.find.detail_worst",
        worst=f"≥ {worst}" if judged.at_least else worst,
        share=times(judged.share, terminal),
    )
    best = message("cli.find.detail_best", share=times(one.row.best.worst, terminal))
    pairs = [
        ("cli.word.gauge", candidate.gauge.name),
        ("cli.word.sender", candidate.sender.name),
        ("cli.word.trim", terminal.text(one.judged.words)),
        ("cli.find.column.worst", terminal.text(size)),
    ]
    if one.wide is not None:
        pairs.append(("cli.find.column.likely", f"± {terminal.amount(one.wide)}"))
    pairs.append(("cli.find.column.best", terminal.text(best)))
    for key, verdict in (("verdict", judged.verdict), ("plan", one.whole.verdict)):
        pairs.append((f"cli.find.column.{key}", verdict_word(verdict, terminal)))
    yield from facts([(terminal.text(Message(key)), text) for key, text in pairs], terminal.width)
    resistors = resistor_lines(one.judged, terminal)
    if resistors:
        yield ""
        yield terminal.text(Message("cli.trim.parts"))
        yield from resistors
    told = [check for check in one.checks if _tells(check, plan)]
    if told:
        yield ""
        yield terminal.text(Message("cli.assess.checks"))
        for check in told:
            word = verdict_word(check.verdict, terminal)
            yield from wrapped(terminal.text(check.says), terminal.width, f"  {word}  ", "      ")
            yield from wrapped(terminal.text(check.why), terminal.width, "      ")
    yield ""
    key = shlex_quoted(one.row.key)
    yield from wrapped(terminal.text(message("cli.find.take", part=key)), terminal.width)


def shlex_quoted(text: str) -> str:
    """Return a key as a shell takes it: that of a pair holds blanks."""
    return f'"{text}"' if " " in text else text


def _tells(check: Check, plan: Plan) -> bool:
    asked = check.name != "flatters" or bool(plan.duty.marks)
    return check.verdict is not Verdict.GOOD and check.name in _TELLING and asked


# --- what is left out ---------------------------------------------------------------------------


def _left_out(excluded: Sequence[Excluded], terminal: Terminal, *, every: bool) -> Iterator[str]:
    """Give how many are left out for which reason, and on request each with its own."""
    if not excluded:
        return
    counts = Counter(out.kind for out in excluded)
    parts = [
        terminal.text(message(f"cli.find.out.{kind}", count=count))
        for kind, count in counts.most_common()
    ]
    said = message("cli.find.left_out", listed="; ".join(parts))
    hint = "" if every else f" {terminal.text(message('cli.find.excluded_hint'))}"
    yield from wrapped(terminal.text(said) + hint, terminal.width)
    for out in excluded if every else ():
        why = message("cli.find.excluded_row", part=out.candidate.key, why=out.why)
        yield from wrapped(terminal.text(why), terminal.width, "  - ")
