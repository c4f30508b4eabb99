"""Who works on a plan file: a small file beside it names the copy of the program that does.

A lock of the operating system would vanish on network folders and say nothing of its owner, so
the hold is a file with machine, process and a random token. A hold whose process is gone on
this machine counts for nothing.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import socket
import time
from dataclasses import dataclass
from pathlib import Path

from retrofit.desk.processes import birth, runs

_LARGEST = 4096  # bytes; a hold has about a hundred

_JUST_WRITTEN = 2.0
"""Age [s] below which a hold that cannot be read is taken to be half written."""

_held: set[str] = set()
"""Tokens of the holds of this process: another with its number died and left its own."""


@dataclass(frozen=True)
class Hold:
    """A hold on a plan file, ours or another's.

    Attributes
    ----------
    path : Path
        File that says who holds the plan.
    ours : bool
        Whether we hold it; also where the folder cannot be written, since nobody can save there.
    holder : str
        Machine and process of the holder.
    token : str
        What tells our hold from another's; empty where the folder cannot be written.
    """

    path: Path
    ours: bool
    holder: str
    token: str = ""

    def release(self) -> None:
        """Let the plan go; another's hold is left alone."""
        _held.discard(self.token)
        if self.ours and self.token and _token(self.path) == self.token:
            with contextlib.suppress(OSError):
                self.path.unlink()

    def lost(self) -> bool:
        """Return whether our hold is gone: another copy took it, and may have let it go since."""
        return self.ours and bool(self.token) and _token(self.path) != self.token

    def holder_now(self) -> str:
        """Return who holds the plan now, an empty text for nobody."""
        record = _read(self.path)
        return "" if record is None else _name(record)


def resolved(path: Path) -> Path:
    """Return the file behind a path: two links to one plan are one plan."""
    return Path(os.path.realpath(path))


def hold_path(path: Path) -> Path:
    """Return the file that says who holds the plan at `path`."""
    whole = resolved(path)
    return whole.parent / f".{whole.name}.held"


def hold(path: Path, *, by_force: bool = False) -> Hold:
    """Hold a plan file, or say who does.

    Parameters
    ----------
    path : Path
        The plan file; it need not exist.
    by_force : bool
        Take it over from whoever holds it.

    Returns
    -------
    Hold
        Not ours where another copy that may still run holds the file.
    """
    beside = hold_path(path)
    process, token = os.getpid(), secrets.token_hex(8)
    record = {
        "machine": socket.gethostname(),
        "process": process,
        "began": birth(process),
        "token": token,
    }
    # Nothing can be written there: the plan can be read, and saving will say why not.
    unguarded = Hold(beside, True, _name(record))
    for _ in range(3):
        try:
            _write_new(beside, json.dumps(record).encode())
        except FileExistsError:
            pass
        except OSError:
            return unguarded
        else:
            _held.add(token)
            return Hold(beside, True, _name(record), token)
        other = _read(beside)
        alive = _alive(beside, other)
        if alive and not by_force:
            break
        try:
            beside.unlink(missing_ok=True)
        except OSError:
            if alive:
                break
            return unguarded
    return Hold(beside, False, _name(_read(beside) or {}))


def _write_new(path: Path, content: bytes) -> None:
    """Write a file that must not be there yet; none is left where there is no room for it."""
    file = path.open("xb", buffering=0)
    try:
        with file:
            file.write(content)
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


def _read(path: Path) -> dict[str, object] | None:
    try:
        with path.open("rb") as file:
            record = json.loads(file.read(_LARGEST))
    except (OSError, ValueError, RecursionError):
        return None
    return record if isinstance(record, dict) else None


def _token(path: Path) -> str:
    record = _read(path)
    return "" if record is None else str(record.get("token", ""))


def _name(record: dict[str, object]) -> str:
    return f"{record.get('machine', '?')}, process {record.get('process', '?')}"


def _alive(path: Path, record: dict[str, object] | None) -> bool:
    """Return whether the holder may still run: always assumed of another machine's."""
    if record is None:
        try:
            age = time.time() - path.lstat().st_mtime
        except OSError:
            return False
        return abs(age) < _JUST_WRITTEN
    if record.get("machine") != socket.gethostname():
        return True
    process = record.get("process")
    if not isinstance(process, int):
        return False
    if process == os.getpid():
        return record.get("token") in _held
    return runs(process, str(record.get("began", "")))
