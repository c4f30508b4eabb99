"""Widths of text as the shipped font has them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrofit.drawing.lettering import FILES, shorten, width, wrap
from retrofit.shipped import path

# Read from the font file with fontTools (TTFont: head.unitsPerEm, getBestCmap, hmtx).
PER_EM = 2816
WIDTHS = {" ": 792, "0": 1760, "1": 1308, "m": 2448, "W": 2672, "°": 1280, "Ω": 2144, "½": 2608}

WORDS = st.text("abcdefgh ilmnoWM,.½", max_size=60)


def test_that_widths_are_those_of_the_font_file() -> None:
    for character, advance in WIDTHS.items():
        assert width(character, 1.0) == pytest.approx(advance / PER_EM, abs=1e-9)


def test_that_semibold_text_is_wider_than_regular() -> None:
    assert width("shown 98.0", 3.0, bold=True) > width("shown 98.0", 3.0)


def test_that_what_the_font_lacks_still_has_a_width() -> None:
    assert width("\u4e00", 2.0) == pytest.approx(1.5)


@given(WORDS, st.floats(1.0, 60.0))
def test_that_a_shortened_text_fits_its_room(words: str, room: float) -> None:
    cut = shorten(words, 3.0, room)
    assert width(cut, 3.0) <= room + 1e-9
    assert cut in ("", words) or words.startswith(cut.removesuffix("…"))


@given(WORDS, st.integers(1, 4))
def test_that_wrapped_text_keeps_its_lines_and_its_room(words: str, most: int) -> None:
    lines = wrap(words, 3.0, 40.0, most)
    assert len(lines) <= most
    assert all(width(line, 3.0) <= 40.0 + 1e-9 for line in lines)


def test_that_the_font_comes_with_its_licence() -> None:
    text = path("fonts", "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    assert all(path("fonts", file).is_file() for file in FILES.values())
