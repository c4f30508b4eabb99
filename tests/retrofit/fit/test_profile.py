"""The drawn sections and the verdict agree: they touch where it binds, and overlap beyond."""

from __future__ import annotations

import math

import numpy as np
import pytest

from catalog.threads.standards import thread, threads
from catalog.threads.thread import Size, Thread
from retrofit.fit.profile import section
from retrofit.fit.thread_fit import LOOSE, MIDDLE, TIGHT, thread_fit

SIZES: tuple[tuple[Size, Size], ...] = (MIDDLE, TIGHT, LOOSE)
TOUCH = 2e-6


def pairs() -> list[tuple[Thread, Thread]]:
    names = [each for each in threads() if each.pitch < 1.2e-3]
    return [(m, f) for m in names for f in names if m.male is not None and f.female is not None]


def test_that_profiles_are_clear_before_it_binds_and_overlap_beyond() -> None:
    seen = 0
    for male, female in pairs():
        found = thread_fit(male, female)
        states = (found.middle, found.tight, found.loose)
        for state, size in zip(states, SIZES, strict=True):
            coarse = max(male.pitch, female.pitch)
            if state.outcome == "does not start" or math.isinf(state.depth):
                continue
            if state.depth < coarse / 2.0:
                continue
            # The closed form lets the drift grow evenly, the drawing by whole grooves: half a turn.
            before = section(male, female, state.depth - coarse / 2.0, size).overlap()
            beyond = section(male, female, state.depth + 1.5 * coarse, size).overlap()
            assert before <= TOUCH, (male.key, female.key, size)
            assert beyond > TOUCH, (male.key, female.key, size)
            seen += 1
    assert seen > 40


@pytest.mark.parametrize("key", ["npt-1-8", "npt-1-2"])
def test_that_an_npt_pair_touches_exactly_where_it_is_hand_tight(key: str) -> None:
    pair = thread(key)
    depth = thread_fit(pair, pair).middle.depth
    assert section(pair, pair, depth).overlap() == pytest.approx(0.0, abs=1e-9)
    # One turn deeper, the taper presses 1/32 of a pitch into the metal on each side.
    deeper = section(pair, pair, depth + pair.pitch).overlap()
    assert deeper == pytest.approx(pair.pitch / 32.0, rel=1e-6)


def test_that_the_interference_of_m10_in_g_is_seen_in_the_drawing() -> None:
    male, female = thread("m10x1"), thread("g-1-8")
    found = thread_fit(male, female)
    assert found.outcome == "does not start"
    # Basic crests 10.000 against roots 9.728 mm: 0.136 mm on the radius.
    basic: tuple[Size, Size] = ("basic", "basic")
    assert section(male, female, 2e-3, basic).overlap() >= 0.136e-3 - TOUCH
    assert section(male, female, 2e-3).overlap() > TOUCH


def test_that_the_drawn_diameters_are_those_of_the_thread() -> None:
    pair = thread("m14x1.5")
    drawn = section(pair, pair, 6e-3)
    assert pair.male is not None
    assert pair.female is not None
    assert 2.0 * np.max(drawn.male[:, 1]) == pytest.approx(pair.male.major.middle)
    assert 2.0 * np.min(drawn.female[:, 1]) == pytest.approx(pair.female.minor.middle)
    assert np.all(np.diff(drawn.male[:, 0]) >= 0.0)
