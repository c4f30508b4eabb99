"""The renderer: sentences from keys and values, in units and marks of the reader."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog.errors import BugError, UserError
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import NumberStyle, show
from retrofit import messages
from retrofit.messages import Renderer, languages, placeholders, templates

ENGLISH = {
    "both": "First: {first} Then: {second}",
    "error": "The needle shows {error:signed} at {mark}.",
    "plain": "{count} rows, step {step:signed}.",
    "value.unknown": "unknown",
}
OTHER = {"plain": "Schritt {step:signed}, {count} Zeilen.", "both": "Fehlt: {nothing}"}


@pytest.fixture
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    folder = tmp_path / "texts"
    folder.mkdir()
    (folder / "english.json").write_text(json.dumps(ENGLISH), encoding="utf-8")
    (folder / "german.json").write_text(json.dumps(OTHER), encoding="utf-8")
    monkeypatch.setattr(messages, "resources", lambda: tmp_path)
    templates.cache_clear()
    yield folder
    templates.cache_clear()


def style(decimal: DecimalMark = ".") -> NumberStyle:
    return NumberStyle(decimal=decimal)


pytestmark = pytest.mark.usefixtures("texts")


def test_that_si_values_come_in_the_reader_s_unit_and_decimal_mark() -> None:
    told = message(
        "error",
        error=SiValue(12_000.0, Kind.PRESSURE_DIFFERENCE),
        mark=SiValue(4.1e5, Kind.PRESSURE),
    )
    number = NumberStyle(decimal=",")
    sentence = Renderer(number).sentence(told)
    error = show(12_000.0, Kind.PRESSURE_DIFFERENCE, number, sign=True)
    mark = show(4.1e5, Kind.PRESSURE, number)
    assert sentence == f"The needle shows {error} at {mark}."
    assert "+0,12" in sentence
    assert "4,1" in sentence


def test_that_a_quantity_nobody_knows_comes_in_the_word_of_the_language(texts: Path) -> None:
    other = {"value.unknown": "unbekannt", "plain": "{count}, {step}"}
    (texts / "german.json").write_text(json.dumps(other), encoding="utf-8")
    told = message("plain", count=1, step=SiValue(math.nan, Kind.PRESSURE))
    assert Renderer(style(), "german").sentence(told) == "1, unbekannt"


def test_that_a_message_inside_a_message_becomes_its_own_sentence() -> None:
    inner = message("plain", count=3, step=-0.5)
    told = message("both", first=inner, second="the end.")
    assert Renderer(style(",")).sentence(told) == "First: 3 rows, step −0,5. Then: the end."


@pytest.mark.parametrize(
    ("number", "shown"),
    [(0.5, "+0.5"), (-2, "−2"), (0, "0"), (math.nan, "unknown"), (-math.inf, "−∞")],
)
def test_that_bare_numbers_carry_a_real_sign(number: float, shown: str) -> None:
    told = message("plain", count=1, step=number)
    assert Renderer(style()).sentence(told) == f"1 rows, step {shown}."


def test_that_a_translation_may_order_values_its_own_way() -> None:
    told = message("plain", count=3, step=1)
    assert Renderer(style(), "german").sentence(told) == "Schritt +1, 3 Zeilen."


def test_that_a_sentence_without_a_sound_translation_comes_in_english() -> None:
    german = Renderer(style(), "german")
    assert german.sentence(message("value.unknown")) == "unknown"
    assert german.sentence(message("both", first="a", second="b")) == "First: a Then: b"


@pytest.mark.parametrize("language", ["nowhere", "../secrets", ""])
def test_that_an_unknown_language_comes_in_english(language: str) -> None:
    assert Renderer(style(), language).sentence(message("value.unknown")) == "unknown"


def test_that_a_missing_text_is_our_mistake_in_tests_and_its_key_for_users() -> None:
    told = message("no.such.key", path="a.json")
    with pytest.raises(BugError, match=r"no\.such\.key"):
        Renderer(style()).sentence(told)
    assert Renderer(style(), strict=False).sentence(told) == "no.such.key"


def test_that_a_missing_value_is_our_mistake_in_tests_and_its_name_for_users() -> None:
    told = message("both", first="a")
    with pytest.raises(BugError, match="both"):
        Renderer(style()).sentence(told)
    assert Renderer(style(), strict=False).sentence(told) == "First: a Then: {second}"


def test_that_all_problems_of_an_error_are_told_one_a_line() -> None:
    error = UserError([message("value.unknown"), Message("plain", (("count", 2), ("step", 0)))])
    assert Renderer(style()).error(error) == "unknown\n2 rows, step 0."


@pytest.mark.parametrize("template", ["{", "{}", "{a!r}", "{a:>9}", "{a.b}", "{a[0]}"])
def test_that_a_malformed_template_is_refused(template: str) -> None:
    with pytest.raises(BugError, match="malformed"):
        placeholders(template)


def test_that_a_damaged_text_file_is_named(texts: Path) -> None:
    (texts / "german.json").write_text("{", encoding="utf-8")
    with pytest.raises(BugError, match=r"german\.json is damaged"):
        Renderer(style(), "german").sentence(message("value.unknown"))


def test_that_languages_are_those_with_a_text_file() -> None:
    assert "english" in languages()
