"""Check of the sender's way to earth: plain resistance there moves the needle."""

from __future__ import annotations

from dataclasses import replace

from catalog.message import Message, SiValue, message
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.plan.checks.check import Check, Facts, Verdict
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
    effect = facts.moved(earth_moves(facts.pairing, facts.duty, path or _ONE_OHM))
    if path is None:
        says = message("check.earth.unmeasured")
        if effect.shift is None:
            return _earth(Verdict.UNKNOWN, says, message("check.earth.no_reading"))
        why = message("check.earth.each_ohm", shift=effect.shift)
        return replace(_earth(Verdict.UNKNOWN, says, why, effect.shift), moved=effect.moved)
    ohm = SiValue(path.si(Kind.RESISTANCE), Kind.RESISTANCE)
    if effect.shift is None:
        says = message("check.earth.measured", ohm=ohm)
        return _earth(Verdict.UNKNOWN, says, message("check.earth.no_reading"))
    says = message("check.earth.moves", ohm=ohm, shift=effect.shift)
    check = _earth(effect.verdict, says, effect.why("earth"), effect.shift, effect.limit)
    return replace(check, moved=effect.moved)


def _earth(
    verdict: Verdict,
    says: Message,
    why: Message,
    number: SiValue | None = None,
    limit: SiValue | None = None,
) -> Check:
    return Check("earth", verdict, says, why, number, limit, step="wiring", field="sender_earth")
