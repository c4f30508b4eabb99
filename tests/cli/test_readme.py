"""What README.md shows of the command line is what the command line says."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.cli.prompt import Prompt

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
    assert len(lines) >= 3


def test_that_readme_shows_each_command_at_work() -> None:
    assert {command.split()[1] for command, _ in shown_commands()} == {"assess", "new", "parts"}
