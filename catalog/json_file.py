"""Reading a JSON file that anybody may have written: bounded, strict, one sentence a problem.

Knows nothing of what is in the file. The nesting is counted before the parser sees the text,
because a parser that runs out of stack cannot be trusted to say so on every machine.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, NoReturn

from catalog.errors import UserError, user_error
from catalog.quantities.numerals import shown

LARGEST = 20_000_000
"""Largest file that is looked at, in bytes; a plan has some thousands."""

DEEPEST = 64
"""Deepest nesting of lists and objects that is looked at; a plan has less than ten levels."""

_STRING = re.compile(r'"(?:[^"\\]|\\.)*"', re.DOTALL)
_BRACKET = re.compile(r"[\[\]{}]")


def read_bytes(path: Path, largest: int = LARGEST) -> bytes:
    """Return what a file holds; never more than `largest` bytes are read.

    Parameters
    ----------
    path : Path
        The file.
    largest : int
        Largest size that is read [bytes].

    Raises
    ------
    UserError
        ``file.missing``, ``file.folder``, ``file.unreadable`` or ``file.too_large``, each
        naming the file.
    """
    where = str(path)
    try:
        if path.is_dir():
            raise user_error("file.folder", path=where)
        with path.open("rb") as file:
            raw = file.read(largest + 1)
    except FileNotFoundError:
        raise user_error("file.missing", path=where) from None
    except (OSError, ValueError) as problem:  # ValueError: a zero byte in the name
        reason = getattr(problem, "strerror", None) or str(problem)
        raise user_error("file.unreadable", path=where, reason=reason) from problem
    if len(raw) > largest:
        raise user_error("file.too_large", path=where, megabytes=largest / 1e6)
    return raw


def read_text(path: Path, largest: int = LARGEST) -> str:
    """Return the text of a file, with or without a byte order mark.

    Parameters
    ----------
    path : Path
        The file.
    largest : int
        Largest size that is read [bytes].

    Raises
    ------
    UserError
        ``file.missing``, ``file.folder``, ``file.unreadable``, ``file.too_large`` or
        ``file.no_utf8``, each naming the file.
    """
    raw, where = read_bytes(path, largest), str(path)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        raise user_error("file.no_utf8", path=where, line=line) from None


def parse_json(text: str, where: str) -> Any:
    """Return what a JSON text holds.

    Parameters
    ----------
    text : str
        The whole text.
    where : str
        Name of the file, for messages.

    Raises
    ------
    UserError
        One message: not JSON (line and column), cut off, nested too deep, a field given twice,
        or a number that JSON does not have.

    Examples
    --------
    >>> parse_json('{"at": "98 °C"}', "launch.json")
    {'at': '98 °C'}
    """
    if not text.strip():
        raise user_error("file.empty", path=where)
    _refuse_depth(text, where)
    try:
        return json.loads(
            text,
            object_pairs_hook=lambda pairs: _object(pairs, where),
            parse_constant=lambda name: _refuse_constant(name, where),
        )
    except json.JSONDecodeError as problem:
        raise _no_json(problem, text, where) from None
    except RecursionError:
        raise user_error("file.too_deep", path=where, limit=DEEPEST) from None
    except ValueError as problem:  # a whole number of thousands of digits
        raise user_error("file.long_number", path=where) from problem


def _no_json(problem: json.JSONDecodeError, text: str, where: str) -> UserError:
    cut = problem.pos >= len(text.rstrip()) or problem.msg.startswith("Unterminated string")
    if cut and text.lstrip()[:1] in ("{", "["):
        return user_error("file.cut_off", path=where, line=problem.lineno)
    return user_error("file.no_json", path=where, line=problem.lineno, column=problem.colno)


def _refuse_depth(text: str, where: str) -> None:
    if text.count("[") + text.count("{") <= DEEPEST:
        return
    depth = 0
    for bracket in _BRACKET.finditer(_STRING.sub("", text)):
        depth += 1 if bracket[0] in "[{" else -1
        if depth > DEEPEST:
            raise user_error("file.too_deep", path=where, limit=DEEPEST)


def _object(pairs: list[tuple[str, Any]], where: str) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise user_error("file.twice", path=where, name=shown(twice))
    return found


def _refuse_constant(name: str, where: str) -> NoReturn:
    raise user_error("file.constant", path=where, text=name)
