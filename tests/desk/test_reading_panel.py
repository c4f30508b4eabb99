"""The panel that never leaves the screen: two dials, a tried supply, the true value, the counts."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_duty
from retrofit.desk.files import new_plan
from retrofit.desk.reading_panel import ReadingPanel
from retrofit.desk.session import Session
from retrofit.desk.steps.wiring import WiringStep
from retrofit.desk.widgets.svg_view import PIXELS_PER_MM
from retrofit.desk.window import Window
from retrofit.plan.checks.check import Verdict
from tests.bands.pairings import decoded
from tests.desk.whole_window import shown, shut
from tests.retrofit.plan.plans import COILS, PRESSURE_10_184, Raw, gauge, mark, plan, sender


def oil(**wiring: object) -> Raw:
    dial = gauge(
        PRESSURE_10_184, "pressure", movement={"kind": "ratio", "pull_off": "0 %", **COILS}
    )
    own = sender(PRESSURE_10_184, "pressure", tolerance=None)
    return plan(dial, own, marks=[mark("idle", "1 bar", "high")], wiring=wiring)


def two() -> Raw:
    return oil(second={"gauge": gauge(PRESSURE_10_184, "pressure", movement=FIRST)})


FIRST = {"kind": "ratio", "pull_off": "0 %", "supply_coil": "200 Ω", "earth_coil": "300 Ω"}


@pytest.fixture
def window(qtbot: QtBot) -> Iterator[Window]:
    made = shown(qtbot, Session(decoded(two())))
    yield made
    shut(made)


@pytest.mark.parametrize("size", [(1440, 900), (1024, 700)])
def test_that_two_dials_are_alike_and_each_says_its_name_and_what_it_shows(
    window: Window, size: tuple[int, int]
) -> None:
    window.resize(*size)
    QApplication.processEvents()
    panel = window.panel
    assert panel.dial.height() == panel.second.height()
    assert abs(panel.dial.width() - panel.second.width()) <= 1
    assert panel.dial.mapTo(panel, QPoint(0, 0)).y() == panel.second.mapTo(panel, QPoint(0, 0)).y()
    found = window.place.assessment()
    for view, one in ((panel._one, found), (panel._two, found.of_second)):
        assert one is not None
        assert view.name.isVisible()
        assert view.name.toolTip() == one.pairing.gauge.name
        assert view.reads.isVisible()
        words = view.reads.text().replace("\xa0", " ")
        assert "bar" in words
        assert "error" in words
        assert view.reads.width() >= view.reads.fontMetrics().horizontalAdvance(
            words.splitlines()[1]
        )
    assert panel.chart.height() >= 150


def test_that_one_dial_alone_keeps_its_words_in_the_drawing(qtbot: QtBot) -> None:
    window = shown(qtbot, Session(decoded(oil())))
    assert not window.panel._two.isVisible()
    assert not window.panel._one.reads.isVisible()
    shut(window)


def test_that_a_tried_supply_is_said_wherever_one_works_and_ends_with_a_click(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("wiring")
    step = window.steps["wiring"]
    assert isinstance(step, WiringStep)
    step._try.slider.setValue(115)
    window.show_step("duty")
    panel = window.panel
    assert panel.trial.isVisible()
    assert "11.5" in panel.trial.text()
    assert panel.back.isVisible()
    qtbot.mouseClick(panel.back, Qt.MouseButton.LeftButton)
    assert window.place.tried_volts is None
    assert not panel.trial.isVisible()
    assert step._try.slider.value() == 135


def test_that_the_wheel_over_the_supply_slider_tries_nothing(window: Window) -> None:
    window.show_step("wiring")
    step = window.steps["wiring"]
    assert isinstance(step, WiringStep)
    slider = step._try.slider
    middle = QPointF(slider.rect().center())
    turned = QWheelEvent(
        middle,
        slider.mapToGlobal(middle),
        QPoint(0, 0),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(slider, turned)
    assert window.place.tried_volts is None


def test_that_another_quantity_starts_at_its_own_mark_and_a_new_range_moves_the_slider(
    window: Window,
) -> None:
    panel = window.panel
    assert panel.true == pytest.approx(1e5)
    window.place.use(Session(new_plan("temperature", window.place.reader.renderer))).close()
    low, high = window.place.view.plan.duty.span
    assert panel.true == pytest.approx((low + high) / 2.0)
    assert window.place.attempt(set_duty("high", Amount(200.0, "°C"))) == ""
    share = (panel.true - low) / (200.0 - low)
    assert panel.slider.value() == pytest.approx(1000.0 * share, abs=1.0)


def test_that_the_true_value_is_no_finer_than_the_slider_can_mean(window: Window) -> None:
    panel = window.panel
    panel.look_at(2.2046226e5)
    assert panel.value.text().replace("\xa0", " ") == "2.2 bar"
    panel.look_at(2.2e5)
    assert panel.value.text().replace("\xa0", " ") == "2.2 bar"


def test_that_the_checks_are_counted_and_a_worse_one_is_brought_to_sight(window: Window) -> None:
    panel: ReadingPanel = window.panel
    checks = window.place.assessment().checks
    stops = sum(one.verdict is Verdict.STOP for one in checks)
    said = panel.counts.text()
    assert f"{stops} stop" in said if stops else "stop" not in said
    bar = panel._scroll.verticalScrollBar()
    bar.setValue(bar.maximum())
    panel._worst = 3  # as if all had been good
    panel.read()
    assert bar.value() == 0


@pytest.mark.parametrize(
    "key", ["duty", "gauge", "sender", "trim", "fit", "wiring", "compare", "catalogue"]
)
def test_that_no_step_is_wider_than_a_small_window_leaves_it(window: Window, key: str) -> None:
    window.resize(1024, 700)
    window.show_step(key)
    QApplication.processEvents()
    inside = window.steps[key].widget()
    assert inside is not None
    assert inside.minimumSizeHint().width() <= window.steps[key].viewport().width()


def test_that_a_dial_fills_the_room_that_it_has(qtbot: QtBot) -> None:
    window = shown(qtbot, Session(decoded(oil())))
    dial = window.panel.dial
    assert dial._size[0] == pytest.approx(dial.width() / PIXELS_PER_MM, abs=1.0)
    shut(window)
