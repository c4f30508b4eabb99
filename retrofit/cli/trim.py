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
from retrofit.cli.resistors import trim_wishes
from retrofit.cli.terminal import Terminal
from retrofit.cli.typed import Typed
from retrofit.installation import TrimResistor
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
from retrofit.trim.marking import marking
from retrofit.trim.stock import Stock
from retrofit.trim.topologies import topologies


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """Propose trims for one pairing of a plan; write the lead or its certificate on request."""
    for out in (options.apply, options.certificate):
        if out is not None and not options.force and os.path.lexists(out):
            raise user_error("cli.new.exists", path=out)
    plan = read_plan(Path(options.plan))
    if options.untested is not None:
        if options.apply is None:
            raise user_error("cli.trim.untested_apply")
        plan = leave_tests_out(plan, options.untested)
    label = plan.pairing(options.pairing).label
    found = propose(plan, label, trim_wishes(options, Typed(terminal.decimal)))
    if found.refused is not None:
        raise UserError(found.refused)
    if options.json:
        terminal.data(exported_trims(found))
    else:
        terminal.say(report(found, terminal))
    if options.certificate is not None:
        _certify(found, Path(options.certificate))
    if options.apply is not None:
        _apply(found, Path(options.apply), terminal, quiet=options.json)
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


def _apply(found: Proposal, path: Path, terminal: Terminal, *, quiet: bool) -> None:
    if found.lead is None:
        raise user_error("trims.unreachable")
    write_plan(path, with_trim(found.plan, found.label, found.lead.trim))
    if not quiet:
        said = message("cli.trim.applied", path=shlex.quote(str(path)), trim=found.lead.words)
        terminal.say(["", *wrapped(terminal.text(said), terminal.width)])


# --- what is said -------------------------------------------------------------------------------


def report(found: Proposal, terminal: Terminal) -> Iterator[str]:
    """Give the lines that tell a person all of a proposal.

    Parameters
    ----------
    found : Proposal
        What was proposed.
    terminal : Terminal
        Units, language, width.
    """
    title = message("cli.assess.title", plan=found.plan.name, label=found.label)
    yield from wrapped(terminal.text(title), terminal.width)
    yield from facts(_given(found, terminal), terminal.width)
    yield ""
    for one in found.says:
        yield from wrapped(terminal.text(one), terminal.width)
    others = list(found.alternatives)
    sections = [
        ("cli.trim.ladder", _rows(found, [one for one in found.ladder if one], terminal)),
        ("cli.trim.others", _rows(found, others, terminal) if others else []),
        ("cli.trim.parts", _parts(found.lead, terminal)),
        ("cli.trim.proof", _proof(found, terminal)),
        ("cli.trim.cures", _cures(found, terminal)),
        ("cli.assess.cautions", _cautions(found, terminal)),
    ]
    for key, lines in sections:
        if lines:
            yield ""
            yield terminal.text(Message(key))
            yield from lines


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


def _parts(lead: TrimCandidate | None, terminal: Terminal) -> list[str]:
    """Return each resistor of the lead: where, how it is marked, what it has to take."""
    if lead is None or not lead.trim:
        return []
    lines: list[str] = []
    for one in lead.trim:
        ohm = one.value.si(Kind.RESISTANCE)
        name = message("trims.resistor", ohm=str(one.value), place=message(f"place.{one.place}"))
        lines += wrapped(terminal.text(name), terminal.width, "  ")
        lines += wrapped(_marked(one, ohm, terminal), terminal.width, "    ")
        lines += wrapped(_power(lead, one, terminal), terminal.width, "    ")
    return lines


def _marked(one: TrimResistor, ohm: float, terminal: Terminal) -> str:
    share = None if one.tolerance is None else one.tolerance.si(ohm, Kind.RESISTANCE) / ohm
    found = marking(ohm, None if share is None else round(share, 9))
    colours = ", ".join(terminal.text(colour.text) for colour in found.bands)
    key = "trims.marked" if found.bands else "trims.marked_code"
    return terminal.text(message(key, code=found.code, bands=colours))


def _power(lead: TrimCandidate, one: TrimResistor, terminal: Terminal) -> str:
    if isinstance(lead.needs, Message):
        return terminal.text(message("trims.power_unknown", why=lead.needs))
    need = next(each for each in lead.needs if each.place == one.place)
    return terminal.text(need.says)


def _proof(found: Proposal, terminal: Terminal) -> list[str]:
    if found.proof is None or (found.lead is not None and found.lead.within):
        return []
    told = [found.proof.says, found.proof.shifted]
    return _listed([one for one in told if one is not None], terminal)


def _cures(found: Proposal, terminal: Terminal) -> list[str]:
    if found.proof is None or (found.lead is not None and found.lead.within):
        return []
    return _listed(found.proof.cures, terminal)


def _cautions(found: Proposal, terminal: Terminal) -> list[str]:
    trim = () if found.lead is None else found.lead.trim
    pairing = replace(found.plan.pairing(found.label), trim=trim)
    return _listed(cautions_for(found.plan.duty, pairing), terminal)


def _listed(messages: Sequence[Message], terminal: Terminal) -> list[str]:
    return [
        line for one in messages for line in wrapped(terminal.text(one), terminal.width, "  - ")
    ]
