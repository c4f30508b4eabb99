"""Rows that are judged are sought again over the whole curve, so that `trim` finds no better."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from catalog.library import load_generic
from catalog.quantities.amounts import Amount
from retrofit.finder.judged import judged_row, judged_rows
from retrofit.finder.rank import FindWishes, find
from retrofit.finder.ranking import Ranking
from retrofit.finder.rows import Way, candidates
from retrofit.finder.sought_again import SLACK, sought_again
from retrofit.plan.document import Medium, Plan
from retrofit.plan.draft import Wish, draft
from retrofit.plan.file import read_plan
from retrofit.plan.trim_wishes import TrimWishes
from retrofit.plan.trims import propose
from retrofit.shipped import path as shipped

LIBRARY = load_generic()


def demo(name: str) -> Plan:
    plan = read_plan(Path(shipped("demo", name)))
    return replace(plan, pairings=(replace(plan.pairing(), trim=()),))


def found(plan: Plan, wishes: FindWishes, way: Way = "senders") -> Ranking:
    ranking, label = Ranking(), plan.pairing().label
    tried = candidates(plan.pairing(), way, LIBRARY.senders, LIBRARY.gauges)
    for arrived in find(plan, label, way, tried, wishes):
        ranking.take(arrived)
    return ranking


@pytest.mark.parametrize("name", ["vineyard-tractor.json", "harbour-launch.json"])
@pytest.mark.parametrize("most", [1, 2])
def test_that_no_row_on_screen_is_worse_than_what_trim_proposes_for_its_part(
    name: str, most: int
) -> None:
    plan, wishes = demo(name), FindWishes(TrimWishes(most=most))
    label, ranking = plan.pairing().label, found(plan, wishes)
    assert ranking.rows
    for row in ranking.rows[:12]:
        judged = judged_row(plan, label, row, wishes.trim)
        lead = propose(judged.plan, label, wishes.trim).lead
        assert lead is not None
        assert judged.row.lead.worst <= lead.judged.share * (1.0 + SLACK) + SLACK or (
            lead.judged.at_least
        )


def test_that_a_trim_that_errs_more_between_the_points_is_sought_again() -> None:
    plan, wishes = demo("vineyard-tractor.json"), FindWishes()
    label, ranking = plan.pairing().label, found(plan, wishes)
    again = [(row, sought_again(plan, label, row, wishes.trim)) for row in ranking.rows]
    changed = [(row, other) for row, other in again if other is not row]
    assert changed
    for row, other in changed:
        # The best over few points is a bound of the best over all.
        assert other.best.worst >= row.best.worst * (1.0 - 1e-9)
        assert len(other.best.errors) == len(row.best.errors)
    # What does not err more between the points stays the same object.
    assert any(other is row for row, other in again)


def test_that_judged_rows_stand_in_the_order_of_the_numbers_that_are_shown() -> None:
    plan, wishes = demo("vineyard-tractor.json"), FindWishes()
    judged = judged_rows(plan, plan.pairing().label, found(plan, wishes).rows, wishes.trim)
    orders = [one.judged.judged.by_number for one in judged]
    assert orders == sorted(orders)


MEDIA: tuple[Medium, ...] = ("unknown", "petrol", "fresh water")


def test_that_what_may_sit_in_fuel_is_told_no_milder_than_unknown() -> None:
    sender = next(one for one in LIBRARY.senders if one.key == "level-240-33-mid-103")
    gauge = next(one for one in LIBRARY.gauges if one.key == "gauge-level-240-33-ratio-12v")
    said = {}
    for medium in MEDIA:
        plan = draft(sender, gauge, Wish(allowed=Amount(5.0, "%"), medium=medium), {})
        row = found(plan, FindWishes()).rows[0]
        said[medium] = judged_row(plan, "A", row, TrimWishes()).judged.judged.verdict.value
    assert said == {"unknown": "unknown", "petrol": "unknown", "fresh water": "good"}
