"""Verdicts on what the pairing hangs on: the supply, the sender's way to earth."""

from __future__ import annotations

from tests.retrofit.plan.plans import LEVEL_240_33, Raw, gauge, mark, plan, sender
from tests.retrofit.plan.verdicts.case import (
    CLASS,
    ENDS,
    HEATER,
    SAME,
    VOLT_DIAL,
    Case,
    falling,
    full,
    transmitter,
)

PULLED = {"kind": "ratio", "pull_off": "3 %"}
HELD = {"stabiliser": {"fitted": "yes", "holds": "heat-equivalent"}}
LOOSE = {"supply": {"nominal": "13.5 V"}}


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
        )
    ),
    Case(
        "supply",
        "unknown",
        plan({**CLASS, "system": []}, SAME),
        "check.supply.unknown",
        "check.supply.system_unknown",
        step="gauge",
        number=0.0,
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


STRAIGHT_70 = {"0 %": "0 Ω", "100 %": "70 Ω"}


def earthed(ohms: str | None, trim: dict[str, str] | None = None, **fields: object) -> Raw:
    """A straight 0–70 Ω sender on its own straight dial: each ohm is a 70th of the scale."""
    wiring = {} if ohms is None else {"sender_earth": ohms}
    made = sender(STRAIGHT_70, shape="straight")
    return plan(gauge(STRAIGHT_70), made, trim, wiring=wiring, **fields)


EARTH = [
    Case(  # one hundredth of the scale is a third of what is allowed, but for rounding
        "earth",
        "good",
        earthed("0.7 Ω", allowed="3 %"),
        "check.earth.moves",
        "check.earth.good",
        step="wiring",
        number=0.01,
        limit=0.03,
        unit="Ω",
    ),
    Case(
        "earth",
        "good",
        earthed("0 Ω"),
        "check.earth.moves",
        "check.earth.good",
        step="wiring",
        number=0.0,
        limit=0.05,
        unit="Ω",
    ),
    Case(
        "earth",
        "caution",
        earthed("2.1 Ω"),
        "check.earth.moves",
        "check.earth.mend",
        step="wiring",
        number=2.1 / 70.0,
        limit=0.05,
        unit="Ω",
    ),
    Case(  # exactly what is allowed, but for rounding
        "earth",
        "caution",
        earthed("3.5 Ω"),
        "check.earth.moves",
        "check.earth.mend",
        step="wiring",
        number=0.05,
        limit=0.05,
        unit="Ω",
    ),
    Case(
        "earth",
        "stop",
        earthed("7 Ω"),
        "check.earth.moves",
        "check.earth.mend",
        step="wiring",
        number=0.1,
        limit=0.05,
        unit="Ω",
    ),
    Case(  # within 5 % over the range, but a mark allows less
        "earth",
        "stop",
        earthed("2.1 Ω", marks=[mark("half", "50 %", "high", allowed="2 %")]),
        "check.earth.moves",
        "check.earth.mend",
        step="wiring",
        number=2.1 / 70.0,
        limit=0.02,
        unit="Ω",
    ),
    Case(  # with 70 Ω across the sender the same ohms move it less: (R + e)∥70 at empty is e∥70
        "earth",
        "caution",
        earthed("2.1 Ω", {"signal to earth": "70 Ω"}),
        "check.earth.moves",
        "check.earth.mend",
        step="wiring",
        number=2.1 / 72.1,
        limit=0.05,
        unit="Ω",
    ),
    Case(
        "earth",
        "unknown",
        earthed(None),
        "check.earth.unmeasured",
        "check.earth.each_ohm",
        step="wiring",
        number=1.0 / 70.0,
        unit="%",
    ),
    Case(
        "earth",
        "unknown",
        earthed("0.7 Ω", allowed=None),
        "check.earth.moves",
        "check.mark.nothing_allowed",
        step="wiring",
        number=0.01,
        unit="Ω",
    ),
    Case(  # nobody can tell a reading: the coils behind a pull-up are not known
        "earth",
        "unknown",
        earthed(None, {"pull-up": "1 kΩ"}),
        "check.earth.unmeasured",
        "check.earth.no_reading",
        step="wiring",
    ),
    Case(
        "earth",
        "unknown",
        earthed("0.2 Ω", {"pull-up": "1 kΩ"}),
        "check.earth.measured",
        "check.earth.no_reading",
        step="wiring",
        unit="Ω",
    ),
]
