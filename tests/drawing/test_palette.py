"""Contrast of every pair of colours that meet, by WCAG 2.1: 1.4.3 for text, 1.4.11 for marks."""

from __future__ import annotations

import dataclasses
import re

import pytest

from retrofit.drawing.palette import PALETTES, Palette

TEXT, MARK = 4.5, 3.0


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1 glossary (with the threshold of sRGB, IEC 61966-2-1)."""
    parts = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio (L1 + 0.05) / (L2 + 0.05), WCAG 2.1 glossary."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_that_the_contrast_formula_gives_21_between_black_and_white() -> None:
    # WCAG 2.1: ratios run from 1 to 21
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("palette", PALETTES, ids=lambda p: p.name)
def test_that_every_text_stands_out_from_its_ground(palette: Palette) -> None:
    pairs = {name: round(contrast(a, b), 2) for name, a, b in palette.text_pairs()}
    assert {name: ratio for name, ratio in pairs.items() if ratio < TEXT} == {}


@pytest.mark.parametrize("palette", PALETTES, ids=lambda p: p.name)
def test_that_every_mark_stands_out_from_its_ground(palette: Palette) -> None:
    pairs = {name: round(contrast(a, b), 2) for name, a, b in palette.mark_pairs()}
    assert {name: ratio for name, ratio in pairs.items() if ratio < MARK} == {}


@pytest.mark.parametrize("palette", PALETTES, ids=lambda p: p.name)
def test_that_every_colour_is_a_plain_hexadecimal_one(palette: Palette) -> None:
    colours = {k: v for k, v in dataclasses.asdict(palette).items() if k != "name"}
    wrong = [k for k, v in colours.items() if not re.fullmatch("#[0-9a-f]{6}", v)]
    assert wrong == []
