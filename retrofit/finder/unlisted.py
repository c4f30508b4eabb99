"""How well a class that no catalogue lists would explain readings: the case 'none of these'.

Nobody knows its ohms. It may be

- a cousin of a listed class: its curve, with both ends moved by some quarter, each by itself;
- some other smooth curve: the one-parameter family of needle laws (``catalog.curves.family``)
  between two free ends for level and pressure, the same on top of the beta formula for
  temperature;
- or no such curve at all: readings that have nothing to do with each other.

Cousins matter most: classes in use lie close together, so a reading that is a little off a
listed class speaks for its unlisted cousin. Each evidence is the likelihood averaged over the
free ends, in closed form.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.curves.family import way
from catalog.curves.formulas import ZERO_CELSIUS
from catalog.parts.fields import QuantityName
from catalog.quantities.kinds import Kind
from retrofit.finder.class_spread import Spread
from retrofit.finder.slips import Slip, log_sum

COUSIN, FAMILY, UNRELATED = 0.5, 0.3, 0.2
"""How likely an unlisted class is each of the three [1] (assumed)."""

COUSIN_SPREAD = 0.25
"""How far the ends of a cousin lie from its class, standard deviation [1] (assumed)."""

_COUSIN_OF_MOST = 0.03
"""The same as a share of the largest output, for tracks that begin near 0 Ω (assumed)."""

IRREGULAR = 0.02
"""How far an unlisted curve strays from the family, standard deviation [1] (assumed)."""

_FAMILY = np.exp(np.linspace(math.log(0.15), math.log(3.0), 13))
_MOST_OHM = 50_000.0
_WIDEST = {Kind.VOLTAGE: 10.0, Kind.CURRENT: 0.03}


def broad_density(gives: Array, signal: Kind) -> Array:
    """Return the log density of a reading of which nothing is known.

    Ohms: as likely in each decade, up to 50 kΩ; volts and amperes: even up to 10 V, 30 mA.

    Parameters
    ----------
    gives : array, shape (n,)
        Readings [SI].
    signal : Kind
        What was read.

    Returns
    -------
    array, shape (n,)
        [log of 1/SI].
    """
    if signal is Kind.RESISTANCE:
        return np.asarray(-np.log((gives + 1.0) * math.log(_MOST_OHM)))
    return np.full_like(gives, -math.log(_WIDEST[signal]))


@dataclass(frozen=True, eq=False)
class Readings:
    """Readings that are weighed.

    Attributes
    ----------
    at, within : array, shape (n,)
        Values [SI] and how far they may be off [SI difference].
    gives, error : array, shape (n,)
        What was read, and how far the meter may be off [SI].
    quantity : str or None
        What the values are; None where nobody knows.
    signal : Kind
        What was read.
    ways : tuple of Slip
        P slips of n readings.
    """

    at: Array
    within: Array
    gives: Array
    error: Array
    quantity: QuantityName | None
    signal: Kind
    ways: tuple[Slip, ...]

    @cached_property
    def broad(self) -> Array:
        """Log density of readings that say nothing, shape (n,) [log of 1/SI]."""
        return broad_density(self.gives, self.signal)

    @cached_property
    def patterns(self) -> tuple[Array, Array, NDArray[np.intp]]:
        """Log prior of each slip, shape (P,), which rows count and whose reading stands in each.

        The latter two of shape (P, n) [1].
        """
        prior = np.array([slip.log_prior for slip in self.ways])
        return prior, *_patterns(self.ways, len(self.gives))


def unlisted_evidence(given: Readings, classes: Spread, along: Array) -> float:
    """Return the log evidence of readings for a class that is not listed.

    Parameters
    ----------
    given : Readings
        n readings.
    classes : Spread
        K listed classes at the values of the readings.
    along : array, shape (K, n)
        Where the values lie in the range of each class, 0 to 1 [1].

    Returns
    -------
    float
        Log evidence, slips counted [log of 1/SI each reading].
    """
    prior = given.patterns[0]
    unrelated = float(given.broad.sum() + log_sum(prior, axis=0))
    kinds = [
        (COUSIN, _cousins(given, classes, along)),
        (FAMILY, _family(given, unrelated)),
        (UNRELATED, unrelated),
    ]
    return float(log_sum(np.array([math.log(often) + log for often, log in kinds]), axis=0))


def _cousins(given: Readings, classes: Spread, along: Array) -> float:
    """Return the log evidence for a cousin of some class, all classes alike."""
    prior, keep, order = given.patterns
    most = np.max(np.abs(classes.mean), axis=2, keepdims=True)
    moved = COUSIN_SPREAD * classes.mean + _COUSIN_OF_MOST * most
    low, high = moved * (1.0 - along[:, None, :]), moved * along[:, None, :]
    meter = given.error / 3.0**0.5
    terms = []
    for p, log_prior in enumerate(prior):
        # Slips one by one: all at once would fill the memory for long tables.
        counts = keep[p] * classes.known[:, None, :]
        variance = classes.own**2 + meter[order[p]] ** 2
        log = _gaussian(given.gives[order[p]] - classes.mean, variance, counts, (low, high))
        rest = np.sum((1.0 - counts) * given.broad[order[p]], axis=2)
        terms.append(log + rest + log_prior)
    with np.errstate(divide="ignore"):
        shapes = np.log(classes.weight / len(classes.weight))
    return float(log_sum(np.array(terms) + shapes, axis=(0, 1, 2)))


def _gaussian(miss: Array, variance: Array, counts: Array, free: tuple[Array, Array]) -> Array:
    """Return log N(miss; 0, diag(variance) + Σ free·freeᵀ) over the last axis, rows that count.

    By the matrix determinant lemma and Woodbury's identity for two free directions.
    """
    weight = counts / variance
    low, high = free
    ll, lh = np.sum(weight * low * low, axis=-1), np.sum(weight * low * high, axis=-1)
    hh = np.sum(weight * high * high, axis=-1)
    ly, hy = np.sum(weight * miss * low, axis=-1), np.sum(weight * miss * high, axis=-1)
    # At least 1; the difference of the two products is never below 0 but for rounding.
    det = 1.0 + ll + hh + np.maximum(ll * hh - lh * lh, 0.0)
    gained = ((1.0 + hh) * ly * ly - 2.0 * lh * ly * hy + (1.0 + ll) * hy * hy) / det
    square = np.maximum(np.sum(weight * miss * miss, axis=-1) - gained, 0.0)
    norm = np.sum(counts * np.log(2.0 * math.pi * variance), axis=-1) + np.log(det)
    return np.asarray(-0.5 * (square + norm))


def _family(given: Readings, unrelated: float) -> float:
    """Return the log evidence for a smooth curve between free ends."""
    if given.quantity is None or len(np.unique(given.at)) < 3:
        return unrelated
    prior, keep, order = given.patterns
    log = given.quantity == "temperature" and bool(np.all(given.gives > 0.0))
    y, sigma, ends, jacobian = _measured(given, log=log)
    s = way(_abscissa(given.at, log=log)[None, :], _FAMILY[:, None])  # type: ignore[arg-type]
    curves = _curve_evidence(s, y[order], sigma[order], keep, ends)
    curves += np.sum(keep * jacobian[order] + (1.0 - keep) * given.broad[order], axis=1)
    few = np.sum(keep, axis=1) < 3
    return float(log_sum(np.where(few, given.broad.sum(), curves) + prior, axis=0))


def _patterns(ways: tuple[Slip, ...], count: int) -> tuple[Array, NDArray[np.intp]]:
    """Return which rows count, and whose reading stands in each, under each slip: (P, n)."""
    keep = np.ones((len(ways), count))
    order = np.tile(np.arange(count), (len(ways), 1))
    for p, slip in enumerate(ways):
        keep[p, list(slip.wrong)] = 0.0
        if slip.swapped is not None:
            i, j = slip.swapped
            order[p, [i, j]] = [j, i]
    return keep, order


def _abscissa(at: Array, *, log: bool) -> Array:
    """Return how far along each reading stands, 0 to 1: in 1/T for thermistors."""
    along = -1.0 / (at + ZERO_CELSIUS) if log else at
    low, high = float(along.min()), float(along.max())
    return np.asarray((along - low) / (high - low))


def _measured(given: Readings, *, log: bool) -> tuple[Array, Array, float, Array]:
    """Return readings as they are fitted, their deviations, the room for an end, the Jacobian."""
    gives, error = given.gives, given.error
    steep = float(np.ptp(np.log(gives) if log else gives) / np.ptp(given.at))
    irregular = IRREGULAR * (gives + (0.0 if log else 0.5 * float(np.max(gives))))
    sigma = np.sqrt(error**2 / 3.0 + irregular**2)
    if log:
        sigma = sigma / gives
    sigma = np.hypot(sigma, steep * given.within / 3.0**0.5)
    if log:
        return np.log(gives), sigma, math.log(_MOST_OHM), -np.log(gives)
    return gives, sigma, math.nan, np.zeros_like(gives)


def _curve_evidence(s: Array, y: Array, sigma: Array, keep: Array, room: float) -> Array:
    """Return the log evidence of y = a·(1−s) + b·s, averaged over a, b and the family, (P,).

    The ends are even in the logarithm: density 1/`room` of ln R, or 1/((R + 1)·ln 50 kΩ) of R
    where `room` is NaN.
    """
    weight = keep / sigma**2
    low, high = 1.0 - s, s
    aa = np.einsum("pn,qn,qn->pq", weight, low, low)
    ab = np.einsum("pn,qn,qn->pq", weight, low, high)
    bb = np.einsum("pn,qn,qn->pq", weight, high, high)
    ay = np.einsum("pn,qn->pq", weight * y, low)
    by = np.einsum("pn,qn->pq", weight * y, high)
    det = np.maximum(aa * bb - ab**2, 1e-300)
    a, b = (bb * ay - ab * by) / det, (aa * by - ab * ay) / det
    miss = np.einsum("pn,pn->p", weight, y**2)[:, None] - a * ay - b * by
    norm = np.sum(keep * np.log(sigma * math.sqrt(2.0 * math.pi)), axis=1)[:, None]
    if math.isnan(room):
        ends = -np.log((np.abs(a) + 1.0) * (np.abs(b) + 1.0) * math.log(_MOST_OHM) ** 2)
    else:
        ends = np.full_like(a, -2.0 * math.log(room))
    found = ends + math.log(2.0 * math.pi) - 0.5 * np.log(det) - 0.5 * miss - norm
    return log_sum(found - math.log(s.shape[0]), axis=1)
