"""What bites in PySide6, and that the leak fixture sees what it should."""

from __future__ import annotations

import sys
import threading

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.desk.conftest import left_behind


def test_that_calls_into_qt_lose_no_reference_of_none(qtbot: QtBot) -> None:
    # PySide6 6.12.0 on Python 3.11 lost one a call; the process aborted after some thousands.
    widget = QWidget()
    qtbot.addWidget(widget)
    before = sys.getrefcount(None)
    for width in range(200):
        widget.setMinimumWidth(width)
    assert abs(sys.getrefcount(None) - before) < 20


def test_that_a_widget_a_timer_and_a_thread_left_behind_are_seen(qtbot: QtBot) -> None:
    before = set(threading.enumerate())
    widget, timer = QWidget(), QTimer()
    qtbot.addWidget(widget)
    timer.start(60_000)
    stop = threading.Event()
    thread = threading.Thread(target=stop.wait, name="forgotten")
    thread.start()
    try:
        found = " ".join(left_behind(before))
        assert "QWidget" in found
        assert "QTimer" in found
        assert "forgotten" in found
    finally:
        timer.stop()
        stop.set()
        thread.join()
