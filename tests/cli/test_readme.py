"""What README.md shows of the command line is what the command line says."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from retrofit.shipped import path as shipped
from tests.cli.prompt import Prompt
from tests.retrofit.plan.verdicts.table import VERDICTS

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")

SENDER = "temperature °F; ohm\n100; 450\n150; 158,2\n200; 64,3\n250; 29,5\n300; 14,96\n"
DIAL = "40 °C, 291.5\n80 °C, 70.1\n120 °C, 22.4\n"


def shown_commands() -> list[tuple[str, list[str]]]:
    """Each command of README's blocks with the lines it is shown to print."""
    found: list[tuple[str, list[str]]] = []
    for block in re.findall(r"^```\n(.*?)^```$", README, re.DOTALL | re.MULTILINE):
        for piece in re.split(r"^\$ ", block.replace("\\\n", ""), flags=re.MULTILINE)[1:]:
            command, *lines = piece.splitlines()
            found.append((command, [line for line in lines if line.strip() != "…"]))
    return found


@pytest.mark.parametrize(("command", "lines"), shown_commands(), ids=lambda part: str(part)[:40])
def test_that_readme_shows_what_the_program_says(
    command: str,
    lines: list[str],
    prompt: Prompt,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "resources").symlink_to(ROOT / "resources")
    (tmp_path / "sender.csv").write_text(SENDER, encoding="utf-8")
    (tmp_path / "dial.csv").write_text(DIAL, encoding="utf-8")
    program, *argv = shlex.split(command)
    assert program == "retrofit"
    said = prompt(*argv)
    assert said.code == 0
    printed = said.out.splitlines()
    assert [line for line in lines if line not in printed] == []
    assert lines


def test_that_readme_shows_each_command_at_work() -> None:
    shown = {command.split()[1] for command, _ in shown_commands()}
    wanted = "assess export find identify new parts sheet thread trim"
    assert shown == set(wanted.split())


def quoted() -> set[str]:
    """What stands between single back quotes in README."""
    return set(re.findall("(?<!`)`([^`\n]+)`(?!`)", README))


def keys_of(data: Any) -> Iterator[str]:
    """Every key of nested data, but those inside a message."""
    if isinstance(data, list):
        for one in data:
            yield from keys_of(one)
    elif isinstance(data, dict):
        yield from data
        for key, one in data.items():
            if key != "values":
                yield from keys_of(one)


def test_that_readme_names_every_key_of_the_data_for_scripts(prompt: Prompt) -> None:
    demo = shipped("demo", "harbour-launch.json")
    data = json.loads(prompt("assess", str(demo), "--json").out)
    # "kind" and "si" stand in README inside their example.
    assert set(keys_of(data)) - quoted() - {"kind", "si"} == set()


def test_that_readme_names_every_check() -> None:
    assert set(VERDICTS) - quoted() == set()


def test_that_readme_names_every_option_of_a_new_plan(prompt: Prompt) -> None:
    options = set(re.findall(r"(--[a-z-]+)", prompt("new", "--help").out))
    assert {option for option in options - {"--help"} if option not in README} == set()
