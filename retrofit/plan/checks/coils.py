"""Check of the coils of a ratio gauge: what its terminal readings tell, and what they cannot."""

from __future__ import annotations

import numpy as np

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge, RatioMovement
from catalog.quantities.kinds import Kind
from retrofit.circuit.terminals import Coils, Star
from retrofit.plan.checks.check import COMMON, Check, Facts, Verdict, judged
from retrofit.plan.shifts import coil_moves
from retrofit.terminals import coils_of, measured_source, star_of


def check_coils(facts: Facts) -> Check | None:
    """Return whether the coils of a ratio gauge are known, None where nobody needs them.

    Only a pull-up needs them, or the user asks by entering readings. Three readings between
    the terminals tell a plain divider; otherwise star and delta read alike, and no measurement
    there tells one from the other. For a pull-up the source behind the signal terminal does as
    well. How far the errors of the readings move the needle is judged.
    """
    gauge = facts.pairing.gauge
    pulled = any(resistor.place == "pull-up" for resistor in facts.pairing.trim)
    asked = pulled or gauge.terminals is not None or gauge.source is not None
    if not isinstance(gauge.movement, RatioMovement) or not asked:
        return None
    known = _known(gauge)
    if known is not None:
        says, why = known
        return _within(facts, says, why) if pulled else _coils(Verdict.GOOD, says, why)
    says = message("check.coils.unknown")
    star = _star(facts)
    if star is None or star.coils is Coils.FAULTY:
        return _coils(Verdict.UNKNOWN, says, message("check.coils.unread"))
    legs = {
        name: SiValue(leg.ohm, Kind.RESISTANCE)
        for name, leg in (("supply", star.supply), ("signal", star.signal), ("earth", star.earth))
    }
    why = message("check.coils.alike", **legs)
    return Check("coils", Verdict.UNKNOWN, says, why, None, None, COMMON, "gauge", "terminals")


def _known(gauge: Gauge) -> tuple[Message, Message] | None:
    """Return what is known of the inside of a ratio gauge, and what that is good for."""
    coils = coils_of(gauge)
    if coils is not None:
        supply = SiValue(coils.supply, Kind.RESISTANCE)
        earth = SiValue(coils.earth, Kind.RESISTANCE)
        says = message("check.coils.known", supply=supply, earth=earth)
        return says, message("check.coils.known_why")
    source = measured_source(gauge)
    if source is None:
        return None
    ohm, share = SiValue(source.ohm, Kind.RESISTANCE), SiValue(source.share, Kind.FRACTION)
    return message("check.coils.source", ohm=ohm, share=share), message("check.coils.source_why")


def _within(facts: Facts, says: Message, why: Message) -> Check:
    """Return how sure the needle is under a pull-up, within the errors of the readings."""
    if isinstance(facts.needle, Message):
        return _coils(Verdict.GOOD, says, why)
    moves = coil_moves(facts.pairing, facts.duty)
    if not np.nan_to_num(moves).any():  # stated coils, or a meter without error
        return _coils(Verdict.GOOD, says, why)
    worst = facts.hardest(moves)
    if worst is None:
        return _coils(Verdict.UNKNOWN, says, message("check.mark.nothing_allowed"))
    shift, limit = facts.apart(worst[0]), facts.apart(worst[1])
    verdict = judged(*worst, beyond=Verdict.UNKNOWN)
    key = "surely" if verdict is Verdict.GOOD else "roughly"
    why = message(f"check.coils.{key}", shift=shift, limit=limit)
    return _coils(verdict, says, why, shift, limit)


def _star(facts: Facts) -> Star | None:
    try:
        return star_of(facts.pairing.gauge)
    except UserError:  # the check of the dial says what is wrong
        return None


def _coils(
    verdict: Verdict,
    says: Message,
    why: Message,
    number: SiValue | None = None,
    limit: SiValue | None = None,
) -> Check:
    return Check("coils", verdict, says, why, number, limit, step="gauge", field="terminals")
