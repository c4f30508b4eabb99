"""A catalogue of thousands of senders, the same at every run: half rise, half fall.

Two to nine points each, level from empty to full, ends and shapes spread as those of the trade
are: 0 to 600 Ω, spans of a few to hundreds of ohms, curves bent either way.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from catalog.parts.laws import Point, TableLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount

SEED = 7_0001


def many_senders(count: int, seed: int = SEED) -> tuple[Sender, ...]:
    """So many level senders with ohm curves."""
    return tuple(_senders(count, np.random.default_rng(seed)))


def _senders(count: int, draw: np.random.Generator) -> Iterator[Sender]:
    for number in range(count):
        points = int(draw.integers(2, 10))
        low = float(draw.choice([0.0, 1.0, 1.0, 1.0])) * np.exp(draw.uniform(0.0, np.log(120.0)))
        high = low + np.exp(draw.uniform(np.log(20.0), np.log(500.0)))
        at = np.linspace(0.0, 100.0, points)
        if points > 2:
            at[1:-1] += draw.uniform(-0.3, 0.3, points - 2) * at[1]
        share = (at / 100.0) ** np.exp(draw.uniform(np.log(0.4), np.log(2.5)))
        ohms = low + (high - low) * share
        if number % 2:
            ohms = ohms[::-1]
        yield _sender(number, at.round(2).tolist(), ohms.round(3).tolist())


def _sender(number: int, at: list[float], ohms: list[float]) -> Sender:
    points = tuple(Point(Amount(x, "%"), Amount(ohm, "Ω")) for x, ohm in zip(at, ohms, strict=True))
    name = f"Level, {ohms[0]:g} Ω empty to {ohms[-1]:g} Ω full"
    return Sender(f"made-{number:06d}", name, "level", TableLaw(points))
