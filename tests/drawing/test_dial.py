"""The dial: where value, needle, corridor and names stand, read back from the drawing."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.parts.fields import QUANTITY_KIND
from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.drawing.dial import dial_drawing, dial_markers
from retrofit.drawing.dial_scale import dial_ticks, numerals
from retrofit.drawing.face import Face, scale_of
from retrofit.drawing.lettering import width
from retrofit.drawing.look import Look
from retrofit.drawing.palette import DARK, LIGHT
from retrofit.messages import Renderer
from tests.drawing.picture import SVG, Picture, Point
from tests.drawing.plans import PLANS, assessed

LOOK = Look(LIGHT, Renderer(NumberStyle()))
FAHRENHEIT = Look(LIGHT, Renderer(NumberStyle(",", {Kind.TEMPERATURE: "°F", Kind.LEVEL: "%"})))
SIZE = (88.0, 70.0)
NAMES = sorted(PLANS)


def share(name: str, part: float) -> float:
    low, high = assessed(name).plan.duty.span
    return low + part * (high - low)


def angle(face: Face, at: Point) -> float:
    """Angle of a place, clockwise from the top: school geometry."""
    return math.degrees(math.atan2(at[0] - face.centre[0], face.centre[1] - at[1]))


def tip(face: Face, corners: list[Point], *, far: bool) -> Point:
    """The corner farthest from the centre, or nearest to it."""
    return (max if far else min)(corners, key=lambda p: math.dist(p, face.centre))


@given(
    st.sampled_from(NAMES),
    st.lists(st.floats(-0.05, 1.05), min_size=2, max_size=5, unique=True),
)
def test_that_angles_rise_with_the_value_between_the_stops(name: str, parts: list[float]) -> None:
    scale = scale_of(assessed(name).pairing.gauge)
    values = sorted(
        scale.stop_low + min(max(p, 0.0), 1.0) * (scale.stop_high - scale.stop_low) for p in parts
    )
    angles = [scale.angle_of(value) for value in values]
    for (v1, a1), (v2, a2) in pairwise(zip(values, angles, strict=True)):
        assert a1 < a2 or math.isclose(v1, v2, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_that_the_scale_ends_at_the_ends_of_the_sweep(name: str) -> None:
    gauge = assessed(name).pairing.gauge
    scale, kind = scale_of(gauge), QUANTITY_KIND[gauge.quantity]
    wanted = 240.0 if gauge.sweep is None else gauge.sweep.amount.number
    ends = scale.angle_of(gauge.low.si(kind)), scale.angle_of(gauge.high.si(kind))
    assert ends == pytest.approx((-wanted / 2.0, wanted / 2.0))


@given(st.floats(-170.0, 170.0))
def test_that_value_and_angle_are_each_other_s_inverse(degrees: float) -> None:
    scale = scale_of(assessed("coolant").pairing.gauge)
    least, most = scale.limits
    held = min(max(degrees, least), most)
    assert scale.angle_of(scale.value_at(held)) == pytest.approx(held, abs=1e-9)


@pytest.mark.parametrize("name", ["coolant", "oil", "fuel", "own class", "crowded"])
@pytest.mark.parametrize("part", [0.1, 0.5, 0.9])
def test_that_the_needle_points_at_the_shown_value(name: str, part: float) -> None:
    assessment, value = assessed(name), share(name, part)
    assert assessment.needle is not None
    drawing = dial_drawing(assessment, LOOK, SIZE, value)
    picture = Picture(drawing.svg)
    corners = picture.points(picture.named("needle"))
    shown = float(assessment.needle.shown(np.array([value]))[0, 0])
    pointed = angle(drawing.face, tip(drawing.face, corners, far=True))
    assert pointed == pytest.approx(drawing.face.angle_of(shown), abs=0.02)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("part", [0.0, 0.4, 0.8])
def test_that_the_triangle_points_at_the_true_value(name: str, part: float) -> None:
    drawing = dial_drawing(assessed(name), LOOK, SIZE, share(name, part))
    picture = Picture(drawing.svg)
    corners = picture.points(picture.named("true"))
    pointed = angle(drawing.face, tip(drawing.face, corners, far=False))
    assert pointed == pytest.approx(drawing.face.angle_of(share(name, part)), abs=0.02)
    # and it stays outside the scale, where the needle cannot cover it
    assert min(math.dist(p, drawing.face.centre) for p in corners) > drawing.face.radius


@pytest.mark.parametrize("name", [n for n in NAMES if n != "nothing said"])
@pytest.mark.parametrize("part", [0.2, 0.6])
def test_that_the_corridor_lies_evenly_about_the_true_value(name: str, part: float) -> None:
    assessment = assessed(name)
    drawing = dial_drawing(assessment, LOOK, SIZE, share(name, part))
    picture, face = Picture(drawing.svg), drawing.face
    steps = picture.named("corridor").attrib["d"].split()
    start = float(steps[0].removeprefix("M")) * picture.unit, float(steps[1]) * picture.unit
    end = float(steps[7]) * picture.unit, float(steps[8]) * picture.unit
    true = face.angle_of(share(name, part))
    below, above = true - angle(face, start), angle(face, end) - true
    assert below > 0.0
    assert below == pytest.approx(above, abs=0.1)


def test_that_a_mark_has_its_own_reading_and_its_own_allowed_error() -> None:
    assessment = assessed("coolant")
    (alarm,) = [m for m in assessment.marks if m.mark.name == "alarm"]
    picture = Picture(dial_drawing(assessment, LOOK, SIZE, 98.0).svg)
    error = f"{abs(alarm.error):.1f}"
    assert picture.says("says-error") == f"needle error −{error}\u00a0°C, allowed 2.0\u00a0°C"
    assert picture.says("says-shown") == f"shown {alarm.shown:.1f}\u00a0°C"


def test_that_equal_true_and_shown_stay_apart() -> None:
    drawing = dial_drawing(assessed("own class"), LOOK, SIZE, 98.0)
    picture, face = Picture(drawing.svg), drawing.face
    needle = [math.dist(p, face.centre) for p in picture.points(picture.named("needle"))]
    triangle = [math.dist(p, face.centre) for p in picture.points(picture.named("true"))]
    assert max(needle) < face.radius < min(triangle)


def test_that_a_needle_on_its_stop_says_so() -> None:
    picture = Picture(dial_drawing(assessed("nothing said"), LOOK, SIZE, 145.0).svg)
    assert picture.says("says-shown") == "shown 124.0\u00a0°C, upper stop"
    assert picture.says("says-error").startswith("needle error at least −21.0")


def test_that_a_true_value_off_the_dial_is_drawn_hollow() -> None:
    drawing = dial_drawing(assessed("nothing said"), LOOK, SIZE, 145.0)
    assert Picture(drawing.svg).named("true").attrib["fill"] == "none"


@pytest.mark.parametrize(("name", "value"), [("no dial", 80.0), ("partly known", 112.0)])
def test_that_an_unknown_reading_has_no_needle_and_says_so(name: str, value: float) -> None:
    picture = Picture(dial_drawing(assessed(name), LOOK, SIZE, value).svg)
    assert "needle" not in [e.get("id") for e in picture.root.iter()]
    assert picture.says("says-shown") == "shown: not known"


def test_that_an_assumed_sweep_is_said_and_an_entered_one_is_not() -> None:
    assumed = dial_drawing(assessed("coolant"), LOOK, SIZE).desc
    entered = dial_drawing(assessed("oil"), LOOK, SIZE).desc
    assert "Its sweep is not known and drawn as 240°." in assumed
    assert "sweep" not in entered
    assert "stops are assumed" in assumed
    assert "stops" not in entered


@pytest.mark.parametrize("look", [LOOK, FAHRENHEIT], ids=["usual", "typed"])
@given(st.sampled_from(NAMES), st.floats(34.0, 130.0), st.floats(0.7, 1.2))
def test_that_numbers_on_a_dial_never_touch(
    look: Look, name: str, wide: float, shape: float
) -> None:
    drawing = dial_drawing(assessed(name), look, (wide, wide * shape))
    kind = assessed(name).plan.duty.kind
    boxes = numerals(drawing.face, kind, look, dial_ticks(drawing.face, kind, look))
    assert len(boxes) >= 1
    assert not [(a.words, b.words) for a, b in combinations(boxes, 2) if a.overlaps(b, 0.0)]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    "size", [(34.0, 30.0), (50.0, 60.0), (63.0, 50.0), (88.0, 62.0), (130.0, 130.0)]
)
@pytest.mark.parametrize("part", [0.0, 0.5, 1.0])
def test_that_nothing_leaves_the_drawing(name: str, size: Point, part: float) -> None:
    picture = Picture(dial_drawing(assessed(name), LOOK, size, share(name, part)).svg)
    for element in picture.root.iter():
        if "points" in element.attrib:
            for x, y in picture.points(element):
                assert -0.1 <= x <= size[0] + 0.1
                assert -0.1 <= y <= size[1] + 0.1
    for element in picture.all("text"):
        words, x = "".join(element.itertext()), picture.length(element, "x")
        type_size, bold = picture.length(element, "font-size"), "font-weight" in element.attrib
        wide = width(words, type_size, bold=bold)
        start = x - {"middle": 0.5, "end": 1.0}.get(element.get("text-anchor", ""), 0.0) * wide
        assert start >= -0.1, words
        assert start + wide <= size[0] + 0.1, words


def test_that_a_whole_tank_is_told_in_quarters_unless_the_reader_wants_per_cent() -> None:
    quarters = Picture(dial_drawing(assessed("fuel"), LOOK, SIZE).svg).texts("scale")
    assert quarters == ["0", "¼", "½", "¾", "1"]
    assert "50" in Picture(dial_drawing(assessed("fuel"), FAHRENHEIT, SIZE).svg).texts("scale")


def test_that_the_scale_is_in_the_reader_s_unit() -> None:
    numbers = Picture(dial_drawing(assessed("coolant"), FAHRENHEIT, SIZE).svg).texts("scale")
    assert numbers == ["120", "140", "160", "180", "200", "220", "240"]


def test_that_the_marks_that_matter_are_named() -> None:
    texts = Picture(dial_drawing(assessed("crowded"), LOOK, (110.0, 90.0)).svg).texts("marks")
    assert sorted(texts) == sorted(mark.name for mark in assessed("crowded").plan.duty.marks)


def test_that_live_markers_are_the_same_as_on_paper() -> None:
    paper = Picture(dial_drawing(assessed("coolant"), LOOK, SIZE, 91.3).svg)
    live = Picture(dial_markers(assessed("coolant"), LOOK, SIZE, 91.3).svg)
    shapes = [
        [e.attrib for e in picture.named("markers").iter() if e.tag != SVG + "g"]
        for picture in (paper, live)
    ]
    assert shapes[0] == shapes[1]


def test_that_another_theme_changes_colours_and_nothing_else() -> None:
    light = Picture(dial_drawing(assessed("coolant"), LOOK, SIZE, 98.0).svg)
    dark = Picture(dial_drawing(assessed("coolant"), Look(DARK, LOOK.renderer), SIZE, 98.0).svg)
    for one, other in zip(light.root.iter(), dark.root.iter(), strict=True):
        kept = [
            {k: v for k, v in e.attrib.items() if k not in ("fill", "stroke")} for e in (one, other)
        ]
        assert kept[0] == kept[1]


@pytest.mark.parametrize("wide", [30.0, 38.4, 44.6, 61.0])
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("part", [0.0, 0.4, 1.0])
def test_that_a_narrow_dial_says_true_and_shown_and_error_uncut(
    wide: float, name: str, part: float
) -> None:
    """Two dials beside each other have 30 to 45 mm each in a small window."""
    found, at = assessed(name), share(name, part)
    picture = Picture(dial_drawing(found, LOOK, (wide, wide + 14.0), at, names=False).svg)
    said = [picture.says(f"says-{one}") for one in ("true", "shown", "error")]
    assert said[0].startswith("true ")
    assert said[1].startswith("shown")
    assert "…" not in "".join(said)
    if said[1] != "shown: not known":
        number = said[2].split("\u00a0")[0].split()[-1]
        assert number.lstrip("+−")[0].isdigit()


def test_that_a_dial_without_names_has_their_room() -> None:
    found = assessed("coolant")
    named, bare = (dial_drawing(found, LOOK, (60.0, 52.0), names=one) for one in (True, False))
    assert bare.face.radius > named.face.radius
