"""Every shipped class on its own shipped gauge reads true, whatever turns the needle."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from catalog.codec import encode
from catalog.library import load_generic
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import Gauge, HeaterMovement
from catalog.parts.sender import Sender
from retrofit.plan.assess import Assessment
from tests.retrofit.plan.plans import assessed, plan

LIBRARY = load_generic()
PAIRS = [
    (one, part)
    for one in LIBRARY.gauges
    if one.scaled_for is not None and isinstance(part := LIBRARY.part(one.scaled_for.key), Sender)
]
FEEDS = {"6 V": "6 V", "12 V": "13.5 V", "24 V": "27 V"}


def own(gauge: Gauge, sender: Sender) -> Assessment:
    """The pair in a plan over the range that both know, on the supply the gauge is made for."""
    curve = sender.curve
    assert curve is not None
    kind = QUANTITY_KIND[gauge.quantity]
    unit = {"level": ("%", 100.0), "pressure": ("Pa", 1.0), "temperature": ("°C", 1.0)}
    name, factor = unit[gauge.quantity]
    low = max(curve.low, gauge.low.si(kind)) * factor
    high = min(curve.high, gauge.high.si(kind)) * factor
    wiring: dict[str, Any] = {"supply": {"nominal": FEEDS[gauge.system[0]]}}
    if isinstance(gauge.movement, HeaterMovement):
        wiring["stabiliser"] = {"fitted": "yes", "holds": "heat-equivalent"}
    feed = getattr(gauge.movement, "feed", None)
    if feed is not None and not isinstance(gauge.movement, HeaterMovement):
        wiring["supply"] = {"nominal": str(feed.amount)}
    raw = plan(
        encode(gauge), encode(sender), low=f"{low!r} {name}", high=f"{high!r} {name}", wiring=wiring
    )
    return assessed(raw)


def test_that_most_shipped_gauges_name_the_class_they_are_drawn_for() -> None:
    assert len(PAIRS) >= 25
    assert {type(gauge.movement).__name__ for gauge, _ in PAIRS} >= {
        "RatioMovement",
        "HeaterMovement",
        "ElectronicMovement",
        "VoltageInput",
        "LoopInput",
    }


@pytest.mark.parametrize(("gauge", "sender"), PAIRS, ids=lambda part: part.key)
def test_that_a_class_on_its_own_gauge_reads_true_to_1e_9_of_the_scale(
    gauge: Gauge, sender: Sender
) -> None:
    found = own(gauge, sender)
    assert found.reading is not None
    assert found.band is not None
    kind = QUANTITY_KIND[gauge.quantity]
    close = 1e-9 * (gauge.high.si(kind) - gauge.low.si(kind))
    x = found.reading.x
    assert np.max(np.abs(found.reading.shown - x)) <= close
    assert np.max(np.abs(found.reading.held)) == 0.0
    # Sender and dial are one curve, so however it runs between its points the needle is right.
    assert np.max(np.abs(found.band.low - x)) <= close
    assert np.max(np.abs(found.band.high - x)) <= close
