"""The English texts and the code that asks for them agree."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from retrofit.messages import placeholders
from tests.sources import ROOT, parsed, sources

ENGLISH = ROOT / "resources" / "texts" / "english.json"
MAKERS = ("message", "user_error")


@dataclass(frozen=True)
class Use:
    """A literal call that makes a message: where, key, names of its values (None: unknown)."""

    where: str
    key: str
    names: frozenset[str] | None


@cache
def uses() -> tuple[Use, ...]:
    return tuple(use for file in sources("catalog", "retrofit") for use in _uses(file))


def _uses(file: Path) -> Iterator[Use]:
    for node in ast.walk(parsed(file)):
        if not isinstance(node, ast.Call) or _name(node.func) not in MAKERS:
            continue
        where = f"{file.relative_to(ROOT)}:{node.lineno}"
        for key in _keys(node.args[0] if node.args else None):
            names = [keyword.arg for keyword in node.keywords]
            known = frozenset(name for name in names if name is not None)
            yield Use(where, key, None if None in names else known)


def _name(function: ast.expr) -> str:
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def _keys(argument: ast.expr | None) -> Iterator[str]:
    """Literal keys of an argument, both arms of a conditional included."""
    if isinstance(argument, ast.IfExp):
        yield from _keys(argument.body)
        yield from _keys(argument.orelse)
    elif isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        yield argument.value


def texts() -> dict[str, str]:
    found = json.loads(ENGLISH.read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


def test_that_every_key_in_the_code_has_an_english_text() -> None:
    known = texts()
    assert [f"{use.where} {use.key}" for use in uses() if use.key not in known] == []


def test_that_every_placeholder_is_supplied_by_the_code() -> None:
    known = texts()
    missing = []
    for use in uses():
        wanted = {name for name, _ in placeholders(known.get(use.key, ""))}
        if use.names is not None and not wanted <= use.names:
            missing.append(f"{use.where} {use.key}: {sorted(wanted - use.names)}")
    assert missing == []


def test_that_the_search_for_keys_finds_the_ones_it_must() -> None:
    found = {use.key: use.names for use in uses()}
    assert found["settings.newer"] == frozenset({"path", "version", "known"})


def test_that_the_english_texts_are_sorted_filled_and_well_formed() -> None:
    known = texts()
    assert list(known) == sorted(known)
    for key, text in known.items():
        assert text.strip() == text != "", key
        placeholders(text)
