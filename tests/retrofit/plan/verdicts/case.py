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
