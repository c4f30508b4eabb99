"""The certificate of a search: for each discarded part of the space a bound that anyone can check.

A leaf is a box of indices with one split of the values in series at the sender: below the split
some point has too few ohms even at the upper corner of the box, from it on some point has too
many even at the lower corner. Since the needle moves one way with each resistor, nothing in the
leaf has a smaller objective than the bound. The leaves of a topology tile all its trims.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.errors import BugError
from retrofit.trim.answer import Trim
from retrofit.trim.boxes import Batch, Space, halves, index_of
from retrofit.trim.question import Question, objective, shown, strains
from retrofit.trim.search import Watch
from retrofit.trim.topologies import Index, Part, Shelf, Topology

_GAPS = (1e-9, 1e-3, 1e-2, 0.05, 0.2, 0.5)
"""Shares by which a bound may lie below the winner, the least that needs few enough leaves."""

_CHUNK = 4096


@dataclass(frozen=True, eq=False)
class Leaves:
    """The discarded boxes of one topology.

    Attributes
    ----------
    places : tuple of str
        Places that hold a resistor.
    low, high : array, shape (M, 4)
        First and last index across the sender, from signal to earth, in series at the gauge and
        of the pull-up; see `Certificate`.
    split : array, shape (M,)
        Index in series at the sender from which there are too many ohms.
    bound : array, shape (M,)
        No trim of the leaf has a smaller objective [1].
    """

    places: tuple[str, ...]
    low: Index
    high: Index
    split: Index
    bound: Array


@dataclass(frozen=True, eq=False)
class Certificate:
    """Proof that no trim of some topologies beats the winner by more than a gap.

    Indices count the values from 0 across the sender, from signal to earth and for the pull-up,
    where `len(values)` is no resistor; in series they count from 1, where 0 is none.

    Attributes
    ----------
    values : array, shape (n,)
        Ohms that resistors come in [Ω].
    winner : Trim
        The winner.
    worst : float
        Its objective [1].
    gap : float
        Share of `worst` by which the bounds may lie below it [1]: 1e-9 unless the proof would
        need more leaves than were allowed.
    topologies : tuple of Leaves
        One for each topology.
    """

    values: Array
    winner: Trim
    worst: float
    gap: float
    topologies: tuple[Leaves, ...]

    @property
    def size(self) -> int:
        """Number of leaves."""
        return sum(len(each.split) for each in self.topologies)

    def document(self) -> dict[str, object]:
        """Return the certificate as plain numbers and lists, for a JSON file.

        The winner's missing resistors are null.
        """
        return {
            "format": "retrofit-trim-certificate",
            "version": 1,
            "values": self.values.tolist(),
            "winner": [ohm if np.isfinite(ohm) else None for ohm in self.winner.ohms],
            "worst": self.worst,
            "gap": self.gap,
            "topologies": [
                {
                    "places": list(each.places),
                    "low": each.low.tolist(),
                    "high": each.high.tolist(),
                    "split": each.split.tolist(),
                    "bound": each.bound.tolist(),
                }
                for each in self.topologies
            ],
        }


def certificate(
    question: Question,
    values: Array,
    kinds: tuple[Topology, ...],
    winner: Trim,
    most_leaves: int = 50_000,
    watch: Watch | None = None,
) -> Certificate | None:
    """Return the proof that no trim of some topologies beats a winner.

    It says nothing of a filter: with one, trims that it refuses may be better.

    Parameters
    ----------
    question : Question
        The question.
    values : array, shape (n,)
        Ohms that resistors come in [Ω].
    kinds : tuple of Topology
        The topologies that it covers.
    winner : Trim
        The best trim; its objective has to be finite.
    most_leaves : int
        Largest size [1]; where more would be needed the gap grows, and is said.
    watch : Watch, optional
        How the caller follows it.

    Returns
    -------
    Certificate or None
        None where half the winner's objective can't be proven with so few leaves.

    Raises
    ------
    BugError
        When a trim beats the winner.

    Notes
    -----
    A checker that knows nothing of the search verifies it:
    ``tests/trim/certificate_checker.py``.
    """
    shelf, watch = Shelf(values), watch or Watch()
    space = Space(question, shelf, tuple(Part.whole(kind, shelf) for kind in kinds))
    worst = float(objective(question, *winner.arrays()))
    for gap in _GAPS:
        goal = worst - gap * max(worst, 1.0)
        leaves = _proof(space, goal, most_leaves, watch)
        if leaves is not None:
            return Certificate(values, winner, worst, gap, leaves)
    return None


def _proof(space: Space, goal: float, most: int, watch: Watch) -> tuple[Leaves, ...] | None:
    """Return leaves whose bounds reach a goal, None where they are more than `most`."""
    limits = space.windows(np.full(len(space.parts), goal))
    stack, done = [space.whole], list[tuple[Batch, Index]]()
    count = 0
    while stack:
        watch.check()
        batch = stack.pop()
        few, many = space.reached(batch, limits, space.question.ohms)
        out = np.maximum(few, batch.first) > np.minimum(many, batch.last)
        split = np.clip(few, batch.first, batch.last + 1)
        single = batch.single & ~out
        if np.any(single):
            split[single] = _crossing(space, batch.pick(single))
        leaf = out | single
        done.append((batch.pick(leaf), split[leaf]))
        wide = batch.pick(~leaf)
        count += int(np.count_nonzero(leaf))
        if count + len(wide) > most:
            return None
        if len(wide):
            stack.extend(halves(wide).chunks(_CHUNK))
    boxes = Batch.joined([each for each, _ in done])
    split = np.concatenate([each for _, each in done])
    bound = _bounds(space, boxes, split)
    if np.any(bound < goal - 1e-12 * max(goal, 1.0)):
        raise BugError("a trim beats the winner of a search")
    return tuple(
        Leaves(
            part.topology.places,
            boxes.low[boxes.part == row],
            boxes.high[boxes.part == row],
            split[boxes.part == row],
            bound[boxes.part == row],
        )
        for row, part in enumerate(space.parts)
    )


def _crossing(space: Space, rows: Batch) -> Index:
    """Return the first index of each row with no less of too many ohms than of too few."""
    low, high = rows.first.copy(), rows.last + 1
    while np.any(low < high):
        middle = (low + high) // 2
        short, long = space.sides(index_of(rows, np.minimum(middle, rows.last)))
        crossed = (long >= short) | (middle > rows.last)
        open_ = low < high
        low = np.where(open_ & ~crossed, middle + 1, low)
        high = np.where(open_ & crossed, middle, high)
    return low


def _bounds(space: Space, boxes: Batch, split: Index) -> Array:
    """Return the bound of each leaf, shape (M,) [1]."""
    below = split > boxes.first
    above = split <= boxes.last
    few = _strain(space, boxes, boxes.high, np.maximum(split - 1, boxes.first), short=True)
    many = _strain(space, boxes, boxes.low, np.minimum(split, boxes.last), short=False)
    return np.minimum(np.where(below, few, np.inf), np.where(above, many, np.inf))


def _strain(space: Space, boxes: Batch, corner: Index, solved: Index, *, short: bool) -> Array:
    """Return what one side errs at least in whole boxes, shape (M,) [1].

    The pull-up moves each point one way, but not all the same way if it goes to less than the
    open voltage: of its two ends the lesser strain counts, at each point by itself.
    """
    ends: list[Array] = []
    for pull in (boxes.low[:, 3], boxes.high[:, 3]):
        held = corner.copy()
        held[:, 3] = pull
        rows = Batch(boxes.part, held, held, solved, solved)
        ohms = space.shelf.ohms(index_of(rows, solved))
        high, low = strains(space.question, shown(space.question, *ohms))
        ends.append(low if short == space.question.dial.rising else high)
    least: NDArray[np.float64] = np.max(np.minimum(*ends), axis=1)
    return least
