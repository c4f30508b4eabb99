"""Parts are found by the ohms that people read off them, not by digits that happen to match."""

from __future__ import annotations

import pytest

from catalog.codec import Part
from catalog.library import Library, load_generic
from catalog.likeness import likeness


@pytest.fixture(scope="module")
def library() -> Library:
    return load_generic()


def keys(library: Library, words: str) -> list[str]:
    """Keys of the temperature parts that answer, the nearest first."""
    parts: list[Part] = [*library.senders, *library.gauges]
    found = [(likeness(p, words), p.key) for p in parts if p.quantity == "temperature"]
    return [key for _, key in sorted((like.far, k) for like, k in found if like)]


def test_that_the_numbers_on_a_gauge_find_its_class_though_they_are_rounded(
    library: Library,
) -> None:
    found = keys(library, "290 22")
    assert found[0].startswith(("temperature-291-22-120c", "gauge-temperature-291-22-120c"))
    assert "temperature-450-15-300f" not in found


def test_that_ohms_inside_the_range_count_and_degrees_do_not(library: Library) -> None:
    part = library.part("temperature-450-15-300f")
    like = likeness(part, "450 30")
    assert like is not None
    ((at, ohms),) = like.inner
    assert (round(at, 1), ohms) == (121.1, 29.5)  # 250 °F
    assert likeness(part, "450 300") is None  # 300 is a temperature here


def test_that_the_nearest_ohms_come_first(library: Library) -> None:
    parts = [p for p in library.senders if p.quantity == "level"]
    liked = [(likeness(p, "240 33"), p.key) for p in parts]
    found = sorted((like.far, k) for like, k in liked if like)
    assert {key for far, key in found if far == 0.0} == {
        "level-240-33-mid-103",
        "level-240-33-straight",
    }
    assert "level-120-16-dual" not in [key for _, key in found]


def test_that_zero_ohms_find_a_track_that_begins_at_zero(library: Library) -> None:
    part = library.part("level-0-190")
    assert likeness(part, "0 190") is not None
    assert likeness(part, "10 190") is None


@pytest.mark.parametrize("words", ["dual", "DUAL-station", "half 16.5", "120Ω"])
def test_that_words_are_looked_for_in_the_text(library: Library, words: str) -> None:
    assert likeness(library.part("level-120-16-dual"), words) is not None


def test_that_an_empty_text_matches_everything_and_nonsense_nothing(library: Library) -> None:
    parts: list[Part] = [*library.senders, *library.gauges]
    for part in parts:
        assert likeness(part, "") is not None
        assert likeness(part, "zzz") is None


def test_that_ohms_never_find_a_part_that_gives_volts(library: Library) -> None:
    volts = library.part("pressure-10bar-0v5-4v5")
    assert likeness(volts, "0.5 4.5") is None
    assert likeness(volts, "0.5–4.5") is not None or likeness(volts, "0.5") is None
