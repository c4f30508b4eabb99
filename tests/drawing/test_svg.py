"""The builder writes well-formed markup that every renderer of ours draws alike."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError
from retrofit.drawing.svg import Type, document, group, number, text

WORDS = Type(3.0, "#000000")


@given(st.text(max_size=40))
def test_that_any_text_at_all_gives_well_formed_markup(words: str) -> None:
    svg = document((10.0, 10.0), words, words, (group(words, (text((1.0, 1.0), words, WORDS),)),))
    root = ElementTree.fromstring(svg)
    assert len(root) == 3


def test_that_markup_in_a_name_stays_text() -> None:
    name = '<b>reserve</b> & "half" \' ]]>'
    root = ElementTree.fromstring(document((9.0, 9.0), name, "", (text((1.0, 1.0), name, WORDS),)))
    assert "".join(root[2].itertext()) == name
    assert "".join(root[0].itertext()) == name
    assert len(root[2]) == 0


@given(st.floats(-1000.0, 1000.0))
def test_that_lengths_are_exact_to_a_thousandth_of_a_millimetre(length: float) -> None:
    assert float(number(length)) / 20.0 == pytest.approx(length, abs=5e-4)
    assert "e" not in number(length)


@pytest.mark.parametrize("nowhere", [math.nan, math.inf, -math.inf])
def test_that_a_place_that_is_no_number_is_our_own_mistake(nowhere: float) -> None:
    with pytest.raises(BugError, match="cannot place"):
        number(nowhere)


def test_that_sizes_of_type_are_whole_units_because_qt_rounds_them() -> None:
    root = ElementTree.fromstring(text((0.0, 0.0), "x", Type(2.7777, "#000000")).write())
    assert float(root.attrib["font-size"]).is_integer()
