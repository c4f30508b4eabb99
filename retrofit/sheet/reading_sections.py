"""Sections of a sheet about the needle: dial, error chart, the marks, what a band is made of."""

from __future__ import annotations

import math

from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.drawing.chart import error_chart
from retrofit.drawing.dial import dial_drawing
from retrofit.drawing.face import scale_of
from retrofit.drawing.look import Look
from retrofit.drawing.spot import spot_at
from retrofit.plan.assess import Assessment
from retrofit.plan.causes import cause_says
from retrofit.plan.lead_test import earthing_says
from retrofit.plan.mark_readings import MarkReading, Reach, reaches, weightiest
from retrofit.plan.stages import LeadState
from retrofit.sheet.blocks import Block, Bullets, Facts, Grid, Pictures, Prose, Section, Side
from retrofit.sheet.wording import Wording

_DIAL, _CHART = (62.0, 52.0), (118.0, 52.0)
"""Sizes of dial and error chart [mm]: side by side they fill the width between the margins."""

_NOTHING = 1e-9
"""Share of the range below which an error is rounding alone."""

_SEEN = 0.01
"""Share of the scale from which a bracket on the dial can be seen."""

_MOST_REACHES, _LEAST_REACH = 6, 0.1
"""How many causes are told, and the share of the farthest below which one is left out."""


def reading_section(found: Assessment, words: Wording, look: Look) -> Section:
    """Return the dial at the mark that is most in error, the error chart, and the marks."""
    dial = dial_drawing(found, look, _DIAL, _shown_at(found))
    chart = error_chart(found, look, _CHART)
    blocks: list[Block] = [Pictures((dial, chart)), Prose(_dial_key(found, words))]
    if found.reason is not None:
        blocks.append(Prose(words.text(found.reason)))
    blocks += _marks(found, words)
    blocks += _lead(found, words)
    blocks += _second(found, words)
    return Section("reading", words.say("title.reading"), tuple(blocks))


def _shown_at(found: Assessment) -> float:
    """Return the true value at which the dial is drawn: where the error weighs most."""
    low, high = found.plan.duty.span
    mark = weightiest(found.marks)
    return (low + high) / 2.0 if mark is None else mark.at


def _dial_key(found: Assessment, words: Wording) -> str:
    """Return what the signs on the dial mean, of those that are drawn."""
    spot, scale = spot_at(found, _shown_at(found)), scale_of(found.pairing.gauge)
    told = []
    if spot.allowed is not None:
        told.append(words.say("dial.allowed"))
    if spot.high - spot.low > _SEEN * (scale.high - scale.low):
        told.append(words.say("dial.shapes"))
    told.append(words.say("dial.stops_assumed" if scale.stops_assumed else "dial.stops"))
    return words.say("dial.key", what="; ".join(told))


def _head(words: Wording, key: str, kind: Kind) -> str:
    """Return the heading of a column with its unit; a difference of levels is in points."""
    if kind is Kind.LEVEL_DIFFERENCE:
        return words.say(f"column.{key}.points")
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
        *([_head(words, "true", Kind.VOLUME)] if litres else []),
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
    grid = Grid(words.say("marks.caption"), tuple(heads), rows, ("left", *numbers, "left"))
    return [grid, *_points(kind, words)]


def _points(kind: Kind, words: Wording) -> list[Block]:
    """Return what a point is, where differences are told in points."""
    return [Prose(words.say("points"))] if kind is Kind.LEVEL else []


def _mark(found: Assessment, mark: MarkReading, words: Wording, signal: Kind) -> tuple[str, ...]:
    kind, capacity = found.plan.duty.kind, found.plan.duty.capacity
    apart = difference(kind)
    full = None if capacity is None else capacity.si(Kind.VOLUME)

    def litres(value: float) -> list[str]:
        return [] if full is None else [words.number(value * full, Kind.VOLUME)]

    shown = words.number(mark.shown, kind)
    held = {-1: "held.low", 1: "held.high"}.get(mark.held)
    return (
        words.name(mark.mark.name),
        words.number(mark.at, kind),
        *litres(mark.at),
        words.number(mark.ohms, signal),
        shown if held is None else words.say(held, shown=shown),
        *litres(mark.shown),
        words.number(mark.error, apart, sign=True),
        _band(words, mark.likely_low, mark.likely_high, kind),
        _band(words, mark.worst_low, mark.worst_high, kind),
        words.unknown if mark.allowed is None else f"± {words.number(mark.allowed, apart)}",
        words.say(f"side.{_side(mark, found)}"),
    )


