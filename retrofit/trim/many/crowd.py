"""The exact best trim of each of many senders before one gauge, and proven bounds on the way.

All senders climb one ladder of strains by bisection (``climb``). Who is proven worse than the
last rank that is wanted stays where it is: its lower rung is its bound. Between the last two
rungs only a few trims are left, and those are evaluated one by one.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from catalog.arrays import Array
from retrofit.trim.answer import Trim
from retrofit.trim.many.climb import Climb, Ground
from retrofit.trim.many.families import families, few_points
from retrofit.trim.many.levels import Levels
from retrofit.trim.question import Question, objective, shown
from retrofit.trim.search import Watch
from retrofit.trim.topologies import Index, Shelf

_PORTION = 2048  # senders that climb together: their boxes stay small
_SHARE = 256  # senders solved between two looks at whether to go on


@dataclass(frozen=True, eq=False)
class Solved:
    """The best trims of some senders.

    Attributes
    ----------
    sender : array, shape (M,)
        Which senders.
    index : array, shape (M, 5)
        Their trims; meaningless where the objective is infinite.
    worst : array, shape (M,)
        Worst |e|/a over the points [1]; +inf where no trim has a finite one.
    shown : array, shape (M, N)
        What the needle shows with them [SI], stops ignored.
    """

    sender: Index
    index: Index
    worst: Array
    shown: Array

    def pick(self, which: Index) -> Solved:
        """Return some of them, by their number, shape (K,)."""
        return Solved(self.sender[which], self.index[which], self.worst[which], self.shown[which])


class Crowd:
    """Many senders before one gauge, and what is known of the best trim of each.

    Parameters
    ----------
    question : Question
        What is allowed where, the dial and the gauge; its own sender does not matter.
    ohms : array, shape (C, N)
        Ohms of the senders at its points [Ω], finite, 0 or more.
    values : array, shape (n,)
        Ohms that resistors come in [Ω], > 0, strictly increasing.
    most : int
        Largest number of resistors [1], 0 to 2.
    pull_up : bool
        Whether a pull-up may be proposed; it is only where the gauge's source is known.

    Raises
    ------
    UserError
        ``trim.no_values`` or ``trim.bad_values``.

    Notes
    -----
    Never beaten and never missed by one search a sender: ``tests/trim/test_many.py``.

    Examples
    --------
    >>> from catalog.curves.interpolated import Interpolated
    >>> from retrofit.trim.signal_node import SignalNode
    >>> dial, x = Interpolated(((0.0, 73.0), (1.0, 10.0))), np.linspace(0.0, 1.0, 21)
    >>> ohms = np.array([73.0 - 63.0 * x, 88.0 - 80.0 * x])
    >>> asked = Question(x, ohms[0], np.full(21, 0.05), dial, SignalNode.path_only())
    >>> crowd = Crowd(asked, ohms, np.array([1.0, 360.0, 430.0]), 2, pull_up=False)
    >>> found = crowd.first(2)
    >>> [crowd.trim(index).resistors for index in found.index]
    [(), (('series at sender', 1.0), ('signal to earth', 360.0))]
    >>> found.worst.round(2)
    array([0.  , 0.52])
    """

    def __init__(
        self,
        question: Question,
        ohms: Array,
        values: Array,
        most: Literal[0, 1, 2],
        *,
        pull_up: bool,
    ) -> None:
        levels, shelf = Levels.of(question), Shelf(values)
        pull_up = pull_up and question.node.pull_up
        kinds = families(levels, values, question.earth, most, pull_up=pull_up)
        self._take(Ground(question, shelf, levels, kinds, few_points(len(question.x))), ohms)

    def _take(self, ground: Ground, ohms: Array) -> None:
        self._ground, self._ohms = ground, ohms
        self._levels, self._shelf = ground.levels, ground.shelf
        self._portions = [
            Climb(ground, ohms[start : start + _PORTION]) for start in range(0, len(ohms), _PORTION)
        ]

    def among(self, sender: Index, most: int) -> Crowd:
        """Return some of the senders, shape (M,), with at most so many resistors."""
        few = tuple(each for each in self._ground.families if each.topology.count <= most)
        crowd = Crowd.__new__(Crowd)
        crowd._take(replace(self._ground, families=few), self._ohms[sender])
        return crowd

    def __len__(self) -> int:
        """Return the number of senders."""
        return sum(len(portion) for portion in self._portions)

    @property
    def bounds(self) -> Array:
        """What no trim of each sender can beat, as far as it is proven, shape (C,) [1]."""
        low = np.concatenate([np.zeros(0, dtype=np.intp), *(each.low for each in self._portions)])
        return np.asarray(np.maximum(self._levels.strains[low], 0.0))

    def trim(self, index: Index) -> Trim:
        """Return a trim from its indices at the five places, shape (5,) [1]."""
        p, s1, q, s2, u = (float(ohm) for ohm in self._shelf.ohms(index))
        return Trim((p, s1, q, s2, u))

    def counts(self, found: Solved) -> Index:
        """Return how many resistors each trim has, shape (M,) [1]."""
        return np.asarray(np.sum(found.index != self._shelf.none, axis=1))

    def everyone(self, watch: Watch | None = None) -> Solved:
        """Return the best trims of all senders, in their order."""
        found = self.first(len(self), watch)
        return found.pick(np.argsort(found.sender))

    def spread(self, found: Solved, tolerance: float) -> Array:
        """Return the worst objective with each resistor within its tolerance, shape (M,) [1].

        As ``retrofit.trim.answer.spread``: the worst lies where all are at their ends.

        Parameters
        ----------
        found : Solved
            M trims.
        tolerance : float
            As a share of their ohms [1], 0 … below 1.
        """
        there = found.index != self._shelf.none
        which = np.where(there, np.cumsum(there, axis=1), 0)
        ohms, worst = self._shelf.ohms(found.index), found.worst
        asked = replace(self._ground.question, ohms=self._ohms[found.sender])
        for signs in itertools.product((-1.0, 1.0), repeat=2):
            share = 1.0 + tolerance * np.array([0.0, *signs])[which]
            places = (ohm * share[:, place] for place, ohm in enumerate(ohms))
            worst = np.maximum(worst, objective(asked, *places))
        return np.asarray(worst)

    def first(self, wanted: int, watch: Watch | None = None) -> Solved:
        """Return the best trims of the senders that come first, and bound all others.

        Parameters
        ----------
        wanted : int
            How many ranks have to be proven [1].
        watch : Watch, optional
            How the caller follows it.

        Returns
        -------
        Solved
            At least so many senders (all, where there are no more), best first: no other has
            a bound below the objective of the last one wanted.
        """
        watch, wanted = watch or Watch(), min(wanted, len(self))
        climbing = wanted > 0
        while climbing:
            edge = self._edge(wanted)
            climbing = False
            for portion in self._portions:
                watch.check()
                open_ = (portion.low < edge) & (portion.high - portion.low > 1)
                if np.any(open_):
                    portion.step(open_)
                    climbing = True
        edge = self._edge(wanted) if wanted else 0
        picked = [np.flatnonzero(portion.low < edge) for portion in self._portions]
        found = self._solved(picked, watch)
        return found.pick(np.lexsort((found.sender, found.worst)))

    def _edge(self, wanted: int) -> int:
        """Return the rung that so many senders are known to keep below."""
        high = np.concatenate([portion.high for portion in self._portions])
        return int(np.partition(high, wanted - 1)[wanted - 1])

    def rest(self, known: Index, watch: Watch | None = None) -> Iterator[Solved]:
        """Give the best trims of all senders that are not known yet, some hundreds at a time.

        Parameters
        ----------
        known : array, shape (M,)
            Senders to leave out.
        watch : Watch, optional
            How the caller follows it.
        """
        watch = watch or Watch()
        wanted = np.ones(len(self), dtype=np.bool_)
        wanted[known] = False
        start = 0
        for n, portion in enumerate(self._portions):
            mine = wanted[start : start + len(portion)]
            start += len(portion)
            while np.any(open_ := mine & (portion.high - portion.low > 1)):
                watch.check()
                portion.step(open_)
            rows = np.flatnonzero(mine)
            for first in range(0, len(rows), _SHARE):
                picked = [rows[:0]] * len(self._portions)
                picked[n] = rows[first : first + _SHARE]
                yield self._solved(picked, watch)

    def _solved(self, picked: list[Index], watch: Watch) -> Solved:
        """Return the best trims of some senders of each portion."""
        sender, index, worst, values, start = [], [], [], [], 0
        for portion, rows in zip(self._portions, picked, strict=True):
            for first in range(0, len(rows), _SHARE):
                watch.check()
                some = rows[first : first + _SHARE]
                trims, found = portion.solved(some)
                sender.append(some + start)
                index.append(trims)
                worst.append(found)
                values.append(shown(portion.question(some), *self._shelf.ohms(trims)))
            start += len(portion)
        if not sender:
            none = np.zeros(0, dtype=np.intp)
            points = len(self._levels.top0[0])
            return Solved(none, np.zeros((0, 5), np.intp), np.zeros(0), np.zeros((0, points)))
        return Solved(
            np.concatenate(sender),
            np.concatenate(index),
            np.concatenate(worst),
            np.concatenate(values),
        )
