"""Sections of a sheet about the needle: dial, error chart, the marks, what a band is made of."""

from __future__ import annotations

import math

from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.drawing.chart import error_chart
from retrofit.drawing.dial import dial_drawing
from retrofit.drawing.look import Look
from retrofit.plan.assess import Assessment
from retrofit.plan.causes import cause_says
from retrofit.plan.mark_readings import MarkReading, least_sure
from retrofit.plan.stages import LeadState
from retrofit.sheet.blocks import Block, Bullets, Facts, Grid, Pictures, Prose, Section, Side
from retrofit.sheet.wording import Wording

_DIAL, _CHART = (62.0, 52.0), (118.0, 52.0)
"""Sizes of dial and error chart [mm]: side by side they fill the width between the margins."""

_MOST_SHARES, _LEAST_SHARE = 5, 0.005


def reading_section(found: Assessment, words: Wording, look: Look) -> Section:
    """Return the dial at the mark that is most in error, the error chart, and the marks."""
    dial = dial_drawing(found, look, _DIAL, _shown_at(found))
    chart = error_chart(found, look, _CHART)
    blocks: list[Block] = [Pictures((dial, chart))]
    if found.reason is not None:
        blocks.append(Prose(words.text(found.reason)))
    blocks += _marks(found, words)
    blocks += _lead(found, words)
    blocks += _second(found, words)
    return Section("reading", words.say("title.reading"), tuple(blocks))


def _shown_at(found: Assessment) -> float:
    """Return the true value at which the dial is drawn: where the error weighs most."""
    low, high = found.plan.duty.span
    told = [mark for mark in found.marks if not math.isnan(mark.error)]
    if not told:
        return (low + high) / 2.0
    return max(told, key=lambda mark: abs(mark.error) / (mark.allowed or 1.0)).at


def _head(words: Wording, key: str, kind: Kind) -> str:
    return f"{words.say(f'column.{key}')} {words.unit(kind)}"


def _marks(found: Assessment, words: Wording) -> list[Block]:
    if not found.marks:
        key = "marks.none" if found.reason is None else "marks.untold"
        return [Prose(words.say(key))] if not found.plan.duty.marks else _untold(found, words)
    kind = found.plan.duty.kind
    signal = found.pairing.sender.signal or found.pairing.gauge.signal
    litres = found.plan.duty.capacity is not None
    heads = [
        words.say("column.mark"),
        _head(words, "true", kind),
        _head(words, "sender", signal),
        _head(words, "shown", kind),
        *([_head(words, "shown", Kind.VOLUME)] if litres else []),
        _head(words, "error", difference(kind)),
        _head(words, "likely", kind),
        _head(words, "worst", kind),
        _head(words, "allowed", difference(kind)),
        words.say("column.side"),
    ]
    rows = tuple(_mark(found, mark, words, signal) for mark in found.marks)
    numbers: list[Side] = ["right"] * (len(heads) - 2)
    return [Grid(words.say("marks.caption"), tuple(heads), rows, ("left", *numbers, "left"))]


def _mark(found: Assessment, mark: MarkReading, words: Wording, signal: Kind) -> tuple[str, ...]:
    kind, capacity = found.plan.duty.kind, found.plan.duty.capacity
    apart = difference(kind)
    litres = []
    if capacity is not None:
        litres = [words.number(mark.shown * capacity.si(Kind.VOLUME), Kind.VOLUME)]
    shown = words.number(mark.shown, kind)
    held = {-1: "held.low", 1: "held.high"}.get(mark.held)
    return (
        words.name(mark.mark.name),
        words.number(mark.at, kind),
        words.number(mark.ohms, signal),
        shown if held is None else words.say(held, shown=shown),
        *litres,
        words.number(mark.error, apart, sign=True),
        _band(words, mark.likely_low, mark.likely_high, kind),
        _band(words, mark.worst_low, mark.worst_high, kind),
        words.unknown if mark.allowed is None else f"± {words.number(mark.allowed, apart)}",
        words.say(f"side.{_side(mark)}"),
    )


def _band(words: Wording, low: float, high: float, kind: Kind) -> str:
    if math.isnan(low) or math.isnan(high):
        return words.unknown
    return words.say("band", low=words.number(low, kind), high=words.number(high, kind))


def _side(mark: MarkReading) -> str:
    """Return whether a mark's error flatters or warns early, as far as that can be told."""
    side = mark.mark.flatters
    if side == "unknown" or math.isnan(mark.error):
        return "unknown"
    if mark.error == 0.0:
        return "true"
    return "flatters" if mark.flattery(side) > 0.0 else "early"


