"""Checks of the two parts against each other and against the duty."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge, UnknownMovement
from catalog.parts.laws import ActiveLaw, PulsedLaw, SwitchLaw, UnknownLaw
from catalog.quantities.kinds import Kind
from retrofit.installation import SecondGauge
from retrofit.plan.checks.check import Check, Facts, Step, Verdict
from retrofit.plan.document import Pairing
from retrofit.plan.shifts import along, installed
from retrofit.plan.stages import POINTS

_STANDS = 0.25
"""Share of the range on a stop from which the needle counts as standing (assumed)."""


def check_signal(facts: Facts) -> Check:
    """Return whether the sender gives what the gauge reads: ohms, volts or amperes."""
    sender, gauge = facts.pairing.sender, facts.pairing.gauge
    reasons = {
        SwitchLaw: "check.signal.switch",
        PulsedLaw: "check.signal.pulsed",
        ActiveLaw: "check.signal.active",
    }
    if isinstance(sender.law, UnknownLaw):
        says, why = message("check.signal.unknown"), message("check.signal.unknown_why")
        return Check("signal", Verdict.UNKNOWN, says, why)
    if type(sender.law) in reasons:
        why = message(reasons[type(sender.law)])
        return Check("signal", Verdict.STOP, message("check.signal.none"), why)
    if _nothing_known(gauge):
        says, why = message("check.signal.no_gauge"), message("check.signal.no_gauge_why")
        return Check("signal", Verdict.UNKNOWN, says, why, step="gauge")
    kinds = {
        "sender": message(f"signal.{(sender.signal or Kind.RESISTANCE).value}"),
        "gauge": message(f"signal.{gauge.signal.value}"),
    }
    if sender.signal is not gauge.signal:
        says, why = message("check.signal.other", **kinds), message("check.signal.other_why")
        return Check("signal", Verdict.STOP, says, why)
    says = message("check.signal.same", **kinds)
    return Check("signal", Verdict.GOOD, says, message("check.signal.same_why"))


def _nothing_known(gauge: Gauge) -> bool:
    """Return whether neither the movement nor any mark of a gauge is known."""
    blank = not gauge.marks and gauge.scaled_for is None
    return blank and isinstance(gauge.movement, UnknownMovement)


def check_range(facts: Facts) -> Check:
    """Return whether sender and dial cover the range of the duty and its marks."""
    curve = facts.pairing.sender.curve
    low, high = facts.duty.span
    if curve is None:
        says = message("check.range.unknown")
        return Check("range", Verdict.UNKNOWN, says, message("check.range.no_curve"))
    gauge, kind = facts.pairing.gauge, facts.duty.kind
    spans: dict[Step, tuple[float, float]] = {
        "sender": (curve.low, curve.high),
        "gauge": (gauge.low.si(kind), gauge.high.si(kind)),
    }
    why = message(
        "check.range.spans",
        sender_low=facts.value(curve.low),
        sender_high=facts.value(curve.high),
        dial_low=facts.value(spans["gauge"][0]),
        dial_high=facts.value(spans["gauge"][1]),
        low=facts.value(low),
        high=facts.value(high),
    )
    for step in spans:
        for mark in facts.duty.marks:
            at = mark.at.si(kind)
            if not _within(at, at, spans[step]):
                says = message(f"check.range.mark_{step}", mark=mark.name, at=facts.value(at))
                return Check(
                    "range", Verdict.STOP, says, why, facts.value(at), step=step, mark=mark.name
                )
    for step in spans:
        if not _within(low, high, spans[step]):
            says = message(f"check.range.short_{step}")
            return Check("range", Verdict.CAUTION, says, why, step=step)
    return Check("range", Verdict.GOOD, message("check.range.covered"), why)


def _within(low: float, high: float, span: tuple[float, float]) -> bool:
    slack = 1e-9 * (span[1] - span[0])
    return low >= span[0] - slack and high <= span[1] + slack


def check_direction(facts: Facts) -> Check:
    """Return whether the needle rises with the true value, and whether it moves at all."""
    reading = facts.reading
    if reading is None or isinstance(facts.needle, Message):
        return Check("direction", Verdict.UNKNOWN, message("check.direction.unknown"), _no(facts))
    sender, dial = facts.needle.sender, facts.needle.dial
    why = message(
        "check.direction.parts",
        sender_low=facts.signal(_at(facts, "sender", 0)),
        sender_high=facts.signal(_at(facts, "sender", 1)),
        dial_low=facts.signal(_at(facts, "dial", 0)),
        dial_high=facts.signal(_at(facts, "dial", 1)),
    )
    if sender.rising != dial.rising:
        says = message("check.direction.backwards")
        law = message("check.direction.law", parts=why)
        return Check("direction", Verdict.STOP, says, law)
    known = np.isfinite(reading.shown)
    if not np.any(known):
        says = message("check.direction.unknown")
        return Check("direction", Verdict.UNKNOWN, says, message("check.nowhere"))
    held = float(np.mean(reading.held[known] != 0.0))
    if held >= _STANDS:
        share = SiValue(held, Kind.FRACTION)
        says = message("check.direction.stands", share=share)
        limit = SiValue(_STANDS, Kind.FRACTION)
        return Check("direction", Verdict.CAUTION, says, why, share, limit)
    return Check("direction", Verdict.GOOD, message("check.direction.good"), why)


def _at(facts: Facts, which: str, end: int) -> float:
    """Return what the sender gives, or the dial wants, at an end of its own range."""
    assert not isinstance(facts.needle, Message)
    if which == "sender":
        curve = facts.needle.sender
        at = (curve.low, curve.high)[end]
    else:
        curve, gauge = facts.needle.dial, facts.pairing.gauge
        at = (gauge.low.si(facts.duty.kind), gauge.high.si(facts.duty.kind))[end]
    return float(curve.output(np.array([at]))[0])


def _no(facts: Facts) -> Message:
    return facts.needle if isinstance(facts.needle, Message) else message("check.no_reading")


def check_stations(facts: Facts) -> Check:
    """Return whether the sender is made for as many gauges as hang on it.

    A dual-station sender has half the ohms, since of two equal gauges each sees the double.
    Where the numbers differ both errors are told: as it is, and with the other number of gauges.
    """
    sender, second = facts.pairing.sender, facts.pairing.installation.second
    stations = sender.stations
    if isinstance(sender.law, UnknownLaw):
        says, why = message("check.stations.unknown"), message("check.signal.unknown_why")
        return Check("stations", Verdict.UNKNOWN, says, why, field="stations")
    if stations == (1 if second is None else 2):
        key = "one" if second is None else "both"
        says, why = message(f"check.stations.{key}"), message(f"check.stations.{key}_why")
        return Check("stations", Verdict.GOOD, says, why, field="stations")
    now = facts.effect(_errors(facts, facts.pairing)).shift
    other = facts.effect(_errors(facts, _other_number(facts.pairing))).shift
    key = "two" if second is None else "shared"
    says = message(f"check.stations.{key}")
    if now is None or other is None:
        return Check(
            "stations",
            Verdict.CAUTION,
            says,
            message(f"check.stations.{key}_why"),
            now,
            step="sender" if second is None else "wiring",
            field="stations" if second is None else "second",
        )
    why = message(f"check.stations.{key}_errors", now=now, other=other)
    return Check(
        "stations",
        Verdict.CAUTION,
        says,
        why,
        now,
        step="sender" if second is None else "wiring",
        field="stations" if second is None else "second",
    )


def _other_number(pairing: Pairing) -> Pairing:
    """Return a pairing with one gauge instead of two, or with two equal ones instead of one."""
    second = SecondGauge(pairing.gauge) if pairing.installation.second is None else None
    return installed(pairing, replace(pairing.installation, second=second))


def _errors(facts: Facts, pairing: Pairing) -> Array:
    """Return the needle error over the range and at the marks, shape (POINTS + marks,) [SI]."""
    marks = [mark.at.si(facts.duty.kind) for mark in facts.duty.marks]
    x = np.concatenate([np.linspace(*facts.duty.span, POINTS), np.array(marks, dtype=np.float64)])
    return np.asarray(along(pairing, facts.duty) - x)


def check_controller(facts: Facts) -> Check:
    """Return whether an engine controller reads the same sender, which nothing may load then."""
    shares = facts.duty.controller_shares
    verdicts = {"yes": Verdict.STOP, "no": Verdict.GOOD, "unknown": Verdict.UNKNOWN}
    says = message(f"check.controller.{shares}")
    why = message(f"check.controller.{shares}_why")
    return Check("controller", verdicts[shares], says, why, step="duty", field="controller_shares")
