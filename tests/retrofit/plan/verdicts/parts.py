"""Verdicts on the parts: signal, range, direction, controller, stations, coils."""

from __future__ import annotations

import math

from tests.retrofit.plan.plans import LEVEL_240_33, gauge, mark, plan, sender
from tests.retrofit.plan.verdicts.case import (
    CLASS,
    SAME,
    VOLT_DIAL,
    Case,
    full,
)

SIGNAL = [
    Case(
        "signal",
        "good",
        plan(CLASS, SAME),
        "check.signal.same",
        "check.signal.same_why",
        unit="ohms",
    ),
    Case(
        "signal",
        "stop",
        plan(VOLT_DIAL, SAME),
        "check.signal.other",
        "check.signal.other_why",
        unit="volts",
    ),
    *(
        Case(
            "signal",
            "stop",
            plan(CLASS, sender(None, law=law)),
            "check.signal.none",
            f"check.signal.{law['kind']}",
        )
        for law in (
            {"kind": "pulsed"},
            {"kind": "active"},
            {"kind": "switch", "operates": "10 %", "contact": "closed"},
        )
    ),
    Case(
        "signal",
        "unknown",
        plan(CLASS, sender(None, law={"kind": "unknown"})),
        "check.signal.unknown",
        "check.signal.unknown_why",
    ),
    Case(
        "signal",
        "unknown",
        plan(gauge(None, movement={"kind": "unknown"}), SAME),
        "check.signal.no_gauge",
        "check.signal.no_gauge_why",
        step="gauge",
    ),
]

RANGE = [
    Case("range", "good", plan(CLASS, SAME), "check.range.covered", "check.range.spans", unit="%"),
    Case(
        "range",
        "caution",
        plan(CLASS, sender({"10 %": "220 Ω", "100 %": "33 Ω"})),
        "check.range.short_sender",
        "check.range.spans",
        unit="%",
    ),
    Case(
        "range",
        "caution",
        plan(gauge(LEVEL_240_33, high="90 %"), SAME),
        "check.range.short_gauge",
        "check.range.spans",
        step="gauge",
        unit="%",
    ),
    Case(
        "range",
        "stop",
        plan(
            CLASS,
            sender({"10 %": "220 Ω", "100 %": "33 Ω"}),
            marks=[mark("reserve", "5 %", "high")],
        ),
        "check.range.mark_sender",
        "check.range.spans",
        number=0.05,
        unit="%",
        mark="reserve",
    ),
    Case(
        "range",
        "stop",
        plan(gauge(LEVEL_240_33, high="90 %"), SAME, marks=full()),
        "check.range.mark_gauge",
        "check.range.spans",
        step="gauge",
        number=1.0,
        unit="%",
        mark="full",
    ),
    Case(
        "range",
        "unknown",
        plan(CLASS, sender(None, law={"kind": "pulsed"})),
        "check.range.unknown",
        "check.range.no_curve",
    ),
]

BACKWARDS = sender({"0 %": "0 Ω", "100 %": "190 Ω"})
DIRECTION = [
    Case(
        "direction",
        "good",
        plan(CLASS, SAME),
        "check.direction.good",
        "check.direction.parts",
        unit="Ω",
    ),
    # 40–250 Ω on a straight 0–90 Ω dial: 105 % at 94.5 Ω, x = 54.5/210; 149 of 201 points above.
    Case(
        "direction",
        "caution",
        plan(gauge({"0 %": "0 Ω", "100 %": "90 Ω"}), sender({"0 %": "40 Ω", "100 %": "250 Ω"})),
        "check.direction.stands",
        "check.direction.parts",
        number=(201 - math.ceil(200 * 54.5 / 210)) / 201,
        limit=0.25,
        unit="%",
    ),
    Case(
        "direction",
        "stop",
        plan(CLASS, BACKWARDS),
        "check.direction.backwards",
        "check.direction.law",
        unit="Ω",
    ),
    Case(
        "direction",
        "unknown",
        plan(CLASS, sender(None, law={"kind": "active"})),
        "check.direction.unknown",
        "reading.no_curve",
    ),
]

OTHERS = [
    *(
        Case(
            "controller",
            verdict,
            plan(CLASS, SAME, controller_shares=answer),
            f"check.controller.{answer}",
            f"check.controller.{answer}_why",
            step="duty",
        )
        for verdict, answer in (("good", "no"), ("stop", "yes"), ("unknown", "unknown"))
    ),
    Case(
        "stations",
        "unknown",
        plan(CLASS, sender(None, law={"kind": "unknown"})),
        "check.stations.unknown",
        "check.signal.unknown_why",
    ),
    Case("stations", "good", plan(CLASS, SAME), "check.stations.one", "check.stations.one_why"),
    Case(  # 120–16.5 Ω on a 240–33 Ω gauge: 120 Ω at empty, on the law of q = 70/137
        "stations",
        "caution",
        plan(
            gauge(LEVEL_240_33),
            sender({"0 %": "120 Ω", "50 %": "51.5 Ω", "100 %": "16.5 Ω"}, stations=2),
        ),
        "check.stations.two",
        "check.stations.two_errors",
        number=(70 / 137 * 120 / 207) / (1 - 120 / 207 + 70 / 137 * 120 / 207),
    ),
]
