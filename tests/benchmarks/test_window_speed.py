"""How fast the window opens and follows an edit, against what Qt alone takes in the same run.

Claimed: first paint with the demo in 4.5 times what an empty window takes beside NumPy; a step of
the slider in one repaint of the whole window; an edit on the screen in 6 repaints and 2
assessments; 2.5 times the memory of an empty window. Twice that is let pass: a busy machine must
not fail the test.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
RUNS = 3

FIRST_PAINT, SLIDE, EDIT_REPAINTS, EDIT_ASSESSMENTS, MEMORY = 4.5, 1.0, 6.0, 2.0, 2.5


def measured(what: str, home: Path) -> dict[str, Any]:
    """Return what the fastest of some starts measured, with the seconds to its first paint."""
    plain = {name: value for name, value in os.environ.items() if not name.startswith("QT_")}
    plain |= {
        "QT_QPA_PLATFORM": "offscreen",
        "RETROFIT_HOME": str(home),
        "PYTHONPYCACHEPREFIX": str(home / "compiled"),
    }
    plain.pop("PYTHONDONTWRITEBYTECODE", None)
    found = []
    for _ in range(RUNS + 1):
        begun = time.time()
        command = [sys.executable, "-m", "tests.benchmarks.window_speed", what]
        done = subprocess.run(command, cwd=ROOT, env=plain, check=True, capture_output=True)
        one: dict[str, Any] = json.loads(done.stdout)
        found.append({**one, "seconds": one["painted"] - begun})
    # The first start compiled what is imported.
    return min(found[1:], key=lambda one: float(one["seconds"]))


def test_that_the_window_follows_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    window, bare = measured("window", tmp_path), measured("bare", tmp_path)
    with capsys.disabled():
        print(
            f"\nfirst paint {window['seconds']:.2f} s, an empty window {bare['seconds']:.2f} s; "
            f"slider to repaint {window['slide']:.1f} ms, edit to screen {window['edit']:.1f} ms, "
            f"a whole repaint {window['repaint']:.1f} ms, an assessment {window['assess']:.1f} ms; "
            f"{window['memory']:.0f} MB, an empty window {bare['memory']:.0f} MB"
        )
    assert window["late"] == []
    assert window["seconds"] < 2.0 * FIRST_PAINT * bare["seconds"]
    assert window["slide"] < 2.0 * SLIDE * window["repaint"]
    allowed = EDIT_REPAINTS * window["repaint"] + EDIT_ASSESSMENTS * window["assess"]
    assert window["edit"] < 2.0 * allowed
    assert window["memory"] < 2.0 * MEMORY * bare["memory"]
