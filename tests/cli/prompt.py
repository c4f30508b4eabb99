"""Running the command line in this process: what it returned, said and complained of."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from retrofit.cli import main


@dataclass(frozen=True)
class Said:
    """The exit code of a command and what it wrote to both streams."""

    code: int
    out: str
    err: str

    @property
    def joined(self) -> str:
        """All complaints in one line, so that wrapping does not hide words."""
        return " ".join(self.err.split())


class Prompt:
    """A prompt to type commands at."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def __call__(self, *argv: str) -> Said:
        self._capsys.readouterr()
        code = main(argv)
        out, err = self._capsys.readouterr()
        return Said(code, out, err)

    def plan(self, path: Path, *argv: str) -> str:
        """Begin a plan with these words after ``new`` and its path; return the path to type."""
        assert self("new", str(path), *argv).code == 0
        return str(path)
