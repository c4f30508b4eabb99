"""Pairings in which everything may be off, drawn at random, for the tests of the bands."""

from __future__ import annotations

import random
from typing import Any

from catalog.codec import decode
from retrofit.bands.causes import Cause
from retrofit.bands.reading_model import ReadingModel
from retrofit.plan.causes import causes_of
from retrofit.plan.document import Plan
from retrofit.plan.spread import model_of
from tests.retrofit.plan.plans import Raw, gauge, plan, sender

ROWS = {"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}


def figure(value: float, unit: str, tolerance: float) -> Raw:
    return {"is": f"{value:.6g} {unit}", "tolerance": f"{tolerance:.4g} %"}


def uncertain(seed: int, **left_out: object) -> Raw:
    """A ratio gauge with everything around it, every number with a tolerance.

    `left_out` replaces fields of the installation: None takes one away.
    """
    draw = random.Random(seed)

    def between(low: float, high: float) -> float:
        return float(low * (high / low) ** draw.random())

    movement = {
        "kind": "ratio",
        "pull_off": "1 %",
        "supply_coil": figure(between(50, 150), "Ω", 5),
        "earth_coil": figure(between(50, 150), "Ω", 5),
        "copper": "60 %",
    }
    dial = gauge(ROWS, movement=movement, dial_error="1.5 %", needle_width="0.5 %")
    points = [{"at": at, "gives": gives} for at, gives in ROWS.items()]
    source = sender(None, law={"kind": "table", "points": points, "tolerance": "4 %"})
    wiring: dict[str, Any] = {
        "sender_earth": figure(between(0.05, 2.0), "Ω", 50),
        "signal": {"wire": {"size": "0.75 mm²", "length": "8 m", "temperature": "80 °C"}},
        "gauge_earth": {"measured": figure(between(0.02, 0.2), "Ω", 30)},
        "engine_earth": {"measured": figure(between(0.01, 0.1), "Ω", 30)},
        "feed": {"contacts": figure(between(0.05, 0.5), "Ω", 50)},
        "loads": [
            {"name": "lights", "watts": f"{between(20, 100):.4g} W"},
            {
                "name": "charging",
                "returns": "engine earth",
                "amperes": f"{between(5, 30):.4g} A",
                "when": "charging",
                "on_feed": "no",
            },
        ],
        "panel_high": "60 °C",
    }
    wiring = {key: value for key, value in {**wiring, **left_out}.items() if value is not None}
    made = plan(dial, source, wiring=wiring)
    made["pairings"][0]["trim"] = [
        {"place": "across sender", "value": f"{between(200, 2000):.4g} Ω", "tolerance": "5 %"},
        {"place": "pull-up", "value": f"{between(300, 3000):.4g} Ω", "tolerance": "5 %"},
    ]
    return made


def decoded(raw: Raw) -> Plan:
    return decode(raw, Plan, "test")


def model(raw: Raw) -> tuple[ReadingModel, tuple[Cause, ...]]:
    """The reading model of a plan over 201 values, and its causes."""
    found = decoded(raw)
    made = model_of(found.pairings[0], found.duty)
    assert made is not None
    return made, causes_of(found.pairings[0], found.duty).counted
