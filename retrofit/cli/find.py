"""``retrofit find``: every part that could take a place in a plan, each with its best trim."""

from __future__ import annotations

import argparse
import os
import shlex
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from catalog.errors import UserError, user_error
from catalog.library import Library
from catalog.message import Message, message
from catalog.quantities.kinds import difference
from catalog.quantities.numerals import shown
from retrofit.cli.assess import verdict_word
from retrofit.cli.catalogue import read_catalogue
from retrofit.cli.layout import Side, facts, table, wrapped
from retrofit.cli.resistors import trim_wishes
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed
from retrofit.finder.export import exported_finds
from retrofit.finder.filters import PartFilter, by_return, by_stations, by_supply
from retrofit.finder.judged import JudgedRow, judged_row, judged_rows
from retrofit.finder.rank import FindWishes, find
from retrofit.finder.ranking import Ranking, unbeaten
from retrofit.finder.rows import Excluded, Row, Way, candidates
from retrofit.plan.cautions import cautions_for
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan, write_plan
from retrofit.plan.trim_words import ohms_by_place, trim_formula

_NEVER = ("controller", "tests")
"""Reasons that hold for every candidate, so that nothing at all can be proposed."""


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Try every part in one pairing of a plan; put a picked one in on request."""
    if (options.apply is None) != (options.pick is None):
        raise user_error("cli.find.apply_pick")
    if options.apply is not None and not options.force and os.path.lexists(options.apply):
        raise user_error("cli.new.exists", path=options.apply)
    plan = read_plan(Path(options.plan))
    label = plan.pairing(options.pairing).label
    wishes = FindWishes(trim_wishes(options, Typed(terminal.decimal)), _filters(options))
    catalogue = read_catalogue(terminal)
    found = _found(plan, label, options.way, wishes, catalogue.library)
    judged = judged_rows(plan, label, found.rows[: options.rows], wishes.trim)
    if options.json:
        terminal.data(exported_finds(plan, label, options.way, wishes, found, judged))
    else:
        terminal.say(_report(plan, label, options, found, judged, terminal))
    if options.apply is not None:
        picked = _picked(found, options.pick)
        put = judged_row(plan, label, picked, wishes.trim)
        _apply(put, Path(options.apply), terminal, quiet=options.json)
    return 0


def _filters(options: argparse.Namespace) -> tuple[PartFilter, ...]:
    found = []
    if options.stations is not None:
        found.append(by_stations(options.stations))
    if options.earth_return is not None:
        found.append(by_return(options.earth_return))
    if options.system is not None:
        found.append(by_supply(f"{options.system} V"))
    return tuple(found)


def _found(plan: Plan, label: str, way: Way, wishes: FindWishes, library: Library) -> Ranking:
    ranking = Ranking()
    tried = candidates(plan.pairing(label), way, library.senders, library.gauges)
    for arrived in find(plan, label, way, tried, wishes):
        ranking.take(arrived)
    if ranking.excluded and not ranking.rows and ranking.excluded[0].kind in _NEVER:
        raise UserError(ranking.excluded[0].why)
    return ranking


def _picked(found: Ranking, key: str) -> Row:
    for row in found.rows:
        if row.key == key:
            return row
    for out in found.excluded:
        if out.candidate.key == key:
            raise user_error("cli.find.picked_out", part=key, why=out.why)
    raise user_error("cli.find.no_pick", part=shown(key))


def _apply(put: JudgedRow, path: Path, terminal: Terminal, *, quiet: bool) -> None:
    write_plan(path, put.plan)
    if not quiet:
        said = message(
            "cli.find.applied", path=shlex.quote(str(path)), part=put.row.key, trim=put.judged.words
        )
        terminal.say(["", *wrapped(terminal.text(said), terminal.width)])


# --- what is said -------------------------------------------------------------------------------


def _report(
    plan: Plan,
    label: str,
    options: argparse.Namespace,
    found: Ranking,
    judged: Sequence[JudgedRow],
    terminal: Terminal,
) -> Iterator[str]:
    title = message("cli.assess.title", plan=plan.name, label=label)
    yield from wrapped(terminal.text(title), terminal.width)
    yield from facts(_given(plan, label, options, found, terminal), terminal.width)
    if judged:
        yield ""
        yield from _rows(plan, found, judged, terminal)
        yield ""
        legend = message("cli.find.legend", most=options.most)
        yield from wrapped(terminal.text(legend), terminal.width)
    else:
        yield ""
        yield from wrapped(terminal.text(message("cli.find.none")), terminal.width)
    yield ""
    yield from _left_out(found.excluded, terminal, every=options.excluded)
    cautions = [terminal.text(one) for one in cautions_for(plan.duty, plan.pairing(label))]
    if cautions:
        yield ""
        yield terminal.text(Message("cli.assess.cautions"))
        for text in cautions:
            yield from wrapped(text, terminal.width, "  - ")


def _given(
    plan: Plan, label: str, options: argparse.Namespace, found: Ranking, terminal: Terminal
) -> list[tuple[str, str]]:
    pairing, pairs = plan.pairing(label), []
    if options.way != "gauges":
        pairs.append(("sender", terminal.text(message("cli.find.sought"))))
    else:
        pairs.append(("sender", pairing.sender.name))
    gauge = pairing.gauge.name if options.way == "senders" else ""
    pairs.append(("gauge", gauge or terminal.text(message("cli.find.sought"))))
    tried = message(
        "cli.find.tried", total=found.total, ranked=len(found.rows), left=len(found.excluded)
    )
    named = [(terminal.text(message(f"cli.word.{name}")), text) for name, text in pairs]
    return [*named, (terminal.text(message("cli.find.word.tried")), terminal.text(tried))]


_SIDES: tuple[Side, ...] = (
    "right", "left", "left", "right", "right", "right", "right", "left", "left",
)  # fmt: skip


def _rows(plan: Plan, found: Ranking, judged: Sequence[JudgedRow], terminal: Terminal) -> list[str]:
    names = ("part", "trim", "worst", "share", "best", "count", "flatters", "verdict")
    heads = ["", *(terminal.text(Message(f"cli.find.column.{name}")) for name in names)]
    heads[3] = f"{heads[3]} {terminal.unit(difference(plan.duty.kind))}"
    best = unbeaten(found.rows)
    cells = [
        [
            f"{'*' if one.row.key in best else ''}{number}",
            one.row.key,
            terminal.text(trim_formula(ohms_by_place(one.judged.trim))),
            ("≥ " if one.judged.judged.at_least else "")
            + terminal.number(one.judged.judged.worst.value, one.judged.judged.worst.kind),
            _times(one.judged.judged.share, terminal),
            _times(one.row.best.worst, terminal),
            str(one.judged.count),
            terminal.text(message(f"cli.find.flatters.{_flatters(one.flatters)}")),
            verdict_word(one.judged.judged.verdict, terminal),
        ]
        for number, one in enumerate(judged, 1)
    ]
    return table(heads, cells, _SIDES)


def _flatters(verdict: Verdict) -> str:
    known = {Verdict.STOP: "yes", Verdict.CAUTION: "maybe", Verdict.GOOD: "no"}
    return known.get(verdict, "unknown")


def _times(share: float, terminal: Terminal) -> str:
    """Return a share of the allowed error with two decimals."""
    if share != share:
        return "?"
    return f"{share:.2f}".replace(".", terminal.decimal)


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
    yield from wrapped(terminal.text(said), terminal.width)
    if not every:
        yield from wrapped(terminal.text(message("cli.find.excluded_hint")), terminal.width)
        return
    for out in excluded:
        why = message("cli.find.excluded_row", part=out.candidate.key, why=out.why)
        yield from wrapped(terminal.text(why), terminal.width, "  - ")
