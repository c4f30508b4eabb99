"""Check of a potentiometer in the trim: its open wiper must err on the safe side."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from catalog.message import Message, Value, message
from catalog.quantities.amounts import Amount
from retrofit.installation import TrimResistor
from retrofit.plan.checks.check import Check, Facts, Verdict
from retrofit.plan.document import Pairing
from retrofit.plan.stages import needle_of
from retrofit.reading import Needle

_OPEN = Amount(1e6, "MΩ")
"""Ohms of a wiper that has lifted off [as good as open beside any trim]."""


def check_wiper(facts: Facts) -> Check | None:
    """Return whether every potentiometer's open wiper warns early; None without one.

    With its free end tied to the wiper an open wiper leaves the whole track, at worst nothing
    at all; both move the needle the same way, since the reading is monotone in one resistor.
    The move at each mark is judged against the side on which the mark hides danger.
    """
    trim = facts.pairing.trim
    if all(resistor.track is None for resistor in trim):
        return None
    if isinstance(facts.needle, Message):
        return _wiper(Verdict.UNKNOWN, message("check.wiper.unknown"), facts.needle)
    if not facts.marks or any(one.mark.flatters == "unknown" for one in facts.marks):
        says, why = message("check.wiper.unknown"), message("check.wiper.unsaid")
        return Check("wiper", Verdict.UNKNOWN, says, why, step="duty", field="marks")
    name, place, move = _worst(facts)
    if math.isnan(move):
        return _wiper(Verdict.UNKNOWN, message("check.wiper.unknown"), message("check.nowhere"))
    told: dict[str, Value | Message] = {
        "mark": name,
        "place": message(f"place.{place}"),
        "move": facts.apart(move),
    }
    if move > facts.unread:
        says, why = message("check.wiper.flatters", **told), message("check.wiper.other_place")
        return replace(_wiper(Verdict.STOP, says, why), number=facts.apart(move), mark=name)
    says, why = message("check.wiper.safe"), message("check.wiper.tie")
    return _wiper(Verdict.GOOD, says, why)


def _wiper(verdict: Verdict, says: Message, why: Message) -> Check:
    return Check("wiper", verdict, says, why, step="trim", field="track")


def _worst(facts: Facts) -> tuple[str, str, float]:
    """Return mark, place and how far an open wiper moves the needle to the dangerous side."""
    found = [
        (one.mark.name, resistor.place, move if one.mark.flatters == "high" else -move)
        for resistor in facts.pairing.trim
        if resistor.track is not None
        for one, move in zip(facts.marks, _moves(facts, resistor), strict=True)
    ]
    # A move that nobody can tell is worse than any that is told.
    return max(found, key=lambda each: math.inf if math.isnan(each[2]) else each[2])


def _moves(facts: Facts, resistor: TrimResistor) -> list[float]:
    """Return how far an open wiper moves the needle at each mark [SI difference]."""
    assert not isinstance(facts.needle, Message)
    at = np.array([one.at for one in facts.marks])
    lifted = _lifted(facts.pairing, resistor)
    if lifted is None:
        return [math.nan] * len(at)
    moves = lifted.shown(at)[0] - facts.needle.shown(at)[0]
    return [float(move) for move in moves]


def _lifted(pairing: Pairing, resistor: TrimResistor) -> Needle | None:
    trim = tuple(
        replace(one, value=_OPEN, track=None) if one is resistor else one for one in pairing.trim
    )
    needle = needle_of(replace(pairing, trim=trim))
    return None if isinstance(needle, Message) else needle
