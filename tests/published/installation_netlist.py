"""Whole installations for the ngspice simulator, written from the plan's JSON alone.

Supply, shared feed, feed, signal wire, shared earths, loads of watts and of amperes, charging
current, a lit warning lamp, a second gauge live or dead, and trims. It knows nothing of our
network, parts or codec.
"""

from __future__ import annotations

import math
import random
from typing import Any

from tests.circuit.netlist import Circuit, Element
from tests.published import plan_netlist
from tests.published.plan_netlist import MARKS, MOVEMENTS, PLACES, resistor, si

Raw = dict[str, Any]

RUNS = ("shared_feed", "feed", "signal", "engine_earth", "gauge_earth")
UNITS = {"W": 1.0, "A": 1.0}


def plain(text: str) -> float:
    number, unit = text.split()
    return float(number) * UNITS[unit]


def source(name: str, plus: str, minus: str, volt: float) -> Element:
    return {"kind": "voltage source", "name": name, "plus": plus, "minus": minus, "volt": volt}


def run(wiring: Raw, name: str) -> float:
    path = wiring.get(name)
    if path is None:
        return 0.0
    if "measured" in path:
        return si(path["measured"])
    return si(path["contacts"])


def circuit(plan: Raw, ohm: float, lit: bool) -> Circuit:
    """The circuit of the first pairing with `ohm` in the sender's place, all loads on."""
    pairing = plan["pairings"][0]
    wiring = pairing["installation"]
    supply = si(wiring["supply"]["nominal"])
    found: Circuit = [
        source("battery", "battery", "earth", supply),
        resistor("shared feed", "battery", "panel", run(wiring, "shared_feed")),
        resistor("feed", "panel", "supply", run(wiring, "feed")),
        resistor("gauge earth", "gauge earth", "earth", run(wiring, "gauge_earth")),
        resistor("engine earth", "engine", "earth", run(wiring, "engine_earth")),
        resistor("sender earth", "body", "engine", si(wiring.get("sender_earth", "0 Ω"))),
        *movement(pairing["gauge"]["movement"], "", "supply", "signal", "gauge earth"),
        *path(pairing, wiring),
        resistor("sender", "terminal", "body", ohm),
    ]
    for n, load in enumerate(wiring.get("loads", [])):
        found.append(consumer(f"load {n}", load, supply))
    if lit:
        watts = plain(wiring["lamp"]["watts"])
        found.append(resistor("lamp", "panel", "body", supply**2 / watts))
    return [*found, *second(wiring, supply)]


def path(pairing: Raw, wiring: Raw) -> Circuit:
    trim = {one["place"]: si(one["value"]) for one in pairing.get("trim", [])}
    away = math.inf
    return [
        resistor("pull-up", "supply", "signal", trim.get("pull-up", away)),
        resistor("series at gauge", "signal", "middle", trim.get("series at gauge", 0.0)),
        resistor("signal to earth", "middle", "gauge earth", trim.get("signal to earth", away)),
        resistor("signal wire", "middle", "lead", run(wiring, "signal")),
        resistor("series at sender", "lead", "terminal", trim.get("series at sender", 0.0)),
        resistor("across sender", "terminal", "body", trim.get("across sender", away)),
    ]


def consumer(name: str, load: Raw, supply: float) -> Element:
    earth = "engine" if load.get("returns", "gauge earth") == "engine earth" else "gauge earth"
    if load.get("when") == "charging":
        amps = plain(load["amperes"])
        return {
            "kind": "current source",
            "name": name,
            "from": earth,
            "to": "earth",
            "ampere": amps,
        }
    feed = "panel" if load.get("on_feed", "yes") == "yes" else "battery"
    if "watts" in load:
        return resistor(name, feed, earth, supply**2 / plain(load["watts"]))
    amps = plain(load["amperes"])
    return {"kind": "current source", "name": name, "from": feed, "to": earth, "ampere": amps}


def second(wiring: Raw, supply: float) -> Circuit:
    raw = wiring.get("second")
    if raw is None:
        return []
    inner = raw["gauge"]["movement"]
    joint = resistor("second signal wire", "second signal", "lead", run(wiring, "signal"))
    if raw.get("powered", "yes") == "no":
        if inner["kind"] != "ratio":
            return []
        coil = si(inner["earth_coil"])
        return [joint, resistor("second earth coil", "second signal", "earth", coil)]
    fed = min(si(inner["feed"]), supply) if inner["kind"] == "heater" else supply
    return [
        joint,
        source("second supply", "second supply", "earth", fed),
        *movement(inner, "second ", "second supply", "second signal", "earth"),
    ]


