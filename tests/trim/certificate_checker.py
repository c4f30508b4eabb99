"""Verifies the certificate of a trim search without the search: only corners and counting.

Knows nothing of the program; the reading of a trim comes from the plain loop's own formulas.
"""

from __future__ import annotations

import math
from typing import Any

from tests.trim.plain_loop import PLACES, TIE, Pairing, Trim, path, worst

HELD = (0, 2, 3, 4)


def errs(pairing: Pairing, trim: Trim, pull: float, n: int) -> tuple[float, float]:
    """Error at a point to the high and to the low side [allowed errors]; infinite past a limit."""
    x, ohms, allowed = pairing.points[n]
    error = pairing.value(pairing.apparent(path(ohms, pairing.earth, trim), pull)) - x
    side, limit = pairing.limits[n] if pairing.limits else (0.0, 0.0)
    if error * side > limit + TIE * allowed:
        return (math.inf, -math.inf) if side > 0.0 else (-math.inf, math.inf)
    return error / allowed, -error / allowed


def bound(pairing: Pairing, corner: Trim, pulls: tuple[float, float], side: int) -> float:
    """The least that the worst point errs to one side at a corner, whatever the pull-up's end."""
    found = -math.inf
    for n in range(len(pairing.points)):
        found = max(found, min(errs(pairing, corner, pull, n)[side] for pull in pulls))
    return found


def check(document: dict[str, Any], pairing: Pairing, *, rising: bool) -> list[str]:
    """Return what is wrong with a certificate: nothing if it proves what it says."""
    values, wrong = document["values"], []
    series, others = [0.0, *values], [*values, math.inf]
    tables = [series if c in (1, 3) else others for c in range(5)]
    winner: Any = tuple(math.inf if ohm is None else ohm for ohm in document["winner"])
    best, gap = document["worst"], document["gap"]
    if abs(worst(pairing, winner) - best) > 1e-9 * max(best, 1.0):
        wrong.append("the winner does not err as stated")
    for part in document["topologies"]:
        held = [PLACES[c] in part["places"] for c in range(5)]
        ends = [(c in (1, 3), len(tables[c]) - 1 - (c not in (1, 3))) for c in range(5)]
        none = [0 if c in (1, 3) else len(values) for c in range(5)]
        span = [ends[c] if held[c] else (none[c], none[c]) for c in range(5)]
        seen: set[tuple[int, ...]] = set()
        cells = 0
        for low, high, split in zip(part["low"], part["high"], part["split"], strict=True):
            boxes = [range(a, b + 1) for a, b in zip(low, high, strict=True)]
            cells += math.prod(len(each) for each in boxes)
            seen |= {
                (a, b, c, d) for a in boxes[0] for b in boxes[1] for c in boxes[2] for d in boxes[3]
            }
            pulls = (others[low[3]], others[high[3]])
            for corner, solved, few in ((high, split - 1, True), (low, split, False)):
                if span[1][0] <= solved <= span[1][1]:
                    p, q, s2 = (tables[c][i] for c, i in zip(HELD, corner[:3], strict=False))
                    trim = (p, series[solved], q, s2, math.inf)
                    if (
                        bound(pairing, trim, pulls, int(few == rising))
                        < best - gap * max(best, 1.0) * 1.001
                    ):
                        wrong.append(f"a leaf of {part['places']} may hold a better trim")
        whole = math.prod(span[c][1] - span[c][0] + 1 for c in HELD)
        inside = all(
            span[c][0] <= i <= span[c][1] for cell in seen for c, i in zip(HELD, cell, strict=True)
        )
        if not (cells == len(seen) == whole and inside):
            wrong.append(f"the leaves of {part['places']} do not tile its trims")
    return wrong
