"""Which errors a chart shows: all that matter, but not so many that the corridor is a hair."""

from __future__ import annotations

import numpy as np

from catalog.arrays import Array
from retrofit.plan.assess import Assessment

_MOST_CORRIDORS = 6.0
"""Errors beyond this many times the allowed one are clipped, with an arrow."""

_AIR = 0.06
"""Free share of the plane above and below."""


def allowed_most(assessment: Assessment) -> float | None:
    """Return the largest error allowed anywhere [SI difference]; None where nobody said."""
    duty = assessment.plan.duty
    said = [duty.allowed_at(mark) for mark in (None, *duty.marks)]
    known = [error for error in said if error is not None]
    return max(known) if known else None


def error_range(assessment: Assessment) -> tuple[float, float]:
    """Return the lowest and highest error that a chart shows [SI difference]."""
    low, high = assessment.plan.duty.span
    allowed = allowed_most(assessment)
    errors = _errors(assessment)
    limit = high - low if allowed is None else _MOST_CORRIDORS * allowed
    least = 0.02 * (high - low) if allowed is None else 1.4 * allowed
    bottom = max(min(float(errors.min()), -least), -limit)
    top = min(max(float(errors.max()), least), limit)
    air = _AIR * (top - bottom)
    return bottom - air, top + air


def _errors(assessment: Assessment) -> Array:
    """Return every known error, shape (N,) [SI difference]: curve, both bands, and zero."""
    reading, band = assessment.reading, assessment.band
    if reading is None or band is None:
        return np.zeros(1)
    curves = [reading.shown, band.low, band.high, reading.supply_low, reading.supply_high]
    if assessment.spread is not None:
        curves += [assessment.spread.low, assessment.spread.high]
    errors = np.concatenate([curve - reading.x for curve in curves])
    known = errors[np.isfinite(errors)]
    return np.append(known, 0.0)
