"""The error chart, read back from its own axes: numbers and places must agree."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.drawing.chart import error_chart
from retrofit.drawing.chart_names import place_tags
from retrofit.drawing.lettering import width
from retrofit.drawing.look import Look
from retrofit.drawing.palette import LIGHT
from retrofit.drawing.plot import Plot
from retrofit.drawing.row_curve import row_curve
from retrofit.messages import Renderer
from tests.drawing.picture import Picture
from tests.drawing.plans import PLANS, assessed

LOOK = Look(LIGHT, Renderer(NumberStyle()))
FAHRENHEIT = Look(LIGHT, Renderer(NumberStyle(",", {Kind.TEMPERATURE: "°F"})))
SIZE = (96.0, 60.0)
NAMES = sorted(PLANS)
DRAWN = ["coolant", "oil", "fuel", "own class", "partly known", "nothing said", "crowded"]


@dataclass(frozen=True)
class Axes:
    """Lines through the axis numbers as a reader sees them: value = a + b × place."""

    x: tuple[float, float]
    y: tuple[float, float]


def figure(words: str) -> float:
    """The number of a label, its unit left off."""
    return float(words.split("\u00a0")[0].replace("−", "-").replace(",", "."))


def axes(picture: Picture) -> Axes:
    """Read both axes from the labels and the tick lines beside them."""
    group = list(picture.named("axes"))
    lines = [e for e in group if e.tag.endswith("line")]
    frame = picture.named("plot")
    left = picture.length(frame, "x")
    bottom = picture.length(frame, "y") + picture.length(frame, "height")
    across = sorted(
        picture.length(e, "x1")
        for e in lines
        if math.isclose(picture.length(e, "y1"), bottom, abs_tol=0.01)
        and e.attrib["x1"] == e.attrib["x2"]
    )
    up = [
        picture.length(e, "y1")
        for e in lines
        if math.isclose(picture.length(e, "x2"), left, abs_tol=0.01)
        and e.attrib["y1"] == e.attrib["y2"]
    ]
    x = [figure(picture.says(name)) for name in picture.names("x")]
    y = [figure(picture.says(name)) for name in picture.names("y")]
    return Axes(_fit(across, x), _fit(up, y))


def _fit(places: list[float], numbers: list[float]) -> tuple[float, float]:
    assert len(places) == len(numbers) >= 2
    slope, offset = np.polyfit(places, numbers, 1)
    assert np.allclose(offset + slope * np.array(places), numbers, atol=0.01 * np.ptp(numbers))
    return float(offset), float(slope)


def curve(picture: Picture) -> list[tuple[float, float]]:
    """Every corner of the error curve, in the numbers of the axes."""
    (a, b), (c, d) = axes(picture).x, axes(picture).y
    corners = [p for name in picture.names("error") for p in picture.points(picture.named(name))]
    return [(a + b * x, c + d * y) for x, y in corners]


@pytest.mark.parametrize("name", DRAWN)
def test_that_the_curve_passes_through_the_numbers_of_the_assessment(name: str) -> None:
    assessment = assessed(name)
    reading = assessment.reading
    assert reading is not None
    picture = Picture(error_chart(assessment, LOOK, SIZE).svg)
    factor = {"oil": 1e5, "fuel": 0.01}.get(name, 1.0)
    known = np.isfinite(reading.error)
    x, error = reading.x[known] / factor, reading.error[known] / factor
    slack = 2e-3 * (np.ptp(error) + np.ptp(x) / 20.0)
    drawn = curve(picture)
    assert len(drawn) >= known.sum() / 2
    for value, height in drawn:
        assert height == pytest.approx(float(np.interp(value, x, error)), abs=slack)


def test_that_a_chart_in_fahrenheit_shows_the_same_errors_nine_fifths_as_large() -> None:
    reading = assessed("coolant").reading
    assert reading is not None
    drawn = curve(Picture(error_chart(assessed("coolant"), FAHRENHEIT, SIZE).svg))
    for value, height in drawn[::20]:
        celsius = (value - 32.0) / 1.8
        error = 1.8 * float(np.interp(celsius, reading.x, reading.error))
        assert height == pytest.approx(error, abs=0.1)


@pytest.mark.parametrize("name", [n for n in DRAWN if n != "nothing said"])
def test_that_each_mark_has_its_sign_at_its_error(name: str) -> None:
    assessment = assessed(name)
    picture = Picture(error_chart(assessment, LOOK, SIZE).svg)
    (a, b), (c, d) = axes(picture).x, axes(picture).y
    factor = {"oil": 1e5, "fuel": 0.01}.get(name, 1.0)
    known = [mark for mark in assessment.marks if math.isfinite(mark.error)]
    names = picture.names("mark")
    assert len(names) == len(known)
    for sign, mark in zip(names, known, strict=True):
        middle = np.mean(picture.points(picture.named(sign)), axis=0)
        span = np.ptp(assessment.plan.duty.span) / factor
        assert a + b * middle[0] == pytest.approx(mark.at / factor, abs=2e-3 * span)
        assert c + d * middle[1] == pytest.approx(mark.error / factor, abs=2e-3 * span)


@pytest.mark.parametrize("name", [n for n in DRAWN if n != "nothing said"])
def test_that_the_corridor_is_the_allowed_error(name: str) -> None:
    assessment = assessed(name)
    picture = Picture(error_chart(assessment, LOOK, SIZE).svg)
    c, d = axes(picture).y
    ground = picture.named("corridor")
    top = picture.length(ground, "y")
    bottom = top + picture.length(ground, "height")
    factor = {"oil": 1e5, "fuel": 0.01}.get(name, 1.0)
    allowed = assessment.plan.duty.allowed_at(None)
    assert allowed is not None
    assert c + d * top == pytest.approx(allowed / factor, rel=0.02)
    assert c + d * bottom == pytest.approx(-allowed / factor, rel=0.02)


def test_that_errors_off_the_chart_are_clipped_and_named_by_an_arrow() -> None:
    # a range of 500 °C on a dial of 80 °C: at 500 °C its stop at 124 °C is 376 °C short
    found = assessed("far off")
    assert found.reading is not None
    assert float(found.reading.error.min()) == pytest.approx(124.0 - 500.0)
    picture = Picture(error_chart(found, LOOK, SIZE).svg)
    assert "at least −376.0\u00a0°C" in picture.texts("curve")


@pytest.mark.parametrize("name", DRAWN)
def test_that_the_whole_curve_and_every_mark_lie_on_the_chart(name: str) -> None:
    found = assessed(name)
    assert found.reading is not None
    plot = error_chart(found, LOOK, SIZE).plot
    errors = [*found.reading.error, *(mark.error for mark in found.marks)]
    known = [float(error) for error in errors if math.isfinite(error)]
    assert plot.y_low <= min(known)
    assert max(known) <= plot.y_high


@pytest.mark.parametrize("name", DRAWN)
def test_that_both_ends_of_the_errors_bear_numbers_and_the_values_are_named_true(
    name: str,
) -> None:
    picture = Picture(error_chart(assessed(name), LOOK, SIZE).svg)
    frame = picture.named("plot")
    top = picture.length(frame, "y")
    bottom = top + picture.length(frame, "height")
    c, d = axes(picture).y
    numbers = [figure(picture.says(one)) for one in picture.names("y")]
    slack = 0.01 * abs(d) * (bottom - top)
    assert min(numbers) == pytest.approx(c + d * bottom, abs=slack)
    assert max(numbers) == pytest.approx(c + d * top, abs=slack)
    assert picture.says("across") == "true"


@pytest.mark.parametrize("name", DRAWN)
def test_that_the_key_names_the_dashes_where_a_stop_holds_the_needle_and_only_there(
    name: str,
) -> None:
    picture = Picture(error_chart(assessed(name), LOOK, SIZE).svg)
    dashed = [
        one for one in picture.names("error") if "stroke-dasharray" in picture.named(one).attrib
    ]
    assert ("at least" in picture.texts("key")) is bool(dashed)


def test_that_a_stretch_on_a_stop_is_dashed_and_says_at_least() -> None:
    picture = Picture(error_chart(assessed("nothing said"), LOOK, SIZE).svg)
    dashed = [
        name for name in picture.names("error") if "stroke-dasharray" in picture.named(name).attrib
    ]
    assert len(dashed) == 2
    assert picture.texts("curve").count("at least") == 4  # each twice: its rim behind it


def test_that_what_is_not_known_is_a_gap_and_no_line() -> None:
    picture = Picture(error_chart(assessed("partly known"), LOOK, SIZE).svg)
    assert len(picture.names("gap")) == 2
    ends = [x for x, _ in curve(picture)]
    assert min(ends) == pytest.approx(60.0, abs=0.2)
    assert max(ends) == pytest.approx(105.0, abs=0.5)
    assert "not known" in picture.texts("curve")


def test_that_a_chart_of_nothing_says_why_and_shows_no_curve() -> None:
    drawing = error_chart(assessed("no dial"), LOOK, SIZE)
    picture = Picture(drawing.svg)
    assert picture.names("error") == []
    assert "choose a gauge first" in " ".join(picture.texts("plane"))
    assert "nothing is known" in drawing.desc


def test_that_a_click_on_the_chart_gives_back_the_value() -> None:
    plot = error_chart(assessed("coolant"), LOOK, SIZE).plot
    assert plot.value_of(plot.x_of(98.0)) == pytest.approx(98.0)
    assert plot.value_of(-5.0) == 40.0
    assert plot.value_of(500.0) == 120.0


@given(
    st.lists(st.floats(-30.0, 30.0), min_size=2, max_size=30),
    st.floats(-20.0, -1.0),
    st.floats(1.0, 20.0),
)
def test_that_a_cut_line_stays_inside_and_on_the_line(
    heights: list[float], low: float, high: float
) -> None:
    plot = Plot(0.0, 0.0, 50.0, 20.0, 0.0, 1.0, low, high)
    x, y = np.linspace(0.0, 1.0, len(heights)), np.array(heights)
    for piece in plot.cut(x, y):
        for at, down in piece:
            assert -1e-6 <= down <= 20.0 + 1e-6
            true = plot.y_of(float(np.interp(at / 50.0, x, y)))
            assert down == pytest.approx(true, abs=1e-5 + 1e-9 * abs(true))


@given(
    st.lists(st.tuples(st.floats(10.0, 88.0), st.text("abcdefgh ", min_size=1, max_size=18))),
    st.integers(1, 4),
)
def test_that_names_over_a_chart_touch_neither_each_other_nor_a_passing_line(
    marks: list[tuple[float, str]], rows: int
) -> None:
    tags = place_tags(marks, 8.0, 90.0, rows)
    assert len(tags) == len(marks)
    named = [tag for tag in tags if tag.words]
    for tag in named:
        assert tag.start >= 8.0
        assert tag.end <= 90.0 + 1e-9
        passing = [o.line for o in tags if o is not tag and o.row >= tag.row]
        assert not [x for x in passing if tag.start < x < tag.end]
    for row in range(rows):
        inside = sorted((t.start, t.end) for t in named if t.row == row)
        assert all(after[0] > before[1] for before, after in pairwise(inside))


def test_that_ordinary_names_are_all_written_out() -> None:
    picture = Picture(error_chart(assessed("crowded"), LOOK, SIZE).svg)
    wanted = [mark.name for mark in assessed("crowded").plan.duty.marks]
    assert picture.texts("marks") == wanted


@given(st.sampled_from(NAMES), st.floats(50.0, 160.0), st.floats(0.5, 1.0))
def test_that_axis_numbers_never_touch(name: str, wide: float, shape: float) -> None:
    picture = Picture(error_chart(assessed(name), LOOK, (wide, wide * shape)).svg)
    labels = [picture.named(n) for n in picture.names("x")]
    boxes = []
    for e in labels:
        start = picture.length(e, "x")
        words = "".join(e.itertext())
        boxes.append((start, start + width(words, picture.length(e, "font-size"))))
    assert all(after[0] > before[1] for before, after in pairwise(sorted(boxes)))
    assert all(start >= 0.0 and end <= wide + 0.01 for start, end in boxes)


@pytest.mark.parametrize("name", NAMES)
def test_that_a_row_shows_the_corridor_at_a_third_of_its_height(name: str) -> None:
    drawing = row_curve(assessed(name), LOOK)
    picture = Picture(drawing.svg)
    assert (drawing.width, drawing.height) == (40.0, 8.0)
    if assessed(name).plan.duty.allowed is None:
        return
    ground = picture.named("corridor")
    assert picture.length(ground, "height") == pytest.approx((8.0 - 1.2) / 3.0, abs=0.01)


def test_that_a_row_of_nothing_is_dotted_and_not_good() -> None:
    picture = Picture(row_curve(assessed("no dial"), LOOK).svg)
    assert picture.names("error") == []
    assert picture.names("gap") == ["gap-0"]
    assert LIGHT.good not in picture.svg
