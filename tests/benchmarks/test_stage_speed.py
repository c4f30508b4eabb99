"""How long the stages of a plan take, against one solution of its circuit by the same library."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pytest

from catalog.codec import decode, encode
from catalog.message import Message
from retrofit.plan.assess import assess
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan
from retrofit.plan.stages import POINTS, needle_of
from retrofit.reading import read
from retrofit.shipped import path as shipped

READING_MS, ALL_MS = 1.0, 10.0
"""The claims. CI machines differ, so only the ratio to a yardstick of this run is asserted."""

YARDSTICK_MS = 0.14
"""What the yardstick took where the claims were made; twice the claim is allowed in its terms."""

DEMO = shipped("demo", "harbour-launch.json")


def fastest(work: Callable[[], object], times: int) -> float:
    """Milliseconds of the fastest of some runs."""
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return 1e3 * min(taken)


def yardstick() -> object:
    """Work of the same kind that none of our code does: small arrays, many calls."""
    x = np.linspace(0.0, 1.0, POINTS)
    for _ in range(30):
        x = np.clip(np.interp(x, [0.0, 0.5, 1.0], [0.0, 0.4, 1.0]), 0.0, 1.0)
    return x


def fresh() -> Plan:
    """The demo plan as if just read: no stage remembers anything of it."""
    return decode(encode(read_plan(DEMO)), Plan, "benchmark")


def test_that_a_reading_and_a_whole_assessment_are_worked_out_at_once(
    capsys: pytest.CaptureFixture[str],
) -> None:
    needle = needle_of(fresh().pairings[0])
    assert not isinstance(needle, Message)
    x = np.linspace(*fresh().duty.span, POINTS)
    reading = fastest(lambda: read(needle, x), 100)
    plans = iter([fresh() for _ in range(20)])
    whole = fastest(lambda: assess(next(plans)), 20)
    unit = fastest(yardstick, 100)
    with capsys.disabled():
        print(
            f"\nreading of {POINTS} points {reading:.3f} ms, all stages {whole:.2f} ms; "
            f"{reading / unit:.1f} and {whole / unit:.1f} times {unit:.3f} ms of plain NumPy"
        )
    assert reading / unit <= 2.0 * READING_MS / YARDSTICK_MS
    assert whole / unit <= 2.0 * ALL_MS / YARDSTICK_MS
