"""The sketch of a trim, read back: each resistor in its place, with its value, and no other."""

from __future__ import annotations

import itertools

import pytest

from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.drawing.lettering import width
from retrofit.drawing.look import Look
from retrofit.drawing.palette import DARK, LIGHT
from retrofit.drawing.trim_sketch import SKETCH_SIZE, trim_sketch
from retrofit.installation import PLACES, Place
from retrofit.messages import Renderer
from tests.drawing.picture import Picture

LOOK = Look(LIGHT, Renderer(NumberStyle()))
OHMS: dict[Place, float] = {
    "across sender": 430.0,
    "series at sender": 10.0,
    "signal to earth": 3600.0,
    "series at gauge": 4.7,
    "pull-up": 330.0,
}
SHOWN = {
    "across sender": "430 Ω",
    "series at sender": "10 Ω",
    "signal to earth": "3600 Ω",
    "series at gauge": "4.7 Ω",
    "pull-up": "330 Ω",
}


def drawn(ohms: dict[Place, float], look: Look = LOOK) -> Picture:
    return Picture(trim_sketch(ohms, look).svg)


def plain(texts: list[str]) -> list[str]:
    return [text.replace("\N{NO-BREAK SPACE}", " ") for text in texts]


@pytest.mark.parametrize("count", range(4))
def test_that_every_trim_shows_its_values_where_they_sit_and_pale_outlines_elsewhere(
    count: int,
) -> None:
    for places in itertools.combinations(PLACES, count):
        picture = drawn({place: OHMS[place] for place in places})
        for place in PLACES:
            texts = plain(picture.texts(place.replace(" ", "-")))
            assert (SHOWN[place] in texts) is (place in places)
            (box,) = picture.all("rect", place.replace(" ", "-"))
            assert ("stroke-dasharray" in box.attrib) is (place not in places)


def box_of(picture: Picture, place: Place) -> tuple[float, float, float, float]:
    (box,) = picture.all("rect", place.replace(" ", "-"))
    x, y = picture.length(box, "x"), picture.length(box, "y")
    return x, y, x + picture.length(box, "width"), y + picture.length(box, "height")


def test_that_resistors_stand_in_the_order_of_the_network_from_gauge_to_sender() -> None:
    # ((R ∥ p + s1) ∥ q) + s2, the pull-up nearest to the gauge's signal terminal.
    picture = drawn(OHMS)
    order: list[Place] = [
        "pull-up", "series at gauge", "signal to earth", "series at sender", "across sender"
    ]  # fmt: skip
    lefts = [box_of(picture, place)[0] for place in order]
    assert lefts == sorted(lefts)
    (sender,) = picture.all("rect", "sender")
    assert picture.length(sender, "x") > lefts[-1]
    (gauge,) = picture.all("rect", "gauge")
    assert picture.length(gauge, "x") + picture.length(gauge, "width") < lefts[0]


def test_that_the_series_resistors_lie_on_the_lead_and_the_others_hang_from_it() -> None:
    picture = drawn(OHMS)
    series = [box_of(picture, place) for place in ("series at gauge", "series at sender")]
    lead = {round((top + bottom) / 2.0, 6) for _, top, _, bottom in series}
    assert len(lead) == 1
    (height,) = lead
    assert box_of(picture, "pull-up")[3] < height
    for place in ("signal to earth", "across sender"):
        assert box_of(picture, place)[1] > height


def test_that_nothing_is_written_beyond_the_edge_or_over_a_neighbour() -> None:
    long = {place: 8250.0 + n for n, place in enumerate(PLACES)}
    picture = drawn(long)
    spans = []
    for text in picture.all("text"):
        words = "".join(text.itertext())
        size = picture.length(text, "font-size")
        wide = width(words, size, bold=text.get("font-weight") == "600")
        x, y = picture.length(text, "x"), picture.length(text, "y")
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        left = x - shift * wide
        assert left >= 0.0
        assert left + wide <= SKETCH_SIZE[0]
        assert size <= y <= SKETCH_SIZE[1]
        spans.append((words, left, left + wide, y - size, y))
    for one, two in itertools.combinations(spans, 2):
        apart = one[2] <= two[1] or two[2] <= one[1] or one[4] <= two[3] or two[4] <= one[3]
        assert apart, (one, two)


def test_that_whoever_cannot_see_it_reads_the_trim_in_words_in_their_own_numbers() -> None:
    drawing = trim_sketch({"series at gauge": 4.7, "across sender": 430.0}, LOOK)
    said = drawing.desc.replace("\N{NO-BREAK SPACE}", " ")
    assert said == "4.7 Ω in series at the gauge and 430 Ω across the sender"
    assert drawing.title == "Where the resistors sit"
    assert trim_sketch({}, LOOK).desc == "no resistor"
    comma = Look(DARK, Renderer(NumberStyle(",", {Kind.RESISTANCE: "kΩ"})))
    assert plain(drawn({"across sender": 430.0}, comma).texts("across-sender"))[-1] == "0,43 kΩ"
