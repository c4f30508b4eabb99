"""The PDF is an archive's: PDF/A-2a (ISO 19005-2) as far as its own parts tell, and no more.

No general validator is at hand that installs with pip; what is checked here are the parts that
the standard asks for and that a reader library can see (clauses from memory).
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from pypdf.generic import IndirectObject

from catalog.quantities.show import NumberStyle
from retrofit.drawing.look import Look
from retrofit.drawing.palette import GREY
from retrofit.messages import Renderer
from retrofit.sheet.blocks import Grid
from retrofit.sheet.compose import Print, compose
from retrofit.sheet.pdf import PAPERS, Layout, Paper, as_pages, as_pdf
from tests.sheet.sheets import (
    DAY,
    DEMOS,
    HOSTILE,
    LOOK,
    RIGHT_TO_LEFT,
    UNSHOWN,
    assessed,
    pdf,
    plain,
    plan,
    reader,
    sheet,
    text,
)

POINTS = 72.0 / 25.4
NAMES = [*DEMOS, "all", "hostile"]


def resolved(value: Any) -> Any:
    return value.get_object() if isinstance(value, IndirectObject) else value


@pytest.mark.parametrize("name", NAMES)
def test_that_the_file_says_that_it_is_pdf_a_2a_and_has_what_that_asks_for(name: str) -> None:
    found = reader(name)
    root = resolved(found.trailer["/Root"])
    assert not found.is_encrypted
    assert "/ID" in found.trailer
    about = resolved(root["/Metadata"]).get_data().decode("utf-8")
    assert re.search(r"<pdfaid:part>2</pdfaid:part>", about)
    assert re.search(r"<pdfaid:conformance>A</pdfaid:conformance>", about)
    (intent,) = resolved(root["/OutputIntents"])
    assert resolved(intent)["/S"] == "/GTS_PDFA1"
    assert resolved(resolved(intent)["/DestOutputProfile"]).get_data()[36:40] == b"acsp"
    assert resolved(root["/MarkInfo"])["/Marked"]
    assert root["/Lang"] == "en"
    assert "/StructTreeRoot" in root


@pytest.mark.parametrize("name", NAMES)
def test_that_nothing_in_the_file_acts_or_reaches_out(name: str) -> None:
    raw = pdf(name)
    for forbidden in (b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"/OpenAction", b"/URI"):
        assert forbidden not in raw


def test_that_every_font_is_embedded_and_the_shipped_one_sets_the_text() -> None:
    found = reader("harbour-launch")
    names = set()
    for page in found.pages:
        for font in resolved(page["/Resources"])["/Font"].values():
            (inner,) = resolved(resolved(font)["/DescendantFonts"])
            descriptor = resolved(resolved(inner)["/FontDescriptor"])
            names.add(str(descriptor["/FontName"]).split("+")[-1])
            assert any(key in descriptor for key in ("/FontFile2", "/FontFile3"))
            assert "/ToUnicode" in resolved(font)
    assert {name.split("-")[0] for name in names} == {"Inter"}


@pytest.mark.parametrize("paper", list(PAPERS))
def test_that_pages_have_the_size_of_their_paper(paper: Paper) -> None:
    # A4 after ISO 216; Letter 8.5 × 11 in (common practice, no source)
    wide, high = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]
    for page in reader("all", paper).pages:
        assert float(page.mediabox.width) == pytest.approx(wide * POINTS, abs=0.5)
        assert float(page.mediabox.height) == pytest.approx(high * POINTS, abs=0.5)


def test_that_the_same_sheet_is_the_same_file() -> None:
    assert as_pdf(sheet("all"), Layout("A4", LOOK)) == pdf("all")


def test_that_title_and_day_are_those_of_the_sheet() -> None:
    about = reader("all").metadata
    assert about is not None
    assert about.title == plan("all").name
    assert about.creation_date is not None
    assert about.creation_date.date().isoformat() == "2031-05-24"


def test_that_markup_in_names_is_set_as_it_was_typed() -> None:
    page = text("hostile")
    assert plain(HOSTILE)[:60] in page
    assert "<script>alert(1)</script>" in page


def test_that_names_from_right_to_left_are_shown_and_turn_nothing_else_round() -> None:
    page = text("hostile")
    letters = set(RIGHT_TO_LEFT)
    assert letters <= set(page)
    assert "\u202e" not in page
    assert "gnorw" in page


def test_that_signs_without_a_font_stand_as_a_box_and_the_sheet_says_so() -> None:
    page = text("hostile")
    assert "□" in page
    assert not set(UNSHOWN) & set(page)
    assert "The sheet's fonts lack the signs that stand here as □" in page
    assert "The sheet's fonts lack" not in text("all")


def test_that_a_name_without_end_is_cut_and_runs_over_no_edge() -> None:
    for page in reader("hostile").pages:
        edge = float(page.mediabox.width)
        at: list[float] = []

        def visit(words: str, cm: Any, tm: Any, *_: Any) -> None:
            if words.strip():
                at.append(float(cm[0] * tm[4] + cm[2] * tm[5] + cm[4]))  # noqa: B023

        page.extract_text(visitor_text=visit)
        assert at
        assert max(at) < edge - 20.0
    assert "…" in text("hostile")


def test_that_a_decimal_comma_reaches_the_paper() -> None:
    german = Renderer(NumberStyle(","))
    made = compose(assessed("harbour-launch"), Print(german, DAY))
    pages = as_pages(made, Layout("A4", Look(GREY, german)), 30.0)
    assert len(pages) == 3
    grid = made.section("reading").blocks[2]
    assert isinstance(grid, Grid)
    assert "98,0" in grid.rows[0]
