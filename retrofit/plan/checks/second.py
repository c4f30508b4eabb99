"""Checks of a second gauge on the same sender: what it shows, and what becomes of one alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from retrofit.plan.checks.check import ROUNDING, Check, Facts, Verdict
from retrofit.plan.document import Duty
from retrofit.plan.second_gauge import second_of
from retrofit.plan.shifts import Moves, along, installed, true_values
from retrofit.plan.spread import second_spread_of
from retrofit.plan.stages import POINTS


def check_second(facts: Facts) -> Check | None:
    """Return what the second gauge shows, None where there is none.

    ``caution`` where it is near enough as it stands, but may be beyond what is allowed for all
    that was stated of its own dial and of what both share.
    """
    second = facts.pairing.installation.second
    if second is None:
        return None
    found = second_of(facts.pairing, facts.duty)
    if isinstance(found, Message):
        says = message("check.second.unknown", gauge=second.gauge.name)
        return Check("second", Verdict.UNKNOWN, says, found, step="wiring", field="second")
    assert found is not None
    errors = np.concatenate([found.error, found.mark_errors])
    effect = facts.effect(errors)
    if effect.shift is None:
        says = message("check.second.unknown", gauge=second.gauge.name)
        why = message("check.nowhere")
        return Check("second", Verdict.UNKNOWN, says, why, step="wiring", field="second")
    says = message("check.second.shows", gauge=second.gauge.name, error=effect.shift)
    if effect.limit is None:
        why = message("check.mark.nothing_allowed")
        return Check(
            "second", Verdict.UNKNOWN, says, why, effect.shift, step="duty", field="allowed"
        )
    verdict, why = Verdict.GOOD, message("check.second.within", limit=effect.limit)
    worst = _worst_of_second(facts)
    if abs(effect.shift.value) > effect.limit.value * ROUNDING:
        verdict, why = Verdict.STOP, message("check.second.beyond", limit=effect.limit)
    elif worst is not None and abs(worst[0]) > worst[1] * ROUNDING:
        told = {"limit": facts.apart(worst[1]), "worst": facts.apart(abs(worst[0]))}
        verdict, why = Verdict.CAUTION, message("check.second.band", **told)
    return Check(
        "second", verdict, says, why, effect.shift, effect.limit, step="wiring", field="second"
    )


def check_alone(facts: Facts) -> Check | None:
    """Return what the needle shows when the second gauge loses its feed, None without one.

    ``stop`` where it then hides danger beyond what is allowed at a mark or over the range,
    ``caution`` where it errs beyond it to the other side, or nobody said which side that is.
    """
    second = facts.pairing.installation.second
    if second is None or second.powered != "yes":
        return None
    installation = facts.pairing.installation
    off = replace(installation, second=replace(second, powered="no"))
    true = true_values(facts.duty)
    moves = Moves(true, true, along(installed(facts.pairing, off), facts.duty))
    effect = facts.moved(moves)
    if effect.shift is None:
        says, why = message("check.alone.unknown"), message("check.offset.coils")
        return Check("alone", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    if effect.limit is None:
        why = message("check.mark.nothing_allowed")
        says = message("check.alone.unknown")
        return Check(
            "alone", Verdict.UNKNOWN, says, why, effect.shift, step="duty", field="allowed"
        )
    told = facts.told(effect)
    says = message("check.alone.shows", error=told["shift"], at=told["at"])
    verdict, key = Verdict.GOOD, "check.alone.good"
    if abs(effect.shift.value) > effect.limit.value * ROUNDING:
        hides = _hides(facts.duty, moves.size)
        verdict, key = Verdict.STOP if hides else Verdict.CAUTION, "check.alone.together"
    why, limit = message(key, limit=effect.limit), effect.limit
    return Check("alone", verdict, says, why, effect.shift, limit, step="wiring", field="second")


def _hides(duty: Duty, errors: Array) -> bool:
    """Return whether errors, over the range and at the marks, hide danger at a mark."""
    told = zip(duty.marks, errors[POINTS:].tolist(), strict=True)
    return any(
        mark.flatters != "unknown"
        and (error > 0.0) is (mark.flatters == "high")
        and abs(error) > (duty.allowed_at(mark) or np.inf) * ROUNDING
        for mark, error in told
    )


def _worst_of_second(facts: Facts) -> tuple[float, float] | None:
    """Return the worst error of the second gauge where it takes most of what is allowed."""
    spread = second_spread_of(facts.pairing, facts.duty)
    if spread is None:
        return None
    true = true_values(facts.duty)
    low = np.concatenate([spread.low, spread.at_marks.low]) - true
    high = np.concatenate([spread.high, spread.at_marks.high]) - true
    return facts.hardest(np.where(np.abs(high) >= np.abs(low), high, low))
