"""The exact search: the best trim of each part of the space, by branch and bound.

For each box of the other resistors the one in series at the sender is solved for in closed form
at the strain of the best trim known so far; a box that leaves it no value holds nothing better.
What is left is halved. A row is settled by bisection on the crossing of its two sides.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.errors import RetrofitError
from retrofit.trim.boxes import HELD, Batch, Space, halves
from retrofit.trim.question import TIE
from retrofit.trim.topologies import Index
from retrofit.trim.windows import Windows

Progress = Callable[[int, int], None]
"""Called with how much is done, and of how much."""

_GRID = 6  # values at each held place that are tried before anything is discarded
_CHUNK = 4096  # boxes looked at in one go
_PROBES = 48  # rows settled in one go to better the best known


class CancelledError(RetrofitError):
    """The caller wished the search to end: no error, and nothing to show."""


@dataclass(frozen=True)
class Watch:
    """How a caller follows a search and ends it.

    Attributes
    ----------
    progress : callable
        Called with (done, total).
    cancelled : callable
        Returns True to end the search; `CancelledError` is raised then.
    """

    progress: Progress = lambda _done, _total: None
    cancelled: Callable[[], bool] = lambda: False

    def step(self, done: float, total: float) -> None:
        """Say how far the search is, and end it if that is wished."""
        self.check()
        self.progress(int(done), int(total))

    def check(self) -> None:
        """End the search if that is wished."""
        if self.cancelled():
            raise CancelledError


@dataclass(frozen=True, eq=False)
class Best:
    """The best trim of each of F parts.

    Attributes
    ----------
    index : array, shape (F, 5)
        The trims; meaningless where the objective is infinite.
    worst : array, shape (F,)
        Their objectives [1]; +inf where no trim of the part has a finite one.
    """

    index: Index
    worst: Array


def better_than(worst: Array) -> Array:
    """Return the strain that a trim must not pass to be better than `worst`, shape (F,) [1]."""
    with np.errstate(invalid="ignore"):
        less = worst - 0.5 * TIE * np.maximum(worst, 1.0)
    return np.where(np.isinf(worst), np.inf, less)


class _Incumbents:
    """The best trim known of each part, and the windows that a better one has to meet."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.index = np.array([part.low for part in space.parts]).reshape(-1, 5)
        self.worst = np.full(len(space.parts), np.inf)
        self._goal = np.full(len(space.parts), np.nan)
        self._windows = space.windows(np.zeros(0))

    def settle(self, rows: Batch) -> None:
        """Settle rows and keep what is better."""
        if not len(rows):
            return
        trims, worst = self.space.settle(rows)
        order = np.lexsort((np.arange(len(worst)), worst, rows.part))
        part = rows.part[order]
        leads = order[np.flatnonzero(np.diff(part, prepend=-1))]
        leads = leads[worst[leads] < self.worst[rows.part[leads]]]
        self.worst[rows.part[leads]] = worst[leads]
        self.index[rows.part[leads]] = trims[leads]

    def windows(self) -> Windows:
        """Return the windows of trims that are better than the known ones."""
        goal = better_than(self.worst)
        if not np.array_equal(goal, self._goal):
            self._goal, self._windows = goal, self.space.windows(goal)
        return self._windows


def best(space: Space, watch: Watch) -> Best:
    """Return the best trim of each part of a space.

    Parameters
    ----------
    space : Space
        Question, shelf and F parts.
    watch : Watch
        How the caller follows the search.

    Returns
    -------
    Best
        No trim of a part is better than its best by more than `TIE`.
    """
    known = _Incumbents(space)
    known.settle(_grid(space))
    total = float(np.sum(space.whole.size))
    done = 0.0
    stack = [space.whole]
    while stack:
        watch.step(done, total)
        batch = stack.pop()
        left = space.sieve(batch, known.windows())
        single = left.single
        known.settle(left.pick(single))
        wide = left.pick(~single)
        done += float(np.sum(batch.size)) - float(np.sum(wide.size))
        if len(wide):
            known.settle(_probes(wide))
            stack.extend(halves(wide).chunks(_CHUNK))
    watch.step(total, total)
    return Best(known.index, known.worst)


def _grid(space: Space) -> Batch:
    """Return a coarse grid of rows over every part."""
    found = list[Batch]()
    whole = space.whole
    for part in range(len(space.parts)):
        axes = [
            np.unique(np.linspace(whole.low[part, c], whole.high[part, c], _GRID).astype(np.intp))
            for c in range(len(HELD))
        ]
        held = np.array(list(itertools.product(*axes)), dtype=np.intp)
        rows = np.full(len(held), part)
        found.append(Batch(rows, held, held, whole.first[rows], whole.last[rows]))
    return Batch.joined(found)


def _probes(wide: Batch) -> Batch:
    """Return the middle rows of some boxes, those that leave the widest choice first."""
    order = np.argsort(wide.first - wide.last, kind="stable")[:_PROBES]
    chosen = wide.pick(order)
    middle = (chosen.low + chosen.high) // 2
    return Batch(chosen.part, middle, middle, chosen.first, chosen.last)
