"""What is printed is what was worked out, as the one renderer shows it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from catalog.parts.laws import TableLaw
from catalog.provenance import Basis, BasisKind
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from catalog.quantities.show import show
from retrofit.plan.assess import assess
from retrofit.plan.checks.check import Verdict
from retrofit.plan.conclusion import conclusion_of
from retrofit.plan.measuring import measurings_of
from retrofit.sheet.blocks import Bullets, Facts, Grid, Pictures, Prose, Verdicts
from retrofit.sheet.compose import Print, compose
from retrofit.sheet.pdf import PAPERS, Paper
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
        if found.plan.duty.capacity is not None:
            full = found.plan.duty.capacity.si(Kind.VOLUME)
            row += rf"{re.escape(shown(mark.at * full, Kind.VOLUME))} "
        row += rf"{re.escape(shown(mark.ohms, Kind.RESISTANCE))} "
        row += rf".*?{re.escape(shown(mark.shown, kind))}.*? {re.escape(error)} "
        row += rf"{re.escape(likely)} {re.escape(worst)} ± "
        assert re.search(row, page), row


@pytest.mark.parametrize("name", NAMES)
def test_that_every_check_stands_on_paper_with_its_reason_or_what_to_measure(name: str) -> None:
    page = text(name)
    steps = {RENDERER.sentence(one.where) for one in measurings_of(assessed(name))}
    for check in assessed(name).checks:
        said = plain(RENDERER.sentence(check.says))
        assert said in page, said
        if check.verdict is not Verdict.UNKNOWN:
            why = plain(RENDERER.sentence(check.why))
            assert why in page, why
    cells = {
        row[2]
        for block in sheet(name).section("unknown").blocks
        if isinstance(block, Grid)
        for row in block.rows
    }
    assert {plain(one) for one in cells} == {plain(one) for one in steps}


def numbers_of_the_conclusion(name: str) -> list[str]:
    return [RENDERER.sentence(one) for one in conclusion_of(assessed(name))]


@pytest.mark.parametrize("name", NAMES)
def test_that_the_first_lines_say_what_the_verdict_means_and_what_the_signs_are(name: str) -> None:
    page = text(name)
    top = page[: page.index("What the needle shows")]
    for said in numbers_of_the_conclusion(name):
        assert plain(said) in top, said
    for word in ("stop: do not use it so", "caution: with care", "unknown: to be measured"):
        assert word in top


@pytest.mark.parametrize("name", NAMES)
def test_that_there_are_boxes_for_what_was_measured_and_what_the_needle_showed(name: str) -> None:
    found = sheet(name)
    job, showed = found.section("fitted").blocks
    assert isinstance(job, Grid)
    assert isinstance(showed, Grid)
    assert job.boxes
    assert set(job.rows[0]) == {""}
    kind = assessed(name).plan.duty.kind
    for mark, row in zip(assessed(name).marks, showed.rows, strict=True):
        assert row[:3] == (mark.mark.name, shown(mark.at, kind), shown(mark.shown, kind))
        assert row[-2:] == ("", "")
    (table,) = found.section("unknown").blocks
    assert isinstance(table, Grid)
    assert {row[-1] for row in table.rows} == {""}


def test_that_what_earthing_a_lead_needs_stands_beside_what_it_does() -> None:
    facts = next(
        one for one in sheet("vineyard-tractor").section("reading").blocks if isinstance(one, Facts)
    )
    told = dict(facts.rows)["before earthing it"]
    # 14.4 V across 10 Ω: 20.7 W
    assert "never at a tank" in told
    assert "10\u00a0Ω" in told
    assert "21\u00a0W" in told


def test_that_engine_and_threads_are_warned_of_where_the_port_is_opened() -> None:
    blocks = sheet("harbour-launch").section("fit").blocks
    assert isinstance(blocks[0], Bullets)
    assert "let the engine go cold" in blocks[0].items[0]


def test_that_degrees_are_told_in_one_unit_with_those_that_were_typed_beside() -> None:
    page = text("harbour-launch")
    # 100 °F = 37.8 °C, 300 °F = 148.9 °C
    assert "37.8 °C (100 °F)" in page
    assert "148.9 °C (300 °F)" in page


def test_that_a_rule_of_thumb_has_four_digits_and_a_measured_one_all() -> None:
    assert "1743 Ω" in text("harbour-launch")
    assert "1743.15" not in text("harbour-launch")
    base = plan("harbour-launch")
    pairing = base.pairing()
    law = pairing.sender.law
    assert isinstance(law, TableLaw)
    read = replace(law.points[0], gives=Amount(450.125, "Ω"), basis=Basis(BasisKind.MEASURED))
    measured = replace(law, points=(read, *law.points[1:]))
    changed = replace(pairing, sender=replace(pairing.sender, law=measured))
    made = compose(assess(replace(base, pairings=(changed,))), Print(RENDERER, DAY))
    cells = [
        cell
        for block in made.section("parts").blocks
        if isinstance(block, Grid)
        for row in block.rows
        for cell in row
    ]
    assert "450.125\u00a0Ω" in cells


def test_that_an_assumed_current_is_marked_and_told_in_amperes() -> None:
    grid = sheet("harbour-launch").section("advice").blocks[0]
    assert isinstance(grid, Grid)
    assert {row[1] for row in grid.rows} == {"0.50\u00a0A (assumed)"}
    known = sheet("all").section("advice").blocks[0]
    assert isinstance(known, Grid)
    assert not [row for row in known.rows if "assumed" in row[1]]
    assert "1 mm², 6\u00a0m" in [cell for row in known.rows for cell in row]


def test_that_only_what_was_stated_is_said_to_be_added_to_the_bands() -> None:
    rows = dict(
        row
        for block in sheet("harbour-launch").section("sums").blocks
        if isinstance(block, Facts)
        for row in block.rows
    )
    # its needle's width is stated, its friction is not
    assert "width of the needle" in rows["added to both"]
    assert "friction" not in rows["added to both"]


def test_that_parts_diagram_and_checks_say_one_thing_of_the_return() -> None:
    found = sheet("harbour-launch")
    facts = [one for one in found.section("parts").blocks if isinstance(one, Facts)]
    assert dict(facts[-1].rows)["earth return"] == "through its body"
    (picture, _) = found.section("wiring").blocks
    assert isinstance(picture, Pictures)
    assert "return?" not in picture.drawings[0].svg
    assert "The sender earths through its body." in text("harbour-launch")


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


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_that_a_sheet_has_one_to_three_pages_each_numbered_and_named(
    name: str, paper: Paper
) -> None:
    page = text(name, paper)
    pages = len(re.findall(r"page \d+ of \d+", page))
    # a plan with everything in it may take one more
    assert 1 <= pages <= (3 if name in DEMOS else 4)
    assert f"page {pages} of {pages}" in page
    assert page.count(plan(name).name) >= pages
    assert page.count("2031-05-24") == pages


def test_that_what_nobody_knows_prints_as_unknown() -> None:
    page = text("harbour-launch")
    assert "coil to supply unknown coil to earth unknown" in page
    (table,) = sheet("standby-generator").section("unknown").blocks
    assert isinstance(table, Grid)
    assert len(table.rows) == len(measurings_of(assessed("standby-generator"))) > 0


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
        *("checks", "unknown", "sureness", "fitted", "sums"),
    ]
    assert len({section.title for section in sheet("all").sections}) == len(names)


def test_that_the_least_certain_number_is_named() -> None:
    blocks = sheet("harbour-launch").section("sureness").blocks
    assert isinstance(blocks[0], Prose)
    assert "at alarm: pull-off magnet" in blocks[0].text
    assert isinstance(blocks[1], Facts)
    assert blocks[1].rows[0][0] == "pull-off magnet"
    # 3 % of the scale of 80 °C
    assert blocks[1].rows[0][1] == "−2.4\u00a0°C to +2.4\u00a0°C"


def test_that_an_unknown_shape_is_ranked_with_the_rest_and_what_is_missing_is_named() -> None:
    blocks = sheet("vineyard-tractor").section("sureness").blocks
    assert isinstance(blocks[1], Facts)
    assert [name for name, _ in blocks[1].rows] == ["shape unknown", "pull-off magnet"]
    assert isinstance(blocks[2], Bullets)
    assert "tolerance of the sender" in blocks[2].items[0]
    assert "likely larger" in blocks[2].items[0]


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
    assert isinstance(bullets, Bullets)
    for mark in assessed("harbour-launch").marks:
        assert mark.mark.name in bullets.items[0]
    # 55.97 Ω of the sender and 0.2 Ω of its way to earth
    assert "sender 55.97\u00a0Ω, dial sees 56.17\u00a0Ω" in bullets.items[0]
    assert isinstance(facts, Facts)
    seen = plain(dict(facts.rows)["what the dial sees"])
    assert "R + Re, with R the sender, Re sender's way to earth 0.2 Ω" in seen
