"""What is true and what is shown at one value of the range: the place of the slider."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrofit.plan.assess import Assessment
from retrofit.reading import read

_SAME = 1e-9
"""Share of the range within which a value is a mark's own."""


@dataclass(frozen=True)
class Spot:
    """One value of the range and what the needle does there.

    Attributes
    ----------
    true : float
        True value [SI].
    shown : float
        What the needle shows [SI], held by its stops; NaN where nobody can tell.
    held : int
        −1 on the low stop, +1 on the high stop (the error is "at least"), else 0.
    low, high : float
        Lowest and highest reading [SI] over the plausible shapes of both curves; NaN as above.
    allowed : float or None
        Allowed error there [SI difference]; None where nobody said.
    """

    true: float
    shown: float
    held: int
    low: float
    high: float
    allowed: float | None

    @property
    def error(self) -> float:
        """Needle error [SI difference]: shown − true."""
        return self.shown - self.true


def spot_at(assessment: Assessment, value: float) -> Spot:
    """Return what is shown at a true value [SI], worked out there and not interpolated.

    At a mark that matters it is the reading of that mark, with the error allowed there.
    """
    duty = assessment.plan.duty
    low, high = duty.span
    for mark in assessment.marks:
        if abs(mark.at - value) <= _SAME * (high - low):
            return Spot(mark.at, mark.shown, mark.held, mark.low, mark.high, mark.allowed)
    allowed = duty.allowed_at(None)
    if assessment.needle is None:
        return Spot(value, math.nan, 0, math.nan, math.nan, allowed)
    there = np.array([value])
    reading, band = read(assessment.needle, there), assessment.needle.band(there)
    held = float(reading.held[0])
    return Spot(
        value,
        float(reading.shown[0]),
        0 if math.isnan(held) else int(held),
        float(band.low[0]),
        float(band.high[0]),
        allowed,
    )
