"""Some of the senders on their way up the ladder of strains.

On a rung some trim of a sender is within the strain or none is; both are decided exactly. Boxes
of neighbouring values of the resistor that is tried are looked at first, at a few points first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from catalog.arrays import Array
from retrofit.trim.many.contest import Contest
from retrofit.trim.many.families import Bools, Family, Senders
from retrofit.trim.many.levels import Levels
from retrofit.trim.question import Question, objective
from retrofit.trim.ties import no_worse
from retrofit.trim.topologies import Index, Shelf

_WIDTH = 8  # values of the held resistor in one box
_ROWS = 8192  # boxes looked at in one go: they stay in the processor's cache
_TRIMS = 8192  # trims evaluated in one go


@dataclass(frozen=True, eq=False)
class Ground:
    """What all senders have in common.

    Attributes
    ----------
    question : Question
        Points, allowed errors, dial and gauge; its own sender does not matter.
    shelf : Shelf
        The values that resistors come in.
    levels : Levels
        The ladder.
    families : tuple of Family
        The topologies.
    few : list of int
        The points that are looked at first.
    """

    question: Question
    shelf: Shelf
    levels: Levels
    families: tuple[Family, ...]
    few: list[int]


@dataclass(frozen=True, eq=False)
class Boxes:
    """Ranges of held values that may hold something, each of one sender.

    Attributes
    ----------
    sender, low, high : array, shape (M,)
        Which sender, first and last held value.
    """

    sender: Index
    low: Index
    high: Index

    def pick(self, which: Bools | Index | slice) -> Boxes:
        """Return some of the boxes, by their number or a mask of shape (M,) [1]."""
        low = self.low[which]
        high = low if self.low is self.high else self.high[which]
        return Boxes(self.sender[which], low, high)

    def singles(self) -> Boxes:
        """Return the single values of the boxes."""
        count = self.high - self.low + 1
        each = np.repeat(np.arange(len(count)), count)
        starts = np.cumsum(count) - count
        held = self.low[each] + np.arange(len(each)) - starts[each]
        return Boxes(self.sender[each], held, held)

    @staticmethod
    def joined(boxes: list[Boxes]) -> Boxes:
        """Return the boxes of several."""
        names = ("sender", "low", "high")
        return Boxes(*(np.concatenate([getattr(one, name) for one in boxes]) for name in names))

    @staticmethod
    def whole(family: Family, senders: int) -> Boxes:
        """Return all held values of a family for all senders, a few in a box."""
        starts = np.arange(0, family.count, _WIDTH)
        ends = np.minimum(starts + _WIDTH, family.count) - 1
        sender = np.repeat(np.arange(senders), len(starts))
        return Boxes(sender, np.tile(starts, senders), np.tile(ends, senders))


class Climb:
    """Some senders, and between which rungs the best trim of each lies.

    Parameters
    ----------
    ground : Ground
        What they have in common.
    ohms : array, shape (C, N)
        Their ohms at the points [Ω].

    Attributes
    ----------
    low, high : array, shape (C,)
        No trim is within the strain of the lower rung; one is within that of the higher, or it
        is the last.
    """

    def __init__(self, ground: Ground, ohms: Array) -> None:
        self._ground = ground
        self._senders = Senders(np.ascontiguousarray(ohms))
        self._few = self._senders.at(ground.few)
        self.low = np.zeros(len(ohms), dtype=np.intp)
        self.high = np.full(len(ohms), len(ground.levels.strains) - 1)
        self._boxes = [Boxes.whole(each, len(ohms)) for each in ground.families]

    def __len__(self) -> int:
        """Return the number of senders."""
        return len(self.low)

    def step(self, chosen: Bools) -> None:
        """Decide for some senders whether any trim is within the strain midway, (C,) [1]."""
        middle = (self.low + self.high) // 2
        feasible = np.zeros(len(self), dtype=np.bool_)
        kept = []
        for family, boxes in zip(self._ground.families, self._boxes, strict=True):
            left = self._sieved(family, boxes.pick(chosen[boxes.sender]), middle)
            feasible[left.sender] = True
            kept.append(left)
        self.high = np.where(chosen & feasible, middle, self.high)
        self.low = np.where(chosen & ~feasible, middle, self.low)
        self._boxes = [
            Boxes.joined([before.pick(~feasible[before.sender]), left])
            for before, left in zip(self._boxes, kept, strict=True)
        ]

    def solved(self, sender: Index) -> tuple[Index, Array]:
        """Return the best trims of senders of which two neighbouring rungs are known.

        Parameters
        ----------
        sender : array, shape (M,)
            Which.

        Returns
        -------
        array, shape (M, 5), and array, shape (M,)
            Trims, and worst |e|/a [1]; +inf where no trim has a finite one.
        """
        strains, last = self._ground.levels.strains, len(self._ground.levels.strains) - 1
        index = np.tile(self._ground.shelf.none, (len(sender), 1))
        worst, level = np.full(len(sender), np.inf), self.high.copy()
        open_ = np.arange(len(sender))
        while open_.size:
            index[open_], worst[open_] = self._among(sender[open_], level)
            # Trims that tie with the best may lie just above the rung.
            rung = level[sender[open_]]
            above = no_worse(no_worse(worst[open_])) > strains[rung]
            open_ = open_[above & (rung < last)]
            level[sender[open_]] += 1
        return index, worst

    def question(self, sender: Index) -> Question:
        """Return the question of several senders at once: its ohms have shape (M, N)."""
        return replace(self._ground.question, ohms=self._senders.ohms[sender])

    def _sieved(self, family: Family, boxes: Boxes, level: Index) -> Boxes:
        """Return the single held values of a family with which some trim is feasible."""
        wide = boxes.high > boxes.low
        coarse = boxes.pick(wide)
        for near in (True, False):
            coarse = self._left(family, coarse, level, near=near)
        single = Boxes.joined([boxes.pick(~wide), coarse.singles()])
        single = Boxes(single.sender, single.low, single.low)
        for near in (True, False):
            single = self._left(family, single, level, near=near)
        return single

    def _left(self, family: Family, boxes: Boxes, level: Index, *, near: bool) -> Boxes:
        keep = np.ones(len(boxes.sender), dtype=np.bool_)
        for part in _slices(len(keep), _ROWS):
            first, last = self._limits(family, boxes.pick(part), level, near=near)
            keep[part] = first <= last
        return boxes.pick(keep)

    def _limits(
        self, family: Family, boxes: Boxes, level: Index, *, near: bool
    ) -> tuple[Index, Index]:
        senders = self._few if near else self._senders
        asked = family.few if near and family.few is not None else family
        rung = level[boxes.sender]
        return asked.left(senders, rung, boxes.sender, boxes.low, boxes.high)

    def _among(self, sender: Index, level: Index) -> tuple[Index, Array]:
        """Return the best of all trims within the strains of some rungs."""
        place = np.full(len(self), -1)
        place[sender] = np.arange(len(sender))
        contest, count = Contest(len(sender), self._ground.shelf.none), 0
        for family, boxes in zip(self._ground.families, self._boxes, strict=True):
            if family.topology.count != count:
                contest.close_count()
                count = family.topology.count
            mine = self._sieved(family, boxes.pick(place[boxes.sender] >= 0), level)
            trims, who = self._expanded(family, mine, level)
            contest.enter(place[who], trims, self._objective(who, trims))
        return contest.leaders()

    def _expanded(self, family: Family, boxes: Boxes, level: Index) -> tuple[Index, Index]:
        """Return all trims within a strain, shape (M, 5), and their senders, shape (M,)."""
        firsts, lasts = [boxes.sender[:0]], [boxes.sender[:0]]
        for part in _slices(len(boxes.sender), _ROWS):
            first, last = self._limits(family, boxes.pick(part), level, near=False)
            firsts.append(first)
            lasts.append(last)
        rows = np.arange(len(boxes.sender))
        each = Boxes(rows, np.concatenate(firsts), np.concatenate(lasts)).singles()
        trims = family.trims(self._ground.shelf.values, boxes.low[each.sender], each.low)
        return trims, boxes.sender[each.sender]

    def _objective(self, sender: Index, trims: Index) -> Array:
        found = np.empty(len(sender))
        for part in _slices(len(sender), _TRIMS):
            ohms = self._ground.shelf.ohms(trims[part])
            found[part] = objective(self.question(sender[part]), *ohms)
        return found


def _slices(size: int, step: int) -> Iterator[slice]:
    for start in range(0, size, step):
        yield slice(start, start + step)
