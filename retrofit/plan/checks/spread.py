"""Check of what is known of how far the parts and their surroundings may be off."""

from __future__ import annotations

from functools import reduce

from catalog.message import Message, message
from retrofit.plan.causes import causes_of
from retrofit.plan.checks.check import Check, Facts, Step, Verdict

_WHERE: dict[str, tuple[Step, str]] = {
    "unstated.sender": ("sender", "tolerance"),
    "unstated.dial": ("gauge", "dial_error"),
    "unstated.second_dial": ("wiring", "second"),
}
"""Without these a band says little, whatever else is stated; where each is entered."""


def check_spread(facts: Facts) -> Check:
    """Return whether the band counts what usually is off most: the sender and the dial."""
    unstated = causes_of(facts.pairing, facts.duty).unstated
    number = None if facts.spread is None else facts.apart(facts.spread.widest)
    missing = [one for one in unstated if one.key in _WHERE]
    if missing:
        says = message("check.spread.unknown")
        why = message("check.spread.unstated", what=listed(unstated))
        step, field = _WHERE[missing[0].key]
        return Check("spread", Verdict.UNKNOWN, says, why, number, step=step, field=field)
    if number is None:
        says, why = message("check.spread.unknown"), message("check.earth.no_reading")
        return Check("spread", Verdict.UNKNOWN, says, why)
    says = message("check.spread.known", widest=number)
    if unstated:
        why = message("check.spread.but", what=listed(unstated))
    else:
        why = message("check.spread.all")
    return Check("spread", Verdict.GOOD, says, why, number, step="gauge", field="dial_error")


def listed(items: tuple[Message, ...]) -> Message:
    """Return messages as one, with commas between."""
    return reduce(lambda done, one: message("words.comma", first=done, then=one), items)
