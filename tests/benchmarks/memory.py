"""The most memory that this process has held.

``ru_maxrss`` of a child starts at what its parent held when it forked, so that a long run of tests
would be charged to whatever it starts; the kernel's own mark of this address space does not.
"""

from __future__ import annotations

import resource
import sys
from pathlib import Path

_STATUS, _MARK = Path("/proc/self/status"), Path("/proc/self/clear_refs")


def most_megabytes() -> float:
    """Return the high-water mark of the resident memory [MB], since `forget_the_most` if called."""
    if not _STATUS.exists():
        unit = 1e6 if sys.platform == "darwin" else 1e3
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit
    fields = dict(line.split(":", 1) for line in _STATUS.read_text().splitlines())
    return int(fields["VmHWM"].split()[0]) * 1024 / 1e6


def forget_the_most() -> None:
    """Begin the mark again at what is held now, where the system can (Linux: proc(5))."""
    if _MARK.exists():
        _MARK.write_text("5")
