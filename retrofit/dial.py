"""The dial: which value the needle shows at an apparent resistance, with its stops.

The apparent resistance is what would put the needle in the same place with no trims at the
supply for which the dial was marked; ``retrofit.movements`` finds it. So a dial is a
characteristic between value and ohms like a sender's, and a class on its own gauge reads
true. Beyond the end marks the law goes on to the stop.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic, Guessed
from catalog.curves.family import EndsOnly, fit_q, scale_fraction, way
from catalog.curves.formulas import beta_through
from catalog.curves.interpolated import AtPoints, Displaced, Interpolated, points_keep
from catalog.curves.monotone import MonotoneCubic
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import CoilMovement, ElectronicMovement, Gauge, HeaterMovement
from catalog.quantities.kinds import Kind

ASSUMED_STOP = 0.05
"""Share of the scale beyond its ends where the stops are assumed (assumed, no source)."""

_TOUCH = 1e-9
"""Share of the way between the stops within which a needle touches one and is not held."""


@dataclass(frozen=True)
class MarkedDial(AtPoints):
    """A dial known at three or more marks: the family law, bent to meet every mark.

    Parameters
    ----------
    points : tuple of (float, float)
        (value [SI], ohms [Ω]) at the marks, values increasing, ohms strictly monotone.
    thermistor : bool
        Whether the dial belongs to thermistors, whose dials are less sure between marks.
    """

    thermistor: bool = False

    def _way(self, ohms: Array) -> Array:
        first, last = self.points[0][1], self.points[-1][1]
        return (ohms - first) / (last - first)

    @cached_property
    def q(self) -> float:
        """Parameter of the family law that meets the inner marks best [1]."""
        ohms = np.array([y for _, y in self.points])
        f = (self.knots - self.low) / (self.high - self.low)
        return fit_q(self._way(ohms), f)

    @cached_property
    def _bend(self) -> MonotoneCubic:
        """Curve from the law's fraction of scale to the value, through the marks."""
        ohms = np.array([y for _, y in self.points])
        return MonotoneCubic(scale_fraction(self._way(ohms), self.q), self.knots)

    def value(self, output: Array) -> Array:
        """Return the value shown at the ohms `output`, shape (N,) [Ω] → (N,) [SI], or ±inf."""
        return self._bend.at(scale_fraction(self._way(output), self.q))

    def output(self, x: Array) -> Array:
        """Return the ohms that show the value `x`, shape (N,) [SI] → shape (N,) [Ω]."""
        s = way(self._bend.inverse(x), self.q)
        first, last = self.points[0][1], self.points[-1][1]
        return np.asarray(first + s * (last - first))

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return how else the needle could move between the marks.

        With one middle mark ±3 % of scale (falling), ±1.5 % (rising), ±5 % (thermistor) stay
        (common practice, no source); with more, straight lines between the marks tell.
        """
        if len(self.points) > 3:
            return (Interpolated(self.points, straight=True, known=True),)
        keep = points_keep(rising=self.rising, log=self.thermistor)
        return (Displaced(self, keep), Displaced(self, -keep))


@dataclass(frozen=True)
class HeaterEnds:
    """A heater's dial known at its ends only: the needle follows a power of the current.

    f = (I^m − I0^m) / (I1^m − I0^m), I ∝ 1/(R + Rg), m between 1 and 2.

    Parameters
    ----------
    low, high : float
        Values at the ends [SI].
    at_low, at_high : float
        Ohms at the ends [Ω].
    heater : float
        Resistance of the heater [Ω], > 0.
    power : float
        m [1]; the nominal law is 1, and 2 its alternative.
    """

    low: float
    high: float
    at_low: float
    at_high: float
    heater: float
    power: float = 1.0

    @property
    def rising(self) -> bool:
        """Whether the ohms rise with the value."""
        return self.at_high > self.at_low

    def _heat(self, ohms: Array) -> Array:
        return np.asarray((1.0 / (ohms + self.heater)) ** self.power)

    def _ends(self) -> tuple[float, float]:
        heat = self._heat(np.array([self.at_low, self.at_high]))
        return float(heat[0]), float(heat[1])

    def value(self, output: Array) -> Array:
        """Return the value shown at the ohms `output`, shape (N,) [Ω] → shape (N,) [SI]."""
        cold, hot = self._ends()
        f = (self._heat(output) - cold) / (hot - cold)
        return np.asarray(self.low + f * (self.high - self.low))

    def output(self, x: Array) -> Array:
        """Return the ohms that show the value `x`, shape (N,) [SI] → shape (N,) [Ω]."""
        cold, hot = self._ends()
        heat = cold + (x - self.low) / (self.high - self.low) * (hot - cold)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(heat ** (-1.0 / self.power) - self.heater)

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return the law at the other end of the range of m."""
        if self.power != 1.0:
            return ()
        ends = (self.low, self.high, self.at_low, self.at_high)
        return (HeaterEnds(*ends, self.heater, power=2.0),)


