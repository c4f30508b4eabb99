"""``retrofit new``: plans from catalogue parts and from tables of the bench."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from retrofit.plan.file import read_plan
from tests.cli.prompt import Prompt, Said

SENDER = "temperature-450-15-300f"
GAUGE = "gauge-temperature-291-22-120c-ratio-12v"

# Falling temperature class and dial of 291 Ω (common practice, no source), as at a bench.
BENCH_SENDER = "temperature °F;ohm\n100;450\n150;158,2\n200;64,3\n250;29,5\n300;14,96\n"
BENCH_GAUGE = "mark,ohm\n40,291.46\n80,70.12\n120,22.44\n"


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sender.csv").write_text(BENCH_SENDER, encoding="utf-8")
    (tmp_path / "dial.csv").write_text(BENCH_GAUGE, encoding="utf-8")
    return tmp_path


def catalogued(prompt: Prompt, *more: str) -> Said:
    return prompt("new", "out.json", "--sender", SENDER, "--gauge", GAUGE, *more)


def measured(prompt: Prompt, *more: str) -> Said:
    tables = ["--sender", "sender.csv", "--gauge", "dial.csv", "--quantity", "temperature"]
    return prompt("new", "out.json", *tables, *more)


def test_that_two_tables_of_the_bench_become_a_plan_that_can_be_assessed(
    prompt: Prompt, bench: Path
) -> None:
    said = measured(prompt, "--mark", "alarm=98 °C", "--allowed", "3.5 °C")
    assert (said.code, said.err) == (0, "")
    assert "retrofit assess out.json" in said.out
    assert "--movement" in said.out
    data = json.loads(prompt("assess", "out.json", "--json").out)
    # 98 °C lies between 150 and 250 °F of the sender's table.
    assert 29.5 < data["marks"][0]["sender"] < 158.2
    plan = read_plan(bench / "out.json")
    assert plan.pairings[0].sender_origin is None


def test_that_whatever_was_not_said_stays_unknown(prompt: Prompt, bench: Path) -> None:
    catalogued(prompt, "--mark", "alarm=98 °C")
    duty = read_plan(bench / "out.json").duty
    assert (duty.medium, duty.controller_shares, duty.allowed) == ("unknown", "unknown", None)
    assert (duty.marks[0].flatters, duty.marks[0].allowed) == ("unknown", None)
    assert (str(duty.low), str(duty.high)) == ("40 °C", "120 °C")


def test_that_everything_that_was_said_is_in_the_plan(prompt: Prompt, bench: Path) -> None:
    said = measured(
        prompt,
        *("--name", "Pump", "--notes", "n", "--low", "110 °F", "--high", "115 °C"),
        *("--allowed", "3 °C", "--medium", "coolant", "--controller", "no"),
        *("--mark", "hot: alarm=98 °C:flatters=low:allowed=2 °C"),
        *("--supply", "13.8 V", "--supply-low", "11", "--supply-high", "14,4 V"),
        *("--movement", "ratio", "--terminals", "440,260,180", "--meter-error", "0.5%"),
        *("--trim", "across sender=430 Ω:tolerance=1 %:rating=0.5 W"),
        *("--trim", "series at gauge=4R7", "--shape", "thermistor"),
    )
    assert said.err == ""
    plan = json.loads((bench / "out.json").read_text("utf-8"))["plan"]
    pairing = plan["pairings"][0]
    assert plan["duty"] == {
        "quantity": "temperature",
        "low": "110 °F",
        "high": "115 °C",
        "marks": [{"name": "hot: alarm", "at": "98 °C", "allowed": "2 °C", "flatters": "low"}],
        "allowed": "3 °C",
        "medium": "coolant",
        "controller_shares": "no",
    }
    assert pairing["installation"]["supply"] == {
        "nominal": "13.8 V",
        "low": "11 V",
        "high": "14.4 V",
    }
    assert pairing["trim"] == [
        {"place": "across sender", "value": "430 Ω", "tolerance": "1 %", "rating": "0.5 W"},
        {"place": "series at gauge", "value": "4.7 Ω"},
    ]
    assert pairing["gauge"]["terminals"]["supply_signal"] == "260 Ω"
    assert pairing["gauge"]["terminals"]["meter_error"] == "0.5 %"
    assert pairing["sender"]["law"]["basis"] == "measured: sender"
    assert (plan["name"], plan["notes"]) == ("Pump", "n")


def test_that_a_mark_beyond_the_dial_widens_a_range_that_nobody_gave(
    prompt: Prompt, bench: Path
) -> None:
    catalogued(prompt, "--mark", "boiling=125 °C", "--mark", "frost=0 °C")
    duty = read_plan(bench / "out.json").duty
    assert (str(duty.low), str(duty.high)) == ("0 °C", "125 °C")


def test_that_a_plan_that_is_there_is_replaced_only_on_request(prompt: Prompt, bench: Path) -> None:
    (bench / "out.json").write_text("mine", encoding="utf-8")
    said = catalogued(prompt)
    assert (said.code, said.out) == (1, "")
    assert "--force" in said.joined
    assert (bench / "out.json").read_text("utf-8") == "mine"
    assert catalogued(prompt, "--force").code == 0


BAD: dict[str, tuple[list[str], str]] = {
    "a unit of another kind": (["--low", "3 bar"], "--low: 'bar' in '3 bar'"),
    "no number": (["--supply", "twelve"], "--supply: 'twelve'"),
    "NaN": (["--allowed", "nan"], "--allowed: 'nan'"),
    "a mark without value": (["--mark", "alarm"], "alarm is no mark"),
    "a side that is none": (["--mark", "alarm=98 °C:flatters=left"], "flatters=high"),
    "a detail that is none": (["--mark", "alarm=98 °C:colour=red"], "flatters, allowed"),
    "a place that is none": (["--trim", "somewhere=430"], "across sender"),
    "zero ohms in a trim": (["--trim", "across sender=0 Ω"], "0 Ω"),
    "negative ohms in a trim": (["--trim", "across sender=-3 Ω"], "-3 Ω"),
    "one place twice": (["--trim", "pull-up=1k", "--trim", "pull-up=2k"], "pull-up"),
    "a range upside down": (["--low", "110 °C", "--high", "50 °C"], "110"),
    "a mark outside the range": (["--low", "50 °C", "--mark", "frost=0 °C"], "frost"),
    "supplies in disorder": (["--supply-low", "14 V", "--supply-high", "12 V"], "14 V"),
    "a movement for a known gauge": (["--movement", "coil"], "--movement is for a gauge measured"),
}


@pytest.mark.parametrize(("more", "words"), BAD.values(), ids=BAD)
def test_that_a_bad_option_is_refused_and_nothing_is_written(
    more: list[str], words: str, prompt: Prompt, bench: Path
) -> None:
    said = catalogued(prompt, *more)
    assert (said.code, said.out) == (1, "")
    assert words in said.joined
    assert "Traceback" not in said.err
    assert not (bench / "out.json").exists()


@pytest.mark.usefixtures("bench")
def test_that_all_bad_options_are_told_together(prompt: Prompt) -> None:
    said = catalogued(prompt, "--low", "3 bar", "--supply", "twelve")
    assert "--low" in said.joined
    assert "--supply" in said.joined


PARTS: dict[str, tuple[dict[str, str], str]] = {
    "two sexes swapped": ({"--sender": GAUGE}, "is a gauge, where a sender is wanted"),
    "no such part": ({"--gauge": "gauge-temperature-291"}, "Did you mean"),
    "no such file": ({"--sender": "none.csv"}, "no file none.csv"),
    "another quantity": ({"--sender": "level-240-33-mid-103"}, "level"),
    "a folder": ({"--sender": "folder.csv"}, "is a folder"),
}


@pytest.mark.parametrize(("swap", "words"), PARTS.values(), ids=PARTS)
def test_that_a_part_that_cannot_be_had_is_told(
    swap: dict[str, str], words: str, prompt: Prompt, bench: Path
) -> None:
    (bench / "folder.csv").mkdir()
    named: dict[str, Any] = {"--sender": SENDER, "--gauge": GAUGE, **swap}
    said = prompt("new", "out.json", *(word for pair in named.items() for word in pair))
    assert (said.code, said.out) == (1, "")
    assert words in said.joined
    assert not (bench / "out.json").exists()


TABLES: dict[str, tuple[str, str]] = {
    "empty": ("", "The table is empty"),
    "unsorted": ("40;291\n80;70\n60;134\n", "--sort"),
    "a turn": ("40;291\n60;134\n80;150\n", "split the table"),
    "equal ohms": ("40;291\n60;291\n", "Rows 1 and 2"),
    "zero ohms": ("40;291\n80;0\n", "Row 2"),
    "negative ohms": ("40;291\n80;-70\n", "Row 2"),
    "NaN": ("40;291\n80;NaN\n", "Row 2"),
    "bar for degrees": ("1 bar;291\n2 bar;70\n", "bar"),
    "100,000 rows": ("40;291\n" * 100_000, "100000 rows"),
}


@pytest.mark.parametrize(("text", "words"), TABLES.values(), ids=TABLES)
@pytest.mark.parametrize("name", ["sender.csv", "dial.csv"])
def test_that_a_bad_table_is_told_with_its_file_and_its_row(
    name: str, text: str, words: str, prompt: Prompt, bench: Path
) -> None:
    (bench / name).write_text(text, encoding="utf-8")
    said = measured(prompt)
    assert (said.code, said.out) == (1, "")
    assert words in said.joined
    assert name in said.joined
    assert not (bench / "out.json").exists()


def test_that_both_tables_are_looked_at_before_giving_up(prompt: Prompt, bench: Path) -> None:
    (bench / "sender.csv").write_text("", encoding="utf-8")
    (bench / "dial.csv").write_text("40;291\n", encoding="utf-8")
    said = measured(prompt)
    assert "sender.csv" in said.joined
    assert "dial.csv" in said.joined


def test_that_an_unsorted_table_is_taken_when_asked_to_sort(prompt: Prompt, bench: Path) -> None:
    (bench / "dial.csv").write_text("120,22.44\n40,291.46\n80,70.12\n", encoding="utf-8")
    assert measured(prompt).code == 1
    assert measured(prompt, "--sort").code == 0
    gauge = read_plan(bench / "out.json").pairings[0].gauge
    assert [str(mark.at) for mark in gauge.marks] == ["40 °C", "80 °C", "120 °C"]


@pytest.mark.usefixtures("bench")
def test_that_two_tables_need_to_be_told_what_is_read(prompt: Prompt) -> None:
    said = prompt("new", "out.json", "--sender", "sender.csv", "--gauge", "dial.csv")
    assert said.code == 1
    assert "--quantity" in said.joined


@pytest.mark.usefixtures("bench")
@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--terminals", "440,260"], "440,260,180"),
        (["--terminals", "440,260,180"], "--meter-error"),
        (["--terminals", "440,hot,180", "--meter-error", "0.5%"], "hot"),
    ],
)
def test_that_terminal_readings_need_three_numbers_and_the_meter_s_error(
    more: list[str], words: str, prompt: Prompt
) -> None:
    said = measured(prompt, *more)
    assert said.code == 1
    assert words in said.joined


def test_that_a_volt_table_makes_an_instrument_for_volts(prompt: Prompt, bench: Path) -> None:
    for name in ("sender.csv", "dial.csv"):
        (bench / name).write_text("bar;V\n0;0.5\n10;4.5\n", encoding="utf-8")
    tables = ["--sender", "sender.csv", "--gauge", "dial.csv", "--quantity", "pressure"]
    assert prompt("new", "out.json", *tables).code == 0
    gauge = json.loads((bench / "out.json").read_text("utf-8"))["plan"]["pairings"][0]["gauge"]
    assert gauge["movement"] == {"kind": "voltage input"}
