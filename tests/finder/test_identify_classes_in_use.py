"""Identification scored on classes in use, measured with a cheap meter, slips and all.

The figures come from outside this program (``classes_in_use.csv``), the meter's errors and the
slips from a seeded random generator (``bench``). The bounds are what a user may rely on, not
what the last run gave; ``python -m tests.finder.bench 20`` prints the figures of more tables.

Two classes count as one where the ohms of one lie within what two parts of the other may differ
(`bench.count_as_one`: 240–33 Ω and 240–30 Ω, 500–100 Ω and 450–100 Ω): a part of the one cannot
be told from a part of the other by any meter, so naming the other is no false claim.
"""

from __future__ import annotations

import pytest

from tests.finder.bench import Score, Variant, classes_in_use, neighbours, score

SEED = [20_31]


def scored(variant: Variant, *, listed: bool, fewest: int = 3) -> Score:
    return score(variant, SEED, listed=listed, fewest=fewest)


def test_that_the_table_of_classes_in_use_is_whole() -> None:
    classes = classes_in_use()
    assert len(classes) == 61
    assert sum(len(one.at) >= 3 for one in classes) >= 25
    assert {one.quantity for one in classes} == {"level", "pressure", "temperature"}


def test_that_every_class_is_found_from_its_own_points() -> None:
    found = scored("plain", listed=True, fewest=1)
    assert found.tables >= 55
    assert found.first >= 0.95 * found.tables
    assert found.top_three >= 0.98 * found.tables
    assert (found.wrong, found.none) == (0, 0)
    # Two readings leave several classes more often; three tell.
    assert found.identified >= 0.8 * found.tables


def test_that_one_stuck_reading_does_not_kill_the_right_class() -> None:
    found = scored("stuck", listed=True)
    assert found.tables >= 25
    assert found.first >= 0.9 * found.tables
    assert found.top_three >= 0.95 * found.tables
    assert found.wrong == 0


def test_that_swapped_rows_do_not_kill_the_right_class() -> None:
    found = scored("swapped", listed=True)
    assert found.first >= 0.9 * found.tables
    assert found.top_three >= 0.95 * found.tables
    assert found.wrong == 0


def test_that_a_class_that_is_left_out_ends_in_none_of_these() -> None:
    found = scored("plain", listed=False)
    # Every table with no other class that counts as one with the true one.
    assert found.lone >= 14
    assert found.lone_none == found.lone
    assert found.wrong == 0
    assert found.none >= 0.6 * found.tables


@pytest.mark.parametrize("variant", ["stuck", "swapped"])
def test_that_a_class_left_out_is_not_claimed_by_another_for_a_slip(variant: Variant) -> None:
    found = scored(variant, listed=False)
    assert found.wrong <= 0.03 * found.tables
    assert found.lone_none >= 0.8 * found.lone


def test_that_two_readings_rarely_make_a_false_claim() -> None:
    found = scored("plain", listed=False, fewest=1)
    assert found.wrong <= 0.02 * found.tables
    assert found.lone_none >= 0.75 * found.lone


def test_that_classes_that_count_as_one_are_near_each_other() -> None:
    # Worked out by hand: 500/450 = 1.11 is within 10 % and 2 % of the span; 303–35 has none near.
    by_name = {one.name: one for one in classes_in_use()}
    flex = next(one for name, one in by_name.items() if "500 100 ohm" in name)
    lone = next(one for name, one in by_name.items() if "303 35 ohm" in name)
    assert neighbours(flex) == ("level-450-100",)
    assert neighbours(lone) == ()
