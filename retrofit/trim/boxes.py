"""Boxes of trims: what is left of them at a strain, and the exact best of a single row.

A box holds ranges of indices at four places; the fifth, in series at the sender, is solved for.
A row is a box with one value at each of the four.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.question import Question, objective, shown, sides
from retrofit.trim.reach import Boxes, reach
from retrofit.trim.topologies import Index, Part, Shelf
from retrofit.trim.windows import Windows, windows

HELD = (0, 2, 3, 4)
"""Columns of the places that a box holds: across, signal to earth, at the gauge, pull-up."""

SOLVED = 1
"""Column of the place that is solved for."""

_FEW = 5  # points looked at first; they settle most boxes at a quarter of the cost


@dataclass(frozen=True, eq=False)
class Batch:
    """Boxes of indices.

    Attributes
    ----------
    part : array, shape (M,)
        To which part of the space each belongs.
    low, high : array, shape (M, 4)
        First and last index at the places `HELD`.
    first, last : array, shape (M,)
        First and last index in series at the sender that may still do; all, until sieved.
    """

    part: Index
    low: Index
    high: Index
    first: Index
    last: Index

    def __len__(self) -> int:
        """Return the number of boxes."""
        return len(self.part)

    def pick(self, which: NDArray[np.bool_] | Index | slice) -> Batch:
        """Return some of the boxes, by their number or a mask of shape (M,) [1]."""
        fields = (self.part, self.low, self.high, self.first, self.last)
        return Batch(*(field[which] for field in fields))

    @property
    def single(self) -> NDArray[np.bool_]:
        """Whether each box is a row, shape (M,) [1]."""
        return np.asarray(np.all(self.low == self.high, axis=1))

    @property
    def size(self) -> Array:
        """Number of rows in each box, shape (M,) [1]."""
        return np.asarray(np.prod((self.high - self.low + 1).astype(np.float64), axis=1))

    def chunks(self, most: int) -> Iterator[Batch]:
        """Yield the boxes a few at a time."""
        for start in range(0, len(self), most):
            yield self.pick(slice(start, start + most))

    @staticmethod
    def joined(batches: list[Batch]) -> Batch:
        """Return the boxes of several batches."""
        names = ("part", "low", "high", "first", "last")
        return Batch(*(np.concatenate([getattr(each, name) for each in batches]) for name in names))


def halves(batch: Batch) -> Batch:
    """Return both halves of each box, cut across its widest place; the parts keep their order."""
    rows = np.arange(len(batch))
    column = np.argmax(batch.high - batch.low, axis=1)
    middle = (batch.low[rows, column] + batch.high[rows, column]) // 2
    high, low = batch.high.copy(), batch.low.copy()
    high[rows, column], low[rows, column] = middle, middle + 1
    both = np.repeat(rows, 2)
    odd = np.arange(len(both)) % 2 == 1
    return Batch(
        batch.part[both],
        np.where(odd[:, None], low[both], batch.low[both]),
        np.where(odd[:, None], batch.high[both], high[both]),
        batch.first[both],
        batch.last[both],
    )


class Space:
    """Parts of the space of trims, and what a question leaves of them.

    Parameters
    ----------
    question : Question
        The question.
    shelf : Shelf
        The values that resistors come in.
    parts : tuple of Part
        F parts.
    """

    def __init__(self, question: Question, shelf: Shelf, parts: tuple[Part, ...]) -> None:
        self.question, self.shelf, self.parts = question, shelf, parts
        self._series = np.concatenate([[0.0], shelf.values])
        self._others = np.concatenate([shelf.values, [np.inf]])
        spread = np.linspace(0, len(question.x) - 1, _FEW)
        self._few = sorted({round(each) for each in spread.tolist()})

    @property
    def whole(self) -> Batch:
        """Each part as one box."""
        low = np.array([part.low for part in self.parts]).reshape(-1, 5)
        high = np.array([part.high for part in self.parts]).reshape(-1, 5)
        held = list(HELD)
        rows = np.arange(len(self.parts))
        return Batch(rows, low[:, held], high[:, held], low[:, SOLVED], high[:, SOLVED])

    def windows(self, strain: Array) -> Windows:
        """Return the windows of each part for its strain, shape (F,) [1]."""
        return windows(self.question, strain)

    def sieve(self, batch: Batch, found: Windows) -> Batch:
        """Return what is left of boxes: `first` and `last` narrowed, the empty ones dropped."""
        few = self.reached(batch, found.at(self._few), self.question.ohms[self._few])
        batch = self._left(batch, few)
        every = self.reached(batch, found, self.question.ohms)
        return self._left(batch, every)

    def reached(self, batch: Batch, found: Windows, ohms: Array) -> tuple[Index, Index]:
        """Return which indices in series at the sender reach every point.

        Parameters
        ----------
        batch : Batch
            M boxes.
        found : Windows
            Windows at n points, of each part.
        ohms : array, shape (n,)
            Ohms of the sender there [Ω].

        Returns
        -------
        tuple of two arrays, shape (M,)
            First and last index [1]; the first is the larger where none reaches.
        """
        least, most = reach(self.question, ohms, found, self._boxes(batch))
        first = np.searchsorted(self._series, least, side="left")
        last = np.searchsorted(self._series, most, side="right") - 1
        return first, last

    def _boxes(self, batch: Batch) -> Boxes:
        corners = []
        for index in (batch.low, batch.high):
            across, to_earth, at_gauge, pull = index.T
            corners.append(
                (
                    self._others[across],
                    self._others[to_earth],
                    self._series[at_gauge],
                    self._others[pull],
                )
            )
        return Boxes(batch.part, corners[0], corners[1])

    @staticmethod
    def _left(batch: Batch, limits: tuple[Index, Index]) -> Batch:
        first = np.maximum(batch.first, limits[0])
        last = np.minimum(batch.last, limits[1])
        keep = first <= last
        kept = batch.pick(keep)
        return Batch(kept.part, kept.low, kept.high, first[keep], last[keep])

    def objective(self, index: Index) -> Array:
        """Return the objective of trims, shape (M, 5) → (M,) [1]."""
        return objective(self.question, *self.shelf.ohms(index))

    def sides(self, index: Index) -> tuple[Array, Array]:
        """Return the strains of too few ohms and of too many, shape (M, 5) → (M,) [1]."""
        return sides(self.question, shown(self.question, *self.shelf.ohms(index)))

    def settle(self, rows: Batch) -> tuple[Index, Array]:
        """Return the best trim of each row and its objective, exact over the whole row.

        With more ohms in series at the sender the strain of too few falls and that of too many
        rises, so the best is the first index at which the second is no smaller, or the one
        before it. Where both are infinite there, no index has a finite objective.

        Parameters
        ----------
        rows : Batch
            M rows; only `first` … `last` is looked at.

        Returns
        -------
        array, shape (M, 5), and array, shape (M,)
            Trims and objectives [1].
        """
        trims = index_of(rows, rows.first)
        low, high = rows.first.copy(), rows.last.copy()
        open_ = np.flatnonzero(low < high)
        while open_.size:
            middle = (low[open_] + high[open_]) // 2
            trims[open_, SOLVED] = middle
            short, long = self.sides(trims[open_])
            crossed = long >= short
            high[open_] = np.where(crossed, middle, high[open_])
            low[open_] = np.where(crossed, low[open_], middle + 1)
            open_ = open_[low[open_] < high[open_]]
        trims[:, SOLVED] = low
        before = index_of(rows, np.maximum(low - 1, rows.first))
        values, others = self.objective(trims), self.objective(before)
        better = others < values
        return np.where(better[:, None], before, trims), np.where(better, others, values)


def index_of(rows: Batch, solved: Index) -> Index:
    """Return the trims of rows at indices in series at the sender, shape (M, 5)."""
    trims = np.empty((len(rows), 5), dtype=np.intp)
    trims[:, list(HELD)] = rows.low
    trims[:, SOLVED] = solved
    return trims
