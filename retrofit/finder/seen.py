"""What a meter and the eye have seen of an unknown sender or gauge: SI floats only."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from catalog.arrays import Array
from catalog.curves.formulas import ZERO_CELSIUS
from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.fields import QUANTITY_KIND, SIGNAL_KINDS, QuantityName
from catalog.quantities.kinds import Kind

MOST_READINGS = 40
"""Readings that are weighed against each other; a curve needs a dozen."""

REST_LEVEL = 0.02
"""How far an arm that hangs down may be from empty [share of full] (assumed)."""

_FINEST = {Kind.RESISTANCE: 0.1, Kind.VOLTAGE: 1e-3, Kind.CURRENT: 1e-5}
"""Finest digit of a cheap meter [SI] (common practice, no source)."""


@dataclass(frozen=True)
class DigitalMeter:
    """A meter whose error is a share of the reading and a number of digits.

    Attributes
    ----------
    share : float
        Share of the reading [1].
    digits : float
        Further error in steps of the last digit shown.
    counts : int
        Largest number that the display shows: 2000 for a cheap one.
    """

    share: float = 0.01
    digits: float = 2.0
    counts: int = 2000

    def resolution(self, reading: Array, signal: Kind) -> Array:
        """Return the last digit shown, shape (N,) [SI] → shape (N,) [SI].

        The range is the least, in decades, that holds the reading.

        Examples
        --------
        >>> DigitalMeter().resolution(np.array([33.0, 240.0]), Kind.RESISTANCE)
        array([0.1, 1. ])
        """
        finest = _FINEST[signal]
        over = np.maximum(np.abs(reading) / (self.counts * finest), 1.0)
        return np.asarray(finest * 10.0 ** np.ceil(np.log10(over)))

    def error(self, reading: Array, signal: Kind) -> Array:
        """Return how far a reading may be off, shape (N,) [SI] → shape (N,) [SI]."""
        return self.share * np.abs(reading) + self.digits * self.resolution(reading, signal)


CHEAP_METER = DigitalMeter()
"""1 % + 2 digits of 2000 (common practice, no source)."""


@dataclass(frozen=True)
class SeenPoint:
    """One reading at a known value.

    Attributes
    ----------
    at : float
        The value, as the user had it [SI].
    gives : float
        What the meter showed [SI of the signal], 0 or more.
    within : float or None
        How far the value may be off either way [SI difference]; None: assumed 2 % of the largest
        value (level: of full; pressure), 2 K.
    """

    at: float
    gives: float
    within: float | None = None


def _no_factors() -> Mapping[str, float]:
    return MappingProxyType({})


@dataclass(frozen=True)
class SenderSeen:
    """What is seen of an unknown sender.

    Attributes
    ----------
    quantity : str or None
        What it measures; None where nobody knows, and then only `rest` can be given.
    points : tuple of SeenPoint
        Readings at known values, in the order in which they were taken.
    rest : float or None
        Ohms at rest [Ω]: empty, no pressure, as warm as its surroundings.
    ambient, ambient_within : float
        How warm its surroundings are, and how far that may be off [°C], [K].
    rising : bool or None
        Whether the reading grew as the value grew, where that was seen.
    signal : Kind
        What the meter read: resistance, voltage or current.
    meter : DigitalMeter
        Its error.
    thread : mapping of str to float
        How well the thread of each class agrees with what the calliper showed, by its key: a
        likelihood [1]; 1 for a class that is not in it and for a part that no catalogue lists.
    """

    quantity: QuantityName | None = None
    points: tuple[SeenPoint, ...] = ()
    rest: float | None = None
    ambient: float = 20.0
    ambient_within: float = 5.0
    rising: bool | None = None
    signal: Kind = Kind.RESISTANCE
    meter: DigitalMeter = CHEAP_METER
    thread: Mapping[str, float] = field(default_factory=_no_factors)

    def __post_init__(self) -> None:
        """Raise UserError with all that is wrong with the readings."""
        problems = list(_sender_problems(self))
        if problems:
            raise UserError(problems)

    def value_error(self, point: SeenPoint) -> float:
        """Return how far the value of a point may be off [SI difference]."""
        if point.within is not None:
            return point.within
        if self.quantity == "temperature":
            return 2.0
        largest = max(abs(one.at) for one in self.points)
        return 0.02 if self.quantity == "level" else 0.02 * largest

    @property
    def gives(self) -> Array:
        """All that the meter showed, points first and then at rest, shape (n,) [SI]."""
        rest = [] if self.rest is None else [self.rest]
        return np.array([*(point.gives for point in self.points), *rest])

    def places(self, quantity: QuantityName) -> tuple[Array, Array]:
        """Return values and their errors for a class of a quantity, shape (n,) each [SI]."""
        at = [point.at for point in self.points]
        within = [self.value_error(point) for point in self.points]
        if self.rest is not None:
            rest = {
                "level": (0.0, REST_LEVEL),
                "pressure": (0.0, 0.0),
                "temperature": (self.ambient, self.ambient_within),
            }[quantity]
            at, within = [*at, rest[0]], [*within, rest[1]]
        return np.array(at), np.array(within)


def _sender_problems(seen: SenderSeen) -> list[Message]:
    problems = []
    if not seen.points and seen.rest is None:
        problems.append(message("identify.no_reading"))
    if seen.points and seen.quantity is None:
        problems.append(message("identify.no_quantity"))
    if len(seen.points) > MOST_READINGS:
        problems.append(message("identify.many", count=len(seen.points), limit=MOST_READINGS))
    if seen.rest is not None and seen.signal is not Kind.RESISTANCE:
        problems.append(message("identify.rest_ohms"))
    for row, given in enumerate(seen.gives, 1):
        if not math.isfinite(given) or given < 0.0:
            shown = SiValue(float(given), seen.signal)
            problems.append(message("identify.reading", row=row, reading=shown))
    if seen.quantity is not None:
        kind = QUANTITY_KIND[seen.quantity]
        least = -ZERO_CELSIUS if kind is Kind.TEMPERATURE else -math.inf
        for row, point in enumerate(seen.points, 1):
            wrong = point.within is not None and not 0.0 <= point.within < math.inf
            if wrong or not least < point.at < math.inf:
                at = SiValue(point.at, kind)
                problems.append(message("identify.value", row=row, at=at))
    if not 0.0 <= seen.meter.share < 1.0 or seen.meter.digits < 0.0 or seen.meter.counts < 100:
        problems.append(message("identify.meter"))
    assert seen.signal in SIGNAL_KINDS
    return problems


# --- gauges -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class SeenNeedle:
    """Where the needle stood with a resistor in the sender's place.

    Attributes
    ----------
    ohm : float
        The resistor [Ω]; +inf for the signal lead left open.
    shown : float
        What the needle showed [SI, or share of the scale]; −inf for at or below its low end,
        +inf for at or beyond its high end.
    of_scale : bool
        Whether `shown` is a share of the scale, 0 at its low end; else a value of the dial.
    """

    ohm: float
    shown: float
    of_scale: bool = True


@dataclass(frozen=True)
class GaugeSeen:
    """What is seen of an unknown gauge that wants ohms.

    Attributes
    ----------
    quantity : str or None
        What it shows; None where nobody knows.
    needles : tuple of SeenNeedle
        Where the needle stood.
    scale : pair of float or None
        Values printed at the ends of the dial [SI].
    supply_signal, signal_earth : float or None
        Ohms between the terminals of the loose gauge [Ω]; +inf for no connection.
    reading_error : float
        How well the needle is read, either way [share of the scale].
    resistor_error : float
        How far the test resistors may be off, either way [1].
    meter : DigitalMeter
        Its error, for the terminals.
    """

    quantity: QuantityName | None = None
    needles: tuple[SeenNeedle, ...] = ()
    scale: tuple[float, float] | None = None
    supply_signal: float | None = None
    signal_earth: float | None = None
    reading_error: float = 0.03
    resistor_error: float = 0.02
    meter: DigitalMeter = CHEAP_METER

    def __post_init__(self) -> None:
        """Raise UserError with all that is wrong with what was seen."""
        problems = list(_gauge_problems(self))
        if problems:
            raise UserError(problems)


def _gauge_problems(seen: GaugeSeen) -> list[Message]:
    problems = []
    if not seen.needles and seen.supply_signal is None and seen.signal_earth is None:
        problems.append(message("identify.no_needle"))
    if len(seen.needles) > MOST_READINGS:
        problems.append(message("identify.many", count=len(seen.needles), limit=MOST_READINGS))
    for row, needle in enumerate(seen.needles, 1):
        if math.isnan(needle.ohm) or needle.ohm <= 0.0:
            problems.append(
                message("identify.test_resistor", row=row, ohm=SiValue(needle.ohm, Kind.RESISTANCE))
            )
        if math.isnan(needle.shown):
            problems.append(message("identify.shown", row=row))
    dialled = any(not one.of_scale and math.isfinite(one.shown) for one in seen.needles)
    if seen.quantity is None and (dialled or seen.scale is not None):
        problems.append(message("identify.no_quantity"))
    if seen.scale is not None and not seen.scale[0] < seen.scale[1]:
        problems.append(message("identify.scale"))
    terminals = [one for one in (seen.supply_signal, seen.signal_earth) if one is not None]
    problems += [
        message("identify.terminal", reading=SiValue(one, Kind.RESISTANCE))
        for one in terminals
        if math.isnan(one) or one < 0.0
    ]
    return problems
