"""An assessment as plain data for scripts: SI numbers, keys and verdicts, no sentence.

The keys are stable: a change of their meaning is a new version. Numbers that nobody knows, and
infinite ones (the needle has left every scale), are None; `held` says which stop holds it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from catalog.arrays import Array
from catalog.message import Message, SiValue, Value
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import COMPUTED, Check
from retrofit.plan.conclusion import conclusion_of
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.fits import Fitted
from retrofit.plan.mark_readings import MarkReading
from retrofit.plan.measuring import Measuring, measurings_of
from retrofit.plan.shifts import Moved
from retrofit.plan.stages import LeadState, highest_supply, lowest_supply

FORMAT = "retrofit-assessment"
VERSION = 1

Data = dict[str, Any]

SI_UNIT = {
    Kind.LEVEL: "1",
    Kind.PRESSURE: "Pa",
    Kind.TEMPERATURE: "°C",
    Kind.LEVEL_DIFFERENCE: "1",
    Kind.PRESSURE_DIFFERENCE: "Pa",
    Kind.TEMPERATURE_DIFFERENCE: "K",
    Kind.RESISTANCE: "Ω",
    Kind.VOLTAGE: "V",
    Kind.CURRENT: "A",
}
"""Unit of the SI numbers of each kind that a reading is made of."""


def exported(assessment: Assessment) -> Data:
    """Return all of an assessment as dicts, lists, text, numbers and None.

    Parameters
    ----------
    assessment : Assessment
        What was worked out of one pairing.

    Returns
    -------
    dict
        Ready for ``json.dumps(…, allow_nan=False)``; README.md lists the keys.
    """
    plan, pairing, duty = assessment.plan, assessment.pairing, assessment.plan.duty
    kind = duty.kind
    signal = pairing.sender.signal or pairing.gauge.signal
    return {
        "format": FORMAT,
        "version": VERSION,
        "plan": plan.name,
        "units": {
            "reading": SI_UNIT[kind],
            "difference": SI_UNIT[difference(kind)],
            "signal": SI_UNIT[signal],
        },
        "duty": _duty(duty),
        "pairing": _pairing(pairing),
        "verdict": assessment.verdict.value,
        "reason": None if assessment.reason is None else message_data(assessment.reason),
        "reading": _reading(assessment),
        "bands": _bands(assessment),
        "second": _second(assessment),
        "fit": _fit(assessment.fit),
        "marks": [_mark(mark) for mark in assessment.marks],
        "lead": {
            "open": _lead(assessment.lead_open),
            "earthed": _lead(assessment.lead_earthed),
        },
        "conclusion": [message_data(one) for one in conclusion_of(assessment)],
        "checks": [_check(check) for check in assessment.checks],
        "measure": [_measuring(one) for one in measurings_of(assessment)],
        "wiring": _wiring(assessment),
        "cautions": [message_data(caution) for caution in assessment.cautions],
    }


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _numbers(values: Array) -> list[float | None]:
    return [_number(value) for value in values.tolist()]


def _flags(values: Array) -> list[int | None]:
    return [None if math.isnan(value) else int(value) for value in values.tolist()]


def _si(amount: Amount | None, kind: Kind) -> float | None:
    return None if amount is None else amount.si(kind)


def _duty(duty: Duty) -> Data:
    low, high = duty.span
    return {
        "quantity": duty.quantity,
        "low": low,
        "high": high,
        "allowed": duty.allowed_at(None),
        "medium": duty.medium,
        "controller_shares": duty.controller_shares,
        "capacity": _si(duty.capacity, Kind.VOLUME),
        "highest_pressure": _si(duty.highest_pressure, Kind.PRESSURE),
        "highest_temperature": _si(duty.highest_temperature, Kind.TEMPERATURE),
        "warning": None if duty.warning is None else duty.warning.at.si(duty.kind),
    }


def _pairing(pairing: Pairing) -> Data:
    supply, earth = pairing.installation.supply, pairing.installation.sender_earth
    return {
        "label": pairing.label,
        "sender": _part(pairing.sender),
        "gauge": _part(pairing.gauge),
        "supply": {
            "nominal": supply.nominal.si(Kind.VOLTAGE),
            "low": lowest_supply(supply),
            "high": highest_supply(supply),
        },
        "sender_earth": None if earth is None else earth.si(Kind.RESISTANCE),
        "trim": [
            {"place": resistor.place, "ohms": resistor.value.si(Kind.RESISTANCE)}
            for resistor in pairing.trim
        ],
    }


def _part(part: Sender | Gauge) -> Data:
    return {"key": part.key, "name": part.name}


def _reading(assessment: Assessment) -> Data | None:
    reading, band, spread = assessment.reading, assessment.band, assessment.spread
    likely = assessment.likely
    if reading is None or band is None:
        return None
    return {
        "true": _numbers(reading.x),
        "sender": _numbers(reading.ohms),
        "apparent": _numbers(reading.apparent),
        "continued": _numbers(reading.continued),
        "shown": _numbers(reading.shown),
        "error": _numbers(reading.error),
        "held": _flags(reading.held),
        "band_low": _numbers(band.low),
        "band_high": _numbers(band.high),
        "supply_low": _numbers(reading.supply_low),
        "supply_high": _numbers(reading.supply_high),
        "worst_low": None if spread is None else _numbers(spread.low),
        "worst_high": None if spread is None else _numbers(spread.high),
        "likely_low": None if likely is None else _numbers(likely.low),
        "likely_high": None if likely is None else _numbers(likely.high),
    }


def _bands(assessment: Assessment) -> Data | None:
    """Return how the bands were made: causes, what nobody stated, how stable they are."""
    spread, likely = assessment.spread, assessment.likely
    if spread is None:
        return None
    stable = None if likely is None else likely.convergence
    return {
        "causes": [
            {"name": one.name, "nominal": one.nominal, "low": one.low, "high": one.high}
            for one in spread.causes
        ],
        "unstated": [message_data(one) for one in spread.unstated],
        "fixed": spread.fixed,
        "searched": list(spread.searched),
        "every_corner": spread.every_corner,
        "draws": None if stable is None else stable.draws,
        "seed": None if stable is None else stable.seed,
        "reached": None if stable is None else stable.reached,
    }


def _second(assessment: Assessment) -> Data | None:
    second, other = assessment.second, assessment.pairing.installation.second
    spread = assessment.second_spread
    if second is None or other is None:
        return None
    return {
        "gauge": _part(other.gauge),
        "shown": _numbers(second.reading.shown),
        "error": _numbers(second.error),
        "worst_low": None if spread is None else _numbers(spread.low),
        "worst_high": None if spread is None else _numbers(spread.high),
    }


def _fit(found: Fitted) -> Data | None:
    """Return threads and chain; None while no thread is known."""
    if found.port is None and found.sender is None:
        return None
    chain, direct, engaged, hangs = found.chain, found.direct, found.engaged, found.hangs
    return {
        "port": None if found.port is None else found.port.key,
        "sender": None if found.sender is None else found.sender.key,
        "outcome": None if direct is None else direct.outcome,
        "turns": None if direct is None else _number(direct.middle.turns),
        "pieces": None if chain is None else [piece.key for piece in chain.pieces],
        "added": None if chain is None else chain.added,
        "leaks": None if chain is None else chain.leaks,
        "seals": list(found.seals),
        "engaged": None if engaged is None else _number(engaged.length),
        "arm": None if hangs is None else hangs.arm,
        "arm_allowed": None if hangs is None else _number(hangs.allowed),
        "earth_allowed": found.allowed_earth,
    }


def _measuring(one: Measuring) -> Data:
    return {
        "name": one.name,
        "what": message_data(one.what),
        "with": message_data(one.instrument),
        "where": message_data(one.where),
        "battery": one.battery,
        "caution": None if one.caution is None else message_data(one.caution),
    }


def _wiring(assessment: Assessment) -> Data:
    """Return the wires and the fuse that are proposed."""
    advice = assessment.advice
    wires = [
        {
            "run": one.run,
            "size": one.size or None,
            "afloat": one.afloat or None,
            "tinned": one.tinned,
            "amperes": _number(one.amperes),
            "longest": _number(one.longest),
            "bound": one.bound,
            "own": one.own or None,
            "thin": one.thin,
            "why": [message_data(reason) for reason in one.reasons],
        }
        for one in advice.wires
    ]
    why = [message_data(reason) for reason in advice.fuse.reasons]
    return {"wires": wires, "fuse": {"amperes": advice.fuse.rating, "why": why}}


def _mark(mark: MarkReading) -> Data:
    return {
        "name": mark.mark.name,
        "true": mark.at,
        "sender": _number(mark.ohms),
        "shown": _number(mark.shown),
        "error": _number(mark.error),
        "held": None if math.isnan(mark.shown) else mark.held,
        "band_low": _number(mark.low),
        "band_high": _number(mark.high),
        "likely_low": _number(mark.likely_low),
        "likely_high": _number(mark.likely_high),
        "worst_low": _number(mark.worst_low),
        "worst_high": _number(mark.worst_high),
        "shares": [
            {
                "cause": one.name,
                "share": _number(one.share),
                "alone_low": _number(one.alone_low),
                "alone_high": _number(one.alone_high),
            }
            for one in mark.shares
        ],
        "allowed": mark.allowed,
        "flatters": mark.mark.flatters,
    }


def _lead(state: LeadState | None) -> Data | None:
    if state is None:
        return None
    shown = _number(state.shown)
    return {"shown": shown, "held": None if shown is None else state.held}


def _check(check: Check) -> Data:
    computed = check.basis == COMPUTED
    return {
        "name": check.name,
        "verdict": check.verdict.value,
        "mark": check.mark or None,
        "says": message_data(check.says),
        "why": message_data(check.why),
        "number": value_data(check.number),
        "limit": value_data(check.limit),
        "moved": None if check.moved is None else _moved(check.moved),
        "basis": "computed" if computed else check.basis.kind.value,
        "source": None if computed else check.basis.source or None,
        "step": check.step,
        "field": check.field or None,
    }


def _moved(moved: Moved) -> Data:
    """Return at which value something moves the needle most, and what is shown there."""
    return {
        "at": _number(moved.at),
        "before": _number(moved.before),
        "after": _number(moved.after),
        "on": list(moved.on),
    }


def message_data(found: Message) -> Data:
    """Return a message as its key and its values."""
    return {"key": found.key, "values": dict(_named(found.values))}


def _named(values: Iterable[tuple[str, Value | Message]]) -> Iterable[tuple[str, Any]]:
    for name, value in values:
        yield name, value_data(value)


def value_data(value: Value | Message | None) -> Any:
    """Return a value of a message as plain data; a number with its kind, NaN and ±inf None."""
    if isinstance(value, Message):
        return message_data(value)
    if isinstance(value, SiValue):
        return {"si": _number(value.value), "kind": value.kind.value}
    if isinstance(value, float):
        return _number(value)
    return value
