"""Verdicts on what is known of the dial between its marks."""

from __future__ import annotations

import math

from tests.retrofit.plan.plans import LEVEL_240_33, gauge, plan, sender
from tests.retrofit.plan.verdicts.case import (
    CLASS,
    ENDS,
    FAULTY,
    SAME,
    SOURCE,
    Case,
)

DIAL = [
    Case(
        "dial",
        "good",
        plan(CLASS, SAME),
        "check.dial.known",
        "check.dial.own_class",
        step="gauge",
        number=0.0,
        limit=0.05,
        unit="%",
    ),
    Case(  # one middle mark keeps ±3 % of a falling scale, the sender is stated straight
        "dial",
        "caution",
        plan(gauge(LEVEL_240_33), sender(ENDS, shape="straight")),
        "check.dial.roughly",
        "check.dial.marks",
        step="gauge",
        number=0.03,
        limit=0.05,
        unit="%",
        close=1e-4,
    ),
    Case(  # ends only: between q = 1 and 0.18 the gap is widest at s = 1/(1 + √0.18)
        "dial",
        "unknown",
        plan(gauge(ENDS), sender(ENDS, shape="straight")),
        "check.dial.guess",
        "check.dial.ends_only",
        step="gauge",
        number=1.0 / (1.0 + math.sqrt(0.18)) - math.sqrt(0.18) / (1.0 + math.sqrt(0.18)),
        limit=0.05,
        unit="Ω",
        close=1e-4,
    ),
    Case(
        "dial",
        "unknown",
        plan(CLASS, SAME, allowed=None),
        "check.dial.unjudged",
        "check.dial.own_class",
        step="duty",
        number=0.0,
        unit="%",
    ),
    Case(  # marks at a quarter and three quarters say nothing of the ends of the scale
        "dial",
        "unknown",
        plan(gauge({"25 %": "188 Ω", "75 %": "84 Ω"}), sender(ENDS, shape="straight")),
        "check.dial.short",
        "check.dial.short_why",
        step="gauge",
        unit="%",
    ),
    Case(
        "dial",
        "unknown",
        plan(gauge(), SAME),
        "check.dial.unknown",
        "reading.no_dial",
        step="gauge",
    ),
    Case(
        "dial",
        "stop",
        plan(gauge(LEVEL_240_33, terminals=FAULTY), SAME),
        "check.dial.faulty",
        "check.dial.triangle",
        step="gauge",
        unit="Ω",
    ),
    Case(  # more volts across fewer ohms comes from no source
        "dial",
        "stop",
        plan(gauge(LEVEL_240_33, source={**SOURCE, "first_volts": "9 V"}), SAME),
        "check.dial.faulty",
        "bench.source_nonsense",
        step="gauge",
        unit="V",
    ),
]
