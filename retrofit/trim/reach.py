"""Which resistor in series at the sender can keep every point within a strain, for whole boxes.

What a box of the other resistors leaves for the one at the sender follows in closed form from
the two corners of the box, since the path rises with each of its resistors (Rayleigh). All
limits are rounded outward.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.question import Question
from retrofit.trim.windows import Windows

_ROUNDING = 1e-14  # share by which every limit is widened
_ENDLESS = 1e300  # Ω that no path reaches


@dataclass(frozen=True, eq=False)
class Boxes:
    """Boxes of resistors other than the one in series at the sender.

    Attributes
    ----------
    part : array, shape (M,)
        Row of the windows that each box has to meet.
    low, high : tuple of four arrays, shape (M,)
        Least and largest ohms [Ω] across the sender, from signal to earth, in series at the
        gauge, and of the pull-up.
    """

    part: NDArray[np.intp]
    low: tuple[Array, Array, Array, Array]
    high: tuple[Array, Array, Array, Array]


def reach(question: Question, ohms: Array, found: Windows, boxes: Boxes) -> tuple[Array, Array]:
    """Return between which ohms the resistor in series at the sender has to lie.

    Parameters
    ----------
    question : Question
        The question.
    ohms : array, shape (n,)
        Ohms of the sender at the points that are asked for [Ω].
    found : Windows
        Windows at those points, shape (F, n).
    boxes : Boxes
        M boxes.

    Returns
    -------
    tuple of two arrays, shape (M,)
        Least and most [Ω]: with less no trim of the box has enough ohms at every point, with
        more none has few enough; ±inf where that is so with any.
    """
    p0, q0, s0, u0 = (each[:, None] for each in boxes.low)
    p1, q1, s1, u1 = (each[:, None] for each in boxes.high)
    with np.errstate(divide="ignore", over="ignore"):
        weak, strong, sender = 1.0 / u1, 1.0 / u0, 1.0 / ohms
        slope = found.top1[boxes.part]
        top = found.top0[boxes.part] + np.maximum(slope * weak, slope * strong)
        inner = _inner(top, s1, q1, _ROUNDING)
        least = inner - question.earth - (1.0 + _ROUNDING) / (sender + 1.0 / p1)
        slope = found.floor1[boxes.part]
        floor = found.floor0[boxes.part] + np.minimum(slope * weak, slope * strong)
        inner = _inner(floor, s0, q0, -_ROUNDING)
        most = inner - question.earth - (1.0 - _ROUNDING) / (sender + 1.0 / p0)
        most = np.where(floor == np.inf, -np.inf, most)
    return np.max(least, axis=1), np.min(most, axis=1)


def _inner(conducts: Array, at_gauge: Array, to_earth: Array, rounding: float) -> Array:
    """Return the ohms behind the signal-to-earth resistor that make the path conduct so much."""
    path = np.where(conducts > 0.0, np.minimum(1.0 / conducts, _ENDLESS), _ENDLESS)
    behind = path * (1.0 - rounding) - at_gauge * (1.0 + rounding)
    left = np.where(behind > 0.0, (1.0 + rounding) / behind, np.inf) - (1.0 - rounding) / to_earth
    return np.where(left > 0.0, (1.0 - rounding) / left, np.inf)
