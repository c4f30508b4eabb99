"""The chart of curves: told apart without colour, true to its numbers, and movable."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.quantities.kinds import Kind
from catalog.quantities.show import NumberStyle
from retrofit.drawing.curves_chart import (
    MOST_CURVES,
    CurvesDrawing,
    CurvesLook,
    DrawnCurve,
    curves_chart,
)
from retrofit.drawing.look import Look
from retrofit.drawing.palette import GREY, PALETTES, Palette
from retrofit.messages import Renderer
from tests.drawing.picture import Picture

X = np.linspace(0.0, 1.0, 11)
FALLING = DrawnCurve("falling", X, 240.0 - 207.0 * X, ((0.0, 240.0), (0.5, 136.5), (1.0, 33.0)))
RISING = DrawnCurve("rising", X, 190.0 * X, ((0.0, 0.0), (1.0, 190.0)))
THERMISTOR = DrawnCurve("thermistor", X, 3000.0 * np.exp(-5.0 * X))


def chart(*curves: DrawnCurve, palette: Palette = GREY, decimal: str = ".") -> CurvesDrawing:
    style = NumberStyle(decimal)  # type: ignore[arg-type]
    axes = CurvesLook(Look(palette, Renderer(style)), Kind.LEVEL, Kind.RESISTANCE)
    return curves_chart(curves, axes, (120.0, 70.0))


def four() -> list[DrawnCurve]:
    return [DrawnCurve(f"no. {n}", X, (n + 1.0) * 50.0 * X + 5.0, ((0.5, 30.0),)) for n in range(4)]


@pytest.mark.parametrize("palette", PALETTES, ids=lambda palette: palette.name)
def test_that_four_curves_differ_in_dash_and_sign_whatever_their_colour(palette: Palette) -> None:
    picture = Picture(chart(*four(), palette=palette).svg)
    dashes, signs = set(), set()
    for place in range(MOST_CURVES):
        (line,) = picture.all("polyline", f"curve-{place}")
        dashes.add(line.get("stroke-dasharray"))
        group = picture.named(f"curve-{place}")
        marks = [child for child in group if not child.tag.endswith("polyline")]
        signs.add((marks[0].tag, len(marks[0].get("points", "").split())))
    assert len(dashes) == MOST_CURVES
    assert len(signs) >= 3  # square and diamond have four corners both
    assert {*picture.texts("key")} == {f"no. {n}" for n in range(4)}


def test_that_more_than_four_are_not_drawn() -> None:
    picture = Picture(chart(*four(), FALLING).svg)
    assert "falling" not in picture.texts("key")


def test_that_a_point_stands_where_its_numbers_say() -> None:
    drawn = chart(FALLING)
    picture = Picture(drawn.svg)
    (low, _, high) = picture.all("circle", "curve-0")
    assert picture.length(low, "cx") == pytest.approx(drawn.plot.left, abs=0.01)
    assert picture.length(high, "cx") == pytest.approx(drawn.plot.right, abs=0.01)
    assert picture.length(high, "cy") > picture.length(low, "cy")


def test_that_a_wide_range_of_ohms_is_logarithmic_and_zero_ohms_are_not() -> None:
    assert chart(THERMISTOR).log
    assert not chart(RISING).log
    assert not chart(FALLING, RISING).log
    # On a logarithmic scale an exponential is a straight line.
    (line,) = Picture(chart(THERMISTOR).svg).all("polyline", "curve-0")
    points = np.array(Picture(chart(THERMISTOR).svg).points(line))
    slope, offset = np.polyfit(points[:, 0], points[:, 1], 1)
    assert np.max(np.abs(points[:, 1] - slope * points[:, 0] - offset)) < 0.05


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.booleans())
def test_that_a_place_and_its_point_are_each_other_s_inverse(
    across: float, up: float, log: bool
) -> None:
    drawn = chart(THERMISTOR if log else RISING)
    plot = drawn.plot
    place = plot.left + across * (plot.right - plot.left), plot.top + up * (plot.bottom - plot.top)
    assert drawn.place(drawn.pair(place)) == pytest.approx(place, abs=1e-6)


def test_that_no_number_stands_twice_and_the_unit_is_named() -> None:
    drawn = chart(FALLING, THERMISTOR)
    picture = Picture(drawn.svg)
    numbers = [picture.says(name) for name in picture.names("y")]
    assert len(numbers) == len(set(numbers)) >= 3
    assert "Ω" in "".join(picture.texts("title"))
    assert any("%" in text for text in picture.texts("axes"))


def test_that_an_unknown_stretch_is_a_gap_and_an_unknown_curve_is_said() -> None:
    gap = np.where((X > 0.35) & (X < 0.65), np.nan, FALLING.y)
    picture = Picture(chart(DrawnCurve("half known", X, gap)).svg)
    assert len(picture.all("polyline", "curve-0")) == 2
    nothing = chart(DrawnCurve("a switch", np.array([]), np.array([])))
    assert "a switch" in nothing.desc


def test_that_the_text_for_the_blind_names_both_ends() -> None:
    desc = chart(FALLING).desc.replace("\N{NO-BREAK SPACE}", " ")
    assert "240 Ω" in desc
    assert "33 Ω" in desc
    assert "falling" in desc


def test_that_the_decimal_mark_is_the_reader_s() -> None:
    small = DrawnCurve("small", X, 0.5 + X)
    texts = Picture(chart(small, decimal=",").svg).texts("axes")
    assert any("," in text for text in texts)
    assert not any("." in text for text in texts)
