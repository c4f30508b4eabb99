"""The command line's frame: reads the options, runs one command, turns errors into exit codes.

0 all well, 1 the user's (one sentence a problem), 2 usage, 70 a mistake of the program.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence
from dataclasses import replace
from importlib import import_module

from catalog.errors import UserError
from catalog.message import message
from retrofit.cli.arguments import Arguments
from retrofit.cli.terminal import Terminal, never_fail_on_signs, silence_stdout
from retrofit.settings import Settings, load_settings

COMMANDS = {
    "assess": ("assess", "run"),
    "export": ("exchange", "run_export"),
    "import": ("exchange", "run_import"),
    "find": ("find", "run"),
    "identify": ("identify", "run"),
    "new": ("new", "run"),
    "parts": ("parts", "run"),
    "schema": ("schema", "run"),
    "sheet": ("sheet", "run"),
    "thread": ("thread", "run"),
    "trim": ("trim", "run"),
}
"""Module of this package and its function for each command. Only the one that is asked for is
imported: all of them together take longer than an assessment."""

WELL, WRONG, BUG, STOPPED = 0, 1, 70, 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    argv : sequence of str, optional
        What was typed after the program's name; the process's own when left out.

    Returns
    -------
    int
        The exit code.
    """
    never_fail_on_signs()
    terminal = Terminal.with_settings(Settings())
    try:
        return _spoken(list(sys.argv[1:] if argv is None else argv), terminal)
    except BrokenPipeError:
        silence_stdout()
        return WELL
    except KeyboardInterrupt:
        return STOPPED
    except Exception as error:
        _confess(error, terminal)
        return BUG


def _spoken(argv: list[str], terminal: Terminal) -> int:
    """Run one command in the user's own settings; tell what is wrong with the input."""
    try:
        loaded = load_settings()
        terminal = replace(terminal, settings=loaded.settings)
        if loaded.messages:
            terminal.complain(UserError(loaded.messages))
        code = _run(argv, terminal)
        sys.stdout.flush()
    except UserError as error:
        terminal.complain(error)
        return WRONG
    return code


def _run(argv: list[str], terminal: Terminal) -> int:
    arguments = Arguments(terminal)
    try:
        options = arguments.parse(argv)
    except SystemExit as left:
        return left.code if isinstance(left.code, int) else WELL
    if options.command is None:
        arguments.parser.print_help()
        return WELL
    module, function = COMMANDS[options.command]
    run = getattr(import_module(f"retrofit.cli.{module}"), function)
    return int(run(options, terminal))


def _confess(error: Exception, terminal: Terminal) -> None:
    """Say in one sentence that the program is at fault, and how to see more."""
    if os.environ.get("RETROFIT_TRACEBACK") == "1":
        traceback.print_exc()
        return
    said = str(error) or type(error).__name__
    try:
        text = terminal.text(message("cli.bug", kind=type(error).__name__, said=said))
    except Exception:  # the texts themselves are what is missing
        text = f"{type(error).__name__}: {said}"
    print(text, file=sys.stderr)
