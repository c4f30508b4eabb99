"""An ohmmeter's readings with its leads one way and the other: a resistance, or stray volts.

An ohmmeter drives a current i and shows volts over i. A stray voltage V on the part adds V/i one
way round and takes it off the other way, so the two readings differ by 2·V/i.
"""

from __future__ import annotations

from retrofit.circuit.bench_readings import Meter

CHEAP_METER = Meter(0.01, 0.2)
"""A cheap meter: 1 % and two digits of 0.1 Ω (common practice, no source)."""


def resistance_both_ways(first: float, second: float, meter: Meter = CHEAP_METER) -> float | None:
    """Return the resistance that two readings tell, None where they tell of a stray voltage.

    Parameters
    ----------
    first, second : float
        Readings with the leads one way and the other [Ω], of either sign.
    meter : Meter, optional
        How far each may be off.

    Returns
    -------
    float or None
        Their mean [Ω], 0 or more; None where either is below 0, or both differ by more than the
        meter's error, so that no resistance can be had from them.

    Notes
    -----
    Tests: ``tests/circuit/test_stray_volts.py``.

    Examples
    --------
    >>> resistance_both_ways(0.3, 0.2)
    0.25
    >>> resistance_both_ways(70.0, -120.0) is None
    True
    """
    errors = meter.error(first), meter.error(second)
    if first < -errors[0] or second < -errors[1] or abs(first - second) > sum(errors):
        return None
    return max((first + second) / 2.0, 0.0)
