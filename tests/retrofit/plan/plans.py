"""Plans as a user could have typed them, in the form of the plan file, and what comes of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalog.codec import decode
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.checks.check import Check
from retrofit.plan.document import Plan

Raw = dict[str, Any]
Rows = Mapping[str, str]

SCALES = {
    "level": ("0 %", "100 %"),
    "pressure": ("0 bar", "10 bar"),
    "temperature": ("40 °C", "120 °C"),
}
BATTERY = {"nominal": "13.5 V", "low": "11 V", "high": "14.4 V"}

LEVEL_240_33 = {"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}
PRESSURE_10_184 = {"0 bar": "10 Ω", "5 bar": "107 Ω", "10 bar": "184 Ω"}
TEMPERATURE_291_22 = {"40 °C": "291.46 Ω", "80 °C": "70.12 Ω", "120 °C": "22.44 Ω"}

COILS = {"supply_coil": "90 Ω", "earth_coil": "110 Ω"}

RENDERER = Renderer(NumberStyle(), strict=True)


def gauge(marks: Rows | None = None, quantity: str = "level", **fields: Any) -> Raw:
    """A gauge with its marks; a ratio movement of a 12 V system unless said otherwise."""
    low, high = SCALES[quantity]
    made = {
        "key": "gauge",
        "name": "The gauge",
        "quantity": quantity,
        "movement": {"kind": "ratio", "pull_off": "0 %"},
        "low": low,
        "high": high,
        "system": ["12 V"],
        "marks": [{"at": at, "needs": needs} for at, needs in (marks or {}).items()],
    }
    return _filled(made, fields)


def sender(rows: Rows | None = None, quantity: str = "level", **fields: Any) -> Raw:
    """A sender with its table of points, or with the law given."""
    points = [{"at": at, "gives": gives} for at, gives in (rows or {}).items()]
    law: Raw = {"kind": "table", "points": points}
    shape = fields.pop("shape", None)
    if shape is not None:
        law["shape"] = shape
    made = {"key": "sender", "name": "The sender", "quantity": quantity, "law": law}
    return _filled(made, fields)


def mark(name: str, at: str, flatters: str = "unknown", **fields: Any) -> Raw:
    return {"name": name, "at": at, "flatters": flatters, **fields}


def plan(gauge: Raw, sender: Raw, trim: Rows | None = None, **fields: Any) -> Raw:
    """A plan of one pairing; `fields` are those of the duty, `wiring` the installation.

    The duty is the gauge's scale, 5 % of it allowed, unless said otherwise.
    """
    quantity = gauge["quantity"]
    low, high = SCALES[quantity]
    allowed = {"level": "5 %", "pressure": "0.5 bar", "temperature": "4 °C"}[quantity]
    wiring = {"supply": BATTERY, **fields.pop("wiring", {})}
    duty = {
        "quantity": quantity,
        "low": low,
        "high": high,
        "allowed": allowed,
        "controller_shares": "no",
    }
    return {
        "name": "A plan",
        "duty": _filled(duty, fields),
        "pairings": [
            {
                "label": "A",
                "gauge": gauge,
                "sender": sender,
                "installation": wiring,
                "trim": [{"place": place, "value": value} for place, value in (trim or {}).items()],
            }
        ],
    }


def assessed(raw: Raw, *, likely: bool = False) -> Assessment:
    return assess(decode(raw, Plan, "test"), likely=likely)


def check_of(found: Assessment, name: str, mark: str = "") -> Check:
    (check,) = [one for one in found.checks if one.name == name and mark in ("", one.mark)]
    return check


def sentence(check: Check) -> str:
    """What the user reads; the renderer raises for a text or value that is missing."""
    return f"{RENDERER.sentence(check.says)}: {RENDERER.sentence(check.why)}"


def shown(found: Assessment, mark: str) -> float:
    """What the needle shows at a mark, stops ignored [SI]."""
    return next(reading.shown for reading in found.marks if reading.mark.name == mark)


def _filled(made: Raw, fields: Raw) -> Raw:
    """Fields put in; a field of None is one that the user left out."""
    return {key: value for key, value in {**made, **fields}.items() if value is not None}
