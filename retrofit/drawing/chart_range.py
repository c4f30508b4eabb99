"""Which errors a chart shows: the whole curve and every mark, with numbers at both ends."""

from __future__ import annotations

import math

import numpy as np

from catalog.arrays import Array
from catalog.quantities.kinds import Unit
from retrofit.drawing.scale import nice_ticks
from retrofit.plan.assess import Assessment

_MOST_CORRIDORS = 6.0
"""Ends of bands beyond this many times the allowed error are cut, where the curve is not."""

_MOST_SCALES = 1.25
"""Errors beyond this many times the gauge's scale are clipped, with an arrow."""

_AIR = 0.03
"""Free share of the plane above and below."""


def allowed_most(assessment: Assessment) -> float | None:
    """Return the largest error allowed anywhere [SI difference]; None where nobody said."""
    duty = assessment.plan.duty
    said = [duty.allowed_at(mark) for mark in (None, *duty.marks)]
    known = [error for error in said if error is not None]
    return max(known) if known else None


def error_range(assessment: Assessment) -> tuple[float, float]:
    """Return the lowest and highest error that a chart shows [SI difference].

    All of the curve and every mark, up to `_MOST_SCALES` of the gauge's scale; of the bands
    around it what lies within `_MOST_CORRIDORS` of the allowed error, or within the curve.
    """
    low, high = assessment.plan.duty.span
    allowed = allowed_most(assessment)
    curve, bands = _curve(assessment), _bands(assessment)
    gauge, kind = assessment.pairing.gauge, assessment.plan.duty.kind
    limit = _MOST_SCALES * (gauge.high.si(kind) - gauge.low.si(kind))
    near = high - low if allowed is None else _MOST_CORRIDORS * allowed
    least = 0.02 * (high - low) if allowed is None else 1.15 * allowed
    bottom = min(-least, max(float(curve.min()), -limit), max(float(bands.min()), -near))
    top = max(least, min(float(curve.max()), limit), min(float(bands.max()), near))
    air = _AIR * (top - bottom)
    return bottom - air, top + air


def numbered(ends: tuple[float, float], unit: Unit, most: int) -> tuple[float, float]:
    """Return ends widened to ticks, so that the lowest and the highest one bear numbers.

    Parameters
    ----------
    ends : (float, float)
        Lowest and highest error [SI difference].
    unit : Unit
        In which they are numbered.
    most : int
        Largest count of numbers, at least 2.

    Returns
    -------
    (float, float)
        [SI difference]; `ends` themselves where no widening ends on two ticks.
    """
    low, high = (end / unit.factor for end in ends)
    for count in range(most, 1, -1):
        step = nice_ticks(low, high, count).step
        wide = math.floor(low / step) * step, math.ceil(high / step) * step
        shown = nice_ticks(*wide, most)
        near = 1e-6 * shown.step
        if shown.major and abs(shown.major[0] - wide[0]) < near > abs(shown.major[-1] - wide[1]):
            return wide[0] * unit.factor, wide[1] * unit.factor
    return ends


def _curve(assessment: Assessment) -> Array:
    """Return every known error of curve and marks, and zero, shape (N,) [SI difference]."""
    reading = assessment.reading
    if reading is None:
        return np.zeros(1)
    marks = np.array([mark.error for mark in assessment.marks], dtype=np.float64)
    errors = np.concatenate([reading.error, marks])
    return np.append(errors[np.isfinite(errors)], 0.0)


def _bands(assessment: Assessment) -> Array:
    """Return every known end of the bands as an error, and zero, shape (N,) [SI difference]."""
    reading, band = assessment.reading, assessment.band
    if reading is None or band is None:
        return np.zeros(1)
    curves = [band.low, band.high, reading.supply_low, reading.supply_high]
    if assessment.spread is not None:
        curves += [assessment.spread.low, assessment.spread.high]
    errors = np.concatenate([curve - reading.x for curve in curves])
    known = errors[np.isfinite(errors)]
    return np.append(known, 0.0)
