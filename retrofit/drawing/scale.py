"""Numbers at which a scale carries ticks: multiples of 1, 2 or 5 (or 2.5) times a power of ten."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_DECIMAL = ((1.0, 5), (2.0, 4), (5.0, 5))
"""Leading figure of a step, and into how many parts it is divided by minor ticks."""

_SLACK = 1e-9
"""Share of a step by which a multiple may lie outside and still count as on the end."""


@dataclass(frozen=True)
class Ticks:
    """Ticks of a scale.

    Attributes
    ----------
    step : float
        Distance of two major ticks [unit of the scale]; also the resolution of their numbers.
    major, minor : tuple of float
        Places of the ticks, rising; a place is in one of the two only.
    """

    step: float
    major: tuple[float, ...]
    minor: tuple[float, ...]


def nice_ticks(low: float, high: float, most: int) -> Ticks:
    """Return the closest nice ticks of which no more than `most` lie between two ends.

    Parameters
    ----------
    low, high : float
        Ends of the scale [any unit], low < high.
    most : int
        Largest count of major ticks, at least 2.

    Returns
    -------
    Ticks
        Multiples of the step that lie on the scale; there may be a single one, or none, where
        the span holds no more multiples of the step.

    Examples
    --------
    >>> ticks = nice_ticks(38.0, 121.0, 10)
    >>> ticks.step, ticks.major[0], ticks.major[-1]
    (10.0, 40.0, 120.0)
    >>> nice_ticks(0.0, 5.52, 6).major
    (0.0, 1.0, 2.0, 3.0, 4.0, 5.0)
    """
    exponent = math.floor(math.log10((high - low) / most)) - 1
    while True:
        for figure, parts in _DECIMAL:
            step = float(f"{figure}e{exponent}")
            major = _multiples(low, high, step)
            if len(major) <= most:
                fine = float(f"{figure / parts}e{exponent}")
                taken = {round(value / fine) for value in major}
                minor = (v for v in _multiples(low, high, fine) if round(v / fine) not in taken)
                return Ticks(step, major, tuple(minor))
        exponent += 1


def _multiples(low: float, high: float, step: float) -> tuple[float, ...]:
    first, last = math.ceil(low / step - _SLACK), math.floor(high / step + _SLACK)
    if last - first > 10_000:  # far too fine a step to be taken; no need to write it all out
        return tuple(float(k) for k in range(10_001))
    places = max(0, -math.floor(math.log10(step))) + 1
    return tuple(round(k * step, places) for k in range(first, last + 1))


def even_parts(low: float, high: float, parts: int, minor: int) -> Ticks:
    """Return ticks that divide a scale into even `parts`, each into `minor`.

    Examples
    --------
    >>> even_parts(0.0, 1.0, 4, 2).minor
    (0.125, 0.375, 0.625, 0.875)
    """
    fine = [low + (high - low) * k / (parts * minor) for k in range(parts * minor + 1)]
    major = tuple(fine[::minor])
    return Ticks((high - low) / parts, major, tuple(v for k, v in enumerate(fine) if k % minor))


def apart(intervals: Sequence[tuple[float, float]], gap: float) -> bool:
    """Return whether intervals, sorted by their starts, keep at least `gap` between them.

    Examples
    --------
    >>> apart([(0.0, 1.0), (1.5, 2.0)], 0.4), apart([(0.0, 1.0), (1.5, 2.0)], 0.6)
    (True, False)
    """
    return all(after[0] - before[1] >= gap for before, after in pairwise(intervals))
