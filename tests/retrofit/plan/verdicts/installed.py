"""Verdicts on whole installations: wires, shared earths, lamps, second gauges.

The numbers come from a circuit of two nodes solved here by hand, not from the program's network.
"""

from __future__ import annotations

import math

from tests.retrofit.plan.plans import COILS, LEVEL_240_33, Raw, gauge, plan, sender
from tests.retrofit.plan.verdicts.case import (
    CLASS,
    ENDS,
    SAME,
    VOLT_DIAL,
    Case,
    falling,
    transmitter,
)

SUPPLY_COIL, EARTH_COIL, VOLTS = 90.0, 110.0, 13.5

KNOWN = gauge(LEVEL_240_33, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
UNKNOWN = gauge(LEVEL_240_33)
STRAIGHT = sender(ENDS, shape="straight")
TRACK = [240.0 - 207.0 * n / 200 for n in range(201)]


def furthest(moves: list[float]) -> float:
    return max(moves, key=abs)


def in_series(ohm: float) -> float:
    """Furthest move of the needle by ohms in the sender's path."""
    return furthest([falling(r + ohm) - falling(r) for r in TRACK])


def seen(signal: float) -> float:
    """What a plain ratio gauge sees at a signal voltage: Rb·d/(1 − d) of its two currents."""
    d = (signal / EARTH_COIL) / ((VOLTS - signal) / SUPPLY_COIL)
    return EARTH_COIL * d / (1.0 - d)


def signal(r: float, strap: float, ampere: float = 0.0, lamp: float = math.inf) -> float:
    """Signal volts with a current, or a lamp from the supply, into the earth of the sender.

    Two nodes, the signal and the sender's body, by Cramer's rule.
    """
    if r == 0.0:
        raise ValueError(r)
    a, b = 1.0 / SUPPLY_COIL + 1.0 / EARTH_COIL + 1.0 / r, -1.0 / r
    d = 1.0 / r + 1.0 / strap + 1.0 / lamp
    one, two = VOLTS / SUPPLY_COIL, ampere + VOLTS / lamp
    return (one * d - b * two) / (a * d - b * b)


def moved(strap: float, ampere: float = 0.0, lamp: float = math.inf) -> float:
    """Furthest move of the needle when a current in the strap is switched on."""
    return furthest(
        [
            falling(seen(signal(r, strap, ampere, lamp))) - falling(seen(signal(r, strap)))
            for r in TRACK
        ]
    )


def on(dial: Raw, **wiring: object) -> Raw:
    return plan(dial, STRAIGHT, wiring=wiring)


def strap(ohm: float) -> Raw:
    return {"measured": f"{ohm!r} Ω"}


def amperes(value: float, **fields: object) -> list[Raw]:
    load = {"name": "lights", "returns": "engine earth", "amperes": f"{value!r} A", "on_feed": "no"}
    return [{**load, **fields}]


WIRES = [
    *(
        Case(
            "wires",
            verdict,
            on(UNKNOWN, signal=strap(ohm)),
            "check.wires.moves",
            why,
            step="wiring",
            number=in_series(ohm),
            limit=0.05,
            unit="Ω",
        )
        for verdict, why, ohm in (
            ("good", "check.wires.good", 0.5),
            ("caution", "check.wires.mend", 4.0),
            ("stop", "check.wires.mend", 12.0),
        )
    ),
    Case(
        "wires",
        "unknown",
        on(KNOWN, feed={"wire": {"size": "1.5 mm²", "length": "0 m"}}),
        "check.wires.unknown",
        "wires.no_length",
        step="wiring",
        unit="m",
    ),
    Case(
        "wires",
        "unknown",
        on(KNOWN, feed={"wire": {"size": "17 mm²", "length": "2 m"}}),
        "check.wires.unknown",
        "wires.no_size",
        step="wiring",
        unit="mm²",
    ),
    Case(  # five metres of 0.5 mm² copper have 0.17 Ω
        "wires",
        "unknown",
        on(
            KNOWN,
            feed={"wire": {"size": "0.5 mm²", "length": "5 m"}, "measured": "0.01 Ω"},
        ),
        "check.wires.unknown",
        "wires.contradict",
        step="wiring",
        unit="Ω",
    ),
    Case(
        "wires",
        "unknown",
        on(UNKNOWN, feed=strap(0.5)),
        "check.wires.unknown",
        "check.wires.coils",
        step="gauge",
    ),
]

EARTH_OF_FALLING = [  # a falling sender reads low by the ohms in its earth; low is no better
    Case(
        "earth",
        verdict,
        on(UNKNOWN, sender_earth=f"{ohm!r} Ω"),
        "check.earth.moves",
        why,
        step="wiring",
        number=in_series(ohm),
        limit=0.05,
        unit="Ω",
    )
    for verdict, why, ohm in (
        ("good", "check.earth.good", 0.5),
        ("caution", "check.earth.mend", 4.0),
        ("stop", "check.earth.mend", 12.0),
    )
]

OFFSET = [
    *(
        Case(
            "offset",
            verdict,
            on(KNOWN, engine_earth=strap(0.05), loads=amperes(ampere)),
            "check.offset.moves",
            "check.offset.measure",
            step="wiring",
            number=moved(0.05, ampere),
            limit=0.05,
            unit="V",
        )
        for verdict, ampere in (("good", 1.0), ("caution", 3.0), ("stop", 20.0))
    ),
    Case(  # the alternator's current draws the engine below battery negative
        "offset",
        "caution",
        on(KNOWN, engine_earth=strap(0.05), loads=amperes(4.0, when="charging")),
        "check.offset.moves",
        "check.offset.measure",
        step="wiring",
        number=moved(0.05, -4.0),
        limit=0.05,
        unit="V",
    ),
    Case(  # two that are small each are not small together
        "offset",
        "caution",
        on(KNOWN, engine_earth=strap(0.05), loads=[*amperes(1.5), *amperes(1.6, name="pump")]),
        "check.offset.together",
        "check.offset.measure",
        step="wiring",
        number=moved(0.05, 3.1),
        limit=0.05,
        unit="V",
    ),
    Case(
        "offset",
        "unknown",
        on(KNOWN, engine_earth=strap(0.05), loads=[{"name": "lights"}]),
        "check.offset.unknown",
        "check.offset.no_current",
        step="wiring",
    ),
    Case(
        "offset",
        "unknown",
        on(KNOWN, loads=amperes(3.0)),
        "check.offset.unknown",
        "check.offset.measure",
        step="wiring",
        unit="V",
    ),
    Case(
        "offset",
        "unknown",
        on(UNKNOWN, engine_earth=strap(0.05), loads=amperes(3.0)),
        "check.offset.lifts",
        "check.offset.coils",
        step="gauge",
        number=0.15,
        unit="V",
    ),
]

STARTER: Raw = {"name": "starter", "when": "cranking", "on_feed": "no", "returns": "engine earth"}


def cranking(strap_ohm: float, dial: Raw = KNOWN, ampere: str | None = "200 A") -> Raw:
    return on(dial, engine_earth=strap(strap_ohm), loads=[{**STARTER, "amperes": ampere}])


CRANKING = [
    Case(  # 200 A in 2 mΩ
        "cranking",
        "good",
        cranking(0.002),
        "check.cranking.lifts",
        "check.cranking.nobody",
        step="wiring",
        number=0.4,
        limit=0.5,
        unit="V",
    ),
    Case(
        "cranking",
        "caution",
        cranking(0.004),
        "check.cranking.lifts",
        "check.cranking.strap",
        step="wiring",
        number=0.8,
        limit=0.5,
        unit="V",
    ),
    Case(  # what the needle does is not known; what the strap loses is
        "cranking",
        "caution",
        cranking(0.004, UNKNOWN),
        "check.cranking.loses",
        "check.cranking.strap",
        step="wiring",
        number=0.8,
        limit=0.5,
        unit="V",
    ),
    Case(
        "cranking",
        "unknown",
        cranking(0.004, ampere=None),
        "check.cranking.unknown",
        "check.offset.no_current",
        step="wiring",
    ),
]

PLUS = {"supply": {"nominal": "13.5 V", "low": "11 V", "high": "14.4 V", "earthed": "positive"}}

POLARITY = [
    Case(
        "polarity",
        "good",
        plan(CLASS, SAME, wiring=PLUS),
        "check.polarity.plain",
        "check.polarity.plain_why",
        step="wiring",
    ),
    Case(
        "polarity",
        "caution",
        plan(VOLT_DIAL, transmitter(), wiring=PLUS),
        "check.polarity.electronic",
        "check.polarity.electronic_why",
        step="wiring",
    ),
    Case(
        "polarity",
        "unknown",
        plan(gauge(LEVEL_240_33, movement={"kind": "unknown"}), SAME, wiring=PLUS),
        "check.polarity.unknown",
        "check.polarity.unknown_why",
        step="gauge",
    ),
]


INSTALLED = [
    *WIRES,
    *EARTH_OF_FALLING,
    *OFFSET,
    *CRANKING,
    *POLARITY,
]
