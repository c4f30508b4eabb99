"""Colour bands of IEC 60062:2016 (seen on public pages), and round trips.

Grey as a tolerance is not used: two pages disagree on it (0.01 % and 0.05 %).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer
from retrofit.trim.colour import (
    DIGITS,
    EXPONENTS,
    NO_BAND,
    TOLERANCES,
    Colour,
    Marked,
    bands,
    read_bands,
)
from retrofit.trim.preferred import values

# colour: digit, power of ten, tolerance in per cent (IEC 60062:2016, seen; grey's left out)
PUBLISHED = {
    "black": (0, 0, None),
    "brown": (1, 1, 1.0),
    "red": (2, 2, 2.0),
    "orange": (3, 3, 0.05),
    "yellow": (4, 4, 0.02),
    "green": (5, 5, 0.5),
    "blue": (6, 6, 0.25),
    "violet": (7, 7, 0.1),
    "grey": (8, 8, None),
    "white": (9, 9, None),
    "gold": (None, -1, 5.0),
    "silver": (None, -2, 10.0),
    "pink": (None, -3, None),
}


def colours(text: str) -> list[Colour]:
    return [Colour(word) for word in text.split()]


def test_that_each_colour_means_what_is_published() -> None:
    for name, (digit, power, tolerance) in PUBLISHED.items():
        colour = Colour(name)
        assert (DIGITS.index(colour) if colour in DIGITS else None) == digit
        assert EXPONENTS[colour] == power
        found = TOLERANCES.get(colour)
        assert found == (None if tolerance is None else pytest.approx(tolerance / 100.0))
    assert len(PUBLISHED) == len(Colour)


@pytest.mark.parametrize(
    ("text", "ohm", "tolerance"),
    [  # both seen
        ("yellow violet red gold", 4700.0, 0.05),
        ("brown black black gold brown", 10.0, 0.01),
    ],
)
def test_that_published_examples_read_and_write(text: str, ohm: float, tolerance: float) -> None:
    assert read_bands(colours(text)) == Marked(ohm, tolerance)
    assert list(bands(ohm, tolerance, len(text.split()))) == colours(text)


def test_that_no_fourth_band_means_twenty_per_cent() -> None:
    assert read_bands(colours("yellow violet gold")) == Marked(4.7, NO_BAND)
    assert list(bands(4.7, NO_BAND)) == colours("yellow violet gold")


@given(st.sampled_from(["E24", "E192"]), st.data())
def test_that_every_preferred_value_comes_back_from_its_bands(
    series: str, data: st.DataObject
) -> None:
    count = 4 if series == "E24" else 5
    ohm = data.draw(st.sampled_from(values(series, 0.1, 1e9).tolist()))  # type: ignore[arg-type]
    tolerance = data.draw(st.sampled_from(sorted(TOLERANCES.values())))
    written = bands(ohm, tolerance, count)
    assert len(written) == count
    assert read_bands(written) == Marked(ohm, tolerance)


@pytest.mark.parametrize(
    ("ohm", "tolerance", "count", "key"),
    [
        (4.75, 0.05, 4, "colour.digits"),
        (4.755, 0.01, 5, "colour.digits"),
        (1e12, 0.05, 4, "colour.digits"),
        (0.0, 0.05, 4, "colour.digits"),
        (math.inf, 0.05, 4, "colour.digits"),
        (47.0, 0.03, 4, "colour.tolerance"),
        (47.0, NO_BAND, 5, "colour.tolerance"),
    ],
)
def test_that_what_bands_cannot_say_is_refused(
    ohm: float, tolerance: float, count: int, key: str
) -> None:
    with pytest.raises(UserError, match=key.replace(".", r"\.")):
        bands(ohm, tolerance, count)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("brown black", "colour.count"),
        ("brown black red gold red brown", "colour.count"),
        ("gold violet red gold", "colour.place"),
        ("brown black red black", "colour.place"),
        ("brown black red grey", "colour.grey_tolerance"),
        ("black black red gold", "colour.no_ohms"),
    ],
)
def test_that_bands_that_mean_nothing_are_refused_with_a_sentence(text: str, key: str) -> None:
    with pytest.raises(UserError) as caught:
        read_bands(colours(text))
    (found,) = caught.value.messages
    assert found.key == key
    assert "{" not in Renderer(NumberStyle(), strict=True).sentence(found)


def test_that_every_colour_has_its_word() -> None:
    renderer = Renderer(NumberStyle(), strict=True)
    assert [renderer.sentence(colour.text) for colour in Colour] == [c.value for c in Colour]


def test_that_six_bands_are_not_written() -> None:
    with pytest.raises(BugError):
        bands(47.0, 0.05, 6)
