"""The sheet as one HTML file that a reader without eyes can use, and the curve as CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from catalog.errors import UserError
from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.plan.assess import assess
from retrofit.sheet.curve_csv import as_csv
from retrofit.sheet.html import as_html
from retrofit.sheet.wording import Wording
from tests.sheet.sheets import DEMOS, HOSTILE, LOOK, RENDERER, UNSHOWN, assessed, plan, sheet

NAMES = [*DEMOS, "all", "hostile"]
VOID = {"meta"}


class Page(HTMLParser):
    """A parsed page: its elements with attributes, and whether they nest."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]


def page(name: str) -> Page:
    return Page(as_html(sheet(name), LOOK))


@pytest.mark.parametrize("name", NAMES)
def test_that_the_page_nests_and_has_language_title_and_headings_in_order(name: str) -> None:
    found = page(name)
    assert found.open == []
    assert found.all("html")[0]["lang"] == "en"
    heads = [tag for tag, _ in found.elements if tag in ("h1", "h2", "h3")]
    assert heads == ["h1"] + ["h2"] * len(sheet(name).sections)
    assert len(found.all("title")) >= 1


@pytest.mark.parametrize("name", NAMES)
def test_that_every_name_in_the_page_is_given_once_and_every_reference_leads_somewhere(
    name: str,
) -> None:
    found = page(name)
    names = [attributes["id"] for _, attributes in found.elements if "id" in attributes]
    assert len(names) == len(set(names))
    for _, attributes in found.elements:
        for reference in (attributes.get("aria-labelledby") or "").split():
            assert reference in names


@pytest.mark.parametrize("name", NAMES)
def test_that_tables_have_captions_and_headings_with_a_scope(name: str) -> None:
    found = page(name)
    assert len(found.all("caption")) == len(found.all("table")) > 0
    scopes = [attributes.get("scope") for attributes in found.all("th")]
    assert set(scopes) == {"col", "row"}


@pytest.mark.parametrize("name", NAMES)
def test_that_every_drawing_says_what_it_shows_and_every_mark_is_hidden(name: str) -> None:
    for attributes in page(name).all("svg"):
        drawing = attributes.get("role") == "img" and attributes.get("aria-labelledby")
        assert drawing or attributes.get("aria-hidden") == "true"


@pytest.mark.parametrize("name", NAMES)
def test_that_the_page_needs_nothing_from_outside(name: str) -> None:
    found = page(name)
    for tag, attributes in found.elements:
        assert tag not in ("script", "link", "img", "iframe", "object")
        assert not {"src", "href", "onload", "onclick"} & set(attributes)


def test_that_markup_in_names_stays_text_and_no_sign_is_lost() -> None:
    words = " ".join(page("hostile").words)
    assert HOSTILE[:70] in words
    assert UNSHOWN in words
    assert "\u202e" not in words
    assert "\x00" not in words


def test_that_the_html_says_what_the_paper_says() -> None:
    words = " ".join(" ".join(page("all").words).split())
    for check in assessed("all").checks:
        assert " ".join(RENDERER.sentence(check.says).split()) in words


# --- the curve ----------------------------------------------------------------------------------


def rows(text: str, between: str = ",") -> list[list[str]]:
    return list(csv.reader(io.StringIO(text), delimiter=between))


def test_that_the_curve_has_a_row_for_each_point_and_the_numbers_of_the_reading() -> None:
    found = assessed("harbour-launch")
    head, *points = rows(as_csv(found, Wording(RENDERER)))
    assert head[0] == "true [°C]"
    assert found.reading is not None
    assert len(points) == len(found.reading.x)
    for n in (0, 77, 200):
        assert float(points[n][0]) == pytest.approx(found.reading.x[n], rel=1e-9)
        assert float(points[n][2]) == pytest.approx(found.reading.shown[n], rel=1e-9)
        assert float(points[n][4]) <= float(points[n][2]) <= float(points[n][5])


def test_that_the_curve_is_in_the_readers_units_and_with_his_decimal_mark() -> None:
    style = NumberStyle(",", {Kind.PRESSURE: "psi"})
    head, first, second, *_ = rows(
        as_csv(assessed("standby-generator"), Wording(Renderer(style))), ";"
    )
    assert head[0] == "true [psi]"
    assert first[0] == "0"
    # 10 bar in 200 steps: 0.05 bar = 0.725189 psi (NIST SP 811: 1 psi = 6894.757 Pa)
    assert second[0].startswith("0,72518")


def test_that_where_nobody_can_tell_a_curve_one_sentence_says_why() -> None:
    base = plan("harbour-launch")
    bare = replace(base.pairings[0].gauge, scaled_for=None, marks=())
    found = assess(replace(base, pairings=(replace(base.pairings[0], gauge=bare),)))
    with pytest.raises(UserError) as caught:
        as_csv(found, Wording(RENDERER))
    assert caught.value.messages[0] == found.reason
