"""The project's own Python files, each read and parsed once a run."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def sources(*folders: str) -> list[Path]:
    """Python files below these folders of the project, in order."""
    return sorted(file for folder in folders for file in (ROOT / folder).rglob("*.py"))


@cache
def parsed(file: Path) -> ast.Module:
    """Syntax tree of a file."""
    return ast.parse(file.read_text(encoding="utf-8"))
