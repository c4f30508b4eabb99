"""Whether a sender that somebody measured at a known value is still one of its class."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.sender import Sender
from catalog.provenance import Tolerance
from catalog.quantities.kinds import Kind, difference, unit_named


@dataclass(frozen=True)
class Soundness:
    """What a measured resistance says of a sender.

    Attributes
    ----------
    verdict : str
        "sound" within tolerance and meter error, "off" beyond, "unknown" where the class is
        not known there or nobody knows its tolerance.
    expected : float
        Ohms of the class at that value [Ω]; NaN where not known.
    allowed : float
        How far the reading may be off [Ω], the meter's error counted; NaN where not known.
    stands_for : float
        Value that the reading stands for on the class's curve [SI]; NaN where there is none.
    """

    verdict: Literal["sound", "off", "unknown"]
    expected: float
    allowed: float
    stands_for: float


def soundness(sender: Sender, at: float, ohms: float, meter: float = 0.0) -> Soundness:
    """Return whether a measured resistance is sound for the class.

    Parameters
    ----------
    sender : Sender
        Its class, with its tolerance.
    at : float
        True value at which it was measured [SI of its quantity]: 0 at rest.
    ohms : float
        What the meter showed [Ω].
    meter : float
        Relative error of the meter [1].

    Returns
    -------
    Soundness
        "unknown" is never "sound".

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> oil = load_generic().part("pressure-10bar-10-184")
    >>> soundness(oil, 0.0, 11.8).verdict
    'sound'
    """
    nan, curve = float("nan"), sender.curve
    if curve is None or sender.signal is not Kind.RESISTANCE:
        return Soundness("unknown", nan, nan, nan)
    stands_for = float(curve.value(np.array([ohms]))[0])
    if not curve.low <= at <= curve.high:
        return Soundness("unknown", nan, nan, stands_for)
    expected = float(curve.output(np.array([at]))[0])
    tolerance = getattr(sender.law, "tolerance", None)
    if tolerance is None:
        return Soundness("unknown", expected, nan, stands_for)
    allowed = _ohms(sender, tolerance, at, expected) + meter * abs(ohms)
    sound = abs(ohms - expected) <= allowed
    return Soundness("sound" if sound else "off", expected, allowed, stands_for)


def _ohms(sender: Sender, tolerance: Tolerance, at: float, expected: float) -> float:
    """Return a tolerance in ohms; one in the value itself goes through the slope there."""
    apart = difference(QUANTITY_KIND[sender.quantity])
    unit = tolerance.half_width.unit
    # A plain K is a kelvin here, though it is a kilohm too where ohms are typed.
    if unit == "%" or unit_named(apart, unit) is None:
        return tolerance.si(expected, Kind.RESISTANCE)
    assert sender.curve is not None
    width = tolerance.si(0.0, apart)
    ends = sender.curve.output(np.array([at - width, at + width]))
    return float(np.max(np.abs(ends - expected)))
