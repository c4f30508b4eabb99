"""``retrofit identify``: what it says, what it hands to scripts, what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.prompt import Prompt


def lines(out: str) -> str:
    return " ".join(out.split())


def test_that_three_readings_name_the_class(prompt: Prompt) -> None:
    said = prompt(
        "identify", "sender", "--quantity", "level",
        "--point", "0%=241", "--point", "1/2=102 Ω", "--point", "100 % = 33.4",
    )  # fmt: skip
    text = lines(said.out)
    assert (said.code, said.err) == (0, "")
    assert "It is most likely this class: Level, 240 Ω empty to 33 Ω full, half at 103 Ω" in text
    assert "is assumed to be off by up to ±5.0 %" in text
    assert "treat it as fuel" in text


def test_that_the_next_measurement_is_told_with_what_each_class_would_give(
    prompt: Prompt,
) -> None:
    said = prompt(
        "identify", "sender", "--quantity", "level", "--point", "0%=240", "--point", "100%=33"
    )
    text = lines(said.out)
    assert "Measure next at 50.0 %" in text
    assert "Next, 50.0 %: what each class would give" in text


def test_that_a_table_of_the_bench_is_read_slips_and_all(prompt: Prompt, tmp_path: Path) -> None:
    bench = tmp_path / "bench.csv"
    bench.write_text("level %; ohm\n0; 0,2\n25; 95\n50; 48\n75; 143\n100; 190\n", encoding="utf-8")
    said = prompt("identify", "sender", "--quantity", "level", "--table", str(bench))
    assert said.code == 0
    text = lines(said.out)
    assert "Level, 0 Ω empty to 190 Ω full" in text
    assert "Readings 2 and 3 look swapped" in text


def test_that_nothing_in_the_catalogue_is_said_to_be_none_of_these(prompt: Prompt) -> None:
    said = prompt(
        "identify", "sender", "--quantity", "level", "--point", "0%=1500", "--point", "50%=900",
        "--point", "100%=400",
    )  # fmt: skip
    assert lines(said.out).startswith("None of these")


def test_that_ohms_at_rest_alone_ask_for_the_quantity(prompt: Prompt) -> None:
    text = lines(prompt("identify", "sender", "--rest", "240").out)
    assert "say whether it measures level, pressure or temperature" in text


def test_that_a_gauge_is_found_and_never_earthed(prompt: Prompt) -> None:
    said = prompt(
        "identify", "gauge", "--quantity", "level", "--open", "low", "--point", "33=high",
        "--point", "103=50%",
    )  # fmt: skip
    text = lines(said.out)
    assert said.code == 0
    assert "240 Ω empty to 33 Ω full, ratio movement, 12 V" in text
    assert "lowest ohms of the sender's class, rated for the whole supply" in text
    refused = prompt("identify", "gauge", "--quantity", "level", "--point", "0=high")
    assert refused.code == 1
    assert "Never earth the lead as a test" in refused.joined


def test_that_a_scale_names_its_unit_once(prompt: Prompt) -> None:
    said = prompt(
        "identify", "gauge", "--quantity", "pressure", "--scale", "0..10 bar",
        "--point", "107=5 bar", "--json",
    )  # fmt: skip
    data = json.loads(said.out)
    assert data["ranked"][0]["key"].startswith("gauge-pressure-10bar-10-184")


def test_that_scripts_get_numbers_and_keys_only(prompt: Prompt) -> None:
    said = prompt(
        "identify", "sender", "--quantity", "level", "--point", "0%=240", "--point", "100%=33",
        "--json",
    )  # fmt: skip
    data = json.loads(said.out)
    assert (data["format"], data["version"], data["part"]) == (
        "retrofit-identification", 1, "sender"
    )  # fmt: skip
    assert data["found"] == "several"
    assert data["next"]["at"] == {"value": 0.5, "unit": "1"}
    assert data["says"][0]["key"] == "identify.several"
    total = sum(one["share"] for one in data["ranked"]) + data["unlisted"]
    assert total == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["sender"], "No reading is given"),
        (["sender", "--point", "0%=5"], "Say what is measured"),
        (["sender", "--quantity", "level", "--point", "5"], "write VALUE=OHMS"),
        (["sender", "--quantity", "level", "--point", "x=5"], "--point"),
        (["sender", "--quantity", "level", "--rest", "5", "--open", "low"], "--open"),
        (
            ["sender", "--quantity", "level", "--point", "0%=5", "--point", "100%=2 V"],
            "all readings of one kind",
        ),
        (["sender", "--rest", "5", "--tolerance", "200%"], "below 100 %"),
        (["gauge"], "Nothing is seen of the gauge"),
        (["gauge", "--point", "33=sideways"], "no place of a needle"),
        (["gauge", "--open", "low", "--scale", "5 bar"], "Say what is measured"),
        (["gauge", "--quantity", "pressure", "--open", "low", "--scale", "5 bar"], "both ends"),
        (["gauge", "--rest", "5"], "--rest"),
    ],
)
def test_that_what_makes_no_sense_is_told_in_a_sentence(
    argv: list[str], words: str, prompt: Prompt
) -> None:
    said = prompt("identify", *argv)
    assert (said.code, said.out) == (1, "")
    assert words in said.joined
