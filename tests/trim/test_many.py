"""The crowd against the search for one sender, and that against plain loops elsewhere.

``tests/trim/test_search.py`` holds the search for one sender against loops over all trims.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest

from catalog.arrays import Array
from retrofit.trim.answer import Wishes, best_trims
from retrofit.trim.many.crowd import Crowd
from retrofit.trim.many.levels import Levels
from retrofit.trim.many.reach_bound import reach_bound
from retrofit.trim.preferred import values
from retrofit.trim.question import TIE, Question
from retrofit.trim.search import CancelledError, Watch
from tests.trim.pairings import random_pairing

Count = Literal[1, 2]

QUICK, FULL = 24, 400
"""Random gauges with six senders each, and with ``--hypothesis-profile=full``."""


@pytest.fixture
def draws(request: pytest.FixtureRequest) -> list[np.random.Generator]:
    """Fresh ones; the header of the run shows the seed that repeats them."""
    seed = int(request.config.getoption("--hypothesis-seed"))
    full = request.config.getoption("--hypothesis-profile") == "full"
    return [np.random.default_rng([seed, n]) for n in range(FULL if full else QUICK)]


def crowd_of(question: Question, draw: np.random.Generator, count: int) -> Array:
    """The question's own sender among others: shifted, bent, wrong way round, earthed."""
    share = np.linspace(0.0, 1.0, len(question.x))
    rows = [question.ohms, np.zeros_like(question.ohms)]
    while len(rows) < count:
        ends = np.sort(draw.uniform(0.0, 400.0, 2))
        if question.dial.rising == (draw.random() < 0.15):
            ends = ends[::-1]
        rows.append(ends[0] + (ends[1] - ends[0]) * share ** draw.uniform(0.4, 2.5))
    return np.array(rows)


def same(question: Question, ohms: Array, shelf: Array, most: Count, *, pull_up: bool) -> None:
    crowd = Crowd(question, ohms, shelf, most, pull_up=pull_up)
    found = crowd.everyone()
    for row, sender in enumerate(ohms):
        best = best_trims(replace(question, ohms=sender), shelf, Wishes(most, pull_up)).best
        if best is None:
            assert np.isinf(found.worst[row])
            continue
        assert found.worst[row] == pytest.approx(best.worst, rel=TIE, abs=TIE)
        assert crowd.trim(found.index[row]) == best.trim
        np.testing.assert_allclose(found.shown[row], best.shown, rtol=1e-9, atol=1e-9)


def test_that_every_sender_gets_the_trim_that_a_search_for_it_alone_finds(
    draws: list[np.random.Generator],
) -> None:
    for number, draw in enumerate(draws):
        both = random_pairing(draw)
        ohms = crowd_of(both.question, draw, 6)
        most: Count = 2 if number % 4 else 1
        same(both.question, ohms, both.values, most, pull_up=number % 2 == 0)


@pytest.mark.parametrize("pull_up", [False, True])
def test_that_a_whole_series_makes_no_difference_to_that(
    pull_up: bool, draws: list[np.random.Generator]
) -> None:
    shelf = values("E24", 1.0, 10_000.0)
    for draw in draws[::4]:
        both = random_pairing(draw)
        same(both.question, crowd_of(both.question, draw, 4), shelf, 2, pull_up=pull_up)


def test_that_the_first_ranks_are_proven_and_no_bound_is_above_what_is_found(
    draws: list[np.random.Generator],
) -> None:
    draw = draws[0]
    both = random_pairing(draw)
    shelf = values("E12", 1.0, 10_000.0)
    ohms = crowd_of(both.question, draw, 120)
    crowd = Crowd(both.question, ohms, shelf, 2, pull_up=False)
    first, bounds = crowd.first(10), crowd.bounds
    exact = Crowd(both.question, ohms, shelf, 2, pull_up=False).everyone().worst
    assert np.all(bounds <= exact * (1.0 + 1e-9))
    left = np.delete(np.arange(len(ohms)), first.sender)
    last = first.worst[9]
    assert np.all(bounds[left] >= last * (1.0 - 1e-9)) or np.isinf(last)
    np.testing.assert_allclose(first.worst[:10], np.sort(exact)[:10], rtol=1e-9, atol=1e-9)
    rest = list(crowd.rest(first.sender))
    sender = np.concatenate([first.sender, *(one.sender for one in rest)])
    worst = np.concatenate([first.worst, *(one.worst for one in rest)])
    assert sorted(sender.tolist()) == list(range(len(ohms)))
    np.testing.assert_allclose(worst, exact[sender], rtol=1e-9, atol=1e-9)


def test_that_fewer_resistors_and_the_spread_of_tolerances_are_those_of_one_search(
    draws: list[np.random.Generator],
) -> None:
    draw = draws[0]
    both = random_pairing(draw)
    shelf = values("E24", 1.0, 10_000.0)
    ohms = crowd_of(both.question, draw, 6)
    crowd = Crowd(both.question, ohms, shelf, 2, pull_up=False)
    found = crowd.everyone()
    spread, one = crowd.spread(found, 0.05), crowd.among(found.sender, 1).everyone()
    for row, sender in enumerate(ohms):
        answer = best_trims(replace(both.question, ohms=sender), shelf, Wishes(2, pull_up=False))
        fewer = [each.worst for each in answer.by_count[:2] if each is not None]
        if answer.best is None:
            continue
        assert spread[row] == pytest.approx(answer.best.with_own, rel=1e-9, abs=1e-9)
        assert one.worst[row] == pytest.approx(min(fewer, default=np.inf), rel=1e-9, abs=1e-9)


def test_that_no_three_resistors_beat_the_bound_of_pairs(
    draws: list[np.random.Generator],
) -> None:
    for draw in draws[::2]:
        question = random_pairing(draw).question
        bound = reach_bound(question, Levels.of(question))
        best = best_trims(question, values("E6", 1.0, 10_000.0), Wishes(3, pull_up=False)).best
        assert best is None or bound <= best.worst * (1.0 + 1e-9)


def test_that_a_crowd_of_nobody_and_a_cancelled_one_end(
    draws: list[np.random.Generator],
) -> None:
    both = random_pairing(draws[0])
    nobody = Crowd(
        both.question, np.zeros((0, len(both.question.x))), both.values, 2, pull_up=False
    )
    assert len(nobody.first(5).sender) == 0
    assert list(nobody.rest(nobody.first(5).sender)) == []
    crowd = Crowd(both.question, both.question.ohms[None, :], both.values, 2, pull_up=False)
    with pytest.raises(CancelledError):
        crowd.first(1, Watch(cancelled=lambda: True))
