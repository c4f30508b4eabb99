"""A random walk through the window: whatever is done can be undone."""

from __future__ import annotations

import os
import random

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from retrofit.desk.window import PAGES, STEPS, Window
from tests.desk.whole_window import field

Key = Qt.Key


def test_that_the_walk_can_be_undone_and_redone(qtbot: QtBot, window: Window) -> None:
    """A random walk: undo all equals the start, redo all equals the end."""
    seed = int(os.environ.get("RETROFIT_WALK_SEED", random.randrange(10**9)))
    dice = random.Random(seed)
    print(f"walk seed {seed}")
    start = window.place.view.plan
    for _ in range(_actions()):
        _one_action(qtbot, window, dice)
    while window.place.session.redo():
        pass  # the walk may have ended on an undo
    end = window.place.view.plan
    while window.place.session.undo():
        pass
    assert window.place.view.plan == start
    while window.place.session.redo():
        pass
    assert window.place.view.plan == end


def _actions() -> int:
    """The full walk is RETROFIT_WALK=5000 python -m pytest tests/desk -k walk."""
    return int(os.environ.get("RETROFIT_WALK", "500"))


def _one_action(qtbot: QtBot, window: Window, dice: random.Random) -> None:
    kind = dice.randrange(10)
    if kind == 0:
        window.show_step(dice.choice((*STEPS, *PAGES)))
    elif kind == 1:
        window.panel.slider.setValue(dice.randrange(1001))
    elif kind == 2:
        window.undo()
    elif kind == 3:
        window.redo()
    elif kind == 4 and len(window.place.view.plan.pairings) < 4:
        window.add_pairing()
    elif kind == 5:
        window.remove_pairing()
    elif kind == 6:
        step = window.steps[dice.choice(("sender", "gauge"))]
        step.picker.list.setCurrentIndex(  # type: ignore[attr-defined]
            step.picker.model.index(dice.randrange(8))  # type: ignore[attr-defined]
        )
        step.picker.take.click()  # type: ignore[attr-defined]
    else:
        step_key, name, texts = dice.choice(_TYPED)
        window.show_step(step_key)
        editor = field(window, step_key, name)
        if editor.isVisible():
            assert isinstance(editor, QLineEdit)
            editor.setFocus()
            editor.selectAll()
            text = dice.choice(texts)
            if text:
                qtbot.keyClicks(editor, text)
            else:
                qtbot.keyClick(editor, Key.Key_Delete)
            qtbot.keyClick(editor, Key.Key_Return)


_TYPED = (
    ("duty", "allowed", ("3", "4 °C", "", "nonsense", "2 K")),
    ("duty", "high", ("110", "130 °C", "20", "250 F")),
    ("trim", "across sender", ("430", "1k", "", "-5")),
    ("trim", "series at sender", ("10", "", "4k7")),
    ("trim", "signal to earth", ("", "2k2")),
    ("trim", "pull-up", ("330", "")),
    ("wiring", "nominal", ("12", "13.5 V", "0")),
    ("wiring", "high", ("15", "", "11")),
    ("wiring", "sender_earth", ("0.2", "", "3")),
)