def _band(words: Wording, low: float, high: float, kind: Kind) -> str:
    if math.isnan(low) or math.isnan(high):
        return words.unknown
    return words.say("band", low=words.number(low, kind), high=words.number(high, kind))


def _side(mark: MarkReading, found: Assessment) -> str:
    """Return whether a mark's error flatters or warns early, as far as that can be told."""
    side = mark.mark.flatters
    if side == "unknown" or math.isnan(mark.error):
        return "unknown"
    low, high = found.plan.duty.span
    if abs(mark.error) <= _NOTHING * (high - low):
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
    if rows:
        limits = earthing_says(found.pairing, found.plan.duty)
        rows.append((words.say("lead.limits"), words.text(limits)))
    return [Facts(tuple(rows))] if rows else []


def _where(found: Assessment, state: LeadState, words: Wording) -> str:
    keys = {-1: "lead.lower", 0: "lead.free", 1: "lead.upper"}
    shown = words.value(state.shown, found.plan.duty.kind)
    return words.say(keys[state.held], shown=shown)


def _second(found: Assessment, words: Wording) -> list[Block]:
    second, spread, kind = found.second, found.second_spread, found.plan.duty.kind
    if second is None or spread is None or not found.marks:
        return []
    worst = spread.at_marks
    heads = (
        words.say("column.mark"),
        _head(words, "true", kind),
        _head(words, "shown", kind),
        _head(words, "error", difference(kind)),
        _head(words, "worst", kind),
    )
    rows = tuple(
        (
            words.name(mark.mark.name),
            words.number(mark.at, kind),
            words.number(mark.at + float(error), kind),
            words.number(float(error), difference(kind), sign=True),
            _band(words, float(low), float(high), kind),
        )
        for mark, error, low, high in zip(
            found.marks, second.mark_errors, worst.low, worst.high, strict=True
        )
    )
    sides: tuple[Side, ...] = ("left", "right", "right", "right", "right")
    return [Prose(words.say("second")), Grid(words.say("second"), heads, rows, sides)]


def sureness_section(found: Assessment, words: Wording) -> Section | None:
    """Return which numbers are least certain, where the error weighs most; and what is missing."""
    mark, spread = weightiest(found.marks), found.spread
    if spread is None or mark is None:
        return None
    apart = difference(found.plan.duty.kind)
    told = reaches(mark, spread)
    told = tuple(one for one in told if one.size >= _LEAST_REACH * told[0].size)[:_MOST_REACHES]
    blocks: list[Block] = []
    if told:
        first, name = words.text(cause_says(told[0].name)), words.name(mark.mark.name)
        blocks.append(Prose(words.say("sure.least", cause=first, mark=name)))
        rows = tuple((words.text(cause_says(one.name)), _reach(one, words, apart)) for one in told)
        blocks.append(Facts(rows))
    blocks += _left_out(found, words)
    if not blocks:
        return None
    return Section("sureness", words.say("title.sureness"), tuple(blocks), whole=True)


def _reach(one: Reach, words: Wording, apart: Kind) -> str:
    low, high = (words.value(end, apart, sign=True) for end in (one.low, one.high))
    return words.say("sure.reach", low=low, high=high)


def _left_out(found: Assessment, words: Wording) -> list[Block]:
    spread, likely = found.spread, found.likely
    assert spread is not None
    told = []
    if spread.unstated:
        names = ", ".join(words.text(one) for one in spread.unstated)
        told.append(words.say("sure.unstated", what=names))
    drawn = words.say("sure.pending") if likely is None else ""
    if likely is not None and spread.causes:
        stable = likely.convergence
        key = "cli.assess.stable" if stable.reached else "cli.assess.unstable"
        drawn = words.text(message(key, draws=stable.draws, seed=stable.seed))
    widest = SiValue(spread.widest, difference(found.plan.duty.kind))
    if spread.widest == spread.widest:
        stands = message("check.spread.known", widest=widest)
        told.append(
            words.say("sure.band", widest=stands, likely=drawn) if drawn else words.text(stands)
        )
    elif drawn:
        told.append(drawn)
    return [Bullets(tuple(told))] if told else []
