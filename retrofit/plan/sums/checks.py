"""The sums of the numbers that checks judge, and of the figures of a trim."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Check
from retrofit.plan.mark_readings import MarkReading
from retrofit.plan.shifts import Moved
from retrofit.plan.stages import supplies_of
from retrofit.plan.sums.at_value import cause_between, sums_at, sums_of_mark
from retrofit.plan.sums.seen import elements
from retrofit.plan.sums.sum import COMPUTED, ENTERED, Input, Sum
from retrofit.trim.power import Load
from retrofit.wired import Supplies, wired

METHODS = frozenset(
    {
        "alone",
        "coils",
        "copper",
        "cranking",
        "current",
        "dial",
        "direction",
        "earth",
        "lamp",
        "offset",
        "power",
        "second",
        "spread",
        "stations",
        "supply",
        "wiper",
        "wires",
    }
)
"""Checks whose number is found by a method with words of its own."""


def sums_of_check(found: Assessment, check: Check) -> tuple[Sum, ...]:
    """Return how the number that a check judged came about, the steps to it after it.

    Parameters
    ----------
    found : Assessment
        What was worked out.
    check : Check
        One of its checks.

    Returns
    -------
    tuple of Sum
        Empty where the check judged no number.
    """
    if check.number is None:
        return ()
    mark = _mark(found, check)
    if mark is not None and check.name == "mark":
        chain = sums_of_mark(found, mark)
        error = [one for one in chain if one.symbol == "e"]
        return (*error, *(one for one in chain if one.symbol != "e"))
    if mark is not None and check.name == "flatters":
        return (_flattery(found, check, mark), *sums_of_mark(found, mark))
    if check.name == "curve" and found.reading is not None:
        at = int(np.nanargmax(np.abs(found.reading.error)))
        chain = sums_at(found, float(found.reading.x[at]))
        error = [one for one in chain if one.symbol == "e"]
        return (*error, *(one for one in chain if one.symbol != "e"))
    powers = _power_of(found, check)
    return (powers,) if powers is not None else (_by_method(found, check),)


def sums_of_trim(found: Assessment) -> tuple[Sum, ...]:
    """Return how the power of each resistor of the trim came about; empty where nobody can tell."""
    loads = found.loads
    if isinstance(loads, Message):
        return ()
    return tuple(
        _power(load, resistor.value.si(Kind.RESISTANCE), message(f"place.{resistor.place}"))
        for resistor, load in loads.resistors
    )


def _mark(found: Assessment, check: Check) -> MarkReading | None:
    return next((one for one in found.marks if one.mark.name == check.mark), None)


def _flattery(found: Assessment, check: Check, mark: MarkReading) -> Sum:
    """Return how far a reading may err to the side that hides danger, everything counted."""
    kind, high = found.plan.duty.kind, mark.mark.flatters == "high"
    end = mark.worst_high if high else mark.worst_low
    assert check.number is not None
    side = "high" if high else "low"
    inputs = (
        Input("w", message(f"sum.title.worst_{side}"), SiValue(end, kind), COMPUTED),
        Input("x", message("sum.true"), SiValue(mark.at, kind), ENTERED),
    )
    formula = "w − x" if high else "x − w"
    return Sum(message("sum.title.flattery"), formula, inputs, check.number)


def _power(load: Load, ohm: float, what: Message) -> Sum:
    inputs = (
        Input(
            "I", message("sum.amps", state=load.state), SiValue(load.amps, Kind.CURRENT), COMPUTED
        ),
        Input("R", what, SiValue(ohm, Kind.RESISTANCE), ENTERED),
    )
    title = message("sum.title.power", what=what)
    return Sum(title, "I^2·R", inputs, SiValue(load.watts, Kind.POWER), "P")


def _power_of(found: Assessment, check: Check) -> Sum | None:
    """Return the sum of the resistor whose power a check judged, None for any other number."""
    if check.name != "power" or check.number is None:
        return None
    watts = check.number.value
    alike = [one for one in sums_of_trim(found) if one.result.value == watts]
    return alike[0] if alike else None


def _by_method(found: Assessment, check: Check) -> Sum:
    """Return the method of a number without a closed form, and what went into it."""
    assert check.number is not None
    key = check.name if check.name in METHODS else "other"
    formula, inputs = "", list(_causing(found, check))
    if check.moved is not None:
        formula, inputs = "s1 − s0", [*_shown(found, check.moved), *inputs]
    if check.limit is not None:
        inputs.append(Input("", message("sum.limit"), check.limit, ENTERED))
    title = message("sum.title.check", says=check.says)
    method = message(f"sum.method.check.{key}")
    return Sum(title, formula, tuple(inputs), check.number, "", method)


def _shown(found: Assessment, moved: Moved) -> Iterator[Input]:
    """Give what is shown without something and with it, and at which value."""
    kind = found.plan.duty.kind
    yield Input("", message("sum.true"), SiValue(moved.at, kind), COMPUTED)
    yield Input("s0", message("sum.shown_without"), SiValue(moved.before, kind), COMPUTED)
    yield Input("s1", message("sum.shown_with"), SiValue(moved.after, kind), COMPUTED)


def _causing(found: Assessment, check: Check) -> Iterator[Input]:
    """Give what goes into a method: the elements of the network, or the causes of the band."""
    if check.name == "spread" and found.spread is not None:
        for one in found.spread.causes:
            yield Input("", cause_between(one), one.nominal, COMPUTED)
        return
    if check.name not in METHODS:
        return
    pairing = found.pairing
    volts = supplies_of(pairing.gauge, pairing.installation)
    battery = None if volts.battery is None else volts.battery[:1]
    at = Supplies(volts.volts[:1], battery)
    on = () if check.moved is None else check.moved.on
    there = dict.fromkeys(on, 1.0)
    circuit = wired(pairing.gauge, pairing.installation, pairing.trim, at, there)
    if circuit is not None:
        yield from elements(pairing, circuit.network.elements)
    for volt, name in zip(volts.volts, ("nominal", "lowest", "highest"), strict=False):
        if check.name == "supply" and math.isfinite(float(volt)):
            value = SiValue(float(volt), Kind.VOLTAGE)
            yield Input("", message(f"sum.supply.{name}"), value, ENTERED)