def movement(raw: Raw, prefix: str, supply: str, signal: str, earth: str) -> Circuit:
    if raw["kind"] == "ratio":
        return [
            resistor(prefix + "supply coil", supply, signal, si(raw["supply_coil"])),
            resistor(prefix + "earth coil", signal, earth, si(raw["earth_coil"])),
        ]
    if raw["kind"] in ("heater", "coil"):
        return [resistor(prefix + raw["kind"], supply, signal, si(raw[raw["kind"]]))]
    pull_up = si(raw["pull_up"])
    if raw["rail"] == "supply":
        return [resistor(prefix + "input", supply, signal, pull_up)]
    rail = prefix + "rail"
    return [
        source(prefix + "reference", rail, earth, si(raw["reference"])),
        resistor(prefix + "input", rail, signal, pull_up),
    ]


# --- generated installations --------------------------------------------------------------------


def generated(seed: int, count: int) -> list[tuple[Raw, float, bool]]:
    """Plans with a resistance for the sender's place, and whether the warning lamp is lit."""
    draw = random.Random(seed)
    return [_plan(draw, MOVEMENTS[n % len(MOVEMENTS)], n) for n in range(count)]


def _gauge(draw: random.Random, kind: str) -> Raw:
    return {
        "key": "gauge",
        "name": "Gauge",
        "movement": plan_netlist.drawn_movement(draw, kind),
        "marks": [{"at": at, "needs": needs} for at, needs in MARKS],
        "quantity": "level",
        "low": "0 %",
        "high": "100 %",
    }


def _loads(draw: random.Random) -> list[Raw]:
    earths = ("gauge earth", "engine earth")
    found: list[Raw] = []
    for n in range(draw.randrange(4)):
        amount = (
            {"watts": f"{plan_netlist.between(draw, 1.0, 120.0)!r} W"}
            if draw.random() < 0.6
            else {"amperes": f"{plan_netlist.between(draw, 0.1, 15.0)!r} A"}
        )
        feed = draw.choice(("yes", "no"))
        load = {"name": f"load {n}", "returns": draw.choice(earths), "when": "always"}
        found.append({**load, **amount, "on_feed": feed})
    if draw.random() < 0.4:
        amps = f"{plan_netlist.between(draw, 5.0, 60.0)!r} A"
        charge = {"name": "charging", "returns": "engine earth", "amperes": amps}
        found.append({**charge, "when": "charging", "on_feed": "no"})
    return found


def _plan(draw: random.Random, kind: str, number: int) -> tuple[Raw, float, bool]:
    wiring: Raw = {"supply": {"nominal": f"{plan_netlist.between(draw, 10.5, 28.0)!r} V"}}
    if kind == "heater":
        wiring["stabiliser"] = {"fitted": "no"}
    if draw.random() < 0.7:
        wiring["sender_earth"] = f"{plan_netlist.between(draw, 0.01, 5.0)!r} Ω"
    for name in RUNS:
        if draw.random() < 0.7:
            part = draw.choice(("measured", "contacts"))
            wiring[name] = {part: f"{plan_netlist.between(draw, 0.002, 2.0)!r} Ω"}
    wiring["loads"] = _loads(draw)
    lit = "sender_earth" in wiring and draw.random() < 0.5
    if lit:
        wiring["lamp"] = {"watts": f"{plan_netlist.between(draw, 1.2, 5.0)!r} W", "lit_by": "bulb"}
    if number % 2:
        powered = draw.choice(("yes", "yes", "no"))
        other = _gauge(draw, MOVEMENTS[(number // 2) % len(MOVEMENTS)])
        wiring["second"] = {"gauge": other, "powered": powered}
    trim = [
        {"place": place, "value": f"{plan_netlist.between(draw, 5.0, 2000.0)!r} Ω"}
        for place in PLACES
        if draw.random() < 0.3
    ]
    law = {"kind": "table", "points": [{"at": at, "gives": needs} for at, needs in MARKS]}
    pairing = {
        "label": "A",
        "gauge": _gauge(draw, kind),
        "sender": {"key": "sender", "name": "Sender", "quantity": "level", "law": law},
        "installation": wiring,
        "trim": trim,
    }
    duty: Raw = {"quantity": "level", "low": "0 %", "high": "100 %"}
    ohm = draw.choice((0.0, math.inf, *(plan_netlist.between(draw, 1.0, 400.0) for _ in range(8))))
    return {"name": "Generated", "duty": duty, "pairings": [pairing]}, ohm, lit
