"""A gauge on the bench: what is compared, which resistor to try next, what is assumed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from catalog.arrays import Array
from catalog.message import SiValue, message
from catalog.parts.fields import QUANTITY_KIND
from catalog.quantities.kinds import Kind
from retrofit.finder.gauge_evidence import (
    ASSUMED_DIAL_ERROR,
    DialClass,
    dial_spread,
    gauge_evidence,
    shown_shares,
)
from retrofit.finder.seen import GaugeSeen
from retrofit.finder.telling import outlook
from retrofit.finder.verdict import LEAST_SHARE, Case, Units, shown_order
from retrofit.trim.preferred import values

_SQRT3 = 3.0**0.5
_LEAST_OHM = 1.0


def gauge_case(seen: GaugeSeen, classes: Sequence[DialClass], left_out: tuple[str, ...]) -> Case:
    """Return all that an answer on a gauge is made of.

    Parameters
    ----------
    seen : GaugeSeen
        Where the needle stood.
    classes : sequence of DialClass
        Classes whose dial is known.
    left_out : tuple of str
        Keys of what could not be compared.
    """
    found = gauge_evidence(seen, classes)
    order = shown_order(found.share)
    shown = [classes[k] for k in order]
    states = found.by_state[order]
    meter = np.asarray(seen.reading_error / _SQRT3)
    beside = outlook(found.spread.taken(order), states, meter)
    resistors = [SiValue(needle.ohm, Kind.RESISTANCE) for needle in seen.needles]
    ohms = _test_resistors(shown, found.share[order])
    tried = dial_spread(shown, ohms, seen.resistor_error).padded(states.shape[1])
    # Compared as shares of the scale; told as values of the dial.
    units = [
        Units(QUANTITY_KIND[one.gauge.quantity], one.ends[0], one.ends[1] - one.ends[0])
        for one in shown
    ]
    return Case(
        [one.gauge.key for one in classes],
        [one.gauge.name for one in classes],
        found,
        order,
        shown_shares(seen, shown),
        [resistors] * len(shown),
        beside,
        units,
        np.arange(len(shown)),
        [SiValue(float(one), Kind.RESISTANCE) for one in ohms],
        outlook(tried, states, meter),
        (
            message(
                "identify.assumed.dial",
                dial=SiValue(ASSUMED_DIAL_ERROR, Kind.FRACTION),
                needle=SiValue(seen.reading_error, Kind.FRACTION),
                resistor=SiValue(seen.resistor_error, Kind.FRACTION),
            ),
        ),
        (message("caution.battery"), message("caution.earthing")),
        left_out,
    )


def _test_resistors(shown: Sequence[DialClass], share: Array) -> Array:
    """Return preferred resistors that drive no likely class harder than its own sender does."""
    likely = [one for one, each in zip(shown, share, strict=True) if each > LEAST_SHARE]
    ends = [one.ohms for one in likely or shown[:1]]
    low = max(max(least for least, _ in ends), _LEAST_OHM)
    high = max(most for _, most in ends)
    return values("E12", low, max(high, 2.0 * low))
