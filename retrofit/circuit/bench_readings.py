"""What test resistors at S say of a gauge: the source behind S, and the most telling test.

Plain arithmetic on a few meter readings, each with the meter's own error carried along.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog.curves.family import scale_fraction
from catalog.errors import BugError, user_error
from catalog.message import SiValue
from catalog.quantities.kinds import Kind


@dataclass(frozen=True)
class Meter:
    """How far a reading may be off.

    Attributes
    ----------
    share : float
        Share of the reading [1], 0…1 (0.005 for a 0.5 % meter).
    step : float
        Further error in the unit of the reading: digits of the display, leads not zeroed.
    """

    share: float
    step: float = 0.0

    def error(self, reading: float) -> float:
        """Return how far a reading may be off, in its own unit."""
        return self.share * abs(reading) + self.step


# --- the source behind S ------------------------------------------------------------------------


@dataclass(frozen=True)
class LoadedReading:
    """A test resistor from S to the gauge's earth, and what the meter showed.

    Attributes
    ----------
    ohm : float
        Test resistor as measured [Ω], above 0; +inf for S left open.
    volt : float
        Voltage across it [V].
    supply : float
        Supply of the gauge, read at the same moment [V].
    """

    ohm: float
    volt: float
    supply: float


@dataclass(frozen=True)
class Spread:
    """A number worked out of readings, with the lowest and highest that they allow."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class SourceReading:
    """The source that a gauge is, seen from S.

    Attributes
    ----------
    share : Spread
        Open-circuit voltage over supply, Voc/V [1].
    ohm : Spread
        Source resistance Rth [Ω].
    """

    share: Spread
    ohm: Spread


def source_from_tests(
    first: LoadedReading, second: LoadedReading, ohm_meter: Meter, volt_meter: Meter
) -> SourceReading:
    """Return the source behind S from two test resistors and the voltages across them.

    With u = volt/supply of each reading (u = share·R/(R + Rth)):

        Rth = (u₂ − u₁)/(u₁/R₁ − u₂/R₂),   share = u₁·(1 + Rth/R₁)

    Parameters
    ----------
    first, second : LoadedReading
        The two readings, in any order, of clearly different resistors.
    ohm_meter, volt_meter : Meter
        Errors of the resistances and of the voltages (supply included).

    Returns
    -------
    SourceReading
        Share [1] and resistance [Ω], each with the extremes over all corners of the readings'
        errors; both are monotone in each reading, so the extremes lie at corners.

    Raises
    ------
    UserError
        ``bench.source_reading`` for a reading that is no resistance or no voltage between 0
        and the supply; ``bench.source_same`` for two equal resistors; ``bench.source_nonsense``
        where the larger one does not carry the higher voltage at the smaller current;
        ``bench.source_close`` where the readings' errors leave the resistance without a bound.

    Examples
    --------
    >>> readings = LoadedReading(16.5, 1.85625, 13.5), LoadedReading(148.5, 5.56875, 13.5)
    >>> found = source_from_tests(*readings, Meter(0.0), Meter(0.0))
    >>> round(found.share.value * 13.5, 6), round(found.ohm.value, 6)
    (7.425, 49.5)
    """
    low, high = sorted((first, second), key=lambda reading: reading.ohm)
    for reading in (low, high):
        _refuse_no_reading(reading)
    if low.ohm == high.ohm:
        raise user_error("bench.source_same", ohm=SiValue(low.ohm, Kind.RESISTANCE))
    share, ohm = _thevenin(low, high)
    if not (0.0 < ohm < math.inf):
        raise user_error(
            "bench.source_nonsense",
            low=SiValue(low.ohm, Kind.RESISTANCE),
            high=SiValue(high.ohm, Kind.RESISTANCE),
            at_low=SiValue(low.volt, Kind.VOLTAGE),
            at_high=SiValue(high.volt, Kind.VOLTAGE),
        )
    corners = [
        _thevenin(a, b)
        for a in _corners(low, ohm_meter, volt_meter)
        for b in _corners(high, ohm_meter, volt_meter)
    ]
    if not all(0.0 < corner[1] < math.inf for corner in corners):
        raise user_error(
            "bench.source_close",
            low=SiValue(low.ohm, Kind.RESISTANCE),
            high=SiValue(high.ohm, Kind.RESISTANCE),
        )
    return SourceReading(
        Spread(share, min(c[0] for c in corners), max(c[0] for c in corners)),
        Spread(ohm, min(c[1] for c in corners), max(c[1] for c in corners)),
    )


