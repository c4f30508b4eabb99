"""Measures one start of the window, in a process of its own: prints JSON.

``python -m tests.benchmarks.window_speed window`` opens the demo and works in it; ``bare`` opens an
empty window of Qt beside NumPy, to compare with.
"""

from __future__ import annotations

import json
import os
import statistics
import sys
import time
from collections.abc import Callable

from tests.benchmarks.memory import most_megabytes

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

LATE = ("scipy", "alembic", "typst", "schemdraw", "pyqtgraph", "pint")
"""What a start has no time for."""

RUNS = 30


def median_ms(step: Callable[[int], object]) -> float:
    """Return the median time of some runs [ms]."""
    times = []
    for run in range(RUNS):
        begun = time.perf_counter()
        step(run)
        times.append(1e3 * (time.perf_counter() - begun))
    return statistics.median(times)


def bare() -> dict[str, object]:
    """Open an empty window."""
    import numpy as np
    from PySide6 import QtSvg
    from PySide6.QtWidgets import QApplication, QMainWindow

    app = QApplication(["bare"])
    window = QMainWindow()
    window.resize(1440, 900)
    window.show()
    app.processEvents()
    painted = time.time()
    assert np.__name__ in sys.modules
    assert QtSvg.__name__ in sys.modules
    return {"painted": painted, "memory": most_megabytes()}


def whole() -> dict[str, object]:
    """Open the demo, sweep the range, edit, undo."""
    from catalog.quantities.amounts import Amount
    from retrofit.desk.app import make_application, open_window
    from retrofit.desk.edits import set_resistor
    from retrofit.desk.files import demo_plan, start_session
    from retrofit.desk.threads import ThreadExecutor
    from retrofit.installation import TrimResistor
    from retrofit.plan.assess import assess
    from retrofit.settings import Settings

    app = make_application(["retrofit"])
    executor = ThreadExecutor()
    window = open_window(start_session(demo_plan()), Settings(theme="light"), executor)
    window.show()
    app.processEvents()
    painted = time.time()
    late = sorted(set(LATE) & set(sys.modules))
    slider, place = window.panel.slider, window.place
    low, high = slider.minimum(), slider.maximum()

    def slide(run: int) -> None:
        slider.setValue(low + (high - low) * (run + 1) // (RUNS + 1))
        app.processEvents()

    def edit(run: int) -> None:
        resistor = TrimResistor("series at sender", Amount(10.0 + run, "Ω"))
        assert place.attempt(set_resistor("A", resistor)) == ""
        app.processEvents()

    def repaint(run: int) -> None:
        del run
        window.repaint()

    def one_assessment(run: int) -> None:
        del run
        assess(place.view.plan)

    found: dict[str, object] = {
        "painted": painted,
        "late": late,
        "repaint": median_ms(repaint),
        "slide": median_ms(slide),
        "edit": median_ms(edit),
        "assess": median_ms(one_assessment),
    }
    window.show_step("gauge")
    app.processEvents()
    found["memory"] = most_megabytes()
    window.close()
    return found


if __name__ == "__main__":
    sys.stdout.write(json.dumps(whole() if sys.argv[1] == "window" else bare()))
