"""Verdicts on the coils of a ratio gauge: stated, read at its terminals, or known by its source."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any

from tests.retrofit.plan.plans import COILS, LEVEL_240_33, Raw, gauge, plan, sender
from tests.retrofit.plan.verdicts.case import (
    CLASS,
    DIVIDER,
    ENDS,
    SAME,
    SOURCE,
    STAR,
    Case,
    falling,
)

LINE = sender(ENDS, shape="straight")


def moved(seen: Callable[..., float], true: tuple[float, ...], *ends: tuple[float, ...]) -> float:
    """Largest move of the 240/103/33 Ω needle over all corners, along a straight sender."""
    ohms = [240.0 - 207.0 * n / 200 for n in range(201)]
    corners = list(itertools.product(*ends))
    return max(
        abs(falling(seen(r, *corner)) - falling(seen(r, *true))) for r in ohms for corner in corners
    )


def divider(pull_up: float) -> Callable[..., float]:
    """Apparent ohms of a plain divider: Rapp = κR/(1 − (κ − 1)R/Rb), κ = 1 + Ra/Rpu."""

    def seen(r: float, supply: float, earth: float) -> float:
        kappa = 1.0 + supply / pull_up
        rest = 1.0 - (kappa - 1.0) * r / earth
        return kappa * r / rest if rest > 0.0 else math.inf

    return seen


def behind(pull_up: float) -> Callable[..., float]:
    """Apparent ohms of a source: Millman's theorem at S, then R = Rth·v/(Voc − v)."""

    def seen(r: float, share: float, inside: float) -> float:
        v = (share / inside + 1.0 / pull_up) / (1.0 / inside + 1.0 / pull_up + 1.0 / r)
        return inside * v / (share - v) if v < share else math.inf

    return seen


def ends_of_source(error: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Lowest and highest share and ohms that SOURCE allows, each reading off by `error` at most."""
    shares, insides = [], []
    for off in itertools.product((1.0 - error, 1.0 + error), repeat=6):
        r1, v1, s1, r2, v2, s2 = (
            value * by for value, by in zip((16.5, 1.65, 12.0, 148.5, 4.95, 12.0), off, strict=True)
        )
        u1, u2 = v1 / s1, v2 / s2
        inside = (u2 - u1) / (u1 / r1 - u2 / r2)
        insides.append(inside)
        shares.append(u1 * (1.0 + inside / r1))
    return (min(shares), max(shares)), (min(insides), max(insides))


# Each leg is half of two readings less the third, so off by half the sum of their errors at most.
LEG = (440.0 + 260.0 + 180.0) * 0.005 / 2.0
LEGS = (260.0 - LEG, 260.0 + LEG), (180.0 - LEG, 180.0 + LEG)


def sourced(**fields: Any) -> Raw:
    return gauge(LEVEL_240_33, source=SOURCE, **fields)


def coils(verdict: str, raw: Raw, says: str, why: str, **more: Any) -> Case:
    return Case("coils", verdict, raw, says, why, step="gauge", **more)


KNOWN, TESTED = "check.coils.known", "check.coils.source"

STATED = [
    coils(
        "good",
        plan(gauge(LEVEL_240_33, movement={"kind": "ratio", **COILS}), SAME, {"pull-up": "1 kΩ"}),
        KNOWN,
        "check.coils.known_why",
        unit="Ω",
    ),
    coils(
        "good",
        plan(gauge(LEVEL_240_33, terminals=DIVIDER), SAME),
        KNOWN,
        "check.coils.known_why",
        unit="Ω",
    ),
    *(
        coils("good", plan(dial, SAME), TESTED, "check.coils.source_why", unit="Ω")
        for dial in (sourced(), sourced(terminals=STAR))
    ),
]

READ = [
    coils(
        "good",
        plan(gauge(LEVEL_240_33, terminals=DIVIDER), LINE, {"pull-up": "520 Ω"}),
        KNOWN,
        "check.coils.surely",
        number=moved(divider(520.0), (260.0, 180.0), *LEGS),
        limit=0.05,
        unit="%",
    ),
    coils(
        "good",
        plan(sourced(), LINE, {"pull-up": "1 kΩ"}),
        TESTED,
        "check.coils.surely",
        number=moved(behind(1000.0), (0.55, 49.5), *ends_of_source(0.005)),
        limit=0.05,
        unit="%",
    ),
    coils(
        "caution",
        plan(sourced(), LINE, {"pull-up": "300 Ω"}),
        TESTED,
        "check.coils.roughly",
        number=moved(behind(300.0), (0.55, 49.5), *ends_of_source(0.005)),
        limit=0.05,
        unit="%",
    ),
    coils(  # a strong pull-up and a meter of 2 %: the readings tell too little
        "unknown",
        plan(
            gauge(LEVEL_240_33, source={**SOURCE, "meter_error": "2 %"}), LINE, {"pull-up": "300 Ω"}
        ),
        TESTED,
        "check.coils.roughly",
        number=moved(behind(300.0), (0.55, 49.5), *ends_of_source(0.02)),
        limit=0.05,
        unit="%",
    ),
    coils(
        "unknown",
        plan(sourced(), LINE, {"pull-up": "1 kΩ"}, allowed=None),
        TESTED,
        "check.mark.nothing_allowed",
        unit="Ω",
    ),
]

UNREAD = [
    coils(
        "unknown",
        plan(gauge(LEVEL_240_33, terminals=STAR), SAME),
        "check.coils.unknown",
        "check.coils.alike",
        unit="Ω",
    ),
    coils(
        "unknown",
        plan(CLASS, SAME, {"pull-up": "1 kΩ"}),
        "check.coils.unknown",
        "check.coils.unread",
    ),
    coils(  # a source test that makes no sense tells nothing of the coils
        "unknown",
        plan(
            gauge(LEVEL_240_33, source={**SOURCE, "first_volts": "9 V"}), SAME, {"pull-up": "1 kΩ"}
        ),
        "check.coils.unknown",
        "check.coils.unread",
    ),
]
