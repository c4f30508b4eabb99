"""Which processes of this machine still run; a bare number may have gone to another since."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_GONE = ("Z", "X", "x")
"""States of a Linux process that has ended, though nobody has asked for its end yet."""

_STARTTIME = 19
"""Place of the start time among the fields of /proc/N/stat that follow the name (proc(5))."""


def birth(process: int) -> str:
    """Return when a process began, as the system counts it; empty where it does not say.

    Examples
    --------
    >>> birth(os.getpid()) == birth(os.getpid())
    True
    """
    fields = _stat(process)
    return fields[_STARTTIME] if len(fields) > _STARTTIME else ""


def runs(process: int, began: str = "") -> bool:
    """Return whether a process of this machine runs, or may run where nobody can tell.

    Parameters
    ----------
    process : int
        Its number.
    began : str
        Its `birth`; a process of that number that began at another time is another. Empty
        where it is not known.

    Examples
    --------
    >>> runs(os.getpid()), runs(os.getpid(), "another time"), runs(0)
    (True, False, False)
    """
    if process <= 0:
        return False
    if not _exists(process):
        return False
    fields = _stat(process)
    if fields and fields[0] in _GONE:
        return False
    now = birth(process)
    return not (began and now) or now == began


def _stat(process: int) -> list[str]:
    try:
        stat = Path(f"/proc/{process}/stat").read_bytes()
    except OSError:
        return []
    # The name stands in brackets and may hold anything, brackets too; nothing after it does.
    return stat.rpartition(b")")[2].decode("ascii", "replace").split()


if sys.platform == "win32":

    def _exists(process: int) -> bool:
        # os.kill would end the process there.
        asked, still_active, denied = 0x1000, 259, 5
        kernel = ctypes.WinDLL("kernel32", use_last_error=True)
        kernel.OpenProcess.restype = ctypes.c_void_p
        handle = ctypes.c_void_p(kernel.OpenProcess(asked, False, process))
        if not handle:
            return ctypes.get_last_error() == denied
        code = ctypes.c_ulong()
        known = kernel.GetExitCodeProcess(handle, ctypes.byref(code))
        kernel.CloseHandle(handle)
        return not known or code.value == still_active

else:

    def _exists(process: int) -> bool:
        try:
            os.kill(process, 0)
        except (ProcessLookupError, OverflowError):
            return False
        except OSError:
            return True
        return True
