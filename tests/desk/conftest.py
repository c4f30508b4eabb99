"""What holds for every test of the window: no screen, own settings, no Qt message, no leak."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, QLocale, QSettings, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from catalog.codec import decode
from retrofit.desk.files import demo_plan, start_session
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.window import Window
from retrofit.desk.workplace import Workplace
from retrofit.plan.document import Plan
from retrofit.settings import Settings
from tests.desk.whole_window import shown, shut
from tests.retrofit.plan import plans

HERE = Path(__file__).parent
OF_THE_MACHINE = ("This plugin does not support .*", "Detected locale .*")
"""Messages about the machine, not about the program: no screen, no UTF-8 locale."""

# One run of CI has a decimal comma: RETROFIT_TEST_LOCALE=de_DE. Qt brings its own locale data.
if os.environ.get("RETROFIT_TEST_LOCALE"):
    QLocale.setDefault(QLocale(os.environ["RETROFIT_TEST_LOCALE"]))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let every message of Qt fail the test; markers, so that a run without Qt needs no setting."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.qt_log_level_fail("WARNING"))
            item.add_marker(pytest.mark.qt_log_ignore(*OF_THE_MACHINE))


def left_behind(threads_before: set[threading.Thread]) -> list[str]:
    """Name the top-level widgets, running timers and threads that are there."""
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    gc.collect()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    found = [f"widget {widget!r}" for widget in QApplication.topLevelWidgets()]
    timers = [o for o in gc.get_objects() if isinstance(o, QTimer) and isValid(o)]
    found += [f"timer {timer!r}" for timer in timers if timer.isActive()]
    found += [f"thread {t.name}" for t in set(threading.enumerate()) - threads_before]
    return found


@pytest.fixture(autouse=True)
def _nothing_left_behind(qapp: QApplication, tmp_path: Path) -> Iterator[None]:
    """Fail a test that leaves widgets, timers or threads; its QSettings lie in its own folder."""
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path / "qt"))
    before = set(threading.enumerate())
    yield
    qapp.processEvents()
    assert left_behind(before) == []


@pytest.fixture(scope="session")
def rendered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the pictures of all scenes, made at scale 1 whatever this run's is."""
    folder = tmp_path_factory.mktemp("pictures")
    plain = {name: value for name, value in os.environ.items() if not name.startswith("QT_")}
    subprocess.run(
        [sys.executable, "-m", "tests.desk.scenes", str(folder)],
        cwd=HERE.parents[1],
        env={**plain, "QT_QPA_PLATFORM": "offscreen", "RETROFIT_HOME": str(folder / "home")},
        check=True,
        capture_output=True,
    )
    return folder


@pytest.fixture
def reader() -> Reader:
    return Reader(Settings())


@pytest.fixture
def comma() -> Reader:
    """A reader with a decimal comma."""
    return Reader(Settings(decimal=","))


@pytest.fixture
def theme(qapp: QApplication) -> Theme:
    del qapp
    return Theme("light")


@pytest.fixture
def plan() -> Plan:
    """A temperature plan with two marks."""
    marks = [plans.mark("alarm", "98 °C", "low"), plans.mark("warm", "60 °C", "low")]
    gauge = plans.gauge(plans.TEMPERATURE_291_22, "temperature")
    rows = {"40 °C": "450 Ω", "80 °C": "100 Ω", "120 °C": "30 Ω"}
    sender = plans.sender(rows, "temperature", shape="thermistor")
    return decode(plans.plan(gauge, sender, marks=marks), Plan, "test")


@pytest.fixture
def place(plan: Plan, reader: Reader) -> Iterator[Workplace]:
    made = Workplace(Session(plan), reader, Stock(), InlineExecutor())
    yield made
    made.close()


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[Window]:
    made = shown(qtbot, start_session(demo_plan()))
    yield made
    shut(made)
