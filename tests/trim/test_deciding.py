"""The best trims over every point of a curve: beside a plain loop over all trims and points."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.curves.interpolated import Interpolated
from retrofit.trim.answer import Wishes, best_trims
from retrofit.trim.deciding import best_over_all, picked
from retrofit.trim.question import Flattery, Question, objective
from retrofit.trim.signal_node import SignalNode

VALUES = np.array([1.0, 2.2, 4.7, 10.0, 22.0, 47.0, 100.0, 220.0, 470.0])
ENDS = np.array([0, 200])


def bent(half: float, flattery: bool = False) -> Question:
    """A falling 88 to 8 Ω sender with `half` between, on a 73-23-10 Ω dial, at 201 points."""
    x = np.linspace(0.0, 1.0, 201)
    sender = Interpolated(((0.0, 88.0), (0.5, half), (1.0, 8.0)))
    dial = Interpolated(((0.0, 73.0), (0.5, 23.0), (1.0, 10.0)))
    side = Flattery(np.where(x <= 0.1, 1.0, 0.0), np.full(201, 0.02)) if flattery else None
    node = SignalNode.path_only()
    return Question(x, sender.output(x), np.full(201, 0.05), dial, node, 0.0, side)


def plain(question: Question) -> float:
    """The least objective over every trim of up to two resistors, one after the other."""
    none = np.array(np.inf)
    found = []
    # Two across, or two in series, with nothing between are one resistor of another value.
    for ohm, ohms in itertools.product([np.inf, *VALUES], [0.0, *VALUES]):
        parallel, in_series = np.array(ohm), np.array(ohms)
        for p, q in ((parallel, none), (none, parallel)):
            found.append(float(objective(question, p, in_series, q, np.array(0.0), none)))
    return min(found)


@given(st.floats(20.0, 60.0), st.booleans())
def test_that_no_trim_of_a_plain_loop_over_all_points_is_better(half: float, hides: bool) -> None:
    whole = bent(half, hides)
    least = plain(whole)
    _, answer = best_over_all(whole, ENDS, VALUES)
    if answer.best is None:
        assert least == np.inf
        return
    found = float(objective(whole, *answer.best.trim.arrays()))
    assert found == pytest.approx(least, rel=1e-5)
    assert answer.best.worst == pytest.approx(found, rel=1e-5)


def test_that_the_ends_alone_would_choose_a_trim_that_errs_between_them() -> None:
    whole = bent(27.0)
    few = best_trims(picked(whole, ENDS), VALUES).best
    assert few is not None
    _, answer = best_over_all(whole, ENDS, VALUES)
    assert answer.best is not None
    assert few.worst < answer.best.worst
    assert float(objective(whole, *few.trim.arrays())) > answer.best.worst


def test_that_every_trim_of_the_answer_is_told_with_its_error_over_all_points() -> None:
    whole = bent(27.0)
    question, answer = best_over_all(whole, np.arange(0, 201, 10), VALUES, Wishes(most=3))
    assert len(question.x) < 60
    told = [one for one in (*answer.by_count, *answer.alternatives) if one is not None]
    for one in told:
        assert one.worst == pytest.approx(float(objective(whole, *one.trim.arrays())), rel=1e-5)
