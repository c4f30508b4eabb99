"""Entry point of ``retrofit`` and ``python -m retrofit``: the window, or the command line.

Without a command the window opens: ``retrofit``, ``retrofit PLAN.json``, ``retrofit --demo``.
This is the one module outside ``retrofit.desk`` that may touch Qt; it does so only then, so
that the command line runs where Qt cannot even be imported.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

from retrofit.cli import main as run_command
from retrofit.cli.main import COMMANDS, WRONG

__all__ = ["main"]

DEMO = "--demo"


def main(argv: Sequence[str] | None = None) -> int:
    """Open the window or run a command; return the exit code.

    Parameters
    ----------
    argv : sequence of str, optional
        What was typed after the program's name; the process's own when left out.
    """
    typed = list(sys.argv[1:] if argv is None else argv)
    if typed == [DEMO]:
        return _open_window(None, demo=True)
    if not typed:
        return _open_window(None, demo=False)
    if len(typed) == 1 and typed[0] not in COMMANDS and typed[0].endswith(".json"):
        return _open_window(Path(typed[0]), demo=False)
    return run_command(typed)


def _no_screen() -> bool:
    """Return whether there is no screen to open a window on; Qt would end the process."""
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM"):
        return False
    return not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _open_window(path: Path | None, *, demo: bool) -> int:
    if _no_screen():
        print(
            "The window cannot open, because there is no screen here (neither DISPLAY nor "
            "WAYLAND_DISPLAY is set); the command line works without: retrofit --help.",
            file=sys.stderr,
        )
        return WRONG
    try:
        app = import_module("retrofit.desk.app")
    except ImportError as problem:
        print(
            f"The window cannot open, because Qt does not load ({problem}). On Debian and Ubuntu "
            "install libegl1 libgl1 libglib2.0-0 libdbus-1-3 libfontconfig1 libxkbcommon-x11-0 "
            "libxcb-cursor0 libxcb-icccm4 libxcb-keysyms1 libxcb-shape0; the command line works "
            "without: retrofit --help.",
            file=sys.stderr,
        )
        return WRONG
    return int(app.run(["retrofit"], path, demo=demo))


if __name__ == "__main__":
    sys.exit(main())
