"""Verdicts on what makes the needle doubtful: the warmth of its coils, the parts' tolerances."""

from __future__ import annotations

from tests.retrofit.plan.plans import COILS, LEVEL_240_33, Raw, gauge, plan, sender
from tests.retrofit.plan.verdicts.case import CLASS, SAME, Case, falling
from tests.retrofit.plan.verdicts.installed import TRACK, UNKNOWN, furthest, on


def copper(share: str | None) -> Raw:
    movement = {"kind": "ratio", "pull_off": "0 %", **COILS}
    return gauge(
        LEVEL_240_33, movement=movement if share is None else {**movement, "copper": share}
    )


def warmed(kelvin: float, share: float = 1.0) -> float:
    """A warm earth coil makes the dial see R·cold/warm."""
    factor = 1.0 + 0.00393 * share * kelvin
    return furthest([falling(r / factor) - falling(r) for r in TRACK])


WARM = {"panel_high": "60 °C"}

COPPER = [
    *(
        Case(
            "copper",
            verdict,
            on(copper(f"{share * 100:.0f} %"), **WARM),
            "check.copper.moves",
            why,
            step="gauge",
            number=warmed(40.0, share),
            limit=0.05,
            unit="%",
        )
        for verdict, why, share in (
            ("good", "check.copper.good", 0.1),
            ("caution", "check.copper.mend", 0.5),
            ("stop", "check.copper.mend", 1.0),
        )
    ),
    Case(
        "copper",
        "unknown",
        on(copper(None), **WARM),
        "check.copper.unknown",
        "check.copper.at_most",
        step="gauge",
        number=warmed(40.0),
        unit="%",
    ),
    Case(
        "copper",
        "unknown",
        on(UNKNOWN, **WARM),
        "check.copper.unknown",
        "check.copper.coils",
        step="gauge",
    ),
]

EXACT = {**CLASS, "dial_error": "2 %", "needle_width": "0.5 %"}


def sure(tolerance: str) -> Raw:
    rows = [{"at": at, "gives": gives} for at, gives in LEVEL_240_33.items()]
    return sender(None, law={"kind": "table", "points": rows, "tolerance": tolerance})


SPREAD = [
    Case(  # a class on its own gauge: the dial's 2 % and the needle's 0.5 %
        "spread",
        "good",
        plan(EXACT, sure("0 %")),
        "check.spread.known",
        "check.spread.but",
        step="gauge",
        number=0.025,
        unit="%",
        close=1e-6,
    ),
    Case(
        "spread",
        "unknown",
        plan(CLASS, SAME),
        "check.spread.unknown",
        "check.spread.unstated",
        number=0.0,
        close=1e-6,
    ),
    Case(  # 5 % of the ohms moves it most near full, where the curve is flattest in ohms
        "spread",
        "unknown",
        plan(CLASS, sure("5 %")),
        "check.spread.unknown",
        "check.spread.unstated",
        step="gauge",
        number=max(abs(falling(r * k) - falling(r)) for r in TRACK for k in (0.95, 1.05)),
        close=0.01,
    ),
]
