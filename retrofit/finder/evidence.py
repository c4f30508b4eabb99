"""What readings say of classes: Bayes over shape, deviation of the part, and slip of the bench."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from retrofit.finder.class_spread import Spread
from retrofit.finder.slips import Slip, log_sum, weighed

DEVIATIONS = np.linspace(-2.4, 2.4, 7)
"""Deviations that a part's readings have in common, at which it is tried [standard ones]."""

_DEVIATION_LOG = -0.5 * DEVIATIONS**2 - math.log(float(np.sum(np.exp(-0.5 * DEVIATIONS**2))))

UNLISTED = 0.2
"""How likely a part is of a class that no catalogue lists, before any reading [1] (assumed)."""


@dataclass(frozen=True, eq=False)
class Evidence:
    """What readings say of K classes.

    Attributes
    ----------
    log : array, shape (K,)
        Log posterior of each class, up to a constant that `unlisted` shares.
    unlisted : float
        The same for a class that is not listed.
    by_slip : array, shape (K, P)
        Share of each slip within each class [1].
    by_state : array, shape (K, S, Z)
        Share of each shape and deviation within each class [1].
    ways : tuple of Slip
        The P slips.
    spread : Spread
        What the classes give at the values of the readings.
    """

    log: Array
    unlisted: float
    by_slip: Array
    by_state: Array
    ways: tuple[Slip, ...]
    spread: Spread

    @property
    def share(self) -> Array:
        """Posterior of each class, shape (K,) [1]; what is missing to 1 is 'none of these'."""
        total = float(log_sum(np.append(self.log, self.unlisted), axis=0))
        return np.asarray(np.exp(self.log - total))


def gathered(
    matrix: Array,
    broad: Array,
    classes: Spread,
    ways: tuple[Slip, ...],
    factors: Array,
    unlisted: float,
) -> Evidence:
    """Return the evidence of a matrix of log densities.

    Parameters
    ----------
    matrix : array, shape (K, S, Z, n, n)
        Log density of reading i at the value of row j [log of 1/unit].
    broad : array, shape (n,)
        Log density of a reading that says nothing [log of 1/unit].
    classes : Spread
        The classes, for the weights of their shapes.
    ways : tuple of Slip
        P slips.
    factors : array, shape (K,)
        What else speaks for each class [1], > 0.
    unlisted : float
        Log evidence of a class that is not listed, its prior included.
    """
    with np.errstate(divide="ignore"):
        shapes = np.log(classes.weight)
        known = np.log(factors)
    states = weighed(matrix, broad, ways)
    states += shapes[:, :, None, None] + _DEVIATION_LOG[None, None, :, None]
    log = log_sum(states, axis=(1, 2, 3))
    by_slip = np.exp(log_sum(states, axis=(1, 2)) - log[:, None])
    by_state = np.exp(log_sum(states, axis=3) - log[:, None, None])
    log = log + known + math.log((1.0 - UNLISTED) / len(log))
    return Evidence(log, unlisted, by_slip, by_state, ways, classes)
