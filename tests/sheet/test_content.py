"""What is printed is what was worked out, as the one renderer shows it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from catalog.quantities.kinds import Kind, difference
from catalog.quantities.show import show
from retrofit.plan.assess import assess
from retrofit.plan.checks.check import Verdict
from retrofit.sheet.blocks import Bullets, Facts, Grid, Pictures, Prose, Verdicts
from retrofit.sheet.compose import Print, compose
from tests.sheet.sheets import DAY, DEMOS, RENDERER, assessed, plain, plan, sheet, text

NAMES = [*DEMOS, "all"]


def shown(value: float, kind: Kind, *, sign: bool = False) -> str:
    return show(value, kind, RENDERER.style, sign=sign, unit=False)


@pytest.mark.parametrize("name", NAMES)
def test_that_the_marks_on_paper_have_the_numbers_of_the_assessment(name: str) -> None:
    found, page = assessed(name), text(name)
    kind = found.plan.duty.kind
    assert found.marks
    for mark in found.marks:
        error = shown(mark.error, difference(kind), sign=True)
        likely = f"{shown(mark.likely_low, kind)} to {shown(mark.likely_high, kind)}"
        worst = f"{shown(mark.worst_low, kind)} to {shown(mark.worst_high, kind)}"
        row = rf"{re.escape(mark.mark.name)} {re.escape(shown(mark.at, kind))} "
        row += rf"{re.escape(shown(mark.ohms, Kind.RESISTANCE))} "
        row += rf".*?{re.escape(shown(mark.shown, kind))}.*? {re.escape(error)} "
        row += rf"{re.escape(likely)} {re.escape(worst)} ± "
        assert re.search(row, page), row


@pytest.mark.parametrize("name", NAMES)
def test_that_every_check_stands_on_paper_with_its_reason(name: str) -> None:
    page = text(name)
    for check in assessed(name).checks:
        for part in (check.says, check.why):
            said = plain(RENDERER.sentence(part))
            assert said in page, said


@pytest.mark.parametrize("name", NAMES)
def test_that_every_caution_of_the_plan_stands_on_the_first_page(name: str) -> None:
    page = text(name)
    first = page[: page.index("page 1 of")]
    for caution in assessed(name).cautions:
        assert plain(RENDERER.sentence(caution)) in first


@pytest.mark.parametrize("name", NAMES)
def test_that_parts_their_points_and_their_origins_stand_on_paper(name: str) -> None:
    page, pairing = text(name), plan(name).pairings[0]
    for part in (pairing.gauge, pairing.sender):
        assert plain(part.name) in page
        assert plain(part.notes) in page
    assert pairing.gauge_origin is not None
    assert pairing.gauge_origin.key in page
    for point in pairing.sender.law.points:  # type: ignore[union-attr]
        assert str(point.gives).replace("\N{NO-BREAK SPACE}", " ") in page


def test_that_each_resistor_of_a_trim_has_value_place_colours_and_watts() -> None:
    # 430 Ω of 5 %: yellow, orange, brown, gold (IEC 60062)
    page = text("all")
    assert "430 Ω across the sender 5 % 430RJ; yellow, orange, brown, gold" in page
    assert "10 Ω in series at the sender 5 % 10RJ; brown, black, black, gold" in page
    loads = assessed("all").loads
    for _, load in loads.resistors:  # type: ignore[union-attr]
        watts = show(load.watts, Kind.POWER, RENDERER.style)
        assert f"{plain(watts)} at worst" in page


@pytest.mark.parametrize("name", NAMES)
def test_that_a_sheet_has_one_to_three_pages_each_numbered_and_named(name: str) -> None:
    page = text(name)
    pages = len(re.findall(r"page \d+ of \d+", page))
    assert 1 <= pages <= 3
    assert f"page {pages} of {pages}" in page
    assert page.count(plan(name).name) >= pages
    assert page.count("2031-05-24") == pages


def test_that_what_nobody_knows_prints_as_unknown() -> None:
    page = text("harbour-launch")
    assert "coil to supply unknown coil to earth unknown" in page
    section = sheet("standby-generator").section("unknown")
    assert isinstance(section.blocks[0], Bullets)
    unknown = [c for c in assessed("standby-generator").checks if c.verdict is Verdict.UNKNOWN]
    assert len(section.blocks[0].items) == len(unknown) > 0


def test_that_a_plan_whose_reading_nobody_can_tell_prints_its_marks_and_the_reason() -> None:
    base = plan("harbour-launch")
    bare = replace(base.pairings[0].gauge, scaled_for=None, marks=())
    other = replace(base, pairings=(replace(base.pairings[0], gauge=bare),))
    found = assess(other, likely=True)
    assert found.reason is not None
    made = compose(found, Print(RENDERER, DAY))
    reading = made.section("reading")
    grid = next(block for block in reading.blocks if isinstance(block, Grid))
    assert [row[0] for row in grid.rows] == [mark.name for mark in base.duty.marks]
    assert {row[2] for row in grid.rows} == {"unknown"}
    assert Prose(RENDERER.sentence(found.reason)) in reading.blocks


def test_that_sections_stand_in_the_order_in_which_they_are_read() -> None:
    names = [section.name for section in sheet("all").sections]
    assert names == [
        *("reading", "duty", "cautions", "parts", "trim", "fit", "wiring", "advice"),
        *("checks", "unknown", "sureness", "sums"),
    ]
    assert len({section.title for section in sheet("all").sections}) == len(names)


def test_that_the_least_certain_number_is_named() -> None:
    blocks = sheet("harbour-launch").section("sureness").blocks
    assert isinstance(blocks[0], Prose)
    assert "pull-off magnet" in blocks[0].text
    assert isinstance(blocks[1], Grid)
    assert blocks[1].rows[0][0] == "pull-off magnet"


def test_that_the_small_print_gives_a_formula_for_each_kind_of_number() -> None:
    section = sheet("all").section("sums")
    assert section.small
    facts = section.blocks[0]
    assert isinstance(facts, Facts)
    assert {"shown", "error", "worst case", "likely", "power"} <= {name for name, _ in facts.rows}
    assert "(R ∥ 430 Ω) + 10 Ω" in plain(dict(facts.rows)["what the dial sees"])


def test_that_dial_chart_and_diagram_are_drawn() -> None:
    for name in NAMES:
        drawn = [
            drawing.title
            for section in sheet(name).sections
            for block in section.blocks
            if isinstance(block, Pictures)
            for drawing in block.drawings
        ]
        assert len(drawn) == 3
        assert drawn[1:] == ["Needle error", "Wiring diagram"]


def test_that_thirty_marks_keep_a_row_each_and_only_some_checks() -> None:
    made = sheet("hostile")
    grids = [block for block in made.section("reading").blocks if isinstance(block, Grid)]
    assert len(grids[0].rows) == 30
    blocks = made.section("checks").blocks
    assert isinstance(blocks[0], Verdicts)
    assert isinstance(blocks[1], Prose)
    assert len(blocks[0].items) < len(assessed("hostile").checks)


def test_that_the_day_is_all_that_changes_from_one_print_to_the_next() -> None:
    later = compose(assessed("all"), Print(RENDERER, DAY.replace(year=2032)))
    assert later.sections == sheet("all").sections
    assert later.made != sheet("all").made


def test_that_the_proposed_wires_and_fuse_are_those_of_the_assessment() -> None:
    found = assessed("all").advice
    grid, bullets = sheet("all").section("advice").blocks
    assert isinstance(grid, Grid)
    assert isinstance(bullets, Bullets)
    sizes = [RENDERER.sentence(one.size_says) for one in found.wires if one.size]
    assert [row[2] for row in grid.rows] == sizes
    assert found.fuse.rating is not None
    assert f"{found.fuse.rating:g}\u00a0A" in bullets.items[0]
    assert "Local codes" in bullets.items[-1]


def test_that_a_proposed_size_stands_in_the_diagram_where_none_was_given() -> None:
    (picture, _) = sheet("all").section("wiring").blocks
    assert isinstance(picture, Pictures)
    assert "proposed" in picture.drawings[0].svg
    assert "fuse 1" in picture.drawings[0].svg


def test_that_the_small_print_gives_the_numbers_at_each_mark() -> None:
    facts, bullets = sheet("harbour-launch").section("sums").blocks
    del facts
    assert isinstance(bullets, Bullets)
    for mark in assessed("harbour-launch").marks:
        assert mark.mark.name in bullets.items[0]
    assert "S = R + Re" in bullets.items[0]
    assert "56.17" in bullets.items[0]
