"""Of trims that tie, the one nearest to no resistor at all; and the best that a filter allows.

Both go through all trims of a part within a strain, a box at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.boxes import HELD, SOLVED, Batch, Space, halves, index_of
from retrofit.trim.question import TIE
from retrofit.trim.search import Best, Watch
from retrofit.trim.topologies import ORDER, SERIES, Index, preferred

Filter = Callable[[Array, Array, Array, Array, Array], NDArray[np.bool_]]
"""Whether trims are allowed: ohms at the five places, each shape (M,) [Ω] → (M,)."""

_KEPT = 512  # boxes of a part looked at in one go
_CHUNK = 4096
_TRIMS = 20_000  # trims evaluated in one go
_FIRST, _WIDER = 0.02, 4.0  # how far beyond the best a filter is tried first, and then
_ALL = 6.0  # how far beyond the best all that is left is tried
_COLUMNS = tuple(HELD.index(c) for c in ORDER if c != SOLVED)
_UPWARD = np.array([c in SERIES for c in HELD])  # places where fewer ohms are preferred


def no_worse(worst: Array) -> Array:
    """Return the strain that trims tying with `worst` do not pass, shape (F,) [1]."""
    return np.asarray(worst + TIE * np.maximum(worst, 1.0))


def settled(space: Space, found: Best, watch: Watch) -> Best:
    """Return the preferred one of the trims that tie with the best of each part.

    The rule: the largest ohms across the sender, then from signal to earth, then of the
    pull-up, then the smallest in series at the gauge, then at the sender.

    Parameters
    ----------
    space : Space
        Question, shelf and F parts.
    found : Best
        The best of each part.
    watch : Watch
        How the caller follows it.
    """
    goal = np.where(np.isfinite(found.worst), no_worse(found.worst), -1.0)
    limits = space.windows(goal)
    index, open_ = found.index.copy(), np.isfinite(found.worst)
    front, parked = space.whole, list[Batch]()
    while len(front) or parked:
        watch.check()
        if not len(front):
            front = Batch.joined(parked)
            parked = []
        front = space.sieve(front.pick(open_[front.part]), limits)
        if np.all(front.single):
            _take(space, front, goal, index, open_)
            front = front.pick(slice(0, 0))
            continue
        front = _ordered_halves(front)
        late = _rank(front.part) >= _KEPT
        if np.any(late):
            parked.insert(0, front.pick(late))
            front = front.pick(~late)
    return Best(index, np.where(np.isfinite(found.worst), space.objective(index), np.inf))


def _ordered_halves(batch: Batch) -> Batch:
    """Return halves across the first place that is still open, the preferred one first."""
    rows = np.arange(len(batch))
    wide = (batch.high > batch.low)[:, _COLUMNS]
    column = np.array(_COLUMNS)[np.argmax(wide, axis=1)]
    whole = ~np.any(wide, axis=1)
    middle = (batch.low[rows, column] + batch.high[rows, column]) // 2
    low, high = batch.low.copy(), batch.high.copy()
    high[rows, column], low[rows, column] = middle, np.minimum(middle + 1, batch.high[rows, column])
    both = np.repeat(rows, 2)
    second = np.arange(len(both)) % 2 == 1
    upper = second == _UPWARD[column][both]
    cut = Batch(
        batch.part[both],
        np.where(upper[:, None], low[both], batch.low[both]),
        np.where(upper[:, None], batch.high[both], high[both]),
        batch.first[both],
        batch.last[both],
    )
    return cut.pick(~(whole[both] & second))


def _rank(part: Index) -> Index:
    """Return the how-manieth of its part each box is, shape (M,)."""
    order = np.argsort(part, kind="stable")
    ordered = part[order]
    starts = np.searchsorted(ordered, ordered, side="left")
    rank = np.empty_like(part)
    rank[order] = np.arange(len(part)) - starts
    return rank


def _take(space: Space, rows: Batch, goal: Array, index: Index, open_: NDArray[np.bool_]) -> None:
    """Take the first row of each part with a trim within its goal, and that trim."""
    if not len(rows):
        return
    low, high = rows.first.copy(), rows.last.copy()
    while np.any(low < high):
        middle = (low + high) // 2
        enough = space.sides(index_of(rows, middle))[0] <= goal[rows.part]
        low, high = np.where(enough, low, middle + 1), np.where(enough, middle, high)
        low = np.minimum(low, high)
    trims = index_of(rows, low)
    good = np.flatnonzero(space.objective(trims) <= goal[rows.part])
    for row in good[_rank(rows.part[good]) == 0]:
        index[rows.part[row]] = trims[row]
        open_[rows.part[row]] = False


def filtered(space: Space, found: Best, allowed: Filter, watch: Watch) -> Best:
    """Return the best trim of each part that a filter allows, ties settled by the same rule.

    All trims within a strain are tried, the strain growing until one is allowed or there are no
    more: a filter breaks the argument of the crossing, so none is passed over. A part is left
    when an allowed trim of as many resistors is better than all that is left of it.

    Parameters
    ----------
    space : Space
        Question, shelf and F parts.
    found : Best
        The best of each part without the filter.
    allowed : callable
        The filter.
    watch : Watch
        How the caller follows it.
    """
    index, worst = found.index.copy(), np.full(len(space.parts), np.inf)
    open_ = np.isfinite(found.worst)
    counts, share = np.array([part.topology.count for part in space.parts]), _FIRST
    while np.any(open_):
        goal = np.where(open_, (found.worst + 1e-6) * (1.0 + share), -1.0)
        endless = share > _ALL
        if endless:
            goal = np.where(open_, np.inf, -1.0)
        for trims, part in _within(space, goal, watch):
            _better(space, trims, part, goal, allowed, (index, worst))
        best_of_count = np.array([np.min(worst[counts == count]) for count in counts])
        open_ &= np.isinf(worst) & (goal < best_of_count)
        if endless:
            break
        share *= _WIDER
    return Best(index, worst)


def _within(space: Space, goal: Array, watch: Watch) -> Iterator[tuple[Index, Index]]:
    """Yield all trims that may be within the goal of their part, and their parts."""
    limits = space.windows(goal)
    stack = [space.whole]
    while stack:
        watch.check()
        left = space.sieve(stack.pop(), limits)
        single = left.single
        for rows in left.pick(single).chunks(max(1, _TRIMS // (space.shelf.values.size + 1))):
            count = rows.last - rows.first + 1
            each = np.repeat(np.arange(len(rows)), count)
            starts = np.cumsum(count) - count
            solved = rows.first[each] + np.arange(len(each)) - starts[each]
            yield index_of(rows.pick(each), solved), rows.part[each]
        wide = left.pick(~single)
        if len(wide):
            stack.extend(halves(wide).chunks(_CHUNK))


def _better(
    space: Space,
    trims: Index,
    part: Index,
    goal: Array,
    allowed: Filter,
    known: tuple[Index, Array],
) -> None:
    """Keep of some trims, in `known`, the best allowed of each part."""
    index, worst = known
    value = space.objective(trims)
    keep = (value <= goal[part]) & (value <= no_worse(worst)[part]) & np.isfinite(value)
    keep[keep] = allowed(*space.shelf.ohms(trims[keep]))
    trims, part, value = trims[keep], part[keep], value[keep]
    for each in np.unique(part):
        mine = part == each
        mine &= value <= no_worse(np.array([np.min(value[mine])]))[0]
        rows = np.vstack([trims[mine], index[each : each + 1]])
        values = np.append(value[mine], worst[each])
        tie = np.flatnonzero(values <= no_worse(np.array([np.min(values)]))[0])
        first = tie[np.lexsort(preferred(rows[tie])[::-1])[0]]
        index[each], worst[each] = rows[first], values[first]
