"""Which single measurement would tell the classes that are left apart best.

The one with the most expected information: how many bits about the class its reading gives on
average, its own error counted (D. V. Lindley, Ann. Math. Statist. 27 (1956) 986).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.finder.class_spread import Spread
from retrofit.finder.evidence import DEVIATIONS

ALIKE = 1.0
"""Distance of two classes, in standard deviations of their difference, that tells nothing."""

_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(15)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()


@dataclass(frozen=True, eq=False)
class Outlook:
    """What classes would give at places where nothing was measured yet.

    Attributes
    ----------
    mean, deviation : array, shape (K, T)
        Expected reading and its standard deviation [unit of the reading], meter included.
    known : array of bool, shape (K, T)
        Whether the class says anything there.
    """

    mean: Array
    deviation: Array
    known: NDArray[np.bool_]

    def taken(self, which: Sequence[int]) -> Outlook:
        """Return some of the classes, chosen by their numbers."""
        rows = list(which)
        return Outlook(self.mean[rows], self.deviation[rows], self.known[rows])


def outlook(classes: Spread, by_state: Array, meter: Array) -> Outlook:
    """Return what classes would give, with all that was learnt of shape and part.

    Parameters
    ----------
    classes : Spread
        K classes at T places.
    by_state : array, shape (K, S, Z)
        Share of each shape and deviation [1].
    meter : array, shape (K, S, T) or what broadcasts to it
        Standard deviation of the measurement itself [unit of the reading].
    """
    common = DEVIATIONS[None, None, :, None] * classes.common[:, :, None, :]
    mean = classes.mean[:, :, None, :] + common
    variance = np.broadcast_to((classes.own**2 + meter**2)[:, :, None, :], mean.shape)
    middle = np.einsum("ksz,kszt->kt", by_state, mean)
    square = np.einsum("ksz,kszt->kt", by_state, variance + mean**2)
    spread = np.sqrt(np.maximum(square - middle**2, 1e-12 * square + 1e-18))
    return Outlook(middle, spread, classes.known)


def information(seen: Outlook, share: Array) -> Array:
    """Return how much a measurement at each place would tell about the class.

    Parameters
    ----------
    seen : Outlook
        K classes at T places.
    share : array, shape (K,)
        How likely each class is [1].

    Returns
    -------
    array, shape (T,)
        [bit]; 0 where some class says nothing, so that nothing can be promised.

    Examples
    --------
    >>> two = Outlook(np.array([[0.0, 0.0], [0.0, 9.0]]), np.ones((2, 2)),
    ...               np.ones((2, 2), dtype=bool))
    >>> information(two, np.array([0.5, 0.5])).round(2)
    array([0., 1.])
    """
    weight = share / share.sum()
    with np.errstate(divide="ignore"):
        log_weight = np.log(weight)
    y = seen.mean[:, :, None] + seen.deviation[:, :, None] * _NODES
    z = (y[None] - seen.mean[:, None, :, None]) / seen.deviation[:, None, :, None]
    each = -0.5 * z**2 - np.log(seen.deviation)[:, None, :, None]
    both = np.log(np.sum(np.exp(each + log_weight[:, None, None, None]), axis=0) + 1e-300)
    own = np.einsum("kktn->ktn", each)
    bits = np.einsum("k,ktn,n->t", weight, own - both, _WEIGHTS) / math.log(2.0)
    return np.where(np.all(seen.known, axis=0), np.maximum(bits, 0.0), 0.0)


def apart(seen: Outlook, one: int) -> Array:
    """Return how far each class is from class `one` at the place that shows it best, shape (K,).

    Returns
    -------
    array, shape (K,)
        [standard deviations of the difference]; below `ALIKE` no measurement tells them apart;
        +inf where they share no place.
    """
    gap = np.abs(seen.mean - seen.mean[one]) / np.hypot(seen.deviation, seen.deviation[one])
    both = seen.known & seen.known[one]
    most = np.max(np.where(both, gap, 0.0), axis=1)
    return np.where(np.any(both, axis=1), most, np.inf)
