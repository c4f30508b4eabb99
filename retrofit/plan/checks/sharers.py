"""Checks of a warning lamp on the sender, of the earthed pole, and of warmth behind the panel."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    LoopInput,
    RatioMovement,
    UnknownMovement,
    VoltageInput,
)
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.causes import LAMP
from retrofit.plan.checks.check import ROUNDING, Check, Facts, Verdict, judged
from retrofit.plan.lamp_lit import may_be_lit
from retrofit.plan.second_gauge import TripPoint, trip_of
from retrofit.plan.shifts import Moves, along, load_moves, true_values
from retrofit.wired import PANEL_TEMPERATURE, elements_known, lamp_ohms


def check_lamp(facts: Facts) -> Check | None:
    """Return what the warning lamp does to the needle, or where a tapped one changes over."""
    lamp = facts.pairing.installation.lamp
    if lamp is None:
        return None
    if lamp.circuit == "tapped from signal":
        return _tapped(facts, trip_of(facts.pairing))
    says = message("check.lamp.unknown")
    if lamp_ohms(facts.pairing.installation) is None:
        why = message("check.lamp.no_watts")
        return Check("lamp", Verdict.UNKNOWN, says, why, step="wiring", field="lamp")
    installation = facts.pairing.installation
    if installation.sender_earth is None or installation.stray_volts:
        why = message("check.lamp.no_earth")
        return Check("lamp", Verdict.UNKNOWN, says, why, step="wiring", field="sender_earth")
    if not elements_known(facts.pairing.gauge):
        why = message("check.offset.coils")
        return Check("lamp", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    moves = load_moves(facts.pairing, facts.duty, LAMP)
    lit = may_be_lit(facts.pairing, facts.duty.kind, moves.x)
    if not np.any(lit):
        why = message("check.lamp.never_lit")
        return Check(
            "lamp", Verdict.GOOD, message("check.lamp.dark"), why, step="wiring", field="lamp"
        )
    effect = facts.moved(replace(moves, after=np.where(lit, moves.after, moves.before)))
    if effect.shift is None:
        why = message("check.earth.no_reading")
        return Check("lamp", Verdict.UNKNOWN, says, why, step="wiring", field="lamp")
    says = message("check.lamp.moves", **facts.told(effect))
    return Check(
        "lamp",
        effect.verdict,
        says,
        effect.why("lamp"),
        effect.shift,
        effect.limit,
        step="wiring",
        field="lamp",
        moved=effect.moved,
    )


def _tapped(facts: Facts, trip: TripPoint | Message) -> Check:
    says = message("check.lamp.tap_unknown")
    if isinstance(trip, Message):
        return Check("lamp", Verdict.UNKNOWN, says, trip, step="wiring", field="lamp")
    at, drift = facts.value(trip.at), facts.apart(trip.drift)
    says = message("check.lamp.trips", at=at)
    allowed = facts.duty.allowed_at(None)
    if np.isinf(trip.drift):
        why = message("check.lamp.fails")
        return Check("lamp", Verdict.STOP, says, why, step="wiring", field="lamp")
    if np.isnan(trip.drift):
        why = message("check.lamp.drift_unknown")
        return Check("lamp", Verdict.UNKNOWN, says, why, at, step="wiring", field="lamp")
    if allowed is None:
        why = message("check.lamp.drifts", drift=drift)
        return Check("lamp", Verdict.UNKNOWN, says, why, drift, step="duty", field="allowed")
    verdict = judged(trip.drift, allowed, beyond=Verdict.STOP)
    limit = facts.apart(allowed)
    if verdict is Verdict.STOP:
        why = message("check.lamp.ratio", drift=drift, limit=limit)
        return Check("lamp", verdict, says, why, drift, limit, step="wiring", field="lamp")
    return _in_time(facts, trip, allowed, verdict)


def _in_time(facts: Facts, trip: TripPoint, allowed: float, drifting: Verdict) -> Check:
    """Return whether a tapped lamp comes in time; its drift counts to the late and early side."""
    warning, kind = facts.duty.warning, facts.duty.kind
    drift = facts.apart(trip.drift)

    def told(
        verdict: Verdict, why: Message, number: SiValue, limit: SiValue | None = None
    ) -> Check:
        says = message("check.lamp.trips", at=facts.value(trip.at))
        return Check("lamp", verdict, says, why, number, limit, step="wiring", field="lamp")

    if warning is None or warning.side == "unknown":
        why = message("check.lamp.no_warning", drift=drift)
        return replace(told(Verdict.UNKNOWN, why, drift), step="duty", field="warning")
    danger = -1.0 if warning.side == "low" else 1.0
    at = warning.at.si(kind)
    late = danger * (trip.at - at) + trip.drift
    limit = allowed if warning.tolerance is None else warning.tolerance.si(difference(kind))
    words = {"warning": facts.value(at), "late": facts.apart(late), "limit": facts.apart(limit)}
    number, most = facts.apart(max(late, 0.0)), facts.apart(limit)
    if late > limit * ROUNDING:
        return told(Verdict.STOP, message("check.lamp.late", **words), number, most)
    normal = None if warning.normal is None else warning.normal.si(kind)
    if normal is not None and danger * (trip.at - normal) < trip.drift:
        why = message("check.lamp.early", drift=drift, normal=facts.value(normal))
        return told(Verdict.CAUTION, why, drift)
    latest = facts.value(trip.at + danger * trip.drift)
    why = message("check.lamp.in_time", warning=words["warning"], latest=latest, limit=most)
    return told(drifting, why, number, most)


def check_polarity(facts: Facts) -> Check | None:
    """Return whether the parts can work with the positive pole on earth, None where it is not."""
    if facts.pairing.installation.supply.earthed != "positive":
        return None
    movement = facts.pairing.gauge.movement
    active = facts.pairing.sender.signal in (Kind.VOLTAGE, Kind.CURRENT)
    if active or isinstance(movement, ElectronicMovement | VoltageInput | LoopInput):
        says, why = message("check.polarity.electronic"), message("check.polarity.electronic_why")
        return Check("polarity", Verdict.CAUTION, says, why, step="wiring", field="earthed")
    if isinstance(movement, UnknownMovement):
        says, why = message("check.polarity.unknown"), message("check.polarity.unknown_why")
        return Check("polarity", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    says, why = message("check.polarity.plain"), message("check.polarity.plain_why")
    return Check("polarity", Verdict.GOOD, says, why, step="wiring", field="earthed")


def check_copper(facts: Facts) -> Check | None:
    """Return how far a warm or cold panel moves the needle through copper coils.

    Left out where no temperatures are given, or the movement has no coils of copper.
    """
    installation, gauge = facts.pairing.installation, facts.pairing.gauge
    movement = gauge.movement
    ends = [one for one in (installation.panel_low, installation.panel_high) if one is not None]
    if not ends or not isinstance(movement, RatioMovement | CoilMovement):
        return None
    says = message("check.copper.unknown")
    if not elements_known(gauge):
        why = message("check.copper.coils")
        return Check("copper", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    all_copper = replace(movement, copper=Figure(Amount(100.0, "%")))
    known = movement.copper is not None
    pairing = facts.pairing
    if not known:
        pairing = replace(pairing, gauge=replace(gauge, movement=all_copper))
    nominal = along(pairing, facts.duty)
    after = nominal
    for end in ends:
        shown = along(pairing, facts.duty, {PANEL_TEMPERATURE: end.si(Kind.TEMPERATURE)})
        after = np.where(np.abs(shown - nominal) > np.abs(after - nominal), shown, after)
    effect = facts.moved(Moves(true_values(facts.duty), nominal, after))
    if effect.shift is None:
        why = message("check.earth.no_reading")
        return Check("copper", Verdict.UNKNOWN, says, why, step="gauge", field="copper")
    if not known:
        why = message("check.copper.at_most", shift=effect.shift)
        return Check(
            "copper",
            Verdict.UNKNOWN,
            says,
            why,
            effect.shift,
            step="gauge",
            field="copper",
            moved=effect.moved,
        )
    says = message("check.copper.moves", shift=effect.shift)
    return Check(
        "copper",
        effect.verdict,
        says,
        effect.why("copper"),
        effect.shift,
        effect.limit,
        step="gauge",
        field="copper",
        moved=effect.moved,
    )