def _refuse_no_reading(reading: LoadedReading) -> None:
    in_order = 0.0 < reading.volt <= reading.supply < math.inf
    if not (reading.ohm > 0.0 and in_order):
        raise user_error(
            "bench.source_reading",
            ohm=SiValue(reading.ohm, Kind.RESISTANCE),
            volt=SiValue(reading.volt, Kind.VOLTAGE),
            supply=SiValue(reading.supply, Kind.VOLTAGE),
        )


def _thevenin(low: LoadedReading, high: LoadedReading) -> tuple[float, float]:
    """Return share and resistance; a resistance outside 0…inf means that there is none."""
    u1, u2 = low.volt / low.supply, high.volt / high.supply
    amps = u1 / low.ohm - u2 / high.ohm
    if amps <= 0.0:
        return math.nan, math.inf
    ohm = (u2 - u1) / amps
    return u1 * (1.0 + ohm / low.ohm), ohm


def _corners(
    reading: LoadedReading, ohm_meter: Meter, volt_meter: Meter
) -> Sequence[LoadedReading]:
    def ends(value: float, meter: Meter) -> tuple[float, ...]:
        error = meter.error(value) if math.isfinite(value) else 0.0
        return (value - error, value + error) if error else (value,)

    found = itertools.product(
        ends(reading.ohm, ohm_meter),
        ends(reading.volt, volt_meter),
        ends(reading.supply, volt_meter),
    )
    return [LoadedReading(*corner) for corner in found]


# --- the most telling test resistor -------------------------------------------------------------


@dataclass(frozen=True)
class TellingTest:
    """The one test resistor that says most about a dial known at its ends only.

    Attributes
    ----------
    ohm : float
        The resistor [Ω].
    low, high : float
        Fraction of scale [1] between which the needle will stand.
    """

    ohm: float
    low: float
    high: float


def most_telling_test(at_low: float, at_high: float, q: tuple[float, float]) -> TellingTest:
    """Return the test resistor at which the possible needle laws lie furthest apart.

    Between the laws f = q·s/(1 − s + q·s) at the two ends of the band of q the gap is widest
    at s* = 1/(1 + √(q_lo·q_hi)), where the two readings are f and 1 − f. (Found by setting the
    derivative of the gap to zero.)

    Parameters
    ----------
    at_low, at_high : float
        Resistances at the low and at the high end mark [Ω], different, 0 or more.
    q : (float, float)
        Band of the family parameter [1], both above 0.

    Returns
    -------
    TellingTest
        The resistor [Ω] and the band there.

    Raises
    ------
    BugError
        For equal or negative end marks or a q that is not above 0.

    Examples
    --------
    >>> test = most_telling_test(240.0, 33.0, (0.25, 1.05))
    >>> round(test.ohm), round(test.low, 2), round(test.high, 2)
    (103, 0.33, 0.67)
    """
    if min(at_low, at_high) < 0.0 or at_low == at_high or min(q) <= 0.0:
        raise BugError(f"no dial from {at_low} to {at_high} Ω with q in {q}")
    s = 1.0 / (1.0 + math.sqrt(q[0] * q[1]))
    ends = [float(scale_fraction(np.array([s]), one)[0]) for one in q]
    return TellingTest(at_low + s * (at_high - at_low), min(ends), max(ends))
