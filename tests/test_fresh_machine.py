"""README's two lines for a fresh machine and what the checks install name the same packages."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CHECKS = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
ENTRY = (ROOT / "retrofit" / "__main__.py").read_text(encoding="utf-8")

LINES = re.findall(r"^apt-get update && .*$", README, re.MULTILINE)


def packages(line: str) -> list[str]:
    """Return what a line installs with apt-get."""
    found = re.search(r"apt-get install -y ([^&]+) &&", line)
    assert found is not None
    return found[1].split()


def test_that_one_line_opens_the_program_and_one_passes_the_tests() -> None:
    opens, tests = LINES
    assert opens.endswith("&& retrofit --demo")
    marked = re.search(r"<!-- test-command -->\n```\n(.+)\n```\n<!-- test-command -->", README)
    assert marked is not None
    assert tests.endswith(f"&& {marked[1]}")
    for line, wanted in ((opens, "."), (tests, "'.[test]'")):
        assert (
            f"python3 -m venv .venv && . .venv/bin/activate && pip install -e {wanted} &&" in line
        )


def test_that_readme_names_the_libraries_that_the_checks_install() -> None:
    listed = re.search(r"for name in (lib[^;]+); do", CHECKS)
    assert listed is not None
    libraries = listed[1].split()
    opens, tests = map(packages, LINES)
    assert tests == ["python3-venv", *libraries, "ngspice"]
    assert opens[: len(libraries) + 1] == ["python3-venv", *libraries]


def test_that_the_program_names_what_readme_names_where_qt_does_not_load() -> None:
    said = re.sub(r'"\s*f?"', "", ENTRY)
    opens = packages(LINES[0])
    assert " ".join(opens[1:]) in said
