"""``retrofit trim``: what it says, writes and refuses."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from retrofit.plan.file import read_plan, write_plan
from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt

LAUNCH = str(shipped("demo", "harbour-launch.json"))
TRACTOR = str(shipped("demo", "vineyard-tractor.json"))


def lines(out: str) -> str:
    return " ".join(out.split())


def test_that_the_launch_is_told_the_best_and_what_would_mend_it(prompt: Prompt) -> None:
    # 430 Ω across and that two buy nothing: brute force beside the project.
    said = prompt("trim", LAUNCH)
    assert said.code == 0
    text = lines(said.out)
    assert "Even the best, 430 Ω across the sender, is not enough" in text
    assert "More resistors buy nothing" in text
    assert "marked 430RJ, or yellow, orange, brown, gold" in text
    assert "another sender: one with about 22.44 Ω at 120.0 °C" in text
    assert "Trim resistors get hot" in text


def test_that_the_tractor_is_told_that_no_resistors_widen_a_span(prompt: Prompt) -> None:
    text = lines(prompt("trim", TRACTOR).out)
    assert "resistors only ever take away" in text
    assert "another sender" in text
    assert "Fuel vapour burns" in text
    assert "what the original gauge gave it is not known" in text


def test_that_apply_writes_the_plan_with_the_lead_and_nothing_else_changed(
    prompt: Prompt, tmp_path: Path
) -> None:
    out = tmp_path / "trimmed.json"
    said = prompt("trim", LAUNCH, "--apply", str(out))
    assert said.code == 0
    assert "holds the plan with 430 Ω across the sender" in lines(said.out)
    made = read_plan(out)
    assert [(one.place, str(one.value)) for one in made.pairing().trim] == [
        ("across sender", "430 Ω")
    ]
    assert replace(made.pairing(), trim=()) == read_plan(Path(LAUNCH)).pairing()
    again = prompt("trim", LAUNCH, "--apply", str(out))
    assert again.code == 1
    assert "--force" in again.joined
    assert prompt("trim", LAUNCH, "--apply", str(out), "--force").code == 0
    # The present trim is compared, and never counts in the search.
    assert "now 430 Ω across the sender, 9.3 °C" in lines(prompt("trim", str(out)).out)


def test_that_own_values_and_a_stock_are_all_that_is_proposed(
    prompt: Prompt, tmp_path: Path
) -> None:
    data = json.loads(prompt("trim", LAUNCH, "--values", "390, 4k7", "--json").out)
    used = {one["ohms"] for row in data["ladder"] if row for one in row["trim"]}
    assert used <= {390.0, 4700.0}
    stock = tmp_path / "drawer.json"
    resistors = [{"ohm": "430 Ω", "tolerance": "1 %", "watts": "0.5 W", "count": 1}]
    document = {"format": "retrofit-stock", "version": 1, "resistors": resistors}
    stock.write_text(json.dumps(document), encoding="utf-8")
    text = lines(prompt("trim", LAUNCH, "--stock", str(stock)).out)
    assert "marked 430RF, or yellow, orange, brown, brown" in text


def numbers(data: Any) -> list[float]:
    if isinstance(data, dict):
        return [n for one in data.values() for n in numbers(one)]
    if isinstance(data, list):
        return [n for one in data for n in numbers(one)]
    return [data] if isinstance(data, float) else []


def test_that_scripts_get_the_same_numbers_and_no_sentence(prompt: Prompt) -> None:
    data = json.loads(prompt("trim", LAUNCH, "--json").out)
    assert (data["format"], data["version"]) == ("retrofit-trims", 1)
    assert data["lead"] in data["ladder"]
    assert data["lead"]["trim"][0]["ohms"] == 430.0
    shown = f"{data['lead']['share']:.2f}"
    assert re.search(rf"R ∥ 430 Ω +9.3 +{shown}", prompt("trim", LAUNCH).out)
    assert len(data["lead"]["error"]) == 41
    assert data["proof"]["law"] == "conductance"
    assert numbers(data)


def test_that_the_certificate_names_the_winner_and_bounds_every_other_place(
    prompt: Prompt, tmp_path: Path
) -> None:
    # That its bounds hold is checked without the search in tests/trim/test_search.py.
    out = tmp_path / "proof.json"
    assert prompt("trim", LAUNCH, "--most", "1", "--certificate", str(out)).code == 0
    proof = json.loads(out.read_text(encoding="utf-8"))
    assert proof["winner"][0] == 430.0
    topologies = {" + ".join(one["places"]): one["bound"] for one in proof["topologies"]}
    assert set(topologies) == {"", "series at sender", "across sender"}
    least = proof["worst"] * (1.0 - proof["gap"]) - 1e-9
    assert all(bound >= least for bounds in topologies.values() for bound in bounds)


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--values", ","], "The stock holds no resistor"),
        (["--values", "10,x"], "--values: 'x' does not begin with a number"),
        (["--low", "34", "--high", "35"], "E24 holds no value from 34 Ω to 35 Ω"),
        (["--low", "10k", "--high", "1"], "Give a range that runs upwards"),
        (["--no-flattery", "boiling"], "The duty has no mark boiling; it has alarm"),
        (["--pairing", "Q"], "no pairing"),
        (["--untested", "because"], "Add --apply"),
        (["--stock", "nowhere.json"], "nowhere.json"),
    ],
)
def test_that_bad_input_gets_one_sentence_with_what_to_do(
    prompt: Prompt, options: list[str], says: str
) -> None:
    said = prompt("trim", LAUNCH, *options)
    assert said.code == 1
    assert says.lower() in said.joined.lower()
    assert said.out == ""


def test_that_more_than_three_resistors_are_a_usage_error(prompt: Prompt) -> None:
    assert prompt("trim", LAUNCH, "--most", "4").code == 2


@pytest.mark.parametrize(
    ("document", "says"),
    [
        ({"format": "other"}, "is no file of resistors"),
        ({"format": "retrofit-stock", "version": 9}, "another version"),
        ({"format": "retrofit-stock", "version": 1, "resistors": []}, "holds no resistor"),
        (
            {"format": "retrofit-stock", "version": 1, "resistors": [{"ohm": "-3 Ω"}]},
            "Give ohms above zero",
        ),
    ],
)
def test_that_a_wrong_stock_file_says_what_is_wrong(
    prompt: Prompt, tmp_path: Path, document: dict[str, Any], says: str
) -> None:
    stock = tmp_path / "drawer.json"
    stock.write_text(json.dumps(document), encoding="utf-8")
    said = prompt("trim", LAUNCH, "--stock", str(stock))
    assert said.code == 1
    assert says in said.joined


def test_that_a_shared_sender_and_missing_tests_stop_it_and_a_reason_is_kept(
    prompt: Prompt, tmp_path: Path
) -> None:
    plan = read_plan(Path(LAUNCH))
    shared, mends, out = (tmp_path / f"{name}.json" for name in ("shared", "mends", "out"))
    write_plan(shared, replace(plan, duty=replace(plan.duty, controller_shares="yes")))
    write_plan(mends, replace(plan, mends="yes"))
    stopped = prompt("trim", str(shared))
    assert (stopped.code, stopped.out) == (1, "")
    assert "An engine controller reads this sender" in stopped.joined
    first = prompt("trim", str(mends))
    assert first.code == 1
    assert "Test the supply before any trim" in first.joined
    went = prompt("trim", str(mends), "--untested", "no meter on board", "--apply", str(out))
    assert went.code == 0
    assert [test.overridden for test in read_plan(out).tests] == ["no meter on board"] * 3


def test_that_a_pairing_that_runs_backwards_is_told_that_and_no_resistor(
    prompt: Prompt, tmp_path: Path
) -> None:
    path = prompt.plan(
        tmp_path / "b.json",
        *("--sender", "level-0-190", "--gauge", "gauge-level-240-33-ratio-12v"),
        *("--allowed", "5%"),
    )
    said = prompt("trim", path)
    text = lines(said.out)
    assert (
        said.out.splitlines()[4] == "The needle runs backwards, and no resistor turns that round."
    )
    assert "retrofit find" in text
    for word in ("Even the best", "marked", "∥"):
        assert word not in text


def test_that_a_trim_that_does_not_do_is_written_with_a_warning(
    prompt: Prompt, tmp_path: Path
) -> None:
    out = tmp_path / "x.json"
    text = lines(prompt("trim", LAUNCH, "--apply", str(out)).out)
    assert "not good enough to be fitted" in text
    assert text.endswith("error −7.0 °C.")
    assert "The whole plan with it: ■ stop" in text


def test_that_no_resistor_is_proposed_where_it_would_buy_nothing_worth_a_joint(
    prompt: Prompt, tmp_path: Path
) -> None:
    # 245 Ω at empty for a dial of 240 Ω: 2 % of the ohms, of which 5 % of scale is no third.
    table = tmp_path / "s.csv"
    table.write_text("0 %, 245\n50 %, 103\n100 %, 33\n", encoding="utf-8")
    path = prompt.plan(
        tmp_path / "near.json",
        *("--sender", str(table), "--gauge", "gauge-level-240-33-ratio-12v", "--allowed", "10%"),
    )
    data = json.loads(prompt("trim", path, "--json").out)
    assert data["lead"]["trim"] == []
    assert 0.0 < data["lead"]["share"] < 1.0 / 3.0
    better = [row for row in data["ladder"] if row and row["share"] < data["lead"]["share"]]
    assert better
    text = lines(prompt("trim", path).out)
    assert "No resistor is needed" in text
    assert "buy nothing worth a joint" in text


def test_that_a_large_resistor_is_written_in_one_way(prompt: Prompt) -> None:
    text = prompt("trim", LAUNCH, "--values", "10k").out
    assert "10 kΩ" in text
    assert "10000" not in text
