"""The finder against one proposal a candidate, which ``tests/trim`` holds against plain loops."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from catalog.library import load_generic
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from retrofit.dial import stops
from retrofit.finder.filters import by_return, by_stations, by_supply
from retrofit.finder.rank import Arrived, FindWishes, find
from retrofit.finder.ranking import Ranking, unbeaten
from retrofit.finder.rows import Candidate, Row, Way, candidates
from retrofit.installation import SecondGauge, SenderLimits
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan
from retrofit.plan.trim_question import Beyond, question_of, sender_filter
from retrofit.plan.trim_wishes import TrimWishes
from retrofit.shipped import path as shipped
from retrofit.trim.answer import Wishes, best_trims
from retrofit.trim.question import TIE, Question
from retrofit.trim.search import CancelledError, Watch
from tests.benchmarks.many_parts import many_senders

LAUNCH = read_plan(shipped("demo", "harbour-launch.json"))
TRACTOR = read_plan(shipped("demo", "vineyard-tractor.json"))


def tried(plan: Plan, way: Way, parts: Sequence[Any] = ()) -> tuple[Candidate, ...]:
    library, pairing = load_generic(), plan.pairing()
    senders = [one for one in parts if isinstance(one, Sender)] or library.senders
    gauges = [one for one in parts if isinstance(one, Gauge)] or library.gauges
    return candidates(pairing, way, senders, gauges)


def ranked(
    plan: Plan, way: Way, those: Sequence[Candidate], wishes: FindWishes | None = None
) -> Ranking:
    ranking = Ranking()
    for arrived in find(plan, plan.pairing().label, way, those, wishes):
        ranking.take(arrived)
    assert ranking.done == ranking.total == len(those)
    assert len(ranking.rows) + len(ranking.excluded) == len(those)
    assert ranking.proven == len(ranking.rows)
    return ranking


def alone(plan: Plan, row: Row, wishes: TrimWishes) -> tuple[Question, Wishes]:
    """The question of one candidate, as ``retrofit trim`` would ask it."""
    pairing = replace(
        plan.pairing(), gauge=row.candidate.gauge, sender=row.candidate.sender, trim=()
    )
    question = question_of(pairing, plan.duty, wishes.beyond)
    assert isinstance(question, Question)
    allowed = sender_filter(pairing, plan.duty)
    return question, Wishes(wishes.most, wishes.pull_up, wishes.tolerance, allowed)


def same_as_alone(plan: Plan, ranking: Ranking, wishes: TrimWishes) -> None:
    """Value, trim and order of every row against a search for that candidate alone."""
    worst = []
    for row in ranking.rows:
        question, asked = alone(plan, row, wishes)
        answer = best_trims(question, wishes.ohms(), asked)
        assert answer.best is not None
        assert answer.lead is not None
        assert row.best.worst == pytest.approx(answer.best.worst, rel=TIE, abs=TIE)
        assert row.best.trim == answer.best.trim
        assert row.lead.trim == answer.lead.trim
        held = stops(row.candidate.gauge)
        errors = np.clip(answer.lead.shown[:21], held.low, held.high) - question.x[:21]
        np.testing.assert_allclose(row.lead.errors, errors, rtol=1e-9, atol=1e-9)
        worst.append(answer.best.worst)
    assert np.all(np.diff(worst) >= -1e-8)


@pytest.mark.parametrize("plan", [LAUNCH, TRACTOR], ids=["launch", "tractor"])
@pytest.mark.parametrize("way", ["senders", "gauges"])
@pytest.mark.parametrize("pull_up", [False, True])
def test_that_every_candidate_of_the_catalogue_has_the_trim_of_a_search_of_its_own(
    plan: Plan, way: Way, pull_up: bool
) -> None:
    wishes = TrimWishes(values="E12", pull_up=pull_up)
    found = ranked(plan, way, tried(plan, way), FindWishes(wishes))
    assert found.rows
    same_as_alone(plan, found, wishes)


def test_that_random_senders_have_the_trims_of_searches_of_their_own(
    request: pytest.FixtureRequest,
) -> None:
    seed = int(request.config.getoption("--hypothesis-seed"))
    full = request.config.getoption("--hypothesis-profile") == "full"
    senders = many_senders(2000 if full else 60, seed)
    wishes = TrimWishes()
    found = ranked(TRACTOR, "senders", tried(TRACTOR, "senders", senders), FindWishes(wishes))
    same_as_alone(TRACTOR, found, wishes)


def test_that_pairs_are_ranked_over_all_gauges_together() -> None:
    senders = [one for one in load_generic().senders if one.quantity == "level"][:6]
    gauges = [one for one in load_generic().gauges if one.quantity == "level"][:4]
    wishes = TrimWishes(values="E6")
    found = ranked(
        TRACTOR, "pairs", tried(TRACTOR, "pairs", [*senders, *gauges]), FindWishes(wishes)
    )
    same_as_alone(TRACTOR, found, wishes)
    assert len({row.candidate.gauge.key for row in found.rows}) > 1


def test_that_a_class_on_its_own_gauge_comes_first_and_needs_no_resistor() -> None:
    # A class on its own gauge reads true: the first of the physics' promises.
    plan = replace(
        TRACTOR,
        pairings=(
            replace(
                TRACTOR.pairing(),
                gauge=next(
                    one
                    for one in load_generic().gauges
                    if one.scaled_for is not None and one.quantity == "level"
                ),
            ),
        ),
    )
    scaled_for = plan.pairing().gauge.scaled_for
    assert scaled_for is not None
    found = ranked(plan, "senders", tried(plan, "senders"))
    own = next(row for row in found.rows if row.key == scaled_for.key)
    assert own.best.worst < 1e-6
    assert own.best.parts == own.lead.parts == 0
    assert own.key in unbeaten(found.rows)
    assert found.rows[0].best.worst <= own.best.worst


def test_that_the_first_ranks_are_proven_before_the_rest_is_known() -> None:
    those = tried(TRACTOR, "senders", many_senders(400))
    ranking, proven = Ranking(), 0
    for arrived in find(TRACTOR, "A", "senders", those, FindWishes(ranks=15)):
        ranking.take(arrived)
        if arrived.bounded is not None:
            proven = ranking.proven
            early = [row.key for row in ranking.rows[:proven]]
            bounds = {one.candidate.key: one.at_least for one in ranking.bounded}
            assert len(bounds) + len(ranking.rows) + len(ranking.excluded) == len(those)
    assert proven >= 15
    assert [row.key for row in ranking.rows[:proven]] == early
    assert bounds
    exact = {row.key: row.best.worst for row in ranking.rows}
    assert all(at <= exact[key] * (1.0 + 1e-9) for key, at in bounds.items())


def test_that_whatever_is_left_out_is_kept_with_its_reason() -> None:
    found = ranked(LAUNCH, "senders", tried(LAUNCH, "senders"))
    kinds = {out.kind for out in found.excluded}
    assert {"quantity", "curve", "direction", "range"} <= kinds
    for out in found.excluded:
        assert out.why.key
    backwards = [out for out in found.excluded if out.kind == "direction"]
    dial_rising = False  # the launch's dial falls with temperature
    assert all(
        out.candidate.sender.curve is not None
        and out.candidate.sender.curve.rising is not dial_rising
        for out in backwards
    )


def test_that_a_gauge_for_another_supply_is_left_out_by_name() -> None:
    found = ranked(LAUNCH, "gauges", tried(LAUNCH, "gauges"))
    supply = [out for out in found.excluded if out.kind == "supply"]
    assert supply
    assert all("12 V" not in out.candidate.gauge.system for out in supply)


def test_that_a_sender_that_a_controller_reads_is_never_loaded() -> None:
    plan = replace(LAUNCH, duty=replace(LAUNCH.duty, controller_shares="yes"))
    found = ranked(plan, "senders", tried(plan, "senders"))
    assert not found.rows
    assert {out.kind for out in found.excluded} == {"controller"}


def test_that_an_installation_that_reads_wrong_is_tested_first() -> None:
    plan = replace(LAUNCH, mends="yes")
    found = ranked(plan, "senders", tried(plan, "senders"))
    assert {out.kind for out in found.excluded} == {"tests"}


def test_that_filters_leave_out_with_a_reason_and_nothing_else() -> None:
    those = tried(TRACTOR, "senders")
    plain = ranked(TRACTOR, "senders", those)
    wishes = FindWishes(filters=(by_stations(1), by_return("insulated"), by_supply("12 V")))
    found = ranked(TRACTOR, "senders", those, wishes)
    kept = {row.key for row in found.rows}
    wanted = {
        row.key
        for row in plain.rows
        if row.candidate.sender.stations == 1
        and row.candidate.sender.earth_return in ("insulated", "either")
    }
    assert kept == wanted
    assert any(out.kind == "filter" for out in found.excluded)


def test_that_limits_of_the_sender_are_kept_by_every_candidate() -> None:
    milliamperes = Figure(Amount(60.0, "mA"))
    limits = SenderLimits(current=milliamperes)
    plan = replace(TRACTOR, duty=replace(TRACTOR.duty, original=limits))
    wishes = TrimWishes(values="E6", pull_up=True)
    found = ranked(plan, "senders", tried(plan, "senders")[:14], FindWishes(wishes))
    same_as_alone(plan, found, wishes)


def test_that_three_resistors_are_searched_one_by_one_and_no_bound_is_beaten() -> None:
    wishes = TrimWishes(values="E6", most=3)
    senders = [one for one in load_generic().senders if one.quantity == "level"][:8]
    found = ranked(
        TRACTOR, "senders", tried(TRACTOR, "senders", senders), FindWishes(wishes, ranks=2)
    )
    same_as_alone(TRACTOR, found, wishes)


def test_that_no_flattering_is_kept_where_it_is_asked_for() -> None:
    wishes = TrimWishes(values="E12", beyond=Beyond("reserve"))
    found = ranked(TRACTOR, "senders", tried(TRACTOR, "senders"), FindWishes(wishes))
    assert all("reserve" not in row.best.flatters for row in found.rows)
    same_as_alone(TRACTOR, found, wishes)


def test_that_with_errors_allowed_at_marks_only_these_alone_are_judged() -> None:
    marks = tuple(
        replace(TRACTOR.duty.marks[0], name=name, at=Amount(at, "%"), allowed=Amount(6.0, "%"))
        for name, at in (("reserve", 12.0), ("half", 50.0))
    )
    plan = replace(TRACTOR, duty=replace(TRACTOR.duty, allowed=None, marks=marks))
    wishes = TrimWishes(values="E12")
    found = ranked(plan, "senders", tried(plan, "senders"), FindWishes(wishes))
    assert found.rows
    for row in found.rows:
        question, asked = alone(plan, row, wishes)
        answer = best_trims(question, wishes.ohms(), asked)
        assert answer.best is not None
        assert row.best.worst == pytest.approx(answer.best.worst, rel=TIE, abs=TIE)
        assert np.all(np.isnan(row.best.errors))


def test_that_beside_a_second_gauge_candidates_are_judged_as_they_are() -> None:
    pairing = TRACTOR.pairing()
    installation = replace(pairing.installation, second=SecondGauge(pairing.gauge))
    plan = replace(TRACTOR, pairings=(replace(pairing, installation=installation),))
    senders = [one for one in load_generic().senders if one.quantity == "level"]
    found = ranked(plan, "senders", tried(plan, "senders", senders[:10]))
    assert found.rows
    assert all(row.best.parts == 0 and not math.isnan(row.best.worst) for row in found.rows)


def test_that_a_search_ends_when_that_is_wished_and_tells_how_far_it_is() -> None:
    told: list[tuple[int, int]] = []
    watch = Watch(progress=lambda done, total: told.append((done, total)))
    those = tried(TRACTOR, "senders")
    assert list[Arrived](find(TRACTOR, "A", "senders", those, None, watch))
    assert told == sorted(told)
    assert told[-1] == (len(those), len(those))
    with pytest.raises(CancelledError):
        list(find(TRACTOR, "A", "senders", those, None, Watch(cancelled=lambda: True)))
