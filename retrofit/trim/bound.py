"""What no resistors whatever can beat: a proven bound over all ohms, preferred or not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.question import Question, objective
from retrofit.trim.reach import Boxes, reach
from retrofit.trim.search import Watch
from retrofit.trim.topologies import SERIES, Topology, topologies
from retrofit.trim.windows import windows

_HELD, _SOLVED = (0, 2, 3, 4), 1
_GAP = 1e-3  # share of the best known by which the bound lies below it
_PROBES = 64
_MOST = 50_000  # boxes; beyond, the bound is loosened
_LOOSER = 2.0
_LIMIT = 8  # times as many boxes as that are given up
_ROUNDS = 300
_ZERO = 1e-6  # objective below which a better one is not looked for


@dataclass(frozen=True)
class Bound:
    """What no resistors can beat.

    Attributes
    ----------
    lower : float
        No trim has a smaller objective than this [1].
    reached : float
        The best objective that was met on the way [1]; +inf where none.
    """

    lower: float
    reached: float


@dataclass(frozen=True, eq=False)
class _Cells:
    """Boxes of ohms: shape (M, 4) each at the held places, and (M,) at the solved one."""

    low: Array
    high: Array
    solved: tuple[Array, Array]

    def boxes(self) -> Boxes:
        zero = np.zeros(len(self.low), dtype=np.intp)
        low, high = self.low.T, self.high.T
        return Boxes(zero, (low[0], low[1], low[2], low[3]), (high[0], high[1], high[2], high[3]))

    def pick(self, which: NDArray[np.intp]) -> _Cells:
        first, last = self.solved
        return _Cells(self.low[which], self.high[which], (first[which], last[which]))

    @property
    def ratio(self) -> Array:
        """How many times the largest ohms of each place are the least, shape (M, 4) [1]."""
        with np.errstate(divide="ignore", invalid="ignore"):
            wide = self.high / self.low
        return np.where(np.isfinite(wide), wide, 1.0)

    @property
    def centre(self) -> Array:
        """Geometric middle of each place, shape (M, 4) [Ω]."""
        return np.where(self.low == self.high, self.low, self.low * np.sqrt(self.ratio))


def continuous_bound(
    question: Question,
    span: tuple[float, float],
    kinds: tuple[Topology, ...],
    known: float = np.inf,
    watch: Watch | None = None,
) -> Bound:
    """Return what no trim of some topologies can beat, whatever its ohms.

    Branch and bound over boxes of ohms instead of a list: a box is dropped when it holds
    nothing that is better than the best met so far by more than a thousandth.

    Parameters
    ----------
    question : Question
        The question.
    span : (float, float)
        Least and largest ohms of each resistor [Ω], > 0.
    kinds : tuple of Topology
        The topologies.
    known : float, optional
        Objective of a trim that is known [1], to begin with.
    watch : Watch, optional
        How the caller follows it.

    Returns
    -------
    Bound
        Its lower bound is looser, down to 0, where the boxes would become too many.

    Notes
    -----
    Never beaten by differential evolution: ``tests/trim/test_bound.py``.
    """
    gap, watch = _GAP, watch or Watch()
    for kind in kinds:
        cells = _whole(kind, span)
        for _ in range(_ROUNDS):
            watch.check()
            if len(cells.low) > _MOST:
                gap *= _LOOSER
                if len(cells.low) > _LIMIT * _MOST:
                    return Bound(0.0, known)
            goal = _goal(known, gap)
            cells = _left(question, cells, goal)
            known = min(known, _probed(question, cells, goal))
            if not len(cells.low):
                break
            cells = _halved(cells)
        if len(cells.low) or gap >= 1.0:
            return Bound(0.0, known)
    return Bound(max(0.0, _goal(known, gap)), known)


def _goal(known: float, gap: float) -> float:
    return known - gap * max(known, _ZERO) if np.isfinite(known) else known


def kinds_of(question: Question, most: int) -> tuple[Topology, ...]:
    """Return the topologies that can be judged, with at most so many resistors."""
    return topologies(most, pull_up=question.node.pull_up)


def _whole(kind: Topology, span: tuple[float, float]) -> _Cells:
    ends = []
    for end in span:
        none = (0.0 if c in SERIES else np.inf for c in range(5))
        ends.append([end if c in kind.columns else none_c for c, none_c in enumerate(none)])
    low, high = np.array(ends)
    held = list(_HELD)
    return _Cells(low[None, held], high[None, held], (low[None, _SOLVED], high[None, _SOLVED]))


def _left(question: Question, cells: _Cells, goal: float) -> _Cells:
    limits = windows(question, np.array([goal]))
    least, most = reach(question, question.ohms, limits, cells.boxes())
    first, last = np.maximum(cells.solved[0], least), np.minimum(cells.solved[1], most)
    keep = first <= last
    return _Cells(cells.low[keep], cells.high[keep], (first[keep], last[keep]))


def _probed(question: Question, cells: _Cells, goal: float) -> float:
    """Return the best objective at the centres of some boxes [1]; +inf of none."""
    room = cells.solved[1] - cells.solved[0]
    chosen = cells.pick(np.argsort(-room, kind="stable")[:_PROBES])
    centre = chosen.centre
    points = _left(question, _Cells(centre, centre, chosen.solved), goal)
    if not len(points.low):
        return float("inf")
    first, last = points.solved
    found = [
        objective(question, points.low[:, 0], s1, *points.low[:, 1:].T)
        for s1 in (first, 0.5 * (first + last), last)
    ]
    return float(np.min(found))


def _halved(cells: _Cells) -> _Cells:
    """Return both halves of each box; one that can't be cut any more stays as it is."""
    rows = np.arange(len(cells.low))
    column = np.argmax(cells.ratio, axis=1)
    middle = cells.centre[rows, column]
    cut = (middle > cells.low[rows, column]) & (middle < cells.high[rows, column])
    low, high = cells.low.copy(), cells.high.copy()
    high[rows[cut], column[cut]] = middle[cut]
    low[rows[cut], column[cut]] = middle[cut]
    first, last = cells.solved
    return _Cells(
        np.concatenate([cells.low, low[cut]]),
        np.concatenate([high, cells.high[cut]]),
        (np.concatenate([first, first[cut]]), np.concatenate([last, last[cut]])),
    )