@dataclass(frozen=True)
class MarkedClass:
    """A dial drawn for a class of sender and measured at marks: its curve, bent to meet them.

    Parameters
    ----------
    drawn_for : Characteristic
        Curve of the class.
    points : tuple of (float, float)
        (value [SI], ohms [Ω]) at the marks; the class's values there increase.
    """

    drawn_for: Characteristic
    points: tuple[tuple[float, float], ...]

    @property
    def low(self) -> float:
        """Lowest known value [SI]."""
        return min(self.drawn_for.low, self.points[0][0])

    @property
    def high(self) -> float:
        """Highest known value [SI]."""
        return max(self.drawn_for.high, self.points[-1][0])

    @property
    def rising(self) -> bool:
        """Whether the ohms rise with the value."""
        return self.drawn_for.rising

    @cached_property
    def of_class(self) -> Array:
        """Values that the class has at the ohms of the marks, shape (n,) [SI]."""
        return self.drawn_for.value(np.array([y for _, y in self.points]))

    @cached_property
    def _marked(self) -> Array:
        return np.array([x for x, _ in self.points])

    @property
    def contradicts(self) -> bool:
        """Whether the marks cannot be those of a dial for this class."""
        steps = np.diff(self.of_class)
        return not bool(np.all(np.isfinite(steps)) and np.all(steps > 0.0))

    @property
    def agrees(self) -> bool:
        """Whether the marks are the class's own, so that nothing is bent."""
        off = np.max(np.abs(self.of_class - self._marked))
        return bool(off <= 1e-9 * (self.high - self.low))

    @cached_property
    def _bend(self) -> MonotoneCubic:
        return MonotoneCubic(self.of_class, self._marked)

    def value(self, output: Array) -> Array:
        """Return the value shown at the ohms `output`, shape (N,) [Ω] → (N,) [SI], or ±inf."""
        return self._bend.at(self.drawn_for.value(output))

    def output(self, x: Array) -> Array:
        """Return the ohms that show the value `x`, shape (N,) [SI] → shape (N,) [Ω]."""
        return self.drawn_for.output(self._bend.inverse(x))

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return the class's other plausible curves, bent in the same way."""
        kin = (MarkedClass(other, self.points) for other in self.drawn_for.alternatives())
        return tuple(other for other in kin if not other.contradicts)


def like_dial(sender: Characteristic, dial: Characteristic) -> Characteristic:
    """Return a sender's curve drawn by the law of the dial where its own shape is not known.

    Between its points nobody knows a curve; drawn by another law than the dial's, the gap
    between two ways of drawing would be shown as needle error. So the sender's points are
    joined by the dial's law, and the curve as it was becomes one of its alternatives.

    Parameters
    ----------
    sender, dial : Characteristic
        Both curves of a pairing.

    Returns
    -------
    Characteristic
        The sender's curve itself where it is known, or the dial is not known at marks only.
    """
    if not isinstance(dial, MarkedDial) or not isinstance(sender, Interpolated) or sender.known:
        return sender
    drawn = MarkedDial(sender.points, dial.thermistor)
    return Guessed(drawn, (sender, *drawn.alternatives(), *sender.alternatives()))


