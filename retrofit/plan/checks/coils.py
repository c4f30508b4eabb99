"""Check of the coils of a ratio gauge: what its terminal readings tell, and what they cannot."""

from __future__ import annotations

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import RatioMovement
from catalog.quantities.kinds import Kind
from retrofit.circuit.terminals import Coils, Star
from retrofit.plan.checks.check import COMMON, Check, Facts, Verdict
from retrofit.terminals import coils_of, star_of


def check_coils(facts: Facts) -> Check | None:
    """Return whether the coils of a ratio gauge are known, None where nobody needs them.

    Only a pull-up needs them, or the user asks by entering terminal readings. Three readings
    tell a plain divider; otherwise star and delta read alike, and no measurement at the
    terminals tells one from the other.
    """
    gauge = facts.pairing.gauge
    pulled = any(resistor.place == "pull-up" for resistor in facts.pairing.trim)
    if not isinstance(gauge.movement, RatioMovement) or not (pulled or gauge.terminals):
        return None
    coils = coils_of(gauge)
    if coils is not None:
        says = message(
            "check.coils.known",
            supply=SiValue(coils.supply, Kind.RESISTANCE),
            earth=SiValue(coils.earth, Kind.RESISTANCE),
        )
        return _coils(Verdict.GOOD, says, "check.coils.known_why")
    says = message("check.coils.unknown")
    star = _star(facts)
    if star is None or star.coils is Coils.FAULTY:
        return _coils(Verdict.UNKNOWN, says, "check.coils.unread")
    legs = {
        name: SiValue(leg.ohm, Kind.RESISTANCE)
        for name, leg in (("supply", star.supply), ("signal", star.signal), ("earth", star.earth))
    }
    why = message("check.coils.alike", **legs)
    return Check("coils", Verdict.UNKNOWN, says, why, None, None, COMMON, "gauge", "terminals")


def _star(facts: Facts) -> Star | None:
    try:
        return star_of(facts.pairing.gauge)
    except UserError:  # the check of the dial says what is wrong
        return None


def _coils(verdict: Verdict, says: Message, why: str) -> Check:
    return Check("coils", verdict, says, message(why), step="gauge", field="terminals")
