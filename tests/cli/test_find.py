"""``retrofit find``: what it says, writes and refuses."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from catalog.library import load_generic
from catalog.parts.sender import Sender
from retrofit.plan.assess import assess
from retrofit.plan.candidates import candidate_of
from retrofit.plan.file import read_plan, write_plan
from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt

LAUNCH = str(shipped("demo", "harbour-launch.json"))
TRACTOR = str(shipped("demo", "vineyard-tractor.json"))


def sender_of(key: str) -> Sender:
    return next(one for one in load_generic().senders if one.key == key)


def lines(out: str) -> str:
    return " ".join(out.split())


def test_that_the_launch_is_told_the_class_that_its_gauge_is_made_for(prompt: Prompt) -> None:
    said = prompt("find", LAUNCH)
    assert said.code == 0
    rows = [line for line in said.out.splitlines() if "temperature-" in line]
    assert "*1  temperature-291-22-120c" in rows[0]
    # The sender that is in the plan, with the resistor that `retrofit trim` proposes for it.
    assert "temperature-450-15-300f" in rows[1]
    assert "R ∥ 430 Ω" in rows[1]
    text = lines(said.out)
    assert "that run the other way" in text
    assert "Add --excluded" in text
    assert "Hot coolant is under pressure" in text


def test_that_every_number_of_a_row_is_that_of_the_assessment(prompt: Prompt) -> None:
    data = json.loads(prompt("find", TRACTOR, "--json", "--rows", "3", "--series", "E12").out)
    assert data["format"] == "retrofit-finds"
    told = [row for row in data["rows"] if row["assessed"]]
    assert len(told) == 3
    plan = read_plan(Path(TRACTOR))
    for row in told:
        sender = sender_of(row["sender"])
        pairing = replace(plan.pairing(), sender=sender, sender_origin=None)
        bare = candidate_of(assess(replace(plan, pairings=(pairing,))), row["key"])
        if not row["lead"]["trim"]:
            assert row["assessed"]["share"] == pytest.approx(bare.share, rel=1e-9)
            assert row["assessed"]["verdict"] == bare.verdict.value
        # The search looks at a tenth of the points, so it can be below by a little only.
        assert row["assessed"]["share"] >= row["lead"]["share"] * (1.0 - 1e-9)
        assert row["best"]["share"] <= row["lead"]["share"] * (1.0 + 1e-9)
        assert len(row["best"]["error"]) == 21
    assert data["proven"] == len(data["rows"])
    assert {"quantity", "direction"} <= {out["kind"] for out in data["excluded"]}


def test_that_the_applied_plan_is_assessed_as_the_row_says(prompt: Prompt, tmp_path: Path) -> None:
    out = tmp_path / "with.json"
    pick = "temperature-482-19-150c"
    said = prompt("find", LAUNCH, "--pick", pick, "--apply", str(out))
    assert said.code == 0
    assert f"holds the plan with {pick} and 270 Ω across the sender" in lines(said.out)
    made = read_plan(out)
    assert made.pairing().sender == load_generic().part(pick)
    assert made.pairing().gauge == read_plan(Path(LAUNCH)).pairing().gauge
    data = json.loads(prompt("find", LAUNCH, "--json").out)
    row = next(row for row in data["rows"] if row["key"] == pick)
    found = candidate_of(assess(made), pick)
    assert row["assessed"]["share"] == pytest.approx(found.share, rel=1e-12)
    again = prompt("find", LAUNCH, "--pick", pick, "--apply", str(out))
    assert again.code == 1
    assert "--force" in again.joined


def test_that_gauges_and_pairs_are_found_as_well(prompt: Prompt) -> None:
    gauges = prompt("find", TRACTOR, "--gauges", "--excluded")
    assert "*1  gauge-level-73-10-heater-5v" in gauges.out
    assert "it is made for 24 V" in lines(gauges.out)
    pairs = json.loads(prompt("find", TRACTOR, "--pairs", "--series", "E3", "--json").out)
    assert {row["gauge"] for row in pairs["rows"]} > {"gauge-level-73-10-heater-5v"}
    assert all(" + " in row["key"] for row in pairs["rows"])


def test_that_filters_are_kept(prompt: Prompt) -> None:
    data = json.loads(prompt("find", TRACTOR, "--stations", "2", "--json").out)
    assert {sender_of(row["sender"]).stations for row in data["rows"]} == {2}
    said = prompt("find", TRACTOR, "--stations", "2", "--system", "12", "--excluded")
    assert "it is made to feed 1 at once" in lines(said.out)


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["--pick", "level-0-190"], "was left out"),
        (["--apply", "out.json"], "Add --pick"),
        (["--from", "80 %", "--to", "20 %"], "80"),
        (["--pick", "nothing", "--apply", "out.json"], "No part called nothing was tried"),
        (["--pick", "level-0-190", "--apply", "out.json"], "runs the other way than the dial"),
        (["--values", "twelve"], "--values"),
        (["--pairing", "Z"], "Z"),
    ],
)
def test_that_what_cannot_be_done_is_said_in_a_sentence(
    argv: list[str],
    said: str,
    prompt: Prompt,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    found = prompt("find", TRACTOR, *argv)
    assert found.code == 1
    assert said in found.joined
    assert list(tmp_path.iterdir()) == []


def test_that_nothing_is_proposed_for_a_sender_that_a_controller_reads(
    prompt: Prompt, tmp_path: Path
) -> None:
    plan = read_plan(Path(LAUNCH))
    path = tmp_path / "shared.json"
    write_plan(path, replace(plan, duty=replace(plan.duty, controller_shares="yes")))
    found = prompt("find", str(path))
    assert found.code == 1
    assert "An engine controller reads this sender" in found.joined


# --- what a practitioner stumbled over ----------------------------------------------------------


LEVEL = ("--sender", "level-240-33-mid-103", "--gauge", "gauge-level-240-33-ratio-12v")


def test_that_the_verdict_of_the_whole_plan_stands_beside_that_of_the_needle(
    prompt: Prompt, tmp_path: Path
) -> None:
    path = prompt.plan(tmp_path / "w.json", *LEVEL, "--allowed", "5%", "--medium", "fresh water")
    out = tmp_path / "with.json"
    said = prompt("find", path, "--rows", "2", "--pick", "1", "--apply", str(out))
    row = next(line for line in said.out.splitlines() if line.startswith("  *1"))
    assert row.endswith("● good        ? unknown")
    assert assess(read_plan(out)).checks[0].verdict.value == "unknown"
    # Applying says what `assess` will say.
    assert "? unknown Whether the needle hides danger is not known" in lines(said.out)
    data = json.loads(prompt("find", path, "--json", "--rows", "3").out)
    for one in data["rows"][:3]:
        again = tmp_path / f"{one['key']}.json"
        assert prompt("find", path, "--pick", one["key"], "--apply", str(again)).code == 0
        assert one["assessed"]["plan_verdict"] == assess(read_plan(again)).checks[0].verdict.value


def test_that_a_tank_of_nobody_knows_what_is_never_good(prompt: Prompt, tmp_path: Path) -> None:
    path = prompt.plan(tmp_path / "u.json", *LEVEL, "--allowed", "5%")
    data = json.loads(prompt("find", path, "--json").out)
    told = [row["assessed"] for row in data["rows"] if row["assessed"]]
    assert told[0]["share"] < 0.01
    assert told[0]["verdict"] == "unknown"
    assert "good" not in {one["verdict"] for one in told}


def test_that_a_stop_with_a_small_error_says_why(prompt: Prompt, tmp_path: Path) -> None:
    path = prompt.plan(
        tmp_path / "p.json",
        *("--sender", "level-0-190", "--gauge", "gauge-level-10-180-ratio-12v"),
        *("--allowed", "6%", "--medium", "petrol"),
    )
    said = prompt("find", path)
    text = lines(said.out)
    assert re.search(r"stop in row \d+, however small the error: This trim goes to a sender", text)
    assert re.search(r"unknown in row 1, however small the error: Whether the sender in fuel", text)


def test_that_a_missing_allowed_error_is_said_once_and_with_the_option(
    prompt: Prompt, tmp_path: Path
) -> None:
    path = tmp_path / "n.json"
    made = prompt("new", str(path), *LEVEL)
    assert 'add --allowed "5 %"' in lines(made.out)
    said = lines(prompt("find", str(path)).out)
    assert said.count("No allowed error in this plan") == 1
    assert "under Duty" not in said
    refused = prompt("trim", str(path))
    assert (refused.code, "--allowed" in refused.joined) == (1, True)
    there = prompt.plan(tmp_path / "a.json", *LEVEL, "--allowed", "5%")
    assert "--mark" in lines(prompt("find", there, "--no-flattery").out)
    assert "--mark" in prompt("trim", there, "--no-flattery").joined


def test_that_a_sender_known_over_less_is_named_with_the_range_to_type(
    prompt: Prompt, tmp_path: Path
) -> None:
    table = tmp_path / "s.csv"
    table.write_text("40 °C, 450\n60 °C, 200\n80 °C, 95\n100 °C, 55\n", encoding="utf-8")
    path = prompt.plan(
        tmp_path / "t.json",
        *("--sender", str(table), "--gauge", "gauge-temperature-291-22-120c-ratio-12v"),
        *("--allowed", "3 °C"),
    )
    said = lines(prompt("find", path, "--gauges").out)
    assert "The sender is known from 40.0 °C to 100.0 °C only" in said
    typed = re.search(r'--from "(.*?)" --to "(.*?)"', said)
    assert typed is not None
    out = tmp_path / "narrow.json"
    went = prompt(
        "find", path, "--gauges", "--from", typed[1], "--to", typed[2],
        "--pick", "1", "--apply", str(out),
    )  # fmt: skip
    assert went.code == 0
    assert "Its range is now 40.0 °C to 100.0 °C" in lines(went.out)
    assert read_plan(out).duty.span == (40.0, 100.0)
    assert "--from and --to" in lines(prompt("trim", path).err)
    assert prompt("trim", path, "--to", "100C").code == 0


def test_that_gauges_for_another_supply_are_named_where_they_fit(
    prompt: Prompt, tmp_path: Path
) -> None:
    path = prompt.plan(
        tmp_path / "v.json",
        *("--sender", "level-40-250", "--gauge", "gauge-level-0-90-ratio-12v", "--allowed", "5%"),
    )
    for more in ([], ["--system", "24"]):
        said = lines(prompt("find", path, "--gauges", *more).out)
        assert "gauge-level-40-250-ratio-24v (24 V)" in said
        assert '--supply "27 V"' in said
        assert "13.50 V here (assumed" in said


def test_that_a_pull_up_that_cannot_be_looked_at_is_said(prompt: Prompt, tmp_path: Path) -> None:
    path = prompt.plan(tmp_path / "u.json", *LEVEL, "--allowed", "5%")
    assert "A pull-up could not be looked at" in lines(prompt("find", path, "--pull-up").out)
    assert "A pull-up" not in lines(prompt("find", path).out)


def test_that_a_row_is_shown_whole_by_its_number_or_its_key(prompt: Prompt) -> None:
    by_number = prompt("find", LAUNCH, "--pick", "2")
    by_key = prompt("find", LAUNCH, "--pick", "temperature-450-15-300f")
    assert by_number.out == by_key.out
    text = lines(by_key.out)
    for piece in ("430 Ω across the sender", "marked 430RJ", "Checks, worst first", "--apply"):
        assert piece in text


def test_that_an_option_that_is_nearly_right_is_named(prompt: Prompt) -> None:
    said = prompt("find", LAUNCH, "--gauge")
    assert said.code == 2
    assert "Perhaps meant: --gauges" in said.joined


def test_that_likely_bands_stand_beside_the_errors_and_overlaps_are_told(
    prompt: Prompt, tmp_path: Path
) -> None:
    dial = tmp_path / "dial.csv"
    dial.write_text("0 %, 0\n100 %, 90\n", encoding="utf-8")
    path = prompt.plan(
        tmp_path / "o.json",
        *("--sender", "level-0-100", "--gauge", str(dial), "--movement", "ratio"),
        *("--quantity", "level", "--allowed", "5%"),
    )
    said = lines(prompt("find", path).out)
    assert "The likely bands of rows 1, 2" in said
    assert "most telling test" in said


def test_that_ten_rows_get_their_likely_band_and_the_others_a_dash(
    prompt: Prompt, tmp_path: Path
) -> None:
    path = prompt.plan(tmp_path / "d.json", *LEVEL, "--allowed", "5%")
    said = prompt("find", path, "--rows", "12").out
    rows = re.findall(r"^ +\*?\d+  level-.*$", said, re.MULTILINE)
    assert [" ± " in row for row in rows] == [True] * 10 + [False] * 2
    assert [" –  " in row for row in rows] == [False] * 10 + [True] * 2
