"""``retrofit find``: every part that could take a place in a plan, each with its best trim."""

from __future__ import annotations

import argparse
import os
import shlex
from collections.abc import Sequence
from pathlib import Path

from catalog.errors import UserError, user_error
from catalog.library import Library
from catalog.message import message
from catalog.quantities.numerals import shown
from retrofit.cli.assess import verdict_word
from retrofit.cli.catalogue import read_catalogue
from retrofit.cli.find_report import Told, report, whole_row
from retrofit.cli.layout import wrapped
from retrofit.cli.narrowed import narrowed, range_said
from retrofit.cli.resistors import trim_wishes
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed
from retrofit.finder.export import exported_finds
from retrofit.finder.filters import PartFilter, by_return, by_stations, by_supply
from retrofit.finder.judged import JudgedRow, banded, judged_row, judged_rows
from retrofit.finder.notes import Search, notes
from retrofit.finder.rank import FindWishes, find
from retrofit.finder.ranking import Ranking
from retrofit.finder.rows import Row, Way, candidates
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan, write_plan

_BANDED = 10
"""Rows of which the likely band is worked out: some sixty milliseconds each."""

_NEVER = ("controller", "tests")
"""Reasons that hold for every candidate, so that nothing at all can be proposed."""


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Try every part in one pairing of a plan; show a picked one whole, or put it in."""
    if options.apply is not None and options.pick is None:
        raise user_error("cli.find.apply_pick")
    if options.apply is not None and not options.force and os.path.lexists(options.apply):
        raise user_error("cli.new.exists", path=options.apply)
    plan, typed = read_plan(Path(options.plan)), Typed(terminal.decimal)
    label = plan.pairing(options.pairing).label
    plan = narrowed(plan, label, options, typed)
    wishes = FindWishes(trim_wishes(options, typed), _filters(options))
    catalogue = read_catalogue(terminal)
    found = _found(plan, label, options.way, wishes, catalogue.library)
    judged = judged_rows(plan, label, found.rows[: options.rows], wishes.trim)
    picked = None
    if options.pick is not None:
        picked = _judged(plan, label, found, judged, wishes, options.pick)
    if options.json:
        terminal.data(exported_finds(plan, label, options.way, wishes, found, judged))
    elif picked is not None and options.apply is None:
        terminal.say(whole_row(banded(picked, label), plan, terminal))
    else:
        judged = [
            banded(one, label) if number < _BANDED else one for number, one in enumerate(judged)
        ]
        said = notes(Search(plan, label, options.way, wishes, found.excluded, found.rows))
        terminal.say(report(Told(plan, label, options, found, judged, said), terminal))
    if picked is not None and options.apply is not None:
        _apply(picked, options, terminal)
    return 0


def _judged(
    plan: Plan,
    label: str,
    found: Ranking,
    judged: Sequence[JudgedRow],
    wishes: FindWishes,
    named: str,
) -> JudgedRow:
    """Return the row that was picked, by its number in the table or by its key."""
    if named.isdecimal() and 1 <= int(named) <= len(judged):
        return judged[int(named) - 1]
    return judged_row(plan, label, _picked(found, named), wishes.trim)


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


def _apply(put: JudgedRow, options: argparse.Namespace, terminal: Terminal) -> None:
    path = Path(options.apply)
    write_plan(path, put.plan)
    if options.json:
        return
    said = message(
        "cli.find.applied", path=shlex.quote(str(path)), part=put.row.key, trim=put.judged.words
    )
    terminal.say(["", *wrapped(terminal.text(said), terminal.width)])
    for one in range_said(put.plan, options):
        terminal.say(wrapped(terminal.text(one), terminal.width))
    word = verdict_word(put.whole.verdict, terminal)
    terminal.say(wrapped(terminal.text(put.whole.says), terminal.width, f"{word}  "))
    terminal.say([terminal.text(message("cli.new.next", path=shlex.quote(str(path))))])
