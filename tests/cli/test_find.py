"""``retrofit find``: what it says, writes and refuses."""

from __future__ import annotations

import json
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
        (["--pick", "level-240-33-mid-103"], "Give both"),
        (["--apply", "out.json"], "Give both"),
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
