"""The circuit of a plan for the ngspice simulator, written from the plan's JSON alone.

It knows nothing of our network, parts or codec: quantities are read as "number unit" here.
The lists of elements are those that ``tests.circuit.netlist`` gives to the simulator.
"""

from __future__ import annotations

import math
import random
from typing import Any

from tests.circuit.netlist import Circuit, Element

Raw = dict[str, Any]

FACTORS = {"Ω": 1.0, "kΩ": 1e3, "V": 1.0, "mV": 1e-3}


def si(text: str) -> float:
    number, unit = text.split()
    return float(number) * FACTORS[unit]


def resistor(name: str, a: str, b: str, ohm: float) -> Element:
    return {"kind": "resistor", "name": name, "from": a, "to": b, "ohm": ohm}


def source(name: str, plus: str, volt: float) -> Element:
    return {"kind": "voltage source", "name": name, "plus": plus, "minus": "earth", "volt": volt}


def circuit(plan: Raw, ohm: float) -> Circuit:
    """The circuit of the first pairing of a plan with `ohm` in the sender's place."""
    pairing = plan["pairings"][0]
    wiring = pairing["installation"]
    trim = {one["place"]: si(one["value"]) for one in pairing.get("trim", [])}
    found = [source("battery", "supply", si(wiring["supply"]["nominal"]))]
    found += movement(pairing["gauge"]["movement"])
    at = "signal"
    if "pull-up" in trim:
        found.append(resistor("pull-up", "supply", at, trim["pull-up"]))
    if "series at gauge" in trim:
        found.append(resistor("series at gauge", at, "wire", trim["series at gauge"]))
        at = "wire"
    if "signal to earth" in trim:
        found.append(resistor("signal to earth", at, "earth", trim["signal to earth"]))
    if "series at sender" in trim:
        found.append(resistor("series at sender", at, "terminal", trim["series at sender"]))
        at = "terminal"
    if "across sender" in trim:
        found.append(resistor("across sender", at, "body", trim["across sender"]))
    earth = si(wiring["sender_earth"]) if "sender_earth" in wiring else 0.0
    return [*found, resistor("sender", at, "body", ohm), resistor("earth", "body", "earth", earth)]


def movement(raw: Raw) -> Circuit:
    if raw["kind"] == "ratio":
        return [
            resistor("supply coil", "supply", "signal", si(raw["supply_coil"])),
            resistor("earth coil", "signal", "earth", si(raw["earth_coil"])),
        ]
    if raw["kind"] in ("heater", "coil"):
        return [resistor(raw["kind"], "supply", "signal", si(raw[raw["kind"]]))]
    pull_up = si(raw["pull_up"])
    if raw["rail"] == "supply":
        return [resistor("input", "supply", "signal", pull_up)]
    return [
        source("reference", "rail", si(raw["reference"])),
        resistor("input", "rail", "signal", pull_up),
    ]


def apparent(plan: Raw, volts: dict[str, float]) -> float:
    """What the dial sees, from the simulator's node voltages and the movement's definition.

    The resistance that gives the same ratio of coil currents, current or volts with no trims at
    the volts for which the dial was marked; infinite at or past the place of an open lead.
    """
    raw = plan["pairings"][0]["gauge"]["movement"]
    supply, signal = volts["supply"], volts["signal"]
    if raw["kind"] == "ratio":
        earth_coil = si(raw["earth_coil"])
        d = (signal / earth_coil) / ((supply - signal) / si(raw["supply_coil"]))
        return earth_coil * d / (1.0 - d) if d < 1.0 else math.inf
    if raw["kind"] in ("heater", "coil"):
        winding = si(raw[raw["kind"]])
        current = (supply - signal) / winding
        return si(raw["feed"]) / current - winding
    full = si(raw["reference"] if raw["rail"] == "reference" else raw["feed"])
    return si(raw["pull_up"]) * signal / (full - signal) if signal < full else math.inf


# --- generated plans ----------------------------------------------------------------------------

MOVEMENTS = ("ratio", "heater", "coil", "reference", "supply")
PLACES = ("across sender", "series at sender", "signal to earth", "series at gauge", "pull-up")
MARKS = (("0 %", "240 Ω"), ("50 %", "103 Ω"), ("100 %", "33 Ω"))


def generated(seed: int, count: int) -> list[tuple[Raw, float]]:
    """Plans with a resistance for the sender's place, every movement and place among them."""
    draw = random.Random(seed)
    return [_plan(draw, MOVEMENTS[n % len(MOVEMENTS)]) for n in range(count)]


def between(draw: random.Random, low: float, high: float) -> float:
    return float(f"{low * (high / low) ** draw.random():.6g}")


def drawn_movement(draw: random.Random, kind: str) -> Raw:
    one, two = (f"{between(draw, 30.0, 300.0)!r} Ω" for _ in range(2))
    feed = f"{between(draw, 8.0, 14.0)!r} V"
    if kind == "ratio":
        return {"kind": "ratio", "supply_coil": one, "earth_coil": two}
    if kind in ("heater", "coil"):
        return {"kind": kind, kind: one, "feed": feed}
    pull_up = f"{between(draw, 0.1, 2.0)!r} kΩ"
    raw = {"kind": "electronic", "pull_up": pull_up, "rail": kind, "reference": "5 V"}
    return raw if kind == "reference" else {**raw, "feed": feed}


def _plan(draw: random.Random, kind: str) -> tuple[Raw, float]:
    wiring: Raw = {"supply": {"nominal": f"{between(draw, 10.5, 16.0)!r} V"}}
    if kind == "heater":
        wiring["stabiliser"] = {"fitted": "no"}
    if draw.random() < 0.6:
        wiring["sender_earth"] = f"{between(draw, 0.01, 20.0)!r} Ω"
    trim = [
        {"place": place, "value": f"{between(draw, 5.0, 2000.0)!r} Ω"}
        for place in PLACES
        if draw.random() < 0.5
    ]
    level: Raw = {"quantity": "level", "low": "0 %", "high": "100 %"}
    marks = [{"at": at, "needs": needs} for at, needs in MARKS]
    points = [{"at": at, "gives": needs} for at, needs in MARKS]
    law = {"kind": "table", "points": points}
    pairing = {
        "label": "A",
        "gauge": {
            "key": "gauge",
            "name": "Gauge",
            "movement": drawn_movement(draw, kind),
            "marks": marks,
            **level,
        },
        "sender": {"key": "sender", "name": "Sender", "quantity": "level", "law": law},
        "installation": wiring,
        "trim": trim,
    }
    fate = draw.random()
    ohm = 0.0 if fate < 0.05 else math.inf if fate > 0.95 else between(draw, 1.0, 500.0)
    return {"name": "Generated", "duty": level, "pairings": [pairing]}, ohm
