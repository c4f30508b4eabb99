"""What three readings between a gauge's terminals say of its coils."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from catalog.errors import user_error
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.circuit.bench_readings import Meter


class Coils(Enum):
    """What three readings between the terminals say of a gauge's coils."""

    PLAIN_DIVIDER = "plain divider"
    """The signal leg is zero within the error: supply leg Ra, earth leg Rb, nothing else."""

    UNKNOWN = "coils unknown"
    """Star or delta: no measurement at the terminals tells one from the other."""

    FAULTY = "faulty"
    """A leg is negative beyond the error: no resistors between three terminals read so."""


@dataclass(frozen=True)
class Leg:
    """One leg of the star that reads the same as the gauge.

    Attributes
    ----------
    ohm : float
        Resistance [Ω]; a little below 0 where the meter's error makes it so.
    error : float
        Expanded uncertainty [Ω], see `star`.
    worst : float
        Largest error [Ω] if no reading is off by more than the meter's error; less than `error`.
    """

    ohm: float
    error: float
    worst: float


@dataclass(frozen=True)
class Star:
    """The star that reads the same as a three-terminal gauge, and what that says.

    Attributes
    ----------
    supply, signal, earth : Leg
        Legs from the common point to each terminal.
    coils : Coils
        The verdict.
    """

    supply: Leg
    signal: Leg
    earth: Leg
    coils: Coils


def star(supply_earth: float, supply_signal: float, signal_earth: float, meter: Meter) -> Star:
    """Return the star legs of a gauge from the readings between its three terminals.

    Each leg is half of (its two readings less the third). Its `error` is the root of the sum
    of the squares of the three readings' errors, that is the uncertainty at a coverage factor
    of 2 (common practice, no source) where the meter's stated error is one standard
    uncertainty:

        2·√((e₁/2)² + (e₂/2)² + (e₃/2)²) = √(e₁² + e₂² + e₃²)

    It covers the worst case, half the sum of the three errors, whatever they are, since
    (e₁+e₂+e₃)/2 ≤ (√3/2)·√(e₁²+e₂²+e₃²).

    Parameters
    ----------
    supply_earth, supply_signal, signal_earth : float
        Readings [Ω], finite, 0 or more, the gauge taken out of its circuit.
    meter : Meter
        Error of each reading.

    Returns
    -------
    Star
        Legs [Ω] and verdict. A plain divider needs the other two legs beyond their errors; a
        verdict of `Coils.UNKNOWN` leaves the source seen from S known, but not the needle law.

    Raises
    ------
    UserError
        ``bench.terminal``, naming the reading that is open, negative or no number.

    Notes
    -----
    440, 260 and 180 Ω with a 0.5 % meter give a signal leg of 0 ± 2.7 Ω; the worst case is
    2.2 Ω. Checked in ``tests/circuit/test_terminals.py``.

    Examples
    --------
    >>> found = star(440.0, 260.0, 180.0, Meter(0.005))
    >>> found.supply.ohm, found.signal.ohm, found.earth.ohm, found.coils.value
    (260.0, 0.0, 180.0, 'plain divider')
    >>> round(found.signal.error, 2), round(found.signal.worst, 2)
    (2.71, 2.2)
    """
    readings = {
        message("bench.supply_earth"): supply_earth,
        message("bench.supply_signal"): supply_signal,
        message("bench.signal_earth"): signal_earth,
    }
    for pair, ohm in readings.items():
        if not (math.isfinite(ohm) and ohm >= 0.0):
            raise user_error("bench.terminal", pair=pair, ohm=SiValue(ohm, Kind.RESISTANCE))
    errors = [meter.error(ohm) for ohm in readings.values()]
    error, worst = math.hypot(*errors), sum(errors) / 2.0
    supply = Leg((supply_earth + supply_signal - signal_earth) / 2.0, error, worst)
    signal = Leg((supply_signal + signal_earth - supply_earth) / 2.0, error, worst)
    earth = Leg((supply_earth + signal_earth - supply_signal) / 2.0, error, worst)
    return Star(supply, signal, earth, _verdict(supply, signal, earth))


def _verdict(supply: Leg, signal: Leg, earth: Leg) -> Coils:
    if any(leg.ohm < -leg.error for leg in (supply, signal, earth)):
        return Coils.FAULTY
    zero = abs(signal.ohm) <= signal.error
    if zero and supply.ohm > supply.error and earth.ohm > earth.error:
        return Coils.PLAIN_DIVIDER
    return Coils.UNKNOWN
