"""Where things stand on a dial: angles, places and the shapes of needle and true marker.

The place of a value is taken as uniform between the two ends of the scale, because a gauge
does not tell the angles of its marks; the needle stands at the value it shows. The window
paints the same shapes on top while the slider moves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import Gauge
from catalog.quantities.kinds import Kind
from retrofit.dial import stops
from retrofit.drawing.signs import turned
from retrofit.drawing.svg import Point, number

ASSUMED_SWEEP = 240.0
"""Angle between the ends of the scale where nobody entered it [°] (assumed, no source)."""

LEAST_SWEEP, MOST_SWEEP = 20.0, 340.0
"""Sweeps that are drawn as they are [°]; others are drawn as the nearest of these."""

_OFF_DIAL = 5.0
"""How far beyond the stops a true value off the dial is drawn [°]."""

_HALF_TURN = 178.0

CORRIDOR = (0.025, 0.085)
TRUE_TIP, TRUE_BASE, TRUE_HALF = 0.10, 0.255, 0.085
NAME_RING = 0.31
"""Distances of what lies outside the scale, in the face's own measure `unit`."""


@dataclass(frozen=True)
class Scale:
    """The scale of a gauge, whatever size it is drawn in.

    Attributes
    ----------
    low, high : float
        Values at its ends [SI].
    stop_low, stop_high : float
        Values at its stops [SI].
    stops_assumed : bool
        Whether a stop is assumed.
    sweep : float
        Angle between the ends [°].
    sweep_assumed : bool
        Whether that is assumed.
    """

    low: float
    high: float
    stop_low: float
    stop_high: float
    stops_assumed: bool
    sweep: float
    sweep_assumed: bool

    def _law(self, value: float) -> float:
        return self.sweep * ((value - self.low) / (self.high - self.low) - 0.5)

    @property
    def limits(self) -> tuple[float, float]:
        """Angles that nothing is drawn beyond [° clockwise from the top]."""
        least = max(self._law(self.stop_low) - _OFF_DIAL, -_HALF_TURN)
        return least, min(self._law(self.stop_high) + _OFF_DIAL, _HALF_TURN)

    def angle_of(self, value: float) -> float:
        """Return the angle of a value [SI → ° clockwise from the top], within the limits."""
        least, most = self.limits
        return min(max(self._law(value), least), most)

    def value_at(self, angle: float) -> float:
        """Return the value at an angle [° clockwise from the top → SI]."""
        return self.low + (angle / self.sweep + 0.5) * (self.high - self.low)

    def off(self, value: float) -> bool:
        """Return whether a value lies beyond all that is drawn."""
        return self._law(value) != self.angle_of(value)


def scale_of(gauge: Gauge) -> Scale:
    """Return the scale of a gauge, with an assumed sweep where nobody entered one."""
    kind = QUANTITY_KIND[gauge.quantity]
    held = stops(gauge)
    sweep = ASSUMED_SWEEP
    if gauge.sweep is not None:
        entered = math.degrees(gauge.sweep.si(Kind.ANGLE))
        sweep = min(max(entered, LEAST_SWEEP), MOST_SWEEP)
    ends = gauge.low.si(kind), gauge.high.si(kind)
    return Scale(*ends, held.low, held.high, held.assumed, sweep, gauge.sweep is None)


@dataclass(frozen=True)
class Face:
    """A scale in its place on a drawing; what is needed to paint live markers.

    Attributes
    ----------
    scale : Scale
        The scale.
    centre : (float, float)
        Where the needle turns [mm].
    radius : float
        Outer radius of the scale [mm].
    unit : float
        Measure of ticks, markers and numbers [mm]: the radius, but less where a short sweep
        makes the radius large beside the drawing.
    """

    scale: Scale
    centre: Point
    radius: float
    unit: float

    def angle_of(self, value: float) -> float:
        """Return the angle of a value [SI → ° clockwise from the top]."""
        return self.scale.angle_of(value)

    def place(self, angle: float, out: float) -> Point:
        """Return the place [mm] at an angle [°], `out` measures outside the scale."""
        turn = math.radians(angle)
        reach = self.radius + out * self.unit
        return self.centre[0] + reach * math.sin(turn), self.centre[1] - reach * math.cos(turn)

    def needle(self, value: float) -> tuple[Point, ...]:
        """Return the corners [mm] of the needle that shows a value [SI]."""
        x, y = self.centre
        r, u = self.radius, self.unit
        tail, hub, neck = 0.030 * u, 0.042 * u, 0.013 * u
        upright = (
            (x, y - r + 0.015 * u),
            (x + neck, y - r + 0.14 * u),
            (x + hub, y),
            (x + tail, y + 0.17 * u),
            (x - tail, y + 0.17 * u),
            (x - hub, y),
            (x - neck, y - r + 0.14 * u),
        )
        return turned(upright, self.centre, self.angle_of(value))

    def true_marker(self, value: float) -> tuple[Point, ...]:
        """Return the corners [mm] of the triangle at the true value [SI], tip to the scale."""
        x, y = self.centre
        half = TRUE_HALF * self.unit
        tip, base = (y - self.radius - out * self.unit for out in (TRUE_TIP, TRUE_BASE))
        upright = ((x, tip), (x + half, base), (x - half, base))
        return turned(upright, self.centre, self.angle_of(value))

    def ring(self, start: float, end: float, inner: float, outer: float) -> str:
        """Return the path of a piece of ring between two angles [°], so far outside the scale."""
        return (
            f"{self._arc('M', start, end, outer, clockwise=True)} "
            f"{self._arc('L', end, start, inner, clockwise=False)} Z"
        )

    def arc(self, start: float, end: float, out: float) -> str:
        """Return the path of an arc between two angles [°], `out` measures outside the scale."""
        return self._arc("M", start, end, out, clockwise=True)

    def _arc(self, to: str, start: float, end: float, out: float, *, clockwise: bool) -> str:
        (x1, y1), (x2, y2) = self.place(start, out), self.place(end, out)
        r, large = number(self.radius + out * self.unit), int(abs(end - start) > 180.0)
        begin, finish = f"{number(x1)} {number(y1)}", f"{number(x2)} {number(y2)}"
        return f"{to}{begin} A{r} {r} 0 {large} {int(clockwise)} {finish}"
