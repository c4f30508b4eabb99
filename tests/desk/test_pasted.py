"""What a pasted text is, without a window."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.quantities.amounts import Amount
from catalog.tables import Wanted
from retrofit.desk.pasted import LARGEST, Pasted, read_pasted, too_long

TEMPERATURE = Wanted("temperature")


def problems(pasted: Pasted) -> dict[int, list[str]]:
    return {row.number: [p.key for p in row.problems] for row in pasted.rows if row.problems}


def test_that_nothing_pasted_is_nothing_wrong() -> None:
    assert read_pasted(" \n\t\n", TEMPERATURE) == Pasted()


def test_that_each_problem_stands_at_the_row_of_the_text_that_has_it() -> None:
    pasted = read_pasted("°C; ohm\n40; 291\n\n60; mouse\n120; 22\n", TEMPERATURE)
    assert problems(pasted) == {4: ["table.cell"]}
    assert [row.number for row in pasted.rows] == [1, 2, 4, 5]
    assert pasted.problems == ()


@pytest.mark.parametrize(
    ("text", "sortable"),
    [
        ("40; 291\n120; 22\n60; 134\n", True),
        ("120; 22\n60; 134\n40; 291\n", True),
        ("40; 291\n120; 22\n60; 10\n", False),
        ("40; 291\n40; 22\n", False),
    ],
    ids=["one row strayed", "upside down", "turns when sorted", "twice the same value"],
)
def test_that_sorting_is_offered_only_where_it_mends_everything(text: str, sortable: bool) -> None:
    assert read_pasted(text, TEMPERATURE).sortable is sortable


def test_that_a_chosen_unit_counts_only_where_the_table_names_none() -> None:
    in_psi = Wanted("pressure", units=("psi", None))
    bare = read_pasted("0; 10\n45; 184\n", in_psi)
    named = read_pasted("bar; ohm\n0; 10\n45; 184\n", in_psi)
    assert (bare.points[1].at, bare.bare) == (Amount(45.0, "psi"), (True, True))
    assert (named.points[1].at, named.bare) == (Amount(45.0, "bar"), (False, False))


def test_that_a_chosen_per_cent_tells_what_a_bare_one_means() -> None:
    text = "0; 240\n1; 33\n"
    assert problems(read_pasted(text, Wanted("level"))) == {2: ["table.cell"]}
    chosen = read_pasted(text, Wanted("level", units=("%", None)))
    assert chosen.points[1].at == Amount(1.0, "%")


def test_that_a_chosen_volt_makes_a_table_of_volts() -> None:
    chosen = read_pasted("0; 0.5\n10; 4.5\n", Wanted("pressure", units=(None, "V")))
    assert chosen.points[1].gives == Amount(4.5, "V")


def test_that_a_text_longer_than_any_table_is_known_before_it_is_looked_at() -> None:
    assert too_long("1;2\n" * 100_000)
    assert too_long("x" * (LARGEST + 1))
    assert not too_long("1;2\n" * 10_000)


@given(st.text(alphabet=st.sampled_from("0123456789.,;\t\n \"'°CΩkabc#-"), max_size=120))
def test_that_any_text_is_a_table_or_has_a_reason_or_is_empty(text: str) -> None:
    pasted = read_pasted(text, TEMPERATURE)
    told = pasted.problems or problems(pasted)
    assert bool(pasted.points) + bool(told) + (not text.strip()) == 1
