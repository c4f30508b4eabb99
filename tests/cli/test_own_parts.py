"""Commands name the user's own parts as well as the shipped ones, and only read the catalogue."""

from __future__ import annotations

import json
import os
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from catalog.home import catalogue_path
from catalog.library import load_generic
from catalog.parts.laws import Point, TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind
from catalog.quantities.amounts import Amount
from catalog.store.open import open_store
from retrofit.plan.file import read_plan
from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt

BENCH = Basis(BasisKind.MEASURED, "bench")


def own_sender() -> Sender:
    rows = (("40 °C", 285.0), ("80 °C", 70.0), ("120 °C", 23.0))
    points = tuple(
        Point(Amount(float(at.split()[0]), "°C"), Amount(ohms, "Ω")) for at, ohms in rows
    )
    law = TableLaw(points, "thermistor", basis=BENCH)
    return Sender("boat-shed", "Sender from the boat shed", "temperature", law)


@pytest.fixture
def catalogue() -> Path:
    """A catalogue with a part of the user's own, in its second revision, and an edited one."""
    with open_store() as store:
        made = store.save(own_sender(), "measured")
        store.save(replace(own_sender(), notes="dried"), "dried", revision=made.revision)
        edited = load_generic().part("level-0-190")
        store.save(replace(edited, notes="mine"), "noted", revision=1)
        store.retire("level-240-30")
    return catalogue_path()


def test_that_parts_lists_the_user_s_own_and_says_so(catalogue: Path, prompt: Prompt) -> None:
    del catalogue
    rows = {line.split()[0]: line for line in prompt("parts").out.splitlines() if line.split()}
    assert rows["boat-shed"].endswith("measured, yours")
    assert rows["level-0-190"].endswith("yours")
    assert "level-240-30" not in rows
    whole = prompt("parts", "boat-shed").out
    assert "yours, revision 2" in whole
    assert "dried" in whole
    assert "yours" not in prompt("parts", "level-70-10").out


def test_that_a_plan_of_an_own_part_keeps_which_revision_it_was(
    catalogue: Path, prompt: Prompt, tmp_path: Path
) -> None:
    del catalogue
    out = tmp_path / "plan.json"
    gauge = "gauge-temperature-291-22-120c-ratio-12v"
    said = prompt("new", str(out), "--gauge", gauge, "--sender", "boat-shed")
    assert (said.code, said.err) == (0, "")
    origin = read_plan(out).pairing().sender_origin
    assert origin is not None
    assert (origin.key, origin.revision) == ("boat-shed", 2)


def test_that_find_and_identify_try_the_user_s_own_parts(catalogue: Path, prompt: Prompt) -> None:
    del catalogue
    launch = str(shipped("demo", "harbour-launch.json"))
    found = json.loads(prompt("find", launch, "--json", "--rows", "200").out)
    assert "boat-shed" in [row["sender"] for row in found["rows"]]
    points = ("--point", "40C=285", "--point", "80C=70", "--point", "120C=23")
    said = prompt("identify", "sender", "--quantity", "temperature", *points, "--json")
    assert "boat-shed" in [one["key"] for one in json.loads(said.out)["ranked"]]


def test_that_looking_does_not_touch_the_catalogue(catalogue: Path, prompt: Prompt) -> None:
    before = catalogue.read_bytes(), os.stat(catalogue).st_mtime_ns
    for words in (("parts",), ("parts", "boat-shed"), ("export", str(catalogue.parent / "x.json"))):
        assert prompt(*words).code == 0
    assert (catalogue.read_bytes(), os.stat(catalogue).st_mtime_ns) == before


def test_that_without_a_catalogue_none_is_made(prompt: Prompt) -> None:
    assert prompt("parts").code == 0
    assert not catalogue_path().exists()


def test_that_a_damaged_catalogue_is_told_and_the_shipped_parts_serve(
    catalogue: Path, prompt: Prompt
) -> None:
    catalogue.write_bytes(b"no catalogue at all" * 100)
    said = prompt("parts", "level-240-30")
    assert said.code == 0
    assert str(catalogue) in said.joined
    assert "level-240-30" in said.out


def test_that_a_part_that_cannot_be_read_does_not_hide_the_others(
    catalogue: Path, prompt: Prompt
) -> None:
    with sqlite3.connect(catalogue) as connection:
        connection.execute(
            "UPDATE revisions SET document = '{\"part\": \"sender\"}' WHERE key = 'boat-shed'"
        )
    connection.close()
    said = prompt("parts")
    assert said.code == 0
    assert "boat-shed" in said.joined
    assert "level-0-190" in said.out
