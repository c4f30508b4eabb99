"""Which ohms keep the needle within a strain at each point, and what the path has to conduct.

Found from the dial's own value: its inverse is only a guess, taken where the value confirms it,
and bisection decides elsewhere; so nothing but the dial's monotony is relied on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.question import Question

_SMALLEST, _LARGEST = 1e-9, 1e12  # Ω above the apparent resistance of a sender shorted to earth
_HALVINGS = 46  # leave 7e-13 of the ohms
_NEAR = 1e-11  # share of the ohms by which the dial's inverse may be off and is still taken
_ANY = 1e300  # a strain that every finite reading keeps

Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Windows:
    """What the path from the signal terminal to earth has to conduct, for F strains.

    At a pull-up of conductance g the conductance Y of the path has to lie in
    ``floor0 + floor1·g ≤ Y ≤ top0 + top1·g``.

    Attributes
    ----------
    top0, top1, floor0, floor1 : array, shape (F, N)
        [S] and [1]; a top below 0 or an infinite floor can't be met, an infinite top and a
        floor of 0 or less are no limits.
    """

    top0: Array
    top1: Array
    floor0: Array
    floor1: Array

    def at(self, points: list[int]) -> Windows:
        """Return the windows of some of the points."""
        fields = (self.top0, self.top1, self.floor0, self.floor1)
        return Windows(*(field[:, points] for field in fields))


def windows(question: Question, strain: Array) -> Windows:
    """Return what the path has to conduct for the strain at every point to be at most `strain`.

    Parameters
    ----------
    question : Question
        The question, N points.
    strain : array, shape (F,)
        Strains z [1]; at +inf every finite reading within the limits of flattery counts.

    Returns
    -------
    Windows
        Of shape (F, N), rounded outward.
    """
    a0, a1, b, c0, c1, d = question.node.law
    edges = _Edges(question, np.minimum(strain, _ANY), b / d)
    above = edges.ohms()
    with np.errstate(divide="ignore", invalid="ignore"):
        # (A·P + B)/(C·P + D) = base + above, solved for 1/P.
        fixed = (a0 - (edges.base + above) * c0) / (d * above)
        by_pull = (a1 - (edges.base + above) * c1) / (d * above)
    (short_ok, short_end), (long_ok, long_end) = edges.at_nothing, edges.at_open
    top0 = np.where(short_ok, np.inf, np.where(long_ok, fixed[0], -np.inf))
    top1 = np.where(short_ok | ~long_ok, 0.0, by_pull[0])
    floor0 = np.where(long_end, -np.inf, np.where(short_end, fixed[1], np.inf))
    floor1 = np.where(long_end | ~short_end, 0.0, by_pull[1])
    return Windows(top0, top1, floor0, floor1)


class _Edges:
    """Where ohms become enough (row 0) and where they become too many (row 1), each (F, N)."""

    def __init__(self, question: Question, goal: Array, base: float) -> None:
        self.question, self.goal, self.base = question, goal, base
        self.shape = (2, len(goal), len(question.x))
        every = np.indices(self.shape).reshape(3, -1)
        self.at_nothing = self._kept(every, np.zeros(every.shape[1])).reshape(self.shape)
        self.at_open = self._kept(every, np.full(every.shape[1], np.inf)).reshape(self.shape)

    def _kept(self, which: NDArray[np.intp], above: Array) -> Bools:
        """Return whether ohms are enough, or few enough, shape (3, K), (K,) [Ω] → (K,)."""
        row, part, point = which
        question, most = self.question, self._most()
        error = question.dial.value(self.base + above) - question.x[point]
        strain = self._way(row) * error / question.allowed[point]
        return np.asarray(strain <= np.minimum(self.goal[part], most[row, point]))

    def _way(self, row: NDArray[np.intp]) -> Array:
        """Return +1 where the row limits the error to the high side, −1 to the low side."""
        return np.where((row == 1) == self.question.dial.rising, 1.0, -1.0)

    def _most(self) -> Array:
        """Return the limits of flattery that each row has to keep, shape (2, N)."""
        high, low = self.question.limits
        return np.stack([low, high] if self.question.dial.rising else [high, low])

    def ohms(self) -> Array:
        """Return the edges [Ω above base], shape (2, F, N), rounded outward."""
        found = np.full(self.shape, np.nan)
        moving = self.at_nothing != self.at_open
        which = np.array(np.nonzero(moving))
        near, sure = self._guessed(which)
        far = which[:, ~sure]
        near[~sure] = self._bisected(far) if far.size else near[~sure]
        found[tuple(which)] = near
        return found

    def _guessed(self, which: NDArray[np.intp]) -> tuple[Array, Bools]:
        """Return the edges by the dial's inverse, and whether its value confirms them."""
        row, part, point = which
        question = self.question
        strain = np.minimum(self.goal[part], self._most()[row, point])
        with np.errstate(all="ignore"):
            wanted = question.x[point] + self._way(row) * strain * question.allowed[point]
            above = question.dial.output(wanted) - self.base
            inner = above * np.where(row == 0, 1.0 + _NEAR, 1.0 - _NEAR)
            outer = above * np.where(row == 0, 1.0 - _NEAR, 1.0 + _NEAR)
            sure = (above > _SMALLEST) & (above < _LARGEST) & (strain < _ANY)
        sure[sure] = self._kept(which[:, sure], inner[sure])
        sure[sure] = ~self._kept(which[:, sure], outer[sure])
        return outer, sure

    def _bisected(self, which: NDArray[np.intp]) -> Array:
        low = np.full(which.shape[1], np.log(_SMALLEST))
        high = np.full_like(low, np.log(_LARGEST))
        first = which[0] == 0
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            # Row 0 begins to hold as the ohms rise, row 1 ceases to.
            left = self._kept(which, np.exp(middle)) == first
            low, high = np.where(left, low, middle), np.where(left, middle, high)
        return np.exp(np.where(first, low, high))
