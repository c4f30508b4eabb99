"""Plain loops over all trims, the reference for 'never beaten, never missed'.

Its own formulas, one trim after the other; knows nothing of the program.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

Trim = tuple[float, float, float, float, float]
"""Ohms across the sender, in series there, from signal to earth, in series at the gauge, and of
the pull-up; +inf and 0 where there is none."""

NONE: Trim = (math.inf, 0.0, math.inf, 0.0, math.inf)
PLACES = ("across sender", "series at sender", "signal to earth", "series at gauge", "pull-up")
PATHS = ((), (1,), (0,), (0, 1), (1, 2), (0, 1, 2), (1, 2, 3))
TIE = 1e-9


@dataclass(frozen=True)
class Pairing:
    """A pairing in plain numbers: at each point true value, sender's ohms, allowed error."""

    points: tuple[tuple[float, float, float], ...]
    apparent: Callable[[float, float], float]  # of the path's ohms and of the pull-up's
    value: Callable[[float], float]  # shown at apparent ohms
    earth: float = 0.0
    limits: tuple[tuple[float, float], ...] = ()  # side and limit of flattery at each point
    pull_up: bool = True


def parallel(one: float, other: float) -> float:
    if one == 0.0 or other == 0.0:
        return 0.0
    if math.isinf(one) or math.isinf(other):
        return min(one, other)
    return one * other / (one + other)


def path(ohms: float, earth: float, trim: Trim) -> float:
    p, s1, q, s2, _ = trim
    return parallel(parallel(ohms, p) + earth + s1, q) + s2


def worst(pairing: Pairing, trim: Trim) -> float:
    found = 0.0
    for n, (x, ohms, allowed) in enumerate(pairing.points):
        seen = pairing.apparent(path(ohms, pairing.earth, trim), trim[4])
        error = pairing.value(seen) - x
        found = max(found, abs(error) / allowed)
        if pairing.limits:
            side, limit = pairing.limits[n]
            if error * side > limit + TIE * allowed:
                return math.inf
    return found


def topologies(most: int, *, pull_up: bool) -> list[tuple[int, ...]]:
    found = [*PATHS]
    if pull_up:
        found += [(*each, 4) for each in PATHS]
    return sorted((each for each in found if len(each) <= most), key=len)


def trims(columns: tuple[int, ...], values: list[float]) -> Iterator[Trim]:
    for chosen in itertools.product(values, repeat=len(columns)):
        made = list(NONE)
        for column, ohm in zip(columns, chosen, strict=True):
            made[column] = ohm
        yield (made[0], made[1], made[2], made[3], made[4])


def every(pairing: Pairing, columns: tuple[int, ...], values: list[float]) -> dict[Trim, float]:
    return {trim: worst(pairing, trim) for trim in trims(columns, values)}


# --- what the gauges are -------------------------------------------------------------------------


def coils(upper: float, lower: float, supply: float) -> Callable[[float, float], float]:
    """Two coils: the ratio of their currents, read back as ohms from signal to earth."""

    def apparent(ohms: float, pull: float) -> float:
        if ohms == 0.0:
            return 0.0
        feed = supply / upper + supply / pull
        volts = feed / (1.0 / upper + 1.0 / pull + 1.0 / lower + 1.0 / ohms)
        ratio = (volts / lower) / ((supply - volts) / upper)
        return lower * ratio / (1.0 - ratio) if ratio < 1.0 else math.inf

    return apparent


def winding(ohm: float, marked: float, supply: float) -> Callable[[float, float], float]:
    """A heater or coil: its current, read back as ohms at the volts of its marks."""

    def apparent(ohms: float, pull: float) -> float:
        total = parallel(ohm, pull)
        current = supply / (total + ohms) * total / ohm
        return marked / current - ohm

    return apparent


def input_of(
    ohm: float, rail: float, full: float, supply: float
) -> Callable[[float, float], float]:
    """A pull-up `ohm` to a rail: volts over those that mean open, read back as ohms."""

    def apparent(ohms: float, pull: float) -> float:
        if ohms == 0.0:
            return 0.0
        volts = (rail / ohm + supply / pull) / (1.0 / ohm + 1.0 / pull + 1.0 / ohms)
        return ohm * volts / (full - volts) if volts < full else math.inf

    return apparent


def bare(ohms: float, _pull: float) -> float:
    return ohms


# --- what the dials are --------------------------------------------------------------------------


def family(
    low: float, high: float, at_low: float, at_high: float, q: float
) -> Callable[[float], float]:
    """The law f = q·s/(1 − s + q·s) through two marks, endless beyond its pole."""

    def value(ohms: float) -> float:
        if math.isinf(ohms):
            towards = math.copysign(1.0, at_high - at_low)
            if (q <= 1.0) == (towards > 0.0) or q == 1.0:
                return math.copysign(math.inf, towards)
            return low + q / (q - 1.0) * (high - low)
        s = (ohms - at_low) / (at_high - at_low)
        below = 1.0 + (q - 1.0) * s
        if below <= 0.0:
            return math.copysign(math.inf, s)
        return low + q * s / below * (high - low)

    return value


def lines(marks: tuple[tuple[float, float], ...]) -> Callable[[float], float]:
    """Straight lines through (value, ohms) marks, going on beyond the ends."""
    ordered = sorted((ohms, x) for x, ohms in marks)

    def value(ohms: float) -> float:
        n = 0
        while n < len(ordered) - 2 and ohms >= ordered[n + 1][0]:
            n += 1
        (r0, x0), (r1, x1) = ordered[n], ordered[n + 1]
        return x0 + (ohms - r0) / (r1 - r0) * (x1 - x0)

    return value


def thermistor(beta: float, ohms_at_25: float) -> Callable[[float], float]:
    """The temperature of R = R25·exp(β·(1/T − 1/298.15))."""

    def value(ohms: float) -> float:
        if ohms <= 0.0:
            return math.inf
        inverse = 1.0 / 298.15 + (math.log(ohms / ohms_at_25) if ohms < math.inf else ohms) / beta
        return 1.0 / inverse - 273.15 if inverse > 0.0 else math.inf

    return value
