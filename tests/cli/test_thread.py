"""``retrofit thread``: which thread a part has. Sizes: ISO 228-1, ASME B1.20.1, ISO 261."""

from __future__ import annotations

import json

import pytest

from tests.cli.prompt import Prompt


def test_that_a_look_alike_is_named_with_what_tells_it(prompt: Prompt) -> None:
    said = prompt("thread", "male", "--diameter", "9.75 mm", "--tpi", "27.5")
    assert said.code == 0
    lines = said.out.splitlines()
    assert lines[2].split()[:2] == ["G", "1/8"]
    assert lines[3].split()[:2] == ["1/8-27", "NPT"]
    told = " ".join(said.out.split())
    assert "measure the diameter at the start and again" in told


def test_that_a_taper_settles_it(prompt: Prompt) -> None:
    said = prompt(
        *("thread", "male", "--diameter", "9.47 mm", "--second", "9.85 mm"),
        *("--apart", "6 mm", "--tpi", "28", "--json"),
    )
    data = json.loads(said.out)
    assert (data["format"], data["version"]) == ("retrofit-thread", 1)
    fitting = [one["designation"] for one in data["threads"] if one["fits"]]
    assert fitting == ["R 1/8"]
    assert data["apart"] == data["problems"] == []


def test_that_a_female_is_measured_inside(prompt: Prompt) -> None:
    said = prompt("thread", "female", "--diameter", "8.95", "--pitch", "1 mm", "--json")
    assert json.loads(said.out)["threads"][0]["designation"] == "M10x1"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Measure at least the diameter"),
        (("--diameter", "14.3 mm", "--tpi", "14"), "pitch and the outside diameter again"),
        (("--pitch", "1", "--tpi", "28"), "Leave one of them out"),
        (("--diameter", "9.7", "--tpi", "twenty"), "does not begin with a number"),
        (("--diameter", "9.7", "--tpi", "0"), "is no number of turns per inch"),
        (("--diameter", "9.7 kg"), "--diameter"),
        (("--diameter", "-9.8mm"), "The diameter must be above zero"),
        (("--diameter", "-9.8"), "The diameter must be above zero"),
        (("--diameter", "9.55 mm", "--tpi", "27"), "With worn crests it may be 1/8-27 NPT"),
    ],
    ids=[
        *("nothing", "no such thread", "two pitches", "no number", "none", "no length"),
        *("below zero", "below zero, bare", "worn"),
    ],
)
def test_that_what_is_no_thread_is_said_in_a_sentence(
    prompt: Prompt, words: tuple[str, ...], says: str
) -> None:
    said = prompt("thread", "male", *words)
    assert (said.code, said.out) == (1, "")
    assert says in said.joined


def test_that_a_worn_thread_is_found_with_its_option(prompt: Prompt) -> None:
    said = prompt("thread", "male", "--diameter", "9.55 mm", "--tpi", "27", "--worn", "--json")
    fitting = [one["designation"] for one in json.loads(said.out)["threads"] if one["fits"]]
    assert fitting == ["1/8-27 NPT"]


def test_that_a_diameter_between_two_names_their_telling_apart(prompt: Prompt) -> None:
    told = " ".join(prompt("thread", "male", "--diameter", "9.70 mm").out.split())
    assert "G 1/8 or 1/8-27 NPT: measure the diameter at the start and again" in told
