"""``retrofit export`` and ``retrofit import``: parts out into files, and in again.

An import first says what it would change, and changes nothing unless it is told to.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, get_args

from catalog.codec import Part, encode
from catalog.errors import UserError, user_error
from catalog.exchange.compare import Import, Line, State, compare
from catalog.exchange.files import read_files, write_files
from catalog.exchange.taking import Decision, planned, take
from catalog.message import Message, message
from catalog.quantities.numerals import shown
from retrofit.cli.catalogue import open_catalogue
from retrofit.cli.layout import clipped, wrapped
from retrofit.cli.terminal import Terminal

_SHOWN_FIELDS = 12
_LONGEST_VALUE = 40


def run_export(options: argparse.Namespace, terminal: Terminal) -> int:
    """Write the parts of the user's catalogue that hold every word."""
    with open_catalogue(terminal, writing=False) as store:
        words = " ".join(options.words)
        found = store.search(words, quantity=options.quantity, kind=options.kind, limit=None)
        keys = [record.key for record in found.records if record.own or not options.own]
        parts: list[Part] = [store.part(key) for key in keys]
    if not parts:
        raise user_error("cli.export.none")
    target = Path(options.out)
    with _remedied():
        files = write_files(target, parts, terminal.decimal, force=options.force)
    for file in files:
        terminal.say([terminal.text(message("cli.export.written", path=str(file)))])
    terminal.say(wrapped(_text(terminal, "cli.export.count", count=len(parts)), terminal.width))
    return 0


def run_import(options: argparse.Namespace, terminal: Terminal) -> int:
    """Say what files would change in the user's catalogue; take it over where told to."""
    incoming = read_files([Path(name) for name in options.files], terminal.decimal)
    with open_catalogue(terminal, writing=options.apply) as store:
        found = compare(incoming, store)
        if not options.json:
            terminal.say(_listed(found, terminal))
        with _remedied():
            saved = None if found.problems else _saved(found, store, options, terminal)
    if options.json:
        terminal.data(_data(found, saved, terminal))
    elif not found.problems:
        terminal.say(["", *_result(found, saved, terminal)])
    if found.problems:
        terminal.complain(UserError(found.problems))
        return 1
    return 0


def _saved(
    found: Import, store: Any, options: argparse.Namespace, terminal: Terminal
) -> list[str] | None:
    """Take over what came in, where told to; return the keys, None where nothing was to be."""
    decision = Decision(options.on_conflict)
    if options.apply:
        label = _text(terminal, "cli.import.label", files=_names(options.files))
        return [record.key for record in take(found, decision, store, label)]
    if options.on_conflict is not None:
        planned(found, decision, store)
    return None


@contextmanager
def _remedied() -> Iterator[None]:
    """Add to what the core refuses the option that settles it."""
    try:
        yield
    except UserError as error:
        keys = {problem.key for problem in error.messages}
        options = []
        if "exchange.undecided" in keys:
            options.append(message("cli.import.choose"))
        if "exchange.exists" in keys:
            options.append(message("cli.export.force"))
        raise UserError([*error.messages, *options]) from None


def _text(terminal: Terminal, key: str, **values: str | int) -> str:
    return terminal.text(Message(key, tuple(values.items())))


def _names(files: Sequence[str]) -> str:
    return ", ".join(shown(Path(name).name or name) for name in files[:3])


# --- in words -----------------------------------------------------------------------------------


def _listed(found: Import, terminal: Terminal) -> list[str]:
    """Return what would change, part by part; parts that are the same are only counted."""
    lines: list[str] = []
    for state in ("conflict", "changed", "new"):
        for line in found.of(state):
            word = _text(terminal, f"cli.import.{state}")
            lines += wrapped(
                f"{word}  {shown(line.key)}  {shown(line.theirs.name)}", terminal.width
            )
            lines += _notes(line, terminal)
            lines += _fields(line, terminal)
    same = len(found.of("same"))
    if same:
        lines += wrapped(_text(terminal, "cli.import.same", count=same), terminal.width)
    return lines


def _notes(line: Line, terminal: Terminal) -> list[str]:
    notes = []
    if line.earlier is not None:
        notes.append(_text(terminal, "cli.import.earlier", revision=line.earlier))
    if line.retired:
        notes.append(_text(terminal, "cli.import.retired"))
    return [out for note in notes for out in wrapped(note, terminal.width, "    ")]


def _fields(line: Line, terminal: Terminal) -> list[str]:
    lines: list[str] = []
    for one in line.differences[:_SHOWN_FIELDS]:
        mine, theirs = _value(one.mine, terminal), _value(one.theirs, terminal)
        lines += wrapped(f"{one.field}: {mine} → {theirs}", terminal.width, "    ", "      ")
    more = len(line.differences) - _SHOWN_FIELDS
    if more > 0:
        lines.append(f"    {_text(terminal, 'cli.import.more_fields', count=more)}")
    return lines


def _value(text: str | None, terminal: Terminal) -> str:
    if text is None:
        return _text(terminal, "cli.import.left_out")
    return clipped("".join(sign if sign.isprintable() else "�" for sign in text), _LONGEST_VALUE)


def _result(found: Import, saved: list[str] | None, terminal: Terminal) -> list[str]:
    if saved is not None:
        text = _text(terminal, "cli.import.done", count=len(saved))
    elif len(found.of("same")) == len(found.lines):
        text = _text(terminal, "cli.import.nothing")
    else:
        counts = {state: len(found.of(state)) for state in get_args(State)}
        text = terminal.text(
            message(
                "cli.import.dry",
                new=counts["new"],
                changed=counts["changed"],
                conflicts=counts["conflict"],
            )
        )
    return wrapped(text, terminal.width)


# --- as data ------------------------------------------------------------------------------------


def _data(found: Import, saved: list[str] | None, terminal: Terminal) -> dict[str, Any]:
    states: tuple[State, ...] = get_args(State)
    return {
        "format": "retrofit-import",
        "version": 1,
        "applied": saved is not None,
        "saved": saved or [],
        "counts": {state: len(found.of(state)) for state in states},
        "parts": [_line_data(line) for line in found.lines],
        "problems": [terminal.text(problem) for problem in found.problems],
    }


def _line_data(line: Line) -> dict[str, Any]:
    differs = line.state in ("changed", "conflict")
    return {
        "key": line.key,
        "state": line.state,
        "file": line.place.file,
        "row": line.place.row or None,
        "item": line.place.item or None,
        "revision": line.revision,
        "earlier": line.earlier,
        "retired": line.retired,
        "differences": [
            {"field": one.field, "mine": one.mine, "theirs": one.theirs} for one in line.differences
        ],
        "mine": encode(line.mine, Part) if differs else None,
        "theirs": encode(line.theirs, Part) if line.state != "same" else None,
    }
