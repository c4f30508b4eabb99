"""Checks of the needle error at the marks that matter, and of the side it errs to."""

from __future__ import annotations

import math

from catalog.message import Message, Value, message
from retrofit.plan.checks.check import ROUNDING, SEVERITY, SMALL, Check, Facts, Verdict
from retrofit.plan.document import DutyMark, Side
from retrofit.plan.mark_readings import MarkReading

_EARLY = 3.0
"""Errors beyond this many times the allowed one are no early warning but a wrong reading, and
teach people to look away (assumed)."""


_NOTHING = 1e-9
"""Share of the range below which an error is rounding alone."""


def unread_mark(facts: Facts, mark: DutyMark, why: Message) -> Check:
    """Return the check of a mark in a plan for which nobody can tell any reading."""
    at = facts.value(mark.at.si(facts.duty.kind))
    says = message("check.mark.unknown", mark=mark.name, at=at)
    return Check("mark", Verdict.UNKNOWN, says, why, mark=mark.name)


def check_mark(facts: Facts, mark: MarkReading) -> Check:
    """Return whether the needle is near enough at one mark.

    ``stop``: the error is beyond what is allowed and may hide danger, or is so large that the
    needle means nothing. ``caution``: it is beyond but warns early, or it may be beyond for all
    that is known of the curves, or the needle stands on a stop, where it tells nothing.
    """
    if math.isnan(mark.shown):
        return unread_mark(facts, mark.mark, message("check.mark.no_curve"))
    says = _says(facts, mark)
    number = facts.apart(mark.error)
    if mark.allowed is None:
        why = message("check.mark.nothing_allowed")
        return Check(
            "mark",
            Verdict.UNKNOWN,
            says,
            why,
            number,
            step="duty",
            field="allowed",
            mark=mark.mark.name,
        )
    limit = facts.apart(mark.allowed)
    verdict, why = _judge(facts, mark, mark.allowed)
    return Check("mark", verdict, says, why, number, limit, mark=mark.mark.name)


def _judge(facts: Facts, mark: MarkReading, allowed: float) -> tuple[Verdict, Message]:
    limit = facts.apart(allowed)
    side = mark.mark.flatters
    worst = facts.apart(mark.worst)
    most = allowed * ROUNDING
    if abs(mark.error) > most:
        safe = side != "unknown" and mark.flattery(side) < 0.0
        if safe and mark.worst_flattery(side) <= most:
            if abs(mark.error) <= _EARLY * most:
                return Verdict.CAUTION, message("check.mark.early", limit=limit)
            return Verdict.STOP, message("check.mark.too_early", limit=limit)
        return Verdict.STOP, message("check.mark.beyond", limit=limit, worst=worst)
    if mark.worst > most:
        return Verdict.CAUTION, message("check.mark.maybe", limit=limit, worst=worst)
    if mark.held:
        return Verdict.CAUTION, message("check.mark.on_stop", limit=limit)
    return Verdict.GOOD, message("check.mark.within", limit=limit, worst=worst)


def _says(facts: Facts, mark: MarkReading) -> Message:
    """Return what the needle shows at a mark and whether that flatters."""
    values: dict[str, Value] = {
        "mark": mark.mark.name,
        "at": facts.value(mark.at),
        "shown": facts.value(mark.shown),
        "error": facts.apart(mark.error),
    }
    if mark.held:
        return message("check.mark.held_high" if mark.held > 0 else "check.mark.held_low", **values)
    return message("check.mark.shows", **values)


def check_flatters(facts: Facts) -> Check:
    """Return whether the needle hides danger at any mark, over all marks at once."""
    marks = [mark for mark in facts.marks if not math.isnan(mark.shown)]
    told = [mark for mark in marks if mark.mark.flatters != "unknown"]
    worst = min(told, key=lambda mark: _order(facts, mark), default=None)
    if worst is not None and _verdict(facts, worst) is Verdict.STOP:
        return _flattered(facts, worst)
    if not marks or len(marks) < len(facts.marks):
        why = message(
            "check.flatters.no_reading" if facts.duty.marks else "check.flatters.no_marks"
        )
        says = message("check.flatters.unknown")
        return Check("flatters", Verdict.UNKNOWN, says, why, step="duty", field="marks")
    unsaid = [mark.mark.name for mark in marks if mark.mark.flatters == "unknown"]
    if unsaid:
        says = message("check.flatters.unknown")
        why = message("check.flatters.unsaid", marks=", ".join(unsaid))
        return Check("flatters", Verdict.UNKNOWN, says, why, step="duty", field="marks")
    assert worst is not None
    return _flattered(facts, worst)


def _order(facts: Facts, mark: MarkReading) -> tuple[int, float]:
    """Return what puts the mark that flatters worst first."""
    share = mark.worst_flattery(mark.mark.flatters) / (mark.allowed or 1.0)
    return SEVERITY[_verdict(facts, mark)], -share


def _verdict(facts: Facts, mark: MarkReading) -> Verdict:
    side = mark.mark.flatters
    nominal, worst = mark.flattery(side), mark.worst_flattery(side)
    if mark.allowed is not None and nominal > mark.allowed * ROUNDING:
        return Verdict.STOP
    little = max(facts.unread, SMALL * (mark.allowed or 0.0))
    if worst > little:
        return Verdict.CAUTION if mark.allowed is not None else Verdict.UNKNOWN
    return Verdict.GOOD


def _flattered(facts: Facts, mark: MarkReading) -> Check:
    verdict, side = _verdict(facts, mark), mark.mark.flatters
    nominal, worst = mark.flattery(side), mark.worst_flattery(side)
    limit = None if mark.allowed is None else facts.apart(mark.allowed)
    values: dict[str, Value] = {
        "mark": mark.mark.name,
        "nominal": facts.apart(nominal),
        "worst": facts.apart(worst),
    }
    told = {"nominal": _side(facts, nominal, side), "worst": _side(facts, worst, side)}
    why = message(f"check.flatters.side_{side}", mark=mark.mark.name, **told)
    keys = {Verdict.GOOD: "good", Verdict.STOP: "stop", Verdict.UNKNOWN: "unjudged"}
    beyond = mark.allowed is not None and worst > mark.allowed * ROUNDING
    key = keys.get(verdict, "maybe" if beyond else "a_little")
    says = message(f"check.flatters.{key}", **values)
    return Check("flatters", verdict, says, why, facts.apart(worst), limit, mark=mark.mark.name)


def _side(facts: Facts, flattery: float, side: Side) -> Message:
    """Return how far a needle errs and to which side, in words; `flattery` as of a mark."""
    low, high = facts.duty.span
    if abs(flattery) <= _NOTHING * (high - low):
        return message("words.true")
    key = "words.too_high" if (flattery > 0.0) is (side == "high") else "words.too_low"
    return message(key, size=facts.apart(abs(flattery)))