def dial_curve(gauge: Gauge) -> Characteristic | None:
    """Return the characteristic of a dial: the ohms (or volts, amperes) at each value shown.

    Parameters
    ----------
    gauge : Gauge
        Its own class's curve is used where it names one, bent to meet its marks where it has
        any that differ; else its marks alone.

    Returns
    -------
    Characteristic or None
        None where fewer than two marks are known and no class is named.
    """
    if len(gauge.marks) < 2:
        return gauge.own_class
    kind = QUANTITY_KIND[gauge.quantity]
    points = tuple((m.at.si(kind), m.needs.si(gauge.signal)) for m in gauge.marks)
    if gauge.own_class is not None:
        marked = MarkedClass(gauge.own_class, points)
        if not marked.contradicts:
            return gauge.own_class if marked.agrees else marked
    if gauge.signal is not Kind.RESISTANCE:
        return Interpolated(points, straight=True, known=True)
    thermistor = gauge.quantity == "temperature" and points[0][1] > points[-1][1]
    if len(points) > 2:
        return MarkedDial(points, thermistor)
    return _ends_dial(gauge, points[0], points[1], thermistor=thermistor)


def _ends_dial(
    gauge: Gauge, first: tuple[float, float], last: tuple[float, float], *, thermistor: bool
) -> Characteristic:
    """Return the dial of a gauge known at two marks (value [SI], ohms [Ω])."""
    (x0, y0), (x1, y1) = first, last
    movement = gauge.movement
    if isinstance(movement, HeaterMovement) and movement.heater is not None:
        return HeaterEnds(x0, x1, y0, y1, movement.heater.si(Kind.RESISTANCE))
    ends = EndsOnly(x0, x1, y0, y1)
    if thermistor and y1 > 0.0:
        return Guessed(beta_through(first, last), ends.alternatives())
    behind = _behind(gauge)
    if behind is None:
        return ends
    # Evenly divided in volts or amperes, as a two-point calibration makes it; that is a member
    # of the family too, and often beyond the band of the classes.
    even = EndsOnly(x0, x1, y0, y1, q=(y1 + behind) / (y0 + behind), unsure=False)
    return Guessed(ends, (*ends.alternatives(), even))


def _behind(gauge: Gauge) -> float | None:
    """Return the resistance through which a coil or an electronic gauge feeds the sender [Ω]."""
    movement = gauge.movement
    if isinstance(movement, CoilMovement):
        figure = movement.coil
    elif isinstance(movement, ElectronicMovement):
        figure = movement.pull_up
    else:
        return None
    return None if figure is None else figure.si(Kind.RESISTANCE)


@dataclass(frozen=True)
class Stops:
    """Where the needle is held: values that it cannot leave.

    Attributes
    ----------
    low, high : float
        Values at the two stops [SI].
    assumed : bool
        Whether at least one of them is assumed.
    """

    low: float
    high: float
    assumed: bool

    def side(self, continued: Array) -> Array:
        """Return which stop holds the needle where the dial's law gives `continued`.

        Parameters
        ----------
        continued : array, any shape
            Values that the law gives [SI], stops ignored.

        Returns
        -------
        array, the same shape
            −1 low stop, +1 high stop, 0 free [1], NaN where `continued` is. A needle that just
            touches a stop, to rounding, is free.
        """
        slack = _TOUCH * (self.high - self.low)
        side = np.where(continued > self.high + slack, 1.0, 0.0)
        side = np.where(continued < self.low - slack, -1.0, side)
        return np.where(np.isnan(continued), np.nan, side)


def stops(gauge: Gauge) -> Stops:
    """Return the stops of a dial; 5 % of scale beyond the end where nobody entered one."""
    kind = QUANTITY_KIND[gauge.quantity]
    low, high = gauge.low.si(kind), gauge.high.si(kind)
    spare = ASSUMED_STOP * (high - low)
    return Stops(
        low - spare if gauge.stop_low is None else gauge.stop_low.si(kind),
        high + spare if gauge.stop_high is None else gauge.stop_high.si(kind),
        gauge.stop_low is None or gauge.stop_high is None,
    )
