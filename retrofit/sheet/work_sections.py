"""Sections of a sheet for the hands: cautions, trim, wiring diagram; then checks and unknowns."""

from __future__ import annotations

from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.drawing.diagram import Advice, wiring_diagram
from retrofit.drawing.look import Look
from retrofit.installation import RUNS, TrimResistor
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import COMPUTED, Check, Verdict
from retrofit.plan.lead_test import earthing_says
from retrofit.sheet.blocks import Block, Bullets, Facts, Grid, Pictures, Prose, Section, Verdicts
from retrofit.sheet.wording import Wording
from retrofit.trim.marking import marking
from retrofit.trim.power import Loads, needed_rating


def cautions_section(found: Assessment, words: Wording) -> Section:
    """Return what can hurt someone at this work."""
    beside = found.lead_earthed is not None  # then the limits of it stand beside what it does
    items = tuple(
        words.text(one)
        for one in found.cautions
        if not (beside and one == earthing_says(found.pairing, found.plan.duty))
    )
    return Section("cautions", words.say("title.cautions"), (Bullets(items),), whole=True)


# --- trim ---------------------------------------------------------------------------------------


def trim_section(found: Assessment, words: Wording) -> Section | None:
    """Return each resistor: value, where it sits, how it is marked, what it takes."""
    trim = found.pairing.trim
    if not trim:
        return None
    heads = tuple(
        words.say(f"trim.{key}") for key in ("value", "place", "tolerance", "marked", "power")
    )
    loads = found.loads
    rows = tuple(_resistor(one, loads, words) for one in trim)
    blocks: list[Block] = [
        Grid(words.say("trim.caption"), heads, rows, ("left",) * 5, shares=(0, 0, 0, 2, 3))
    ]
    if isinstance(loads, Message):
        blocks.append(Prose(words.say("trim.power_unknown", why=loads)))
    if found.plan.duty.quantity == "level":
        blocks.append(Prose(words.text(message("caution.no_resistor_at_tank"))))
    return Section("trim", words.say("title.trim"), tuple(blocks), whole=True)


def _resistor(one: TrimResistor, loads: Loads | Message, words: Wording) -> tuple[str, ...]:
    value = words.amount(one.value, Kind.RESISTANCE)
    if one.track is not None:
        track = words.amount(one.track, Kind.RESISTANCE)
        value = words.say("trim.set", value=value, track=track)
    return (
        value,
        words.text(message(f"place.{one.place}")),
        words.tolerance(one.tolerance),
        _marked(one, words),
        _power(one, loads, words),
    )


def _marked(one: TrimResistor, words: Wording) -> str:
    if one.track is not None:
        return words.say("trim.track")
    ohm = one.value.si(Kind.RESISTANCE)
    share = None if one.tolerance is None else one.tolerance.si(ohm, Kind.RESISTANCE) / ohm
    found = marking(ohm, None if share is None else round(share, 9))
    if not found.bands:
        return found.code
    bands = ", ".join(words.text(colour.text) for colour in found.bands)
    return words.say("trim.code", code=found.code, bands=bands)


def _power(one: TrimResistor, loads: Loads | Message, words: Wording) -> str:
    rated = "" if one.rating is None else words.amount(one.rating, Kind.POWER)
    if isinstance(loads, Message):
        return words.say("trim.rated", rating=rated) if rated else words.unknown
    load = next(load for resistor, load in loads.resistors if resistor.place == one.place)
    rating = needed_rating(load.watts)
    takes = words.value(load.watts, Kind.POWER)
    needs = words.unknown if rating is None else words.value(rating, Kind.POWER)
    key = "trim.takes_rated" if rated else "trim.takes"
    return words.say(key, takes=takes, state=load.state, needs=needs, rating=rated)


# --- wiring -------------------------------------------------------------------------------------


def wiring_section(found: Assessment, words: Wording, look: Look, advice: Advice) -> Section:
    """Return the wiring diagram, and each wire as the user gave it."""
    pairing = found.pairing
    rows = [] if pairing.trim else [(words.say("trim.row"), words.say("trim.none"))]
    for run in RUNS:
        path = pairing.installation.path(run)
        if path.empty:
            continue
        told = []
        if path.wire is not None:
            told += [path.wire.size, words.amount(path.wire.length, Kind.LENGTH)]
            told += [words.name(path.wire.colour)] if path.wire.colour else []
        if path.contacts is not None:
            told.append(words.say("wire.joints", ohm=words.figure(path.contacts, Kind.RESISTANCE)))
        if path.measured is not None:
            ohm = words.figure(path.measured, Kind.RESISTANCE)
            told.append(words.say("wire.measured", ohm=ohm))
        rows.append((words.text(message(f"drawing.wiring.run.{run}")), ", ".join(told)))
    earth = words.figure(pairing.installation.sender_earth, Kind.RESISTANCE)
    rows.append((words.say("wire.sender_earth"), earth))
    drawing = wiring_diagram(pairing, look, advice)
    blocks: tuple[Block, ...] = (Pictures((drawing,)), Facts(tuple(rows)))
    return Section("wiring", words.say("title.wiring"), blocks)


# --- checks -------------------------------------------------------------------------------------


def checks_section(found: Assessment, words: Wording) -> Section:
    """Return every check with its reason, worst first, and what it rests on."""
    items = []
    checks, more = _thinned(found.checks)
    for check in checks:
        # What is not known has a section of its own that says what to measure.
        why = "" if check.verdict is Verdict.UNKNOWN else words.text(check.why)
        if why and check.basis != COMPUTED:
            why = f"{why} ({words.basis(check.basis)})"
        word = words.text(message(f"verdict.{check.verdict.value}"))
        items.append((check.verdict, word, words.text(check.says), why))
    blocks: list[Block] = [Verdicts(tuple(items))]
    blocks += [Prose(words.say("check.more", count=more))] if more else []
    return Section("checks", words.say("title.checks"), tuple(blocks))


_MOST_MARKS = 5


def _thinned(checks: tuple[Check, ...]) -> tuple[list[Check], int]:
    """Return the checks without those of many marks that the table tells, and how many."""
    kept: list[Check] = []
    for check in checks:
        alike = [one for one in kept if one.name == "mark" and one.verdict is check.verdict]
        if check.name != "mark" or len(alike) < _MOST_MARKS:
            kept.append(check)
    return kept, len(checks) - len(kept)
