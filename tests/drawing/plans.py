"""Small plans for the drawings: each a case that looks different. Figures are made up."""

from __future__ import annotations

from functools import cache
from typing import Any

from catalog.codec import decode
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.document import Plan

Raw = dict[str, Any]

SUPPLY: Raw = {"supply": {"nominal": "13.5 V", "low": "11 V", "high": "14.4 V"}}

FALLING_GAUGE: Raw = {
    "key": "g",
    "name": "Falling 290 to 22 Ω",
    "quantity": "temperature",
    "low": "40 °C",
    "high": "120 °C",
    "movement": {"kind": "ratio"},
    "marks": [
        {"at": "40 °C", "needs": "291.46 Ω"},
        {"at": "80 °C", "needs": "70.12 Ω"},
        {"at": "120 °C", "needs": "22.44 Ω"},
    ],
}

FALLING_SENDER: Raw = {
    "key": "s",
    "name": "Falling 450 to 30 Ω",
    "quantity": "temperature",
    "law": {
        "kind": "table",
        "shape": "thermistor",
        "points": [
            {"at": "100 °F", "gives": "450 Ω"},
            {"at": "150 °F", "gives": "158.2 Ω"},
            {"at": "200 °F", "gives": "64.3 Ω"},
            {"at": "250 °F", "gives": "29.5 Ω"},
            {"at": "300 °F", "gives": "14.96 Ω"},
        ],
    },
}

COOLANT: Raw = {
    "quantity": "temperature",
    "low": "40 °C",
    "high": "120 °C",
    "allowed": "3.5 °C",
    "medium": "coolant",
    "marks": [
        {"name": "warm", "at": "60 °C", "flatters": "low"},
        {"name": "thermostat", "at": "82 °C", "flatters": "low"},
        {"name": "alarm", "at": "98 °C", "flatters": "low", "allowed": "2 °C"},
    ],
}


def _table(*points: tuple[str, str]) -> Raw:
    return {"kind": "table", "points": [{"at": at, "gives": ohms} for at, ohms in points]}


def _part(name: str, quantity: str, **more: Any) -> Raw:
    return {"key": "k", "name": name, "quantity": quantity, **more}


def _plan(name: str, duty: Raw, gauge: Raw, sender: Raw, installation: Raw = SUPPLY) -> Raw:
    pairing = {"label": "A", "installation": installation, "gauge": gauge, "sender": sender}
    return {"name": name, "duty": duty, "pairings": [pairing]}


def _oil() -> Raw:
    duty = {
        "quantity": "pressure",
        "low": "0 bar",
        "high": "6 bar",
        "allowed": "0.4 bar",
        "medium": "oil",
        "marks": [
            {"name": "hot idle", "at": "0.8 bar", "flatters": "high", "allowed": "0.2 bar"},
            {"name": "relief pressure", "at": "4.1 bar", "flatters": "high"},
        ],
    }
    gauge = _part(
        "Rising 10 to 180 Ω, 5 bar",
        "pressure",
        low="0 bar",
        high="5 bar",
        stop_low="-0.2 bar",
        stop_high="5.4 bar",
        sweep="90 °",
        movement={"kind": "coil", "coil": "120 Ω", "feed": "13.5 V"},
        marks=[
            {"at": "0 bar", "needs": "10 Ω"},
            {"at": "2 bar", "needs": "81 Ω"},
            {"at": "5 bar", "needs": "180 Ω"},
        ],
    )
    sender = _part(
        "Rising 10 to 184 Ω, 10 bar",
        "pressure",
        law=_table(("0 bar", "10 Ω"), ("4 bar", "95 Ω"), ("10 bar", "184 Ω")),
    )
    return _plan("oil", duty, gauge, sender)


def _fuel() -> Raw:
    duty = {
        "quantity": "level",
        "low": "0 %",
        "high": "100 %",
        "allowed": "5 %",
        "medium": "diesel",
        "marks": [{"name": "reserve", "at": "12 %", "flatters": "high"}],
    }
    gauge = _part(
        "Falling 240 to 33 Ω",
        "level",
        low="0 %",
        high="100 %",
        sweep="60 °",
        movement={"kind": "ratio", "supply_coil": "100 Ω", "earth_coil": "110 Ω"},
        marks=[{"at": "0 %", "needs": "240 Ω"}, {"at": "100 %", "needs": "33 Ω"}],
    )
    sender = _part("Falling 250 to 40 Ω", "level", law=_table(("0 %", "250 Ω"), ("100 %", "40 Ω")))
    return _plan("fuel", duty, gauge, sender)


def _backwards() -> Raw:
    law = _table(("40 °C", "10 Ω"), ("120 °C", "180 Ω"))
    sender = _part("Rising 10 to 180 Ω", "temperature", law=law)
    return _plan("backwards", COOLANT, FALLING_GAUGE, sender)


def _own_class() -> Raw:
    law = FALLING_SENDER["law"]
    gauge = {**FALLING_GAUGE, "marks": [], "low": "40 °C", "high": "140 °C"}
    gauge["scaled_for"] = {"key": "s", "name": "its own", "law": law}
    return _plan("own class", COOLANT, gauge, FALLING_SENDER)


def _partly_known() -> Raw:
    sender = _part(
        "Falling, known from 60 to 105 °C",
        "temperature",
        law=_table(("60 °C", "140 Ω"), ("82 °C", "66 Ω"), ("105 °C", "33 Ω")),
    )
    duty = {**COOLANT, "marks": [*COOLANT["marks"], {"name": "boiling", "at": "112 °C"}]}
    return _plan("partly known", duty, FALLING_GAUGE, sender)


def _no_dial() -> Raw:
    return _plan("no dial", COOLANT, {**FALLING_GAUGE, "marks": []}, FALLING_SENDER)


def _nothing_said() -> Raw:
    duty = {"quantity": "temperature", "low": "30 °C", "high": "150 °C"}
    return _plan("nothing said", duty, FALLING_GAUGE, FALLING_SENDER)


def _far_off() -> Raw:
    duty = {"quantity": "temperature", "low": "40 °C", "high": "500 °C", "allowed": "3.5 °C"}
    law = _table(("40 °C", "291 Ω"), ("500 °C", "1 Ω"))
    sender = _part("Falling, known to 500 °C", "temperature", law=law)
    return _plan("far off", duty, FALLING_GAUGE, sender)


def _crowded() -> Raw:
    names = ["cold & <wet>", "warm", "thermostat opens", "fully open", "fan on", "alarm", "boiling"]
    at = [45, 60, 82, 86, 89, 98, 101]
    pairs = zip(names, at, strict=True)
    marks = [{"name": name, "at": f"{v} °C", "flatters": "low"} for name, v in pairs]
    return _plan("crowded", {**COOLANT, "marks": marks}, FALLING_GAUGE, FALLING_SENDER)


PLANS: dict[str, Raw] = {
    "coolant": _plan("coolant", COOLANT, FALLING_GAUGE, FALLING_SENDER),
    "oil": _oil(),
    "fuel": _fuel(),
    "backwards": _backwards(),
    "own class": _own_class(),
    "partly known": _partly_known(),
    "no dial": _no_dial(),
    "nothing said": _nothing_said(),
    "crowded": _crowded(),
    "far off": _far_off(),
}


@cache
def assessed(name: str) -> Assessment:
    return assess(decode(PLANS[name], Plan, name))
