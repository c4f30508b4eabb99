"""``retrofit assess`` proposes wires and a fuse; with --sums it shows how each number was made."""

from __future__ import annotations

from pathlib import Path

from retrofit.plan.assess import assess
from retrofit.plan.file import read_plan
from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt

LAUNCH = str(shipped("demo", "harbour-launch.json"))


def said(prompt: Prompt, *options: str) -> str:
    answer = prompt("assess", LAUNCH, *options)
    assert answer.code == 0
    return " ".join(answer.out.split())


def test_that_wires_and_fuse_are_proposed_with_what_asks_for_them(prompt: Prompt) -> None:
    out = said(prompt).replace("\xa0", " ")
    advice = assess(read_plan(Path(LAUNCH))).advice
    for wire in advice.wires:
        if wire.size:
            assert f": {wire.size} tinned; for strength" in out.replace("\xa0", " ")
    assert "Local codes" in out


def test_that_sums_are_shown_only_when_they_are_asked_for(prompt: Prompt) -> None:
    heading = "How the numbers were made"
    assert heading not in said(prompt)
    assert heading in said(prompt, "--sums")


def test_that_sums_give_formula_inputs_and_where_they_come_from(prompt: Prompt) -> None:
    out = said(prompt, "--sums").replace("\xa0", " ")
    assert "S = R + Re" in out
    assert "e = s − x" in out
    assert "(measured" in out
    assert "(common practice" in out
    assert "(entered)" in out
    assert "hangs on a fuse of" in out


def test_that_each_mark_has_its_sums(prompt: Prompt) -> None:
    out = said(prompt, "--sums")
    for mark in read_plan(Path(LAUNCH)).duty.marks:
        assert f"At {mark.name}:" in out
