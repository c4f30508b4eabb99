"""Check of what the supply does to the needle, and whether the gauge is made for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import (
    ElectronicMovement,
    HeaterMovement,
    LoopInput,
    RatioMovement,
    UnknownMovement,
    VoltageInput,
)
from catalog.parts.laws import TransmitterLaw
from catalog.quantities.kinds import Kind
from retrofit.movements import follows_supply, supply_known
from retrofit.plan.checks.check import Check, Facts, Verdict, judged
from retrofit.plan.pull_off import of_system, pull_off_move
from retrofit.plan.stages import (
    feed_assumed,
    highest_supply,
    lowest_supply,
    stabilised_volts,
    supply_range,
)


def check_supply(facts: Facts) -> Check:
    """Return how far the needle moves over the supply range, and whether the system fits."""
    gauge, supply = facts.pairing.gauge, facts.pairing.installation.supply
    nominal = supply.nominal.si(Kind.VOLTAGE)
    volts = SiValue(nominal, Kind.VOLTAGE)
    fits = [name for name in gauge.system if of_system(name, nominal)]
    if gauge.system and not fits:
        says = message("check.supply.system", volts=volts)
        why = message("check.supply.system_why", system=", ".join(gauge.system))
        return _supply(Verdict.STOP, says, why, volts)
    unknown = _unknown_supply(facts)
    if unknown is not None:
        return _supply(Verdict.UNKNOWN, message("check.supply.unknown"), unknown)
    shift, allowed = _worst_shift(facts)
    number = facts.apart(shift)
    span = {
        "low": SiValue(lowest_supply(supply) or nominal, Kind.VOLTAGE),
        "high": SiValue(highest_supply(supply) or nominal, Kind.VOLTAGE),
    }
    why = message(f"check.supply.{_supply_reason(facts)}", **span)
    if _ratiometric(facts) and allowed is not None:
        return _supply(Verdict.CAUTION, *_own_supply(facts), facts.apart(allowed))
    if allowed is None:
        return _supply(Verdict.UNKNOWN, message("check.supply.moves", shift=number), why, number)
    verdict = judged(shift, allowed, beyond=Verdict.STOP)
    if verdict is Verdict.GOOD and not gauge.system:
        why = message("check.supply.system_unknown")
        unsaid = _supply(Verdict.UNKNOWN, message("check.supply.unknown"), why, number)
        return replace(unsaid, step="gauge", field="system")
    key = "steady" if verdict is Verdict.GOOD else "moves"
    says = message(f"check.supply.{key}", shift=number)
    return _supply(verdict, says, why, number, facts.apart(allowed))


def _supply(
    verdict: Verdict,
    says: Message,
    why: Message,
    number: SiValue | None = None,
    limit: SiValue | None = None,
) -> Check:
    return Check("supply", verdict, says, why, number, limit, step="wiring", field="supply")


def _unknown_supply(facts: Facts) -> Message | None:
    """Return what is missing to tell the effect of the supply, None where nothing is."""
    gauge, installation = facts.pairing.gauge, facts.pairing.installation
    if facts.reading is None:
        return facts.needle if isinstance(facts.needle, Message) else message("check.no_reading")
    if not np.any(np.isfinite(facts.reading.shown)):
        return message("check.nowhere")
    movement = gauge.movement
    if isinstance(movement, UnknownMovement):
        return message("check.supply.movement_unknown")
    if isinstance(movement, VoltageInput):
        law = facts.pairing.sender.law
        told = isinstance(law, TransmitterLaw) and law.follows_supply != "unknown"
        return None if told else message("check.supply.transmitter_unknown")
    if isinstance(movement, LoopInput):
        return None
    if isinstance(movement, RatioMovement) and movement.pull_off is None:
        return message("check.supply.no_pull_off")
    if isinstance(movement, ElectronicMovement) and movement.rail == "unknown":
        return message("check.supply.rail_unknown")
    if isinstance(movement, HeaterMovement) and installation.stabiliser.fitted == "unknown":
        return message("check.supply.stabiliser_unknown")
    assumed = feed_assumed(gauge, installation)
    if assumed is not None:
        return assumed
    if not supply_known(gauge):
        return message("check.supply.winding_unknown")
    if not isinstance(movement, RatioMovement) and follows_supply(gauge) and movement.feed is None:
        return message("check.supply.feed_unknown")
    if supply_range(installation.supply) is None:
        return message("check.supply.no_range")
    return None


def _worst_shift(facts: Facts) -> tuple[float, float | None]:
    """Return the move of the needle over the supply range that matters most, and what is allowed.

    It is the largest over the range, or the one at a mark that allows less.
    """
    reading, general = facts.reading, facts.duty.allowed_at(None)
    assert reading is not None
    shifts = _shifts(facts)
    largest = float(np.nanmax(shifts, initial=0.0))
    if general is None:
        return largest, None
    found = [(largest, general)]
    known = np.isfinite(shifts)
    for mark in facts.duty.marks:
        at, allowed = mark.at.si(facts.duty.kind), facts.duty.allowed_at(mark)
        if allowed is not None:
            found.append((float(np.interp(at, reading.x[known], shifts[known])), allowed))
    return max(found, key=lambda pair: pair[0] / pair[1])


def _shifts(facts: Facts) -> Array:
    """Return how far the needle moves over the supply range, shape (N,) [SI difference]."""
    reading, gauge, kind = facts.reading, facts.pairing.gauge, facts.duty.kind
    assert reading is not None
    if gauge.signal is not Kind.RESISTANCE:
        return np.where(np.isnan(reading.shown), np.nan, 0.0)
    ends = (reading.supply_low, reading.supply_high)
    moved = np.maximum(*(np.abs(end - reading.shown) for end in ends))
    return moved + pull_off_move(gauge, facts.pairing.installation, kind)


def _ratiometric(facts: Facts) -> bool:
    """Return whether a transmitter gives a share of its own supply to a plain voltage input."""
    law = facts.pairing.sender.law
    volts = isinstance(facts.pairing.gauge.movement, VoltageInput)
    return volts and isinstance(law, TransmitterLaw) and law.follows_supply == "yes"


def _own_supply(facts: Facts) -> tuple[Message, Message, SiValue]:
    """Return what a transmitter's own supply does: the move of the needle for one per cent."""
    needle, reading = facts.needle, facts.reading
    assert not isinstance(needle, Message)
    assert reading is not None
    raised = needle.dial.value(needle.apparent.of(reading.ohms * 1.01))[0]
    shift = facts.apart(float(np.nanmax(np.abs(raised - reading.continued), initial=0.0)))
    says = message("check.supply.ratiometric", shift=shift)
    return says, message("check.supply.ratiometric_why"), shift


def _supply_reason(facts: Facts) -> str:
    gauge, installation = facts.pairing.gauge, facts.pairing.installation
    if gauge.signal is not Kind.RESISTANCE:
        return "why_signal"
    if isinstance(gauge.movement, RatioMovement):
        return "why_ratio"
    if any(resistor.place == "pull-up" for resistor in facts.pairing.trim):
        return "why_pull_up"
    if stabilised_volts(gauge, installation) is not None:
        return "why_stabilised"
    if isinstance(gauge.movement, HeaterMovement) and installation.stabiliser.state == "stuck":
        return "why_stuck"
    return "why_follows" if follows_supply(gauge) else "why_reference"
