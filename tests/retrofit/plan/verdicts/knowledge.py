"""Verdicts on what is known: the dial between its marks, the supply."""

from __future__ import annotations

import math

from tests.retrofit.plan.plans import LEVEL_240_33, gauge, plan, sender
from tests.retrofit.plan.verdicts.case import (
    CLASS,
    ENDS,
    FAULTY,
    HEATER,
    SAME,
    VOLT_DIAL,
    Case,
    full,
    transmitter,
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
]

PULLED = {"kind": "ratio", "pull_off": "3 %"}
HELD = {"stabiliser": {"fitted": "yes", "holds": "heat-equivalent"}}
LOOSE = {"supply": {"nominal": "13.5 V"}}


def falling(ohms: float) -> float:
    """Shown by a 240/103/33 Ω dial with stops 5 % beyond: f = q·s/(1 − s + q·s), q = 70/137."""
    s = (240.0 - ohms) / 207.0
    below = 1.0 + (70.0 / 137.0 - 1.0) * s
    return min(max(70.0 / 137.0 * s / below, -0.05), 1.05) if below > 0.0 else 1.05


def coil_shift(*supplies: float) -> float:
    """Largest move of a 60 Ω coil marked at 13.5 V under a straight 240–33 Ω sender."""
    ohms = [240.0 - 207.0 * n / 200 for n in range(201)]
    return max(
        abs(falling(13.5 * (r + 60.0) / volts - 60.0) - falling(r))
        for r in ohms
        for volts in supplies
    )


SUPPLY = [
    Case(
        "supply",
        "good",
        plan(gauge(LEVEL_240_33, movement=HEATER), SAME, wiring=HELD),
        "check.supply.steady",
        "check.supply.why_stabilised",
        step="wiring",
        number=0.0,
        limit=0.05,
        unit="V",
        close=1e-12,
    ),
    Case(
        "supply",
        "good",
        plan(VOLT_DIAL, transmitter(), wiring=LOOSE),
        "check.supply.steady",
        "check.supply.why_signal",
        step="wiring",
        number=0.0,
        limit=0.05,
        unit="%",
    ),
    Case(  # 3 % of scale from 11 to 14.4 V, carried as a number
        "supply",
        "caution",
        plan(gauge(LEVEL_240_33, movement=PULLED), SAME),
        "check.supply.moves",
        "check.supply.why_ratio",
        step="wiring",
        number=0.03,
        limit=0.05,
        unit="V",
    ),
    Case(  # one per cent of 4.5 V is 45 mV, of 4 V for the scale
        "supply",
        "caution",
        plan(VOLT_DIAL, transmitter(follows="yes")),
        "check.supply.ratiometric",
        "check.supply.ratiometric_why",
        step="wiring",
        number=0.045 / 4.0,
        limit=0.05,
        unit="%",
    ),
    Case(  # a mark that allows less than the range judges the same move more strictly
        "supply",
        "stop",
        plan(gauge(LEVEL_240_33, movement=PULLED), SAME, marks=full(allowed="1 %")),
        "check.supply.moves",
        "check.supply.why_ratio",
        step="wiring",
        number=0.03,
        limit=0.01,
        unit="V",
    ),
    Case(  # a moving coil is proportional to the supply
        "supply",
        "stop",
        plan(
            gauge(LEVEL_240_33, movement={"kind": "coil", "coil": "60 Ω", "feed": "13.5 V"}),
            sender(ENDS, shape="straight"),
        ),
        "check.supply.moves",
        "check.supply.why_follows",
        step="wiring",
        number=coil_shift(11.0, 14.4),
        limit=0.05,
        unit="V",
    ),
    Case(
        "supply",
        "stop",
        plan(gauge(LEVEL_240_33, system=["24 V"]), SAME),
        "check.supply.system",
        "check.supply.system_why",
        step="wiring",
        number=13.5,
        unit="V",
    ),
    *(
        Case("supply", "unknown", raw, "check.supply.unknown", why, step="wiring", number=number)
        for why, raw, number in (
            (
                "check.supply.no_pull_off",
                plan(gauge(LEVEL_240_33, movement={"kind": "ratio"}), SAME),
                None,
            ),
            (
                "check.supply.rail_unknown",
                plan(gauge(LEVEL_240_33, movement={"kind": "electronic"}), SAME),
                None,
            ),
            (
                "check.supply.stabiliser_unknown",
                plan(gauge(LEVEL_240_33, movement=HEATER), SAME),
                None,
            ),
            (
                "check.supply.holds_unknown",
                plan(
                    gauge(LEVEL_240_33, movement=HEATER),
                    SAME,
                    wiring={"stabiliser": {"fitted": "yes"}},
                ),
                None,
            ),
            (
                "check.supply.winding_unknown",
                plan(gauge(LEVEL_240_33, movement={"kind": "coil"}), SAME),
                None,
            ),
            (
                "check.supply.feed_unknown",
                plan(gauge(LEVEL_240_33, movement={"kind": "coil", "coil": "60 Ω"}), SAME),
                None,
            ),
            ("check.supply.no_range", plan(CLASS, SAME, wiring=LOOSE), None),
            ("check.supply.transmitter_unknown", plan(VOLT_DIAL, transmitter(follows=None)), None),
            ("reading.no_curve", plan(CLASS, sender(None, law={"kind": "pulsed"})), None),
            ("check.supply.system_unknown", plan({**CLASS, "system": []}, SAME), 0.0),
        )
    ),
    Case(
        "supply",
        "unknown",
        plan(CLASS, SAME, allowed=None),
        "check.supply.moves",
        "check.supply.why_ratio",
        step="wiring",
        number=0.0,
        unit="V",
    ),
]
