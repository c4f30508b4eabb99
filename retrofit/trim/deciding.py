"""The best trims over every point of a curve, sought at the few points that decide.

A search takes as long as its question has points, and of a whole curve a few decide. So it is
asked at some of them; where a trim that it finds errs more between them, that point is added and
the search asked again (the exchange of points that E. Remez gave for best approximation, 1934,
from memory). What is left is the best over all points: no trim is better on the few, and none of
those found is worse on the many.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.trim.answer import Answer, Found, Wishes, best_trims
from retrofit.trim.question import Flattery, Question, shown, strains
from retrofit.trim.search import Watch

_ROUNDS = 12
"""Searches at which to stop: two or three do, and each adds points that no later one forgets."""

_SLACK = 1e-6
"""Share by which a trim may err more between the points than at them."""


def picked(question: Question, rows: NDArray[np.intp]) -> Question:
    """Return a question at some of its points only.

    Parameters
    ----------
    question : Question
        N points.
    rows : array of int, shape (n,)
        Which of them [1], two or more.
    """
    flattery = question.flattery
    if flattery is not None:
        flattery = Flattery(flattery.side[rows], flattery.limit[rows])
    return replace(
        question,
        x=question.x[rows],
        ohms=question.ohms[rows],
        allowed=question.allowed[rows],
        flattery=flattery,
    )


def best_over_all(
    question: Question,
    rows: NDArray[np.intp],
    values: Array,
    wishes: Wishes | None = None,
    watch: Watch | None = None,
) -> tuple[Question, Answer]:
    """Return the best trims over all points of a question.

    Parameters
    ----------
    question : Question
        What a trim has to achieve, N points.
    rows : array of int, shape (n,)
        Points to begin with [1], two or more of them.
    values : array, shape (m,)
        Ohms that resistors come in [Ω], > 0, strictly increasing.
    wishes, watch
        As for `retrofit.trim.answer.best_trims`.

    Returns
    -------
    (Question, Answer)
        The question at the points that decided, and the best trims there: none of them errs
        more at any of the N points, but for one part in a million of its worst.

    Raises
    ------
    UserError
        ``trim.no_values`` or ``trim.bad_values``.
    CancelledError
        When the caller wished the search to end.

    Notes
    -----
    Tests: ``tests/trim/test_deciding.py``, beside a plain loop over all points.
    """
    asked = np.unique(rows)
    for _ in range(_ROUNDS):
        few = picked(question, asked)
        answer = best_trims(few, values, wishes, watch)
        found = {*answer.by_count, answer.lead, *answer.alternatives} - {None}
        peaks = [_peaks(question, one) for one in found if one is not None]
        more = np.setdiff1d(np.concatenate([np.empty(0, np.intp), *peaks]), asked)
        if not more.size:
            break
        asked = np.union1d(asked, more)
    return few, answer


def _peaks(question: Question, found: Found) -> NDArray[np.intp]:
    """Return the points at which a trim errs more than was found, the worst of each stretch."""
    p, s1, q, s2, u = found.trim.arrays()
    high, low = strains(question, shown(question, p, s1, q, s2, u))
    size = np.ravel(np.maximum(high, low))
    beyond = size > found.worst * (1.0 + _SLACK) + _SLACK
    edges = np.flatnonzero(np.diff(beyond.astype(np.int8), prepend=0, append=0))
    ends = zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)
    return np.array([first + int(np.argmax(size[first:last])) for first, last in ends], np.intp)
