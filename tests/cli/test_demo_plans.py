"""The demo plans are what the command line makes of today's catalogue."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from retrofit.plan.assess import assess
from retrofit.plan.checks.check import Verdict
from retrofit.plan.file import read_plan
from retrofit.shipped import path as shipped
from tests.cli.demo_plans import DEMOS, fitted
from tests.cli.prompt import Prompt


@pytest.mark.parametrize("name", DEMOS)
def test_that_a_demo_is_what_the_catalogue_and_the_command_line_give(
    name: str, prompt: Prompt, tmp_path: Path
) -> None:
    made = tmp_path / name
    assert prompt("new", str(made), *DEMOS[name]).code == 0
    document = fitted(name, json.loads(made.read_text("utf-8")))
    assert document == json.loads(shipped("demo", name).read_text("utf-8"))


def test_that_every_shipped_demo_has_its_command() -> None:
    assert sorted(file.name for file in shipped("demo").iterdir()) == sorted(DEMOS)


@pytest.mark.parametrize("name", DEMOS)
def test_that_a_demo_shows_something_that_is_not_good(name: str) -> None:
    found = assess(read_plan(shipped("demo", name)))
    verdicts = {check.verdict for check in found.checks}
    assert Verdict.GOOD in verdicts
    assert verdicts - {Verdict.GOOD}


def test_that_parts_in_a_demo_say_where_they_were_taken_from() -> None:
    for name in DEMOS:
        pairing = json.loads(shipped("demo", name).read_text("utf-8"))["plan"]["pairings"][0]
        assert pairing["sender_origin"]["key"] == pairing["sender"]["key"]
        assert pairing["gauge_origin"]["key"] == pairing["gauge"]["key"]


# What each demo teaches. The numbers are from outside: tests/circuit and the published laws hold
# the program to them; here only that the demo is about what its notes say.


def test_that_the_launch_reads_its_alarm_as_a_temperature_that_worries_nobody() -> None:
    found = assess(read_plan(shipped("demo", "harbour-launch.json")))
    alarm = found.marks[0]
    assert alarm.mark.flatters == "low"
    assert alarm.shown < 90.0 < alarm.at


def test_that_the_tractor_reads_an_all_but_empty_tank_as_more_than_half_full() -> None:
    found = assess(read_plan(shipped("demo", "vineyard-tractor.json")))
    assert found.marks[0].at < 0.15
    assert found.marks[0].shown > 0.5


def test_that_the_generator_is_not_called_good_while_five_things_are_unknown() -> None:
    found = assess(read_plan(shipped("demo", "standby-generator.json")))
    # Its sender's 5 % are beyond what is allowed at the alarm: a caution by the band alone.
    assert found.verdict is Verdict.CAUTION
    # A class on its own gauge reads true (design promise): to 1e-9.
    assert max(abs(mark.error) for mark in found.marks) < 1e-9 * 1e6
    unknown = {check.name for check in found.checks if check.verdict is Verdict.UNKNOWN}
    assert unknown == {"supply", "earth", "controller", "spread", "thread"}


def test_that_the_launch_needs_an_adapter_that_draws_its_probe_out_of_the_flow() -> None:
    found = assess(read_plan(shipped("demo", "harbour-launch.json")))
    chain = found.fit.chain
    assert chain is not None
    assert [piece.key for piece in chain.pieces] == ["adapter-m10-npt-1-8"]
    cautions = {one.name for one in found.fit.checks if one.verdict == "caution"}
    # 30 mm of probe, less 14 mm of adapter and 12 mm of wall, and 1.2 to 6.4 mm that a taper thread
    # of 10 mm stands proud.
    assert cautions == {"lag", "immersion", "seal contact"}
    assert {one.verdict for one in found.fit.checks} == {"good", "caution"}
