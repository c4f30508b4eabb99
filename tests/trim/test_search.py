"""The search against plain loops: never beaten, never missed; ties, filters and certificates."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest

from retrofit.trim.answer import Trim, Wishes, best_trims
from retrofit.trim.boxes import Space
from retrofit.trim.certificate import certificate
from retrofit.trim.search import Best, CancelledError, Watch, best
from retrofit.trim.ties import settled
from retrofit.trim.topologies import Part, Shelf, topologies
from tests.trim import plain_loop
from tests.trim.certificate_checker import check
from tests.trim.pairings import Both, random_pairing

QUICK, FULL = 60, 500
"""Random pairings, and with ``--hypothesis-profile=full``."""


@pytest.fixture
def pairings(request: pytest.FixtureRequest) -> list[Both]:
    """Fresh ones; the header of the run shows the seed that repeats them."""
    seed = int(request.config.getoption("--hypothesis-seed"))
    full = request.config.getoption("--hypothesis-profile") == "full"
    return [
        random_pairing(np.random.default_rng([seed, n])) for n in range(FULL if full else QUICK)
    ]


def searched(pairing: Both, most: int = 3) -> tuple[Space, Best]:
    shelf = Shelf(pairing.values)
    kinds = topologies(most, pull_up=pairing.question.node.pull_up)
    space = Space(pairing.question, shelf, tuple(Part.whole(kind, shelf) for kind in kinds))
    return space, settled(space, best(space, Watch()), Watch())


def nearness(trim: plain_loop.Trim) -> tuple[float, ...]:
    """Least first: the largest ohms across, to earth and pulling up, the smallest in series."""
    p, s1, q, s2, u = trim
    return -p, -q, -u, s2, s1


def test_that_no_trim_of_a_plain_loop_beats_the_search_and_none_is_missed(
    pairings: list[Both],
) -> None:
    for number, pairing in enumerate(pairings):
        space, found = searched(pairing)
        loops = plain_loop.topologies(3, pull_up=pairing.plain.pull_up)
        assert [part.topology.columns for part in space.parts] == loops
        for row, columns in enumerate(loops):
            every = plain_loop.every(pairing.plain, columns, pairing.values.tolist())
            least = min(every.values())
            assert found.worst[row] == pytest.approx(least, rel=1e-9, abs=1e-9), (number, columns)
            if math.isinf(least):
                continue
            ohms = [float(each[row]) for each in space.shelf.ohms(found.index)]
            trim = (ohms[0], ohms[1], ohms[2], ohms[3], ohms[4])
            slack = 1e-9 * max(1.0, least)
            assert every[trim] <= least + 1.5 * slack, (number, columns)
            rivals = [t for t, w in every.items() if w <= least + 0.1 * slack]
            assert nearness(trim) <= min(nearness(t) for t in rivals), (number, columns)


def test_that_each_certificate_holds_for_a_checker_that_knows_nothing_of_the_search(
    pairings: list[Both],
) -> None:
    for pairing in pairings[: len(pairings) // 3]:
        question = pairing.question
        answer = best_trims(question, pairing.values, Wishes(most=3))
        if answer.best is None:
            continue
        kinds = topologies(3, pull_up=question.node.pull_up)
        made = certificate(question, pairing.values, kinds, answer.best.trim)
        assert made is not None
        document = json.loads(json.dumps(made.document()))
        assert check(document, pairing.plain, rising=question.dial.rising) == []
        assert made.gap == 1e-9


def test_that_a_certificate_with_a_leaf_moved_left_out_or_a_better_winner_is_refused() -> None:
    pairing = next(
        each
        for each in (random_pairing(np.random.default_rng(n)) for n in range(100))
        if each.plain.pull_up and (searched(each)[1].worst < np.inf).all()
    )
    question = pairing.question
    answer = best_trims(question, pairing.values, Wishes(most=3))
    assert answer.best is not None
    kinds = topologies(3, pull_up=True)
    proof = certificate(question, pairing.values, kinds, answer.best.trim)
    assert proof is not None
    made = proof.document()

    def refused(change: str) -> list[str]:
        document = json.loads(json.dumps(made))
        part = document["topologies"][-1]
        if change == "left out":
            for name in ("low", "high", "split", "bound"):
                part[name].pop()
        elif change == "claimed":
            document["worst"] *= 1.2
        else:
            part["split"] = [1 for _ in part["split"]]
        return check(document, pairing.plain, rising=question.dial.rising)

    assert any("tile" in each for each in refused("left out"))
    assert any("err as stated" in each for each in refused("claimed"))
    assert any("better trim" in each for each in refused("moved"))


def test_that_with_a_filter_the_best_allowed_trim_is_found(pairings: list[Both]) -> None:
    def rule(p: float, s1: float, q: float, s2: float, u: float) -> bool:
        # A check of its own: any rule that does not follow the crossing.
        text = f"{p:.2f} {s1:.2f} {q:.2f} {s2:.2f} {u:.2f}"
        return sum(map(ord, text)) % 3 != 0

    def allowed(*ohms: np.ndarray) -> np.ndarray:
        return np.array(
            [rule(*each) for each in zip(*(o.tolist() for o in ohms), strict=True)], bool
        )

    for number, pairing in enumerate(pairings[: len(pairings) // 5]):
        answer = best_trims(pairing.question, pairing.values, Wishes(most=2, allowed=allowed))
        for count, found in enumerate(answer.by_count):
            every: dict[plain_loop.Trim, float] = {}
            for columns in plain_loop.topologies(2, pull_up=pairing.plain.pull_up):
                if len(columns) == count:
                    every |= plain_loop.every(pairing.plain, columns, pairing.values.tolist())
            least = min((w for t, w in every.items() if rule(*t)), default=math.inf)
            ours = math.inf if found is None else found.worst
            assert ours == pytest.approx(least, rel=1e-9, abs=1e-9), (number, count)
            assert found is None or rule(*found.trim.ohms)


def test_that_a_cancelled_search_ends_and_progress_reaches_its_total() -> None:
    pairing = random_pairing(np.random.default_rng(7))
    steps: list[tuple[int, int]] = []
    best_trims(pairing.question, pairing.values, None, Watch(lambda *s: steps.append(s)))
    assert steps[-1][0] == steps[-1][1]
    with pytest.raises(CancelledError):
        best_trims(pairing.question, pairing.values, None, Watch(cancelled=lambda: True))


def test_that_the_lead_is_within_the_noise_of_the_best_and_no_smaller_trim_is(
    pairings: list[Both],
) -> None:
    for pairing in pairings[: len(pairings) // 3]:
        answer = best_trims(pairing.question, pairing.values, Wishes(most=3))
        if answer.best is None:
            assert (answer.lead, answer.alternatives) == (None, ())
            continue
        assert answer.lead is not None
        limit = answer.best.worst + answer.best.noise
        assert answer.lead.worst <= limit + 1e-9
        fewer = answer.by_count[: len(answer.lead.trim.resistors)]
        assert all(each is None or each.worst > limit for each in fewer)
        assert len(answer.alternatives) <= 8
        for each in answer.alternatives:
            assert _differs(each.trim, answer.lead.trim, 0.05)


def _differs(one: Trim, other: Trim, tolerance: float) -> bool:
    if one.places != other.places:
        return True
    pairs = zip(one.resistors, other.resistors, strict=True)
    return any(abs(a - b) > tolerance * b for (_, a), (_, b) in pairs)


def test_that_the_spread_of_tolerances_is_met_by_no_random_parts(pairings: list[Both]) -> None:
    draw = np.random.default_rng(1)
    for pairing in pairings[:20]:
        found = best_trims(pairing.question, pairing.values, Wishes(most=2)).best
        if found is None or math.isinf(found.with_5):
            continue
        for _ in range(20):
            p, s1, q, s2, u = (ohm * draw.uniform(0.95, 1.05) for ohm in found.trim.ohms)
            off = plain_loop.worst(pairing.plain, (p, s1, q, s2, u))
            assert off <= found.with_5 * (1.0 + 1e-9) + 1e-9
