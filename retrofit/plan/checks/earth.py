"""Check of the sender's way to earth: plain resistance there moves the needle."""

from __future__ import annotations

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.plan.checks.check import Check, Facts, Verdict, judged
from retrofit.plan.shifts import earth_moves

_ONE_OHM = Figure(Amount(1.0, "Ω"))


def check_earth(facts: Facts) -> Check | None:
    """Return how far the earth path moves the needle, None for senders that give no ohms.

    Unmeasured it is ``unknown``, with what each ohm there would do.
    """
    if facts.pairing.sender.signal is not Kind.RESISTANCE:
        return None
    path = facts.pairing.installation.sender_earth
    if facts.pairing.installation.stray_volts:
        says, why = message("check.earth.stray"), message("check.earth.stray_why")
        return _earth(Verdict.UNKNOWN, says, why)
    moves = earth_moves(facts.pairing, facts.duty, path or _ONE_OHM)
    told = bool(np.any(np.isfinite(moves)))
    largest = facts.effect(moves).shift if told else None
    if path is None:
        says = message("check.earth.unmeasured")
        if largest is None:
            return _earth(Verdict.UNKNOWN, says, message("check.earth.no_reading"))
        return _earth(
            Verdict.UNKNOWN, says, message("check.earth.each_ohm", shift=largest), largest
        )
    ohm = SiValue(path.si(Kind.RESISTANCE), Kind.RESISTANCE)
    if largest is None:
        says = message("check.earth.measured", ohm=ohm)
        return _earth(Verdict.UNKNOWN, says, message("check.earth.no_reading"))
    worst = facts.hardest(moves)
    if worst is None:
        says = message("check.earth.moves", ohm=ohm, shift=largest)
        return _earth(Verdict.UNKNOWN, says, message("check.mark.nothing_allowed"), largest)
    shift, allowed = worst
    number, limit = facts.apart(shift), facts.apart(allowed)
    says = message("check.earth.moves", ohm=ohm, shift=number)
    verdict = judged(shift, allowed, beyond=Verdict.STOP)
    key = "good" if verdict is Verdict.GOOD else "mend"
    return _earth(verdict, says, message(f"check.earth.{key}", limit=limit), number, limit)


def _earth(
    verdict: Verdict,
    says: Message,
    why: Message,
    number: SiValue | None = None,
    limit: SiValue | None = None,
) -> Check:
    return Check("earth", verdict, says, why, number, limit, step="wiring", field="sender_earth")
