"""Check of what is known of the dial between its marks."""

from __future__ import annotations

import numpy as np

from catalog.curves.family import FALLING_Q, RISING_Q
from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge
from catalog.quantities.kinds import Kind
from retrofit.circuit.bench_readings import most_telling_test
from retrofit.circuit.terminals import Coils
from retrofit.dial import MarkedClass
from retrofit.plan.checks.check import COMMON, Check, Facts, Verdict, judged
from retrofit.terminals import source_of, star_of


def check_dial(facts: Facts) -> Check:
    """Return how well the curves are known between their points, and what would tell more."""
    gauge = facts.pairing.gauge
    faulty = _faulty_readings(gauge)
    if faulty is not None:
        says = message("check.dial.faulty")
        return Check("dial", Verdict.STOP, says, faulty, step="gauge", field="terminals")
    reading, shapes = facts.reading, facts.band
    if reading is None or shapes is None:
        why = facts.needle if isinstance(facts.needle, Message) else message("check.no_reading")
        says = message("check.dial.unknown")
        return Check("dial", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    if not np.any(np.isfinite(reading.shown)):
        says, why = message("check.dial.unknown"), message("check.nowhere")
        return Check("dial", Verdict.UNKNOWN, says, why)
    short = _short_dial(facts)
    if short is not None:
        why = message("check.dial.short_why")
        return Check("dial", Verdict.UNKNOWN, short, why, step="gauge", field="marks")
    gaps = np.maximum(shapes.high - reading.shown, reading.shown - shapes.low)
    band = float(np.nanmax(gaps, initial=0.0))
    allowed = facts.duty.allowed_at(None)
    number, why = facts.apart(band), _dial_reason(facts)
    if allowed is None:
        says = message("check.dial.unjudged", band=number)
        return Check("dial", Verdict.UNKNOWN, says, why, number, step="duty", field="allowed")
    verdict = judged(band, allowed, beyond=Verdict.UNKNOWN)
    keys = {Verdict.GOOD: "known", Verdict.CAUTION: "roughly", Verdict.UNKNOWN: "guess"}
    says = message(f"check.dial.{keys[verdict]}", band=number)
    return Check("dial", verdict, says, why, number, facts.apart(allowed), COMMON, "gauge", "marks")


def _short_dial(facts: Facts) -> Message | None:
    """Return between which values the dial is known, where the needle goes beyond on the scale.

    There the law is only carried on, which is good for searches and no knowledge.
    """
    assert facts.reading is not None
    assert not isinstance(facts.needle, Message)
    gauge, kind, dial = facts.pairing.gauge, facts.duty.kind, facts.needle.dial
    low, high = gauge.low.si(kind), gauge.high.si(kind)
    slack, shown = 1e-6 * (high - low), facts.reading.shown
    below = (shown >= low - slack) & (shown < dial.low - slack)
    above = (shown <= high + slack) & (shown > dial.high + slack)
    if not np.any(below | above):
        return None
    return message("check.dial.short", low=facts.value(dial.low), high=facts.value(dial.high))


def _faulty_readings(gauge: Gauge) -> Message | None:
    """Return why the terminal readings cannot be right, None where they can or are missing."""
    try:
        star = star_of(gauge)
        source_of(gauge)
    except UserError as error:
        return error.messages[0]
    if star is not None and star.coils is Coils.FAULTY:
        legs = {
            name: SiValue(leg.ohm, Kind.RESISTANCE)
            for name, leg in (
                ("supply", star.supply),
                ("signal", star.signal),
                ("earth", star.earth),
            )
        }
        return message("check.dial.triangle", **legs)
    return None


def _dial_reason(facts: Facts) -> Message:
    """Return on what the knowledge of the dial rests, and the most telling test if little."""
    gauge = facts.pairing.gauge
    dial = None if isinstance(facts.needle, Message) else facts.needle.dial
    if gauge.scaled_for is not None and isinstance(dial, MarkedClass):
        name, marks = gauge.scaled_for.name, len(gauge.marks)
        return message("check.dial.class_and_marks", name=name, marks=marks)
    if gauge.scaled_for is not None and dial is gauge.own_class:
        return message("check.dial.own_class", name=gauge.scaled_for.name)
    if len(gauge.marks) > 2 or gauge.signal is not Kind.RESISTANCE:
        return message("check.dial.marks", marks=len(gauge.marks))
    low, high = (mark.needs.si(Kind.RESISTANCE) for mark in gauge.marks)
    test = most_telling_test(low, high, RISING_Q if high > low else FALLING_Q)
    return message(
        "check.dial.ends_only",
        ohm=SiValue(test.ohm, Kind.RESISTANCE),
        low=SiValue(test.low, Kind.FRACTION),
        high=SiValue(test.high, Kind.FRACTION),
    )
