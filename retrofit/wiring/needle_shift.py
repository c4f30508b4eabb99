"""How many ohms a run may have before the needle moves more than is allowed."""

from __future__ import annotations

import math
from collections.abc import Callable

MOST = 10.0
"""Ohms beyond which nobody asks: no run of sound wire has so many [Ω] (assumed)."""

_STEPS = 60


def ohms_allowed(moves: Callable[[float], float], allowed: float, most: float = MOST) -> float:
    """Return the most ohms of a run that move the needle by no more than is allowed.

    The reading is a ratio of two linear laws in each single resistance, so the needle moves one
    way as the ohms of a run grow; the largest of several such moves grows as well. Bisection.

    Parameters
    ----------
    moves : callable
        From ohms of the run [Ω] to the move of the needle; its size counts, and it is 0 at
        0 Ω. NaN where nobody can tell.
    allowed : float
        Greatest move allowed, in the same unit as `moves`, at least 0.
    most : float
        Ohms at which the search ends [Ω], above 0.

    Returns
    -------
    float
        [Ω], from 0 to `most`; `most` where even that is allowed. NaN where nobody can tell how
        far the needle moves or how far it may.

    Notes
    -----
    Tests: ``tests/retrofit/wiring/test_needle_shift.py``.

    Examples
    --------
    >>> round(ohms_allowed(lambda ohm: -0.5 * ohm, 0.1), 6)
    0.2
    """
    if math.isnan(allowed) or math.isnan(moves(most)):
        return math.nan
    if abs(moves(most)) <= allowed:
        return most
    low, high = 0.0, most
    for _ in range(_STEPS):
        middle = 0.5 * (low + high)
        move = abs(moves(middle))
        if math.isnan(move):
            return math.nan
        low, high = (middle, high) if move <= allowed else (low, middle)
    return low
