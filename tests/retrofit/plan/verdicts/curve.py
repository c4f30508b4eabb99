"""Verdicts on the needle error over the whole range.

A transmitter of 0.5–V volts on a 0.5–4.5 V dial errs by (V − 4.5)/4 of scale at full.
"""

from __future__ import annotations

from tests.retrofit.plan.plans import gauge, mark, plan, sender
from tests.retrofit.plan.verdicts.case import CLASS, VOLT_DIAL, Case, transmitter

TRACK = {"0 %": "0 Ω", "100 %": "100 Ω"}

CURVE = [
    Case(
        "curve",
        "good",
        plan(VOLT_DIAL, transmitter("4.3 V")),
        "check.curve.largest",
        "check.mark.within",
        number=-0.05,
        limit=0.05,
        unit="%",
    ),
    Case(  # a straight track on a dial of which only the ends are known: q 1.55 is 10.9 % off
        "curve",
        "caution",
        plan(gauge(TRACK), sender(TRACK, shape="straight")),
        "check.curve.true",
        "check.mark.maybe",
        number=0.0,
        limit=0.05,
        unit="%",
        close=1e-12,
    ),
    Case(  # beyond, but the marks say what matters
        "curve",
        "caution",
        plan(VOLT_DIAL, transmitter("4.1 V"), marks=[mark("reserve", "20 %", "high")]),
        "check.curve.largest",
        "check.curve.beyond_marks",
        number=-0.1,
        limit=0.05,
        unit="%",
    ),
    Case(
        "curve",
        "stop",
        plan(VOLT_DIAL, transmitter("4.1 V")),
        "check.curve.largest",
        "check.mark.beyond",
        number=-0.1,
        limit=0.05,
        unit="%",
    ),
    Case(
        "curve",
        "unknown",
        plan(VOLT_DIAL, transmitter("4.3 V"), allowed=None),
        "check.curve.largest",
        "check.mark.nothing_allowed",
        step="duty",
        number=-0.05,
        unit="%",
    ),
    Case(
        "curve",
        "unknown",
        plan(CLASS, sender(None, law={"kind": "unknown"})),
        "check.curve.unknown",
        "reading.no_sender",
    ),
]
