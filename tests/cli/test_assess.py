"""``retrofit assess``: one assessment, for people and for scripts."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from catalog.quantities.kinds import Kind, difference
from catalog.quantities.show import NumberStyle, show
from retrofit.plan.assess import assess
from retrofit.plan.checks.check import Verdict
from retrofit.plan.file import read_plan
from retrofit.settings import Settings, save_settings
from retrofit.shipped import path as shipped
from tests.cli.demo_plans import DEMOS
from tests.cli.prompt import Prompt

LAUNCH = str(shipped("demo", "harbour-launch.json"))
TRACTOR = str(shipped("demo", "vineyard-tractor.json"))


def rows_under(text: str, heading: str) -> list[str]:
    """Lines of one section of the report, its headings left out."""
    lines = text.splitlines()
    start = lines.index(heading) + 1
    end = next((i for i in range(start, len(lines)) if not lines[i]), len(lines))
    return lines[start:end]


def number(text: str) -> float:
    return float(text.replace("−", "-"))


@pytest.mark.parametrize("demo", DEMOS)
def test_that_text_and_json_show_the_same_numbers(demo: str, prompt: Prompt) -> None:
    plan = str(shipped("demo", demo))
    text = prompt("assess", plan, "--points", "21").out
    data = json.loads(prompt("assess", plan, "--json").out)
    style, kind = NumberStyle(), Kind(data["duty"]["quantity"])
    reading = data["reading"]
    table = rows_under(text, "Over the range")[1:]
    assert len(table) == 21
    for row, i in zip(table, range(0, 201, 10), strict=True):
        cells = row.split()
        assert cells[0] == show(reading["true"][i], kind, style, unit=False)
        assert cells[2] == show(reading["shown"][i], kind, style, unit=False)
        apart = difference(kind)
        assert cells[3] == show(reading["error"][i], apart, style, unit=False, sign=True)
        band = [show(reading[f"band_{end}"][i], kind, style, unit=False) for end in ("low", "high")]
        assert cells[4] == "…".join(band)
    for row, mark in zip(
        rows_under(text, "At the marks that matter")[1:], data["marks"], strict=True
    ):
        assert row.strip().startswith(mark["name"])
        assert show(mark["shown"], kind, style, unit=False) in row.split()


@pytest.mark.parametrize("demo", DEMOS)
def test_that_json_holds_exactly_what_the_assessment_holds(demo: str, prompt: Prompt) -> None:
    plan = shipped("demo", demo)
    data, found = json.loads(prompt("assess", str(plan), "--json").out), assess(read_plan(plan))
    assert found.reading is not None
    assert found.band is not None
    for name, array in (
        ("true", found.reading.x),
        ("sender", found.reading.ohms),
        ("shown", found.reading.shown),
        ("supply_high", found.reading.supply_high),
        ("band_low", found.band.low),
    ):
        assert len(data["reading"][name]) == 201
        assert [math.nan if v is None else v for v in data["reading"][name]] == pytest.approx(
            array.tolist(), rel=0, abs=0, nan_ok=True
        )
    assert [check["verdict"] for check in data["checks"]] == [c.verdict.value for c in found.checks]
    assert data["verdict"] == data["checks"][0]["verdict"]


KEYS = {
    "": "bands cautions checks conclusion duty fit format lead marks measure pairing plan reading "
    "reason second units verdict version wiring",
    "measure": "battery caution name what where with",
    "wiring": "fuse wires",
    "duty": "allowed capacity controller_shares high highest_pressure highest_temperature low "
    "medium quantity warning",
    "fit": "added arm arm_allowed earth_allowed engaged leaks outcome pieces port seals sender "
    "turns",
    "reading": "apparent band_high band_low continued error held likely_high likely_low sender "
    "shown supply_high supply_low true worst_high worst_low",
    "pairing": "gauge label sender sender_earth supply trim",
    "checks": "basis field limit mark moved name number says source step verdict why",
    "marks": "allowed band_high band_low error flatters held likely_high likely_low name sender "
    "shares shown true worst_high worst_low",
}


def test_that_the_keys_for_scripts_are_those_that_readme_promises(prompt: Prompt) -> None:
    data = json.loads(prompt("assess", LAUNCH, "--json").out)
    for place, names in KEYS.items():
        inside = data[place] if place else data
        inside = inside[0] if isinstance(inside, list) else inside
        assert sorted(inside) == names.split(), place


def texts_in(data: Any, key: str = "") -> list[tuple[str, str]]:
    if isinstance(data, dict):
        return [pair for name, value in data.items() for pair in texts_in(value, name)]
    if isinstance(data, list):
        return [pair for value in data for pair in texts_in(value, key)]
    return [(key, data)] if isinstance(data, str) else []


def test_that_no_translated_sentence_is_data(prompt: Prompt) -> None:
    data = json.loads(prompt("assess", LAUNCH, "--json").out)
    # Names are the user's and the parts' own, sources those of publications; all other text is a
    # key or a choice.
    own = {"plan", "name", "mark", "marks", "source"}
    long = [(k, t) for k, t in texts_in(data) if k not in own and len(t.split()) > 3]
    assert long == []


def test_that_an_unknown_or_infinite_number_is_null_and_the_stop_is_told(
    prompt: Prompt, tmp_path: Path
) -> None:
    plan = json.loads(Path(TRACTOR).read_text(encoding="utf-8"))
    table = plan["plan"]["pairings"][0]["sender"]["law"]["points"]
    table[0]["at"] = "20 %"
    path = tmp_path / "short.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    said = prompt("assess", str(path), "--json")
    assert "NaN" not in said.out
    assert "Infinity" not in said.out
    reading = json.loads(said.out)["reading"]
    assert (reading["shown"][0], reading["held"][0]) == (None, None)
    assert reading["held"][-1] == 1


def test_that_checks_come_worst_first_with_symbol_and_word(prompt: Prompt) -> None:
    lines = rows_under(prompt("assess", LAUNCH).out, "Checks, worst first")
    symbols = {"■": "stop", "▲": "caution", "?": "unknown", "●": "good"}
    heads = [match for line in lines if (match := re.match(r"  (\S) (\w+)", line))]
    order = [verdict.value for verdict in Verdict]
    places = [order.index(head[2]) for head in heads]
    assert all(symbols[head[1]] == head[2] for head in heads)
    assert places == sorted(places)


def test_that_the_fault_of_a_lead_is_told_for_both_ways_it_can_fail(prompt: Prompt) -> None:
    lead = rows_under(prompt("assess", LAUNCH).out, "Sender lead")
    # A falling gauge takes an open wire for a cold engine, an earthed one for a hot one
    # (common practice, no source).
    assert re.search(r"open +the needle goes to its lower stop", lead[0])
    assert re.search(r"earthed +the needle goes to its upper stop", lead[1])


def test_that_what_is_unknown_is_collected_with_how_to_measure_it(prompt: Prompt) -> None:
    text = prompt("assess", str(shipped("demo", "standby-generator.json"))).out
    unknown = " ".join(rows_under(text, "Not known, and what would tell"))
    step = "the needle at the lowest and at the highest supply"
    assert step in " ".join(unknown.split())
    assert "whether an engine controller reads the sender too" in " ".join(unknown.split())


def test_that_no_line_is_wider_than_a_narrow_terminal_but_for_tables(
    prompt: Prompt, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    text = prompt("assess", LAUNCH).out
    headings = ("At the marks that matter", "Over the range", "What the band is made of")
    tables = [row for heading in headings for row in rows_under(text, heading)]
    assert [line for line in text.splitlines() if len(line) > 60 and line not in tables] == []


def test_that_units_and_decimal_mark_follow_the_settings(prompt: Prompt) -> None:
    save_settings(Settings(units={"temperature": "°F"}, decimal=","))
    mark = rows_under(prompt("assess", LAUNCH).out, "At the marks that matter")
    assert "true °F" in mark[0]
    # 98 °C is 208.4 °F exactly; an error of a degree Celsius is 1.8 of Fahrenheit.
    assert mark[1].split()[1] == "208,4"
    data = json.loads(prompt("assess", LAUNCH, "--json").out)
    assert data["marks"][0]["true"] == 98.0
    error = float(mark[1].split()[4].replace("−", "-").replace(",", "."))
    assert error == pytest.approx(data["marks"][0]["error"] * 1.8, abs=0.05)


def test_that_a_level_is_told_in_litres_where_the_tank_is_known(prompt: Prompt) -> None:
    rows = rows_under(prompt("assess", TRACTOR).out, "Over the range")
    assert "shown L" in rows[0]
    for row in rows[1:]:
        cells = row.split()
        assert number(cells[5]) == pytest.approx(number(cells[2]) * 0.6, abs=0.08)


@pytest.mark.parametrize("points", ["2", "7", "201"])
def test_that_the_table_has_as_many_rows_as_asked_for(points: str, prompt: Prompt) -> None:
    rows = rows_under(prompt("assess", LAUNCH, "--points", points).out, "Over the range")[1:]
    assert len(rows) == int(points)
    true = [number(row.split()[0]) for row in rows]
    assert (true[0], true[-1]) == (40.0, 120.0)
    assert true == sorted(true)
    grid = np.round(np.linspace(40.0, 120.0, 201), 1)
    assert set(true) <= set(grid.tolist())


def test_that_a_sender_without_a_curve_is_told_and_never_called_good(
    prompt: Prompt, tmp_path: Path
) -> None:
    plan = str(tmp_path / "pulsed.json")
    gauge = "gauge-temperature-291-22-120c-ratio-12v"
    prompt("new", plan, "--sender", "temperature-pulsed-heated-contact", "--gauge", gauge)
    text = prompt("assess", plan).out
    data = json.loads(prompt("assess", plan, "--json").out)
    assert "Over the range" not in text
    assert "■ stop" in text
    assert (data["reading"], data["verdict"]) == (None, "stop")
    assert data["reason"]["key"] == "reading.no_curve"


def test_that_a_pairing_that_is_not_there_names_those_that_are(prompt: Prompt) -> None:
    said = prompt("assess", LAUNCH, "--pairing", "C")
    assert (said.code, said.out) == (1, "")
    assert "A" in said.joined
