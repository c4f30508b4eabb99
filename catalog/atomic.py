"""Whole-file saving: after a crash or on a full disk the old file is still there, or the new one.

Knows nothing of what is in the file; plans, settings and exchange files are saved through it.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
from pathlib import Path

from catalog.errors import user_error


def save_text(path: Path, text: str) -> None:
    """Replace a file by a new text, whole or not at all (temporary file, fsync, rename).

    Parameters
    ----------
    path : Path
        File to write; a symbolic link is followed, permissions of an old file are kept.
    text : str
        The whole new content, saved as UTF-8 with line feeds.

    Raises
    ------
    UserError
        ``file.unwritable``, naming the file and the system's reason; the old file is untouched.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save_text(Path(folder) / "note.txt", "4.1 bar")
    ...     (Path(folder) / "note.txt").read_text()
    '4.1 bar'
    """
    save_bytes(path, text.encode("utf-8"))


def save_bytes(path: Path, content: bytes) -> None:
    """Replace a file by new bytes, whole or not at all, as `save_text` does.

    Raises
    ------
    UserError
        ``file.unwritable``, naming the file and the system's reason; the old file is untouched.
    """
    target = Path(os.path.realpath(path))
    temporary = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        try:
            with temporary.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            if target.exists():
                shutil.copymode(target, temporary)
            os.replace(temporary, target)
        except BaseException:
            with contextlib.suppress(OSError):
                temporary.unlink()
            raise
        _sync_folder(target.parent)
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise user_error("file.unwritable", path=str(path), reason=reason) from problem


def _sync_folder(folder: Path) -> None:
    """Make the rename itself survive a power cut, where the system lets a folder be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
