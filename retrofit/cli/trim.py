"""``retrofit trim``: the best resistors there are for a pairing, or the proof that none do."""

from __future__ import annotations

import argparse
import json
import os
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from catalog.atomic import save_text
from catalog.errors import UserError, user_error
from catalog.message import Message, message
from catalog.quantities.kinds import Kind, difference
from retrofit.cli.assess import verdict_word
from retrofit.cli.layout import Side, facts, table, wrapped
from retrofit.cli.narrowed import narrowed, range_said
from retrofit.cli.remedies import at_the_prompt
from retrofit.cli.resistors import resistor_lines, trim_wishes
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed
from retrofit.plan.assess import assess
from retrofit.plan.backwards import runs_backwards
from retrofit.plan.cautions import cautions_for
from retrofit.plan.file import read_plan, write_plan
from retrofit.plan.trim_export import exported_trims
from retrofit.plan.trim_question import leave_tests_out
from retrofit.plan.trim_words import trim_formula
from retrofit.plan.trims import (
    Proposal,
    TrimCandidate,
    propose,
    with_trim,
)
from retrofit.trim.certificate import certificate
from retrofit.trim.stock import Stock
from retrofit.trim.topologies import topologies


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Propose trims for one pairing of a plan; write the lead or its certificate on request."""
    for out in (options.apply, options.certificate):
        if out is not None and not options.force and os.path.lexists(out):
            raise user_error("cli.new.exists", path=out)
    plan, typed = read_plan(Path(options.plan)), Typed(terminal.decimal)
    if options.untested is not None:
        if options.apply is None:
            raise user_error("cli.trim.untested_apply")
        plan = leave_tests_out(plan, options.untested)
    label = plan.pairing(options.pairing).label
    plan = narrowed(plan, label, options, typed)
    found = propose(plan, label, trim_wishes(options, typed))
    if found.refused is not None:
        raise UserError(at_the_prompt(found.refused, plan.duty))
    if options.json:
        terminal.data(exported_trims(found))
    else:
        terminal.say(report(found, options.plan, terminal))
    if options.certificate is not None:
        _certify(found, Path(options.certificate))
    if options.apply is not None:
        _apply(found, options, terminal)
    return 0


# --- what is written ----------------------------------------------------------------------------


def _certify(found: Proposal, path: Path) -> None:
    """Write the proof that nothing beats the best, for somebody else to check."""
    best = None if found.answer is None else found.answer.best
    if best is None or found.question is None:
        raise user_error("trims.unreachable")
    kinds = topologies(
        found.wishes.most, pull_up=found.wishes.pull_up and found.question.node.pull_up
    )
    proof = certificate(found.question, found.wishes.ohms(), kinds, best.trim)
    if proof is None:
        raise user_error("cli.trim.no_certificate")
    save_text(path, json.dumps(proof.document(), allow_nan=False) + "\n")


def _apply(found: Proposal, options: argparse.Namespace, terminal: Terminal) -> None:
    path = Path(options.apply)
    if found.lead is None:
        raise user_error("trims.unreachable")
    made = with_trim(found.plan, found.label, found.lead.trim)
    write_plan(path, made)
    if options.json:
        return
    said = [message("cli.trim.applied", path=shlex.quote(str(path)), trim=found.lead.words)]
    said += range_said(made, options)
    if not found.lead.may_be_fitted:
        said.append(message("cli.trim.applied_all_the_same"))
    terminal.say([""])
    for one in said:
        terminal.say(wrapped(terminal.text(one), terminal.width))
    terminal.say(_whole(found, terminal))


# --- what is said -------------------------------------------------------------------------------


def report(found: Proposal, path: str, terminal: Terminal) -> Iterator[str]:
    """Give the lines that tell a person all of a proposal.

    Parameters
    ----------
    found : Proposal
        What was proposed.
    path : str
        The plan file, to name what to type next.
    terminal : Terminal
        Units, language, width.
    """
    title = message("cli.assess.title", plan=found.plan.name, label=found.label)
    yield from wrapped(terminal.text(title), terminal.width)
    yield from facts(_given(found, terminal), terminal.width)
    yield ""
    back = runs_backwards(found)
    if back:
        yield from wrapped(terminal.text(message("trims.backwards")), terminal.width)
    else:
        for one in found.says:
            yield from wrapped(terminal.text(one), terminal.width)
        if found.lead is not None:
            yield from _whole(found, terminal)
    others = list(found.alternatives)
    sections = [
        ("cli.trim.ladder", _rows(found, [one for one in found.ladder if one], terminal)),
        ("cli.trim.others", _rows(found, others, terminal) if others else []),
        ("cli.trim.parts", resistor_lines(found.lead, terminal)),
        ("cli.trim.proof", _proof(found, terminal)),
        ("cli.trim.cures", _cures(found, path, terminal)),
        ("cli.assess.cautions", _cautions(found, terminal)),
    ]
    for key, lines in sections[3:] if back else sections:
        if lines:
            yield ""
            yield terminal.text(Message(key))
            yield from lines


def _whole(found: Proposal, terminal: Terminal) -> list[str]:
    """Return what the assessment leads with of the plan with the lead in it."""
    assert found.lead is not None
    check = assess(with_trim(found.plan, found.label, found.lead.trim), found.label).checks[0]
    word = verdict_word(check.verdict, terminal)
    said = message("cli.trim.whole", verdict=word, says=check.says)
    return wrapped(terminal.text(said), terminal.width)


def _given(found: Proposal, terminal: Terminal) -> list[tuple[str, str]]:
    wishes = found.wishes
    tolerance = terminal.value(wishes.tolerance, Kind.FRACTION)
    ohms = wishes.ohms()
    ends = [terminal.value(float(end), Kind.RESISTANCE) for end in (ohms[0], ohms[-1])]
    own = isinstance(wishes.values, Stock)
    said = message(
        "cli.trim.own" if own else "cli.trim.series",
        series=str(wishes.values) if not own else "",
        count=len(ohms),
        low=ends[0],
        high=ends[1],
        tolerance=tolerance,
        most=wishes.most,
    )
    now = f"{terminal.text(found.present.words)}, {_worst(found.present, terminal)}"
    return [
        (terminal.text(message("cli.trim.word.resistors")), terminal.text(said)),
        (terminal.text(message("cli.trim.word.now")), now),
    ]


def _worst(one: TrimCandidate, terminal: Terminal) -> str:
    size = terminal.amount(one.judged.worst)
    return f"≥ {size}" if one.judged.at_least else size


_SIDES: tuple[Side, ...] = ("left", "left", "right", "right", "right", "right", "left")


def _rows(found: Proposal, rows: Sequence[TrimCandidate], terminal: Terminal) -> list[str]:
    """Return a table of trims: formula, worst error, times what is allowed, tolerance, verdict."""
    unit = terminal.unit(difference(found.plan.duty.kind))
    names = ("trim", "worst", "share", "with_1", "with_5", "verdict")
    heads = ["", *(terminal.text(Message(f"cli.trim.column.{name}")) for name in names)]
    heads[2] = f"{heads[2]} {unit}"
    cells = [
        [
            terminal.text(message("cli.trim.lead")) if one is found.lead else str(one.count),
            terminal.text(trim_formula(one.ohms)),
            ("≥ " if one.judged.at_least else "")
            + terminal.number(one.judged.worst.value, one.judged.worst.kind),
            *(_times(share, terminal) for share in (one.judged.share, one.with_1, one.with_5)),
            verdict_word(one.judged.verdict, terminal),
        ]
        for one in rows
    ]
    return table(heads, cells, _SIDES)


def _times(share: float, terminal: Terminal) -> str:
    """Return a share of the allowed error with two decimals."""
    if share != share:
        return "?"
    return f"{share:.2f}".replace(".", terminal.decimal) if share != float("inf") else "∞"


def _proof(found: Proposal, terminal: Terminal) -> list[str]:
    if found.proof is None or (found.lead is not None and found.lead.within):
        return []
    told = [found.proof.says, found.proof.shifted]
    return _listed([one for one in told if one is not None], terminal)


def _cures(found: Proposal, path: str, terminal: Terminal) -> list[str]:
    if found.lead is not None and found.lead.within:
        return []
    other = message("cli.trim.find", path=shlex.quote(path))
    proven = () if found.proof is None else found.proof.cures
    return _listed([*proven, other], terminal)


_AT_THIS_STEP = frozenset({"caution.hot_resistor", "caution.no_resistor_at_tank"})
"""Cautions of fitting resistors; those of wiring, testing and threads stand on the sheet."""


def _cautions(found: Proposal, terminal: Terminal) -> list[str]:
    trim = () if found.lead is None or runs_backwards(found) else found.lead.trim
    pairing = replace(found.plan.pairing(found.label), trim=trim)
    medium, *others = cautions_for(found.plan.duty, pairing)
    told = [medium, *(one for one in others if one.key in _AT_THIS_STEP)]
    return _listed([*told, message("cli.more_cautions")], terminal)


def _listed(messages: Sequence[Message], terminal: Terminal) -> list[str]:
    return [
        line for one in messages for line in wrapped(terminal.text(one), terminal.width, "  - ")
    ]
