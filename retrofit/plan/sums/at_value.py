"""The sums of a reading: true value → sender → what the dial sees → shown → error; its bands."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge
from catalog.parts.laws import SenderLaw, TableLaw, TransmitterLaw
from catalog.provenance import UNSTATED, Basis, BasisKind
from catalog.quantities.kinds import Kind, difference
from retrofit.bands.causes import Cause
from retrofit.plan.assess import Assessment
from retrofit.plan.causes import cause_says
from retrofit.plan.mark_readings import MarkReading
from retrofit.plan.sums.curves import Scales, output_at, value_at
from retrofit.plan.sums.seen import seen_of
from retrofit.plan.sums.sum import COMPUTED, ENTERED, Input, Sum, rounded

_ASSUMED = Basis(BasisKind.ASSUMED)


def sums_at(found: Assessment, x: float) -> tuple[Sum, ...]:
    """Return how what is shown at a true value comes about, step by step.

    Parameters
    ----------
    found : Assessment
        What was worked out.
    x : float
        True value [SI].

    Returns
    -------
    tuple of Sum
        Sender, what the dial sees, its law, what is shown, error; empty where nobody can tell.
    """
    return tuple(_chain(found, x))


def sums_of_mark(found: Assessment, mark: MarkReading) -> tuple[Sum, ...]:
    """Return the same at a mark that matters, and how its bands came about."""
    return (*_chain(found, mark.at), *_bands(found, mark))


def _chain(found: Assessment, x: float) -> Iterator[Sum]:
    needle, kind = found.needle, found.plan.duty.kind
    if needle is None or not needle.sender.low <= x <= needle.sender.high:
        return
    signal = found.pairing.sender.signal or Kind.RESISTANCE
    at = np.array([x])
    ohms = float(needle.sender.output(at)[0])
    seen = float(needle.apparent.of(np.array([ohms]))[0][0])
    law = float(needle.continued(at)[0][0])
    shown = float(needle.shown(at)[0][0])
    if math.isnan(law):
        return
    true = Input("x", message("sum.true"), SiValue(x, kind), ENTERED)
    gives = output_at(needle.sender, x, _scales(found.pairing.sender.law, kind, signal))
    title = message("sum.title.sender", at=SiValue(x, kind))
    first = Sum(
        title, gives.formula, (true, *gives.inputs), SiValue(ohms, signal), "R", gives.method
    )
    yield first
    path = seen_of(found.pairing, needle, ohms, seen)
    title = message("sum.title.seen")
    second = Sum(
        title, path.formula, (first.as_input("R"), *path.inputs), SiValue(seen, signal), "S",
        path.method,
    )  # fmt: skip
    yield second
    read = value_at(needle.dial, seen, _dial_scales(found.pairing.gauge, signal))
    formula = read.formula if math.isfinite(seen) and math.isfinite(law) else ""
    third = Sum(
        message("sum.title.law"), formula, (second.as_input("R"), *read.inputs),
        SiValue(law, kind), "v", read.method,
    )  # fmt: skip
    yield third
    yield from _shown(found, third, x, shown)


def _shown(found: Assessment, law: Sum, x: float, shown: float) -> Iterator[Sum]:
    """Give what the stops leave of the law's value, and the error."""
    needle, kind, gauge = found.needle, found.plan.duty.kind, found.pairing.gauge
    assert needle is not None
    ends = (("low", needle.stops.low, gauge.stop_low), ("high", needle.stops.high, gauge.stop_high))
    stops = [
        Input(
            symbol,
            message(f"sum.stop.{symbol}"),
            SiValue(value, kind),
            _ASSUMED if own is None else ENTERED,
        )
        for symbol, value, own in ends
    ]
    reading = Sum(
        message("sum.title.shown"), "min(max(v, low), high)", (law.as_input("v"), *stops),
        SiValue(shown, kind), "s",
    )  # fmt: skip
    yield reading
    true = Input("x", message("sum.true"), SiValue(x, kind), ENTERED)
    yield Sum(
        message("sum.title.error"), "s − x", (reading.as_input("s"), true),
        SiValue(shown - x, difference(kind)), "e",
    )  # fmt: skip


def _bands(found: Assessment, mark: MarkReading) -> Iterator[Sum]:
    """Give the ends of both bands: what was counted, and how."""
    spread, likely, kind = found.spread, found.likely, found.plan.duty.kind
    if spread is None:
        return
    causes = tuple(
        Input(
            "",
            cause_between(one),
            one.nominal,
            COMPUTED,
        )
        for one in spread.causes
    )
    fixed = Input("", message("sum.fixed"), SiValue(spread.fixed, difference(kind)), COMPUTED)
    method = message("sum.method.corners", causes=len(spread.causes))
    for key, end in (("low", mark.worst_low), ("high", mark.worst_high)):
        title = message(f"sum.title.worst_{key}")
        yield Sum(title, "", (*causes, fixed), SiValue(end, kind), "", method)
    if likely is None:
        return
    stable = likely.convergence
    method = message("sum.method.draws", draws=stable.draws, seed=stable.seed)
    for key, end in (("low", mark.likely_low), ("high", mark.likely_high)):
        title = message(f"sum.title.likely_{key}")
        yield Sum(title, "", (*causes, fixed), SiValue(end, kind), "", method)


def cause_between(one: Cause) -> Message:
    """Return a cause of a band with its limits."""
    low, high = rounded(one.low), rounded(one.high)
    return message("sum.cause", cause=cause_says(one.name), low=low, high=high)


def _scales(law: SenderLaw, kind: Kind, signal: Kind) -> Scales:
    own = getattr(law, "basis", None) or getattr(getattr(law, "resistance", None), "basis", None)
    basis = ENTERED if own is None or own == UNSTATED else own
    points = law.points if isinstance(law, TableLaw) else ()
    points = (law.low, law.high) if isinstance(law, TransmitterLaw) else points
    bases = {one.at.si(kind): one.basis for one in points if one.basis is not None}
    return Scales(kind, signal, bases, basis)


def _dial_scales(gauge: Gauge, signal: Kind) -> Scales:
    kind = gauge.quantity_kind
    if gauge.scaled_for is not None and len(gauge.marks) < 2:
        return _scales(gauge.scaled_for.law, kind, signal)
    bases = {mark.at.si(kind): mark.basis for mark in gauge.marks if mark.basis is not None}
    return Scales(kind, signal, bases, ENTERED if gauge.basis == UNSTATED else gauge.basis)
