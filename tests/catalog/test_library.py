"""Looking up and searching the generic catalogue, and what a damaged file says."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from catalog.errors import UserError
from catalog.library import Library, load_generic, read_library
from catalog.message import Message
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.show import NumberStyle
from retrofit.messages import Renderer

SENDER: dict[str, Any] = {
    "part": "sender",
    "key": "level-9-1",
    "name": "Level, 9 Ω empty to 1 Ω full",
    "quantity": "level",
    "law": {
        "kind": "table",
        "points": [{"at": "0 %", "gives": "9 Ω"}, {"at": "100 %", "gives": "1 Ω"}],
        "basis": "assumed",
    },
}
GAUGE: dict[str, Any] = {
    "part": "gauge",
    "key": "gauge-level-9-1",
    "name": "Level gauge, 9 Ω empty to 1 Ω full",
    "quantity": "level",
    "movement": {"kind": "ratio"},
    "low": "0 %",
    "high": "100 %",
    "scaled_for": {"key": "level-9-1"},
    "basis": "assumed",
}


def file(*parts: object, **changed: object) -> str:
    return json.dumps({"format": "retrofit-parts", "version": 1, "parts": parts} | changed)


def changed(part: dict[str, Any], **fields: object) -> dict[str, Any]:
    return copy.deepcopy(part) | fields


def said(error: pytest.ExceptionInfo[UserError]) -> list[str]:
    renderer = Renderer(NumberStyle())
    return [renderer.sentence(problem) for problem in error.value.messages]


def refused(files: dict[str, str]) -> list[str]:
    with pytest.raises(UserError) as error:
        read_library(files)
    return said(error)


@pytest.fixture
def library() -> Library:
    return load_generic()


def test_that_a_part_is_found_by_its_key(library: Library) -> None:
    sender, gauge = library.part("level-0-190"), library.part("gauge-level-0-190-ratio-12v")
    assert isinstance(sender, Sender)
    assert isinstance(gauge, Gauge)
    assert gauge.scaled_for is not None
    assert (gauge.scaled_for.name, gauge.scaled_for.law) == (sender.name, sender.law)


def test_that_a_mistyped_key_names_the_nearest_ones(library: Library) -> None:
    with pytest.raises(UserError) as error:
        library.part("level-240-33-mid103")
    (sentence,) = said(error)
    assert "no part called level-240-33-mid103" in sentence
    assert "level-240-33-mid-103" in sentence


def test_that_the_beginning_of_a_key_names_the_keys_that_hold_it(library: Library) -> None:
    with pytest.raises(UserError) as error:
        library.part("level-240-33")
    (sentence,) = said(error)
    assert "level-240-33-mid-103, level-240-33-straight" in sentence


def test_that_a_key_like_no_other_only_says_how_to_list_them(library: Library) -> None:
    with pytest.raises(UserError) as error:
        library.part("zzzz")
    assert said(error) == ['There is no part called zzzz. Run "retrofit parts" to list them.']


@pytest.mark.parametrize(
    ("words", "quantity", "kind", "keys"),
    [
        ("DUAL Station", None, None, {"level-120-16-dual", "pressure-80psi-120-16-dual"}),
        ("240 \N{OHM SIGN} straight", None, None, {"level-240-33-straight"}),
        ("1305 ohm", None, "sender", {"temperature-1305-50-260f"}),
        ("0-90", "level", "sender", {"level-1-88-mid-44"}),
        ("platinum", "temperature", "gauge", {"gauge-temperature-platinum-100-electronic"}),
        ("no-such-word", None, None, set()),
    ],
)
def test_that_every_word_must_be_found_in_any_case_and_order(
    library: Library, words: str, quantity: Any, kind: Any, keys: set[str]
) -> None:
    found = {part.key for part in library.search(words, quantity=quantity, kind=kind)}
    assert found >= keys
    assert bool(found) == bool(keys)
    reverse = " ".join(reversed(words.split()))
    assert {p.key for p in library.search(reverse, quantity=quantity, kind=kind)} == found


def test_that_no_words_find_all_of_a_kind_and_quantity(library: Library) -> None:
    assert library.search("") == (*library.senders, *library.gauges)
    assert library.search("", kind="gauge") == library.gauges
    levels = library.search("  ", quantity="level", kind="sender")
    assert levels == tuple(part for part in library.senders if part.quantity == "level")


def test_that_a_word_that_is_in_the_notes_finds_a_part(library: Library) -> None:
    assert "level-100-10" in {part.key for part in library.search("motorcycles")}


def test_that_a_dial_gets_the_law_of_the_class_it_is_scaled_for_across_files() -> None:
    library = read_library({"a.json": file(GAUGE), "b.json": file(SENDER)})
    named = library.gauges[0].scaled_for
    assert named is not None
    assert named.law == library.senders[0].law


def test_that_a_dial_scaled_for_no_known_class_names_file_and_part() -> None:
    (sentence,) = refused({"dials.json": file(GAUGE)})
    assert sentence.startswith("dials.json: gauge-level-9-1.scaled_for: ")
    assert "level-9-1" in sentence


def test_that_every_problem_of_every_file_is_gathered_with_its_place() -> None:
    wrong = changed(SENDER, key="level-bad", quantity="flow", notes=3)
    sentences = refused(
        {
            "one.json": file(SENDER, wrong),
            "two.json": file(changed(SENDER, key="level-8-1", law={"kind": "table"})),
            "three.json": "{",
        }
    )
    starts = sorted(sentence.split(" ")[0] + " " + sentence.split(" ")[1] for sentence in sentences)
    assert starts == [
        "one.json: level-bad.notes:",
        "one.json: level-bad.quantity:",
        "three.json is",
        "two.json: level-8-1.law.points:",
    ]


def test_that_the_same_key_twice_is_refused() -> None:
    (sentence,) = refused({"one.json": file(SENDER), "two.json": file(SENDER)})
    assert sentence.startswith("two.json: level-9-1: ")
    assert "taken" in sentence


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no JSON file"),
        ("[" * 100_000, "no JSON file"),
        ("[]", "no parts file"),
        (file(format="another"), "no parts file"),
        (file(version=2), "version 2"),
        (file(version=True), "version True"),
        (file(parts={}), "no list"),
    ],
    ids=["empty", "deep", "a list", "foreign", "newer", "odd version", "no list"],
)
def test_that_a_file_that_is_none_of_ours_gets_one_sentence(text: str, words: str) -> None:
    (sentence,) = refused({"odd.json": text})
    assert sentence.startswith("odd.json")
    assert words in sentence


def test_that_a_part_without_a_key_is_named_by_its_number() -> None:
    bare = {field: value for field, value in SENDER.items() if field != "key"}
    sentences = refused({"one.json": file(bare, 7)})
    assert sentences[0].startswith("one.json: part 1.key: ")
    assert sentences[1].startswith("one.json: part 2: ")


def test_that_messages_of_a_library_are_plain_data() -> None:
    with pytest.raises(UserError) as error:
        read_library({"odd.json": "[]"})
    assert all(isinstance(problem, Message) for problem in error.value.messages)
