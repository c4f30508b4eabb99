"""How well each class of gauge explains where its needle stood.

A needle without a signal goes to the high-ohm end of its scale whatever turns it: past it where
a ratio or a voltage is shown, to rest where a current is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    RatioMovement,
)
from catalog.provenance import Figure
from catalog.quantities.kinds import Kind
from retrofit.dial import dial_curve, stops
from retrofit.finder.class_spread import SHAPE_STEPS, Spread
from retrofit.finder.evidence import DEVIATIONS, UNLISTED, Evidence, gathered
from retrofit.finder.seen import GaugeSeen
from retrofit.finder.slips import log_sum, slips

ASSUMED_DIAL_ERROR = 0.03
"""Share of the scale that a dial may be off where its class states nothing (assumed)."""

ASSUMED_WINDING = 0.2
"""How far windings of a class differ where it states nothing, standard deviation [1] (assumed)."""

_AT_END = 0.03
"""Share of the scale within which a needle counts as at the end of it."""

_NEVER = 1e-4
_SQRT3 = 3.0**0.5
_UNLISTED_END, _UNLISTED_SHARE = 0.35, 1.0 / 1.1
_UNLISTED_SCALE, _OTHER_SCALE = 0.2, 0.03
_DECADES = math.log(1e4)


@dataclass(frozen=True, eq=False)
class DialClass:
    """One class of gauge as it is compared: the dial's curve and its scale.

    Attributes
    ----------
    gauge : Gauge
        The class.
    curve : Characteristic
        Its dial: value ↔ ohms.
    """

    gauge: Gauge
    curve: Characteristic

    @cached_property
    def ends(self) -> tuple[float, float]:
        """Values at the ends of the scale [SI]."""
        kind = QUANTITY_KIND[self.gauge.quantity]
        return self.gauge.low.si(kind), self.gauge.high.si(kind)

    @cached_property
    def ohms(self) -> tuple[float, float]:
        """Least and most ohms on its scale [Ω]."""
        found = self.curve.output(np.array(self.ends))
        return float(found.min()), float(found.max())

    def share(self, values: Array) -> Array:
        """Return values as shares of the scale, shape (N,) [SI] → shape (N,) [1]."""
        low, high = self.ends
        return np.asarray((values - low) / (high - low))

    def shapes(self, ohm: Array) -> Array:
        """Return what the needle shows in each shape, shape (N,) [Ω] → (s, N) [share of scale].

        Held by the stops; +inf is the open lead.
        """
        nominal = self._shown(self.curve, ohm)
        rows = [nominal]
        for other in self.curve.alternatives():
            apart = self._shown(other, ohm) - nominal
            rows += [nominal + way * apart for way in SHAPE_STEPS]
        return np.array(rows)

    def _shown(self, curve: Characteristic, ohm: Array) -> Array:
        held = stops(self.gauge)
        low, high = (float(one) for one in self.share(np.array([held.low, held.high])))
        is_open = np.isinf(ohm)
        with np.errstate(all="ignore"):
            value = self.share(curve.value(np.where(is_open, 1.0, ohm)))
        past = high if curve.rising else low
        # A law that has no value beyond its pole has left the scale on its high-ohm side.
        return np.clip(np.where(is_open | np.isnan(value), past, value), low, high)


def dial_classes(gauges: Sequence[Gauge]) -> list[DialClass]:
    """Return the classes that want ohms and whose dial is known."""
    found = [(gauge, dial_curve(gauge)) for gauge in gauges if gauge.signal is Kind.RESISTANCE]
    return [DialClass(gauge, curve) for gauge, curve in found if curve is not None]


def dial_spread(classes: Sequence[DialClass], ohm: Array, resistor_error: float) -> Spread:
    """Return what classes show with resistors in the sender's place.

    Parameters
    ----------
    classes : sequence of DialClass
        K classes.
    ohm : array, shape (N,)
        Resistors [Ω]; +inf open.
    resistor_error : float
        How far they may be off, either way [1].

    Returns
    -------
    Spread
        Shares of the scale [1].
    """
    rows = [one.shapes(ohm) for one in classes]
    most = max((len(one) for one in rows), default=1)
    shape = (len(classes), most, len(ohm))
    mean, own, weight = np.zeros(shape), np.ones(shape), np.zeros(shape[:2])
    common = np.zeros(shape)
    for k, (one, means) in enumerate(zip(classes, rows, strict=True)):
        count = len(means)
        stated = one.gauge.dial_error
        half = ASSUMED_DIAL_ERROR if stated is None else stated.si(Kind.FRACTION)
        off = np.abs(one.shapes(ohm * (1.0 + resistor_error)) - means)
        gap = np.abs(means - means[0]) * SHAPE_STEPS[0] / 12.0**0.5
        mean[k, :count] = means
        own[k, :count] = np.sqrt(half**2 / 6.0 + off**2 / 3.0 + gap**2)
        common[k, :count] = half / 6.0**0.5
        weight[k, :count] = 1.0 / count
    nothing = np.zeros((shape[0], shape[2]))
    return Spread(mean, own, common, weight, nothing == 0.0, nothing, nothing)


def gauge_evidence(seen: GaugeSeen, classes: Sequence[DialClass]) -> Evidence:
    """Return what the needle's places say of classes of gauges.

    Parameters
    ----------
    seen : GaugeSeen
        What was seen.
    classes : sequence of DialClass
        K >= 1 classes.
    """
    ohm = np.array([needle.ohm for needle in seen.needles])
    found = dial_spread(classes, ohm, seen.resistor_error)
    shown = shown_shares(seen, classes)
    broad = np.where(np.isinf(shown[0]), math.log(_UNLISTED_END), math.log(_UNLISTED_SHARE))
    matrix = _log_densities(found, shown, seen.reading_error / _SQRT3)
    ways = slips(len(ohm), swaps=False)
    factors = np.array([_factor(seen, one) for one in classes])
    prior = np.array([slip.log_prior for slip in ways])
    none = float(broad.sum() + log_sum(prior, axis=0)) + math.log(UNLISTED)
    if seen.scale is not None:
        none += math.log(_UNLISTED_SCALE)
    return gathered(matrix, broad, found, ways, factors, none)


def shown_shares(seen: GaugeSeen, classes: Sequence[DialClass]) -> Array:
    """Return what was shown as shares of each class's scale.

    Parameters
    ----------
    seen : GaugeSeen
        n places of the needle.
    classes : sequence of DialClass
        K classes.

    Returns
    -------
    array, shape (K, n)
        [1]; ±inf for a needle at or beyond an end.
    """
    rows = []
    for one in classes:
        values = np.array([needle.shown for needle in seen.needles])
        dialled = np.array([not needle.of_scale for needle in seen.needles], dtype=bool)
        rows.append(np.where(dialled & np.isfinite(values), one.share(values), values))
    return np.array(rows).reshape(len(classes), len(seen.needles))


def _log_densities(found: Spread, shown: Array, reading: float) -> Array:
    """Return the log density of reading i with the resistor of row j, shape (K, S, Z, n, n)."""
    mean = found.mean[:, :, None, :] + DEVIATIONS[None, None, :, None] * found.common[:, :, None]
    deviation = np.hypot(found.own, reading)[:, :, None, None, :]
    mean = mean[:, :, :, None, :]
    seen = shown[:, None, None, :, None]
    finite = np.where(np.isinf(seen), 0.5, seen)
    inside = -0.5 * ((finite - mean) / deviation) ** 2
    inside = inside - np.log(deviation * math.sqrt(2.0 * math.pi))
    low = _chance((_AT_END - mean) / deviation)
    high = _chance((mean - (1.0 - _AT_END)) / deviation)
    at_end = np.log(np.where(seen < 0.0, low, high) * (1.0 - 2.0 * _NEVER) + _NEVER)
    return np.where(np.isinf(seen), at_end, inside)


def _chance(z: Array) -> Array:
    """Return the standard normal distribution function, any shape [1] → [1].

    By the logistic approximation 1/(1 + exp(−1.5976·z − 0.07056·z³)), within 2e-4 (Page 1977,
    from memory): the standard library has the error function for single numbers only.
    """
    z = np.clip(z, -6.0, 6.0)
    return np.asarray(1.0 / (1.0 + np.exp(-1.5976 * z - 0.07056 * z**3)))


def _factor(seen: GaugeSeen, one: DialClass) -> float:
    """Return how well scale and terminals agree with a class [1]."""
    factor = 1.0
    if seen.scale is not None:
        low, high = one.ends
        near = 0.02 * (high - low)
        same = abs(seen.scale[0] - low) <= near and abs(seen.scale[1] - high) <= near
        factor *= 1.0 if same else _OTHER_SCALE
    if seen.supply_signal is not None:
        factor *= _winding_factor(seen, seen.supply_signal, _between_supply_and_signal(one.gauge))
    if seen.signal_earth is not None:
        factor *= _earth_factor(seen, seen.signal_earth, one.gauge)
    return factor


def _between_supply_and_signal(gauge: Gauge) -> Figure | None:
    movement = gauge.movement
    if isinstance(movement, HeaterMovement):
        return movement.heater
    if isinstance(movement, CoilMovement):
        return movement.coil
    if isinstance(movement, ElectronicMovement):
        return movement.pull_up
    return movement.supply_coil if isinstance(movement, RatioMovement) else None


def _winding_factor(seen: GaugeSeen, ohm: float, figure: Figure | None) -> float:
    """Return how well ohms between two terminals agree with what a class states, over nothing."""
    if figure is None or math.isinf(ohm):
        return 1.0
    nominal = figure.si(Kind.RESISTANCE)
    stated = figure.tolerance
    wide = ASSUMED_WINDING
    if stated is not None:
        wide = stated.si(nominal, Kind.RESISTANCE) / nominal / _SQRT3
    meter = float(seen.meter.error(np.array([ohm]), Kind.RESISTANCE)[0]) / nominal / _SQRT3
    wide = math.hypot(wide, meter)
    z = math.log(max(ohm, 0.1) / nominal) / wide
    density = math.exp(-0.5 * z * z) / (wide * math.sqrt(2.0 * math.pi))
    return max(density * _DECADES, 1e-3)


def _earth_factor(seen: GaugeSeen, ohm: float, gauge: Gauge) -> float:
    """Return how well signal to earth agrees with a movement (assumed): a ratio one has a coil."""
    movement = gauge.movement
    two_terminals = isinstance(movement, HeaterMovement | CoilMovement)
    if math.isinf(ohm):
        if isinstance(movement, RatioMovement):
            return 0.03
        return 1.0 if two_terminals else 0.5
    if two_terminals:
        return 0.1
    coil = movement.earth_coil if isinstance(movement, RatioMovement) else None
    return _winding_factor(seen, ohm, coil)
