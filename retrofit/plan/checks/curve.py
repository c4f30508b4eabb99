"""Check of the needle error over the whole range, between the marks too."""

from __future__ import annotations

import numpy as np

from catalog.message import Message, message
from retrofit.plan.checks.check import ROUNDING, Check, Facts, Verdict

ROUNDED = 1e-6
"""Share of the range up to which an error is the rounding of the sums and no error."""


def check_curve(facts: Facts) -> Check:
    """Return whether the needle is near enough everywhere in the range.

    Beyond the allowed error it is ``stop`` where no mark says what matters, else ``caution``:
    the marks have checks of their own. Where the sender is not known the range is left out;
    the check of the range says so.
    """
    reading, band, spread = facts.reading, facts.band, facts.spread
    if reading is None or band is None or not np.any(np.isfinite(reading.shown)):
        why = facts.needle if isinstance(facts.needle, Message) else message("check.nowhere")
        return Check("curve", Verdict.UNKNOWN, message("check.curve.unknown"), why)
    at = int(np.nanargmax(np.abs(reading.error)))
    number = facts.apart(float(reading.error[at]))
    says = message("check.curve.largest", error=number, at=facts.value(float(reading.x[at])))
    if abs(number.value) < ROUNDED * (facts.duty.span[1] - facts.duty.span[0]):
        says = message("check.curve.true")
    allowed = facts.duty.allowed_at(None)
    if allowed is None:
        why = message("check.mark.nothing_allowed")
        return Check("curve", Verdict.UNKNOWN, says, why, number, step="duty", field="allowed")
    low, high = (band.low, band.high) if spread is None else (spread.low, spread.high)
    gaps = np.maximum(np.abs(low - reading.x), np.abs(high - reading.x))
    worst, most = float(np.nanmax(gaps)), allowed * ROUNDING
    values = {"limit": facts.apart(allowed), "worst": facts.apart(worst)}
    limit = values["limit"]
    if abs(float(reading.error[at])) > most:
        if facts.duty.marks:
            why = message("check.curve.beyond_marks", **values)
            return Check("curve", Verdict.CAUTION, says, why, number, limit)
        why = message("check.mark.beyond", **values)
        return Check("curve", Verdict.STOP, says, why, number, limit)
    if worst > most:
        why = message("check.mark.maybe", **values)
        return Check("curve", Verdict.CAUTION, says, why, number, limit)
    return Check("curve", Verdict.GOOD, says, message("check.mark.within", **values), number, limit)
