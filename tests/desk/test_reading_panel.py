"""The panel that never leaves the screen: two dials, a tried supply, the true value, the counts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import set_duty
from retrofit.desk.files import demo_plan, new_plan, start_session
from retrofit.desk.reading_panel import ReadingPanel
from retrofit.desk.session import Session
from retrofit.desk.steps.wiring import WiringStep
from retrofit.desk.widgets.svg_view import PIXELS_PER_MM
from retrofit.desk.window import Window
from retrofit.drawing.dial_readout import readout_height
from retrofit.drawing.spot import spot_at
from retrofit.plan.checks.check import Verdict
from tests.bands.pairings import decoded
from tests.desk.seeing import plain
from tests.desk.whole_window import field, shown, shut, type_into
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
        assert one.pairing.gauge.name in view.name.toolTip()
        spot = spot_at(one, panel.true)
        said = plain(view.view.accessibleDescription())
        for value in (spot.true, spot.shown):
            assert plain(window.place.reader.value(value, Kind.PRESSURE)) in said
        # Its drawing says true, shown and error; tests/drawing reads them back from narrow ones.
        assert readout_height(view.view.width() / PIXELS_PER_MM) > 0.0
    plot = panel._chart
    assert plot is not None
    assert (plot.plot.bottom - plot.plot.top) * PIXELS_PER_MM >= 109.0
    assert panel._scroll.height() >= 90


@pytest.mark.parametrize("size", [(1440, 900), (1024, 700), (960, 540)])
def test_that_nothing_of_the_panel_lies_over_something_else(
    window: Window, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.place.try_supply(11.0)
    QApplication.processEvents()
    panel = window.panel
    parts = (panel.banner, panel._one, panel.slider, panel.chart, panel.counts, panel._scroll)
    boxes = [(one.mapTo(panel, QPoint(0, 0)).y(), one.height()) for one in parts]
    for (top, tall), (below, _) in pairwise(boxes):
        assert top + tall <= below
    assert boxes[-1][0] + boxes[-1][1] <= panel.height()
    assert boxes[-1][1] >= 40


def test_that_one_dial_alone_keeps_its_words_in_the_drawing(qtbot: QtBot) -> None:
    window = shown(qtbot, Session(decoded(oil())))
    assert not window.panel._two.isVisible()
    assert not window.panel._one.name.isVisible()
    shut(window)


def test_that_a_tried_supply_is_said_wherever_one_works_and_ends_with_a_click(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("wiring")
    step = window.steps["wiring"]
    assert isinstance(step, WiringStep)
    slider = step._try.slider
    usual = slider.value()
    slider.setFocus()
    for _ in range(5):
        qtbot.keyClick(slider, Qt.Key.Key_Left)
    window.show_step("duty")
    banner = window.panel.banner
    assert banner.isVisible()
    tried = window.place.reader.value((usual - 5) / 10.0, Kind.VOLTAGE)
    assert plain(tried) in plain(banner.words.text())
    qtbot.mouseClick(banner.back, Qt.MouseButton.LeftButton)
    assert window.place.tried_volts is None
    assert not banner.isVisible()
    assert slider.value() == usual


def test_that_an_edit_elsewhere_ends_the_trial_and_the_slider_follows(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("wiring")
    step = window.steps["wiring"]
    assert isinstance(step, WiringStep)
    usual = step._try.slider.value()
    step._try.slider.setFocus()
    qtbot.keyClick(step._try.slider, Qt.Key.Key_PageDown)
    window.show_step("duty")
    type_into(qtbot, field(window, "duty", "allowed"), "0.4 bar")
    assert not window.panel.banner.isVisible()
    assert step._try.slider.value() == usual


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


def test_that_a_true_value_keeps_to_a_new_range_and_to_the_unit_that_is_shown(
    qtbot: QtBot, window: Window
) -> None:
    """98 °C of the demo were once 98 Pa, which "0 psi" and "80 psi" made 0.0142136982976 psi."""
    window.keeper.use(start_session(demo_plan()))
    panel = window.panel
    type_into(qtbot, panel.value, "98")
    window.new_actions["pressure"].trigger()
    assert plain(panel.value.text()) == "5 bar"
    assert panel.slider.value() == 500
    type_into(qtbot, panel.value, "2.2 bar")
    type_into(qtbot, field(window, "duty", "low"), "0 psi")
    type_into(qtbot, field(window, "duty", "high"), "80 psi")
    assert plain(panel.value.text()) == "2.2 bar"
    action = window.units.action_for(Kind.PRESSURE, "psi")
    assert action is not None
    action.trigger()
    assert plain(panel.value.text()) == "31.9 psi"  # 2.2 bar are 31.908 psi, by 6894.757 Pa
    assert panel.value.cursorPosition() == 0
    type_into(qtbot, field(window, "duty", "high"), "20 psi")
    assert plain(panel.value.text()) == "20 psi"  # the end of the range
    assert panel.slider.value() == panel.slider.maximum()


def test_that_the_checks_are_counted_and_a_worse_one_is_brought_to_sight(window: Window) -> None:
    panel: ReadingPanel = window.panel
    checks = window.place.assessment().checks
    stops = sum(one.verdict is Verdict.STOP for one in checks)
    said = panel.counts.words.text()
    assert f"{stops} stop" in said if stops else "stop" not in said
    for size in ((1440, 900), (1024, 700), (960, 540)):
        window.resize(*size)
        QApplication.processEvents()
        label = panel.counts.words
        assert label.fontMetrics().horizontalAdvance(label.text()) <= label.width()
        assert label.text().split(", ")[0] == said.split(", ")[0]
        assert said in label.toolTip()


def test_that_a_new_stop_is_brought_to_sight_and_the_rest_leaves_the_list_alone(
    qtbot: QtBot,
) -> None:
    window = shown(qtbot, start_session(demo_plan()))
    panel = window.panel
    bar = panel._scroll.verticalScrollBar()
    window.resize(1024, 700)
    QApplication.processEvents()

    def stops() -> int:
        return sum(one.verdict is Verdict.STOP for one in window.place.assessment().checks)

    try:
        type_into(qtbot, field(window, "duty", "allowed"), "30")
        fewer = stops()
        bar.setValue(bar.maximum())
        type_into(qtbot, field(window, "duty", "allowed"), "31")
        assert (stops(), bar.value() > 0) == (fewer, True)
        type_into(qtbot, field(window, "duty", "allowed"), "1")
        assert stops() > fewer
        assert f"{stops()} stop" in panel.counts.words.text()
        assert bar.value() == 0
    finally:
        shut(window)


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
