"""Trims of up to two resistors as one that is tried and one that is solved for.

The one that is solved for adds to something: in series to ohms, across the sender to its
conductance. So for each value of the other what is left for it is an interval, from the limits
of the path, and whether a value lies in it is exact.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.many.levels import Levels, behind, conductances
from retrofit.trim.topologies import SERIES, Index, Topology, topologies

Bools = NDArray[np.bool_]

_FEW = 5  # points looked at first; they settle most at a quarter of the cost

_SHORT = 1e-300  # Ω in the place of none, whose conductance would be endless


@dataclass(frozen=True, eq=False)
class Senders:
    """The senders, each at the points of the question.

    Attributes
    ----------
    ohms : array, shape (C, N)
        [Ω], 0 or more.
    """

    ohms: Array

    @cached_property
    def siemens(self) -> Array:
        """Conductances, shape (C, N) [S], finite."""
        return np.asarray(1.0 / np.maximum(self.ohms, _SHORT))

    def at(self, points: list[int]) -> Senders:
        """Return the senders at some of the points."""
        return Senders(np.ascontiguousarray(self.ohms[:, points]))


def few_points(points: int) -> list[int]:
    """Return which of the points are looked at first.

    Examples
    --------
    >>> few_points(21)
    [0, 5, 10, 15, 20]
    """
    return sorted({round(each) for each in np.linspace(0, points - 1, _FEW).tolist()})


_COLUMNS: dict[str, tuple[int | None, int | None]] = {
    "": (None, None),
    "s": (None, 1),
    "p": (None, 0),
    "u": (4, None),
    "ps": (0, 1),
    "sq": (2, 1),
    "su": (4, 1),
    "pu": (4, 0),
}
"""Of each topology the column that is tried and the one that is solved for."""

_NAMES = {0: "p", 1: "s", 2: "q", 4: "u"}


@dataclass(frozen=True, eq=False)
class Family:
    """One topology.

    Attributes
    ----------
    topology : Topology
        Which places hold a resistor.
    held : int or None
        Column of the place that is tried.
    solved : int or None
        Column of the place that is solved for.
    count : int
        H, number of values tried at the held place [1]; 1 where there is none.
    addends : array, shape (n,)
        What the solved place can add, increasing [Ω], or [S] across the sender; one 0 where
        there is none.
    across : array, shape (H,) or None
        Conductances of the held resistor where it lies across the sender [S].
    least, most : array, shape (L, H, N)
        Limits of sender and addend together, at each rung of strain [Ω or S].
    few : Family or None
        The same at a few of the points.
    """

    topology: Topology
    held: int | None
    solved: int | None
    count: int
    addends: Array
    across: Array | None
    least: Array
    most: Array
    few: Family | None = None

    @property
    def by_conductance(self) -> bool:
        """Whether the solved resistor lies across the sender."""
        return self.solved == 0

    def base(self, senders: Senders, sender: Index, held: Index) -> Array:
        """Return what the solved resistor adds to, shape (M,), (M,) → (M, N) [Ω or S]."""
        if self.by_conductance:
            return senders.siemens[sender]
        if self.across is None:
            return senders.ohms[sender]
        return np.asarray(1.0 / (senders.siemens[sender] + self.across[held][:, None]))

    def left(
        self, senders: Senders, level: Index, sender: Index, low: Index, high: Index
    ) -> tuple[Index, Index]:
        """Return which addends keep every point within a strain, shape (M,) each → (M,), (M,).

        Parameters
        ----------
        senders : Senders
            The senders.
        level : array, shape (M,)
            Rungs of strain.
        sender : array, shape (M,)
            Which sender.
        low, high : array, shape (M,)
            First and last held value; between them some may do where the answer says so, and
            where both are one the answer is exact.

        Returns
        -------
        tuple of two arrays, shape (M,)
            First and last addend; the first is the larger where none does.
        """
        least, most = self.least[level, low], self.most[level, low]
        rises = falls = self.base(senders, sender, low)
        if low is not high:
            least = np.minimum(least, self.least[level, high])
            most = np.maximum(most, self.most[level, high])
            if self.across is not None:
                rises = self.base(senders, sender, high)
        first = np.searchsorted(self.addends, np.max(least - rises, axis=1), side="left")
        last = np.searchsorted(self.addends, np.min(most - falls, axis=1), side="right") - 1
        return first, last

    def trims(self, values: Array, held: Index, addend: Index) -> Index:
        """Return trims as indices [1] at the five places, shape (M,), (M,) → (M, 5).

        The indices are those of ``retrofit.trim.topologies.Shelf``.
        """
        size = len(values)
        found = np.empty((len(held), 5), dtype=np.intp)
        found[:] = [0 if c in SERIES else size for c in range(5)]
        if self.held is not None:
            found[:, self.held] = held
        if self.solved is not None:
            # Across the sender the largest ohms add the least.
            found[:, self.solved] = size - 1 - addend if self.by_conductance else addend + 1
        return found


def families(
    levels: Levels, values: Array, earth: float, most: Literal[0, 1, 2], *, pull_up: bool
) -> tuple[Family, ...]:
    """Return all topologies of up to two resistors, in the order of `topologies`.

    Parameters
    ----------
    levels : Levels
        The ladder of strains.
    values : array, shape (n,)
        Ohms that resistors come in [Ω], increasing.
    earth : float
        Ohms in the sender's earth path [Ω].
    most : int
        Largest number of resistors [1], 0 to 2.
    pull_up : bool
        Whether a pull-up may be proposed.
    """
    few = few_points(len(levels.top0[0]))
    kinds = [one for one in topologies(2, pull_up=pull_up) if one.count <= most]
    return tuple(_family(kind, levels, values, earth, few) for kind in kinds)


def _family(kind: Topology, levels: Levels, values: Array, earth: float, few: list[int]) -> Family:
    held, solved = _COLUMNS["".join(_NAMES[column] for column in kind.columns)]
    pull = 1.0 / values if held == 4 else np.zeros(1)
    least, most = levels.path(pull)
    if held == 2:
        least, most = behind(least, most, values[None, :, None])
    least, most = least - earth, most - earth
    if solved == 0:
        least, most = conductances(least, most)
    count = 1 if held is None else len(values)
    shape = (len(levels.strains), count, least.shape[2])
    addends: dict[int | None, Callable[[], Array]] = {
        None: lambda: np.zeros(1),
        0: lambda: 1.0 / values[::-1],
        1: lambda: values,
    }
    common = (kind, held, solved, count, addends[solved]())
    across = 1.0 / values if held == 0 else None
    near = Family(*common, across, *_at((least, most), few, (*shape[:2], len(few))))
    return Family(*common, across, *_at((least, most), None, shape), few=near)


def _at(
    limits: tuple[Array, Array], points: list[int] | None, shape: tuple[int, ...]
) -> tuple[Array, Array]:
    least, most = (each if points is None else each[:, :, points] for each in limits)
    return np.broadcast_to(least, shape), np.broadcast_to(most, shape)