def _untold(found: Assessment, words: Wording) -> list[Block]:
    """Return the marks where nobody can tell what is shown: what is asked, and unknown."""
    duty = found.plan.duty
    apart = difference(duty.kind)
    heads = (
        words.say("column.mark"),
        _head(words, "true", duty.kind),
        _head(words, "shown", duty.kind),
        _head(words, "allowed", apart),
    )
    rows = []
    for mark in duty.marks:
        allowed = duty.allowed_at(mark)
        limit = words.unknown if allowed is None else f"± {words.number(allowed, apart)}"
        at = words.number(mark.at.si(duty.kind), duty.kind)
        rows.append((words.name(mark.name), at, words.unknown, limit))
    sides: tuple[Side, ...] = ("left", "right", "right", "right")
    return [Grid(words.say("marks.caption"), heads, tuple(rows), sides)]


def _lead(found: Assessment, words: Wording) -> list[Block]:
    states = (("lead.open", found.lead_open), ("lead.earthed", found.lead_earthed))
    rows = [
        (words.say(key), _where(found, state, words)) for key, state in states if state is not None
    ]
    return [Facts(tuple(rows))] if rows else []


def _where(found: Assessment, state: LeadState, words: Wording) -> str:
    keys = {-1: "lead.lower", 0: "lead.free", 1: "lead.upper"}
    shown = words.value(state.shown, found.plan.duty.kind)
    return words.say(keys[state.held], shown=shown)


def _second(found: Assessment, words: Wording) -> list[Block]:
    second, kind = found.second, found.plan.duty.kind
    if second is None or not found.marks:
        return []
    heads = (
        words.say("column.mark"),
        _head(words, "true", kind),
        _head(words, "shown", kind),
        _head(words, "error", difference(kind)),
    )
    rows = tuple(
        (
            words.name(mark.mark.name),
            words.number(mark.at, kind),
            words.number(mark.at + float(error), kind),
            words.number(float(error), difference(kind), sign=True),
        )
        for mark, error in zip(found.marks, second.mark_errors, strict=True)
    )
    sides: tuple[Side, ...] = ("left", "right", "right", "right")
    return [Prose(words.say("second")), Grid(words.say("second"), heads, rows, sides)]


def sureness_section(found: Assessment, words: Wording) -> Section | None:
    """Return which numbers are least certain: what the bands are made of, and leave out."""
    mark = least_sure(found.marks)
    if found.spread is None or mark is None:
        return None
    told = [one for one in mark.shares if one.share >= _LEAST_SHARE][:_MOST_SHARES]
    apart = difference(found.plan.duty.kind)
    blocks: list[Block] = []
    if told:
        first = words.text(cause_says(told[0].name))
        blocks.append(Prose(words.say("sure.least", cause=first, mark=mark.mark.name)))
        heads = (
            words.say("column.cause", mark=mark.mark.name),
            _head(words, "share", Kind.FRACTION),
            _head(words, "alone_low", apart),
            _head(words, "alone_high", apart),
        )
        rows = tuple(
            (
                words.text(cause_says(one.name)),
                words.number(one.share, Kind.FRACTION),
                words.number(one.alone_low, apart, sign=True),
                words.number(one.alone_high, apart, sign=True),
            )
            for one in told
        )
        sides: tuple[Side, ...] = ("left", "right", "right", "right")
        blocks.append(Grid(words.say("sure.caption"), heads, rows, sides))
    blocks += _left_out(found, words)
    return Section("sureness", words.say("title.sureness"), tuple(blocks)) if blocks else None


def _left_out(found: Assessment, words: Wording) -> list[Block]:
    spread, likely = found.spread, found.likely
    assert spread is not None
    told = []
    if spread.unstated:
        names = ", ".join(words.text(one) for one in spread.unstated)
        told.append(words.say("sure.unstated", what=names))
    if likely is not None and spread.causes:
        stable = likely.convergence
        key = "cli.assess.stable" if stable.reached else "cli.assess.unstable"
        told.append(words.text(message(key, draws=stable.draws, seed=stable.seed)))
    if likely is None:
        told.append(words.say("sure.pending"))
    if spread.widest == spread.widest:
        widest = SiValue(spread.widest, difference(found.plan.duty.kind))
        told.append(words.text(message("check.spread.known", widest=widest)))
    return [Bullets(tuple(told))] if told else []
