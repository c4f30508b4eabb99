"""A sender on the bench: what is compared, what could be measured next, what is assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.sender import Sender
from catalog.quantities.kinds import Kind, difference
from retrofit.finder.class_spread import spread
from retrofit.finder.seen import REST_LEVEL, SenderSeen
from retrofit.finder.sender_evidence import sender_evidence
from retrofit.finder.telling import Outlook, outlook
from retrofit.finder.verdict import Case, Units, shown_order

_PLACES = 11
_SQRT3 = 3.0**0.5
_CAUTION = {
    "level": "caution.unknown_tank",
    "pressure": "caution.pressure",
    "temperature": "caution.hot",
}


def sender_case(
    seen: SenderSeen, senders: Sequence[Sender], tolerance: float, left_out: tuple[str, ...]
) -> Case:
    """Return all that an answer on a sender is made of.

    Parameters
    ----------
    seen : SenderSeen
        What the meter showed.
    senders : sequence of Sender
        Classes that give what was read.
    tolerance : float
        Share that a part may be off where its class states nothing [1].
    left_out : tuple of str
        Keys of what could not be compared.
    """
    found = sender_evidence(seen, senders, tolerance)
    order = shown_order(found.share)
    shown = [senders[k] for k in order]
    states = found.by_state[order]
    gives = seen.gives
    meter = seen.meter.error(gives, seen.signal) / _SQRT3
    beside = outlook(found.spread.taken(order), states, meter)
    at = [_values(seen.places(one.quantity)[0], one.quantity) for one in shown]
    lead = shown[0].quantity
    same = np.array([n for n, one in enumerate(shown) if one.quantity == lead])
    places = _test_values([shown[n] for n in same], lead)
    ahead = _ahead(seen, [shown[n] for n in same], states[same], places, tolerance)
    return Case(
        [one.key for one in senders],
        [one.name for one in senders],
        found,
        order,
        np.tile(gives, (len(shown), 1)),
        at,
        beside,
        [Units(seen.signal)] * len(shown),
        same,
        _values(places, lead),
        ahead,
        tuple(_assumptions(seen, tolerance)),
        (message(_CAUTION[lead]),),
        left_out,
        tuple(_held(seen)),
    )


def _held(seen: SenderSeen) -> Iterator[Message]:
    """Give the readings that did not move although the value did."""
    for row, (one, other) in enumerate(pairwise(seen.points), 1):
        apart = abs(one.at - other.at) > seen.value_error(one) + seen.value_error(other)
        if apart and one.gives == other.gives:
            yield message("identify.same", first=row, second=row + 1)


def _values(places: Array, quantity: QuantityName) -> list[SiValue]:
    return [SiValue(float(one), QUANTITY_KIND[quantity]) for one in places]


def _test_values(senders: Sequence[Sender], quantity: QuantityName) -> Array:
    """Return values where a sender could be measured, where all its likely classes are known."""
    if quantity == "level":
        return np.linspace(0.0, 1.0, 9)
    curves = [sender.curve for sender in senders if sender.curve is not None]
    # The leader's range, which the others share or not; those that say nothing tell nothing.
    low, high = curves[0].low, curves[0].high
    if quantity == "temperature":
        return np.arange(np.ceil(low / 5.0), np.floor(high / 5.0) + 1.0) * 5.0
    return np.linspace(low, high, _PLACES)


def _ahead(
    seen: SenderSeen, senders: Sequence[Sender], states: Array, places: Array, tolerance: float
) -> Outlook:
    """Return what classes would give at values that are as well known as the readings' own."""
    at = np.tile(places, (len(senders), 1))
    within = {"level": 0.02, "pressure": 0.01 * float(np.max(places)), "temperature": 2.0}
    error = np.full_like(at, within[senders[0].quantity])
    classes = spread(senders, at, error, tolerance).padded(states.shape[1])
    meter = seen.meter.error(classes.mean, seen.signal) / _SQRT3
    return outlook(classes, states, meter)


def _assumptions(seen: SenderSeen, tolerance: float) -> list[Message]:
    found = [
        message("identify.assumed.tolerance", share=SiValue(tolerance, Kind.FRACTION)),
        message(
            "identify.assumed.meter",
            share=SiValue(seen.meter.share, Kind.FRACTION),
            digits=seen.meter.digits,
            counts=seen.meter.counts,
        ),
    ]
    free = [point for point in seen.points if point.within is None]
    if free:
        kind = QUANTITY_KIND[seen.quantity or "level"]
        within = SiValue(seen.value_error(free[0]), difference(kind))
        found.append(message("identify.assumed.value", within=within))
    if seen.rest is not None:
        ambient = SiValue(seen.ambient, Kind.TEMPERATURE)
        within = SiValue(seen.ambient_within, Kind.TEMPERATURE_DIFFERENCE)
        level = SiValue(REST_LEVEL, Kind.LEVEL_DIFFERENCE)
        found.append(message("identify.assumed.rest", ambient=ambient, within=within, level=level))
    return found
