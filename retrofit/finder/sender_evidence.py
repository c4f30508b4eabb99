"""How well each class of sender explains the readings."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from catalog.arrays import Array
from catalog.parts.sender import Sender
from retrofit.finder.class_spread import ASSUMED_TOLERANCE, Spread, spread
from retrofit.finder.evidence import DEVIATIONS, UNLISTED, Evidence, gathered
from retrofit.finder.seen import SenderSeen
from retrofit.finder.slips import slips
from retrofit.finder.unlisted import Readings, broad_density, unlisted_evidence

MISREAD_DIRECTION = 0.02
"""How likely the direction was seen the wrong way round [1] (assumed)."""

_CLEARLY, _BACKWARDS = 0.1, 0.02
"""Share of its end output by which a reading beyond the range of a class contradicts it, and
how likely such a reading is all the same [1] (assumed)."""


def sender_evidence(
    seen: SenderSeen, senders: Sequence[Sender], tolerance: float = ASSUMED_TOLERANCE
) -> Evidence:
    """Return what readings say of classes of senders.

    Parameters
    ----------
    seen : SenderSeen
        The readings.
    senders : sequence of Sender
        K >= 1 classes that give what was read.
    tolerance : float
        Share that is assumed where a class states no tolerance [1].
    """
    gives = seen.gives
    error = seen.meter.error(gives, seen.signal)
    places = [seen.places(sender.quantity) for sender in senders]
    at, within = (np.array([one[i] for one in places]) for i in (0, 1))
    classes = spread(senders, at, within, tolerance)
    broad = broad_density(gives, seen.signal)
    matrix = log_densities(classes, gives, error / 3.0**0.5, broad)
    ways = slips(len(gives))
    factors = np.array([_factor(seen, sender) for sender in senders])
    given = Readings(at[0], within[0], gives, error, seen.quantity, seen.signal, ways)
    along = np.array([_along(sender, at[k]) for k, sender in enumerate(senders)])
    none = unlisted_evidence(given, classes, along) + math.log(UNLISTED)
    if seen.rising is not None:
        none += math.log(0.5)
    return gathered(matrix, broad, classes, ways, factors, none)


def log_densities(classes: Spread, gives: Array, meter: Array, broad: Array) -> Array:
    """Return the log density of every reading at the value of every row.

    Parameters
    ----------
    classes : Spread
        K classes at N values.
    gives, meter : array, shape (n,)
        Readings and the meter's standard deviations [SI]; n = N.
    broad : array, shape (n,)
        Log density where a class says nothing [log of 1/SI].

    Returns
    -------
    array, shape (K, S, Z, n, N)
        [log of 1/SI].
    """
    mean = (
        classes.mean[:, :, None, :] + DEVIATIONS[None, None, :, None] * classes.common[:, :, None]
    )
    variance = classes.own[:, :, None, :] ** 2 + meter[:, None] ** 2
    miss = (gives[:, None] - mean[:, :, :, None, :]) ** 2
    found = -0.5 * (miss / variance[:, :, None] + np.log(2.0 * math.pi * variance)[:, :, None])
    known = classes.known[:, None, None, None, :]
    side, edge = classes.side[:, None], classes.edge[:, None]
    backwards = side * (gives[:, None] - edge) < -_CLEARLY * edge
    beyond = broad[:, None] + np.where(backwards, math.log(_BACKWARDS), 0.0)
    return np.where(known, found, beyond[:, None, None])


def _factor(seen: SenderSeen, sender: Sender) -> float:
    """Return how well direction and thread agree with a class [1]."""
    factor = max(float(seen.thread.get(sender.key, 1.0)), 0.0)
    curve = sender.curve
    if seen.rising is not None and curve is not None:
        same = curve.rising == seen.rising
        factor *= 1.0 - MISREAD_DIRECTION if same else MISREAD_DIRECTION
    return factor


def _along(sender: Sender, at: Array) -> Array:
    """Return where values lie in the range of a class, shape (n,) [SI] → (n,) [1], 0 to 1."""
    curve = sender.curve
    assert curve is not None
    return np.clip((at - curve.low) / (curve.high - curve.low), 0.0, 1.0)
