"""A plan with the verdict wanted of it, and the parts that such plans are made of."""

from __future__ import annotations

from dataclasses import dataclass

from tests.retrofit.plan.plans import LEVEL_240_33, Raw, gauge, mark, sender


@dataclass(frozen=True)
class Case:
    """A plan and the check wanted of it.

    `number` and `limit` are in SI; None where the check has none. `close` is how near the
    number has to be: closed forms beside each case.
    """

    check: str
    verdict: str
    raw: Raw
    says: str
    why: str
    step: str = "sender"
    number: float | None = None
    limit: float | None = None
    unit: str = ""
    mark: str = ""
    close: float = 1e-9


ENDS = {"0 %": "240 Ω", "100 %": "33 Ω"}
STRAIGHT = {"0 %": "0.5 V", "100 %": "4.5 V"}
VOLTS = {"kind": "voltage input"}
HEATER = {"kind": "heater", "heater": "60 Ω", "feed": "10 V"}
DIVIDER = {
    "supply_earth": "440 Ω",
    "supply_signal": "260 Ω",
    "signal_earth": "180 Ω",
    "meter_error": "0.5 %",
}
STAR = {
    "supply_earth": "100 Ω",
    "supply_signal": "69.75 Ω",
    "signal_earth": "79.75 Ω",
    "meter_error": "0.5 %",
}
FAULTY = {**DIVIDER, "supply_earth": "480 Ω"}
# 90 and 110 Ω seen from the signal terminal: 0.55 of 12 V behind 49.5 Ω, across 16.5 and 148.5 Ω.
SOURCE = {
    "first": "16.5 Ω",
    "first_volts": "1.65 V",
    "second": "148.5 Ω",
    "second_volts": "4.95 V",
    "supply": "12 V",
    "meter_error": "0.5 %",
}
OWN = {"key": "c", "name": "The class", "law": sender(LEVEL_240_33)["law"]}
CLASS = gauge(None, scaled_for=OWN)
SAME = sender(LEVEL_240_33)

# A linear volt pair: 0.5–4.5 V on the dial; a transmitter of 0.5–4.3 V reads 5 % low at full.
VOLT_DIAL = gauge(STRAIGHT, movement=VOLTS)


def transmitter(high: str = "4.5 V", follows: str | None = "no") -> Raw:
    law: Raw = {
        "kind": "transmitter",
        "low": {"at": "0 %", "gives": "0.5 V"},
        "high": {"at": "100 %", "gives": high},
    }
    if follows is not None:
        law["follows_supply"] = follows
    return sender(None, law=law)


def full(flatters: str = "high", **fields: object) -> list[Raw]:
    return [mark("full", "100 %", flatters, **fields)]


def falling(ohms: float) -> float:
    """Shown by a 240/103/33 Ω dial with stops 5 % beyond: f = q·s/(1 − s + q·s), q = 70/137."""
    s = (240.0 - ohms) / 207.0
    below = 1.0 + (70.0 / 137.0 - 1.0) * s
    return min(max(70.0 / 137.0 * s / below, -0.05), 1.05) if below > 0.0 else 1.05
