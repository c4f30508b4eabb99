"""The whole window, used as its user uses it: with keys and clicks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.cli import main
from retrofit.desk.files import demo_plan, new_plan, start_session
from retrofit.desk.steps.gauge import GaugeStep
from retrofit.desk.steps.part_step import CLASS, KNOWN, TABLE
from retrofit.desk.steps.sender import SenderStep
from retrofit.desk.window import PAGES, STEPS, Window
from retrofit.plan.export import exported
from retrofit.plan.file import read_plan, write_plan
from retrofit.settings import Settings, load_settings
from tests.desk.seeing import plain
from tests.desk.whole_window import field, shown, shut, type_into

Key = Qt.Key


def test_that_the_first_start_shows_a_finished_plan_and_what_is_wrong_with_it(
    window: Window,
) -> None:
    assert "Harbour launch" in window.windowTitle()
    first = window.panel.checks.rows[0]
    assert first.accessibleName().startswith("stop: The needle shows 87")
    assert plain(window.panel.dial.accessibleDescription()).count("98.0 °C")


class Windows(QObject):
    """Remembers which widgets appeared as windows of their own."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() is QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.seen.append(type(watched).__name__)
        return False


def test_that_nothing_flashes_up_as_a_window_while_steps_are_made(
    qapp: QApplication, window: Window
) -> None:
    windows = Windows()
    qapp.installEventFilter(windows)
    try:
        for key in (*STEPS, *PAGES):
            window.show_step(key)
        window.add_pairing()
        window.show_step("compare")
        qapp.processEvents()
    finally:
        qapp.removeEventFilter(windows)
    assert windows.seen == []


def test_that_each_step_opens_by_click_and_by_its_keys(qtbot: QtBot, window: Window) -> None:
    for number, key in enumerate((*STEPS, *PAGES), 1):
        qtbot.mouseClick(window.rail.buttons[key], Qt.MouseButton.LeftButton)
        assert window.step == key
        window.show_step("duty")
        qtbot.keyClick(window, Key(Key.Key_0 + number), Qt.KeyboardModifier.ControlModifier)
        assert window.step == key


@pytest.mark.parametrize(
    ("step", "name", "typed", "expected"),
    [
        ("duty", "low", "100 F", "37.8 °C"),
        ("duty", "high", "130", "130 °C"),
        ("duty", "allowed", "9 °F", "9 °F"),
        ("wiring", "nominal", "12,8 V", "12.8 V"),
        ("wiring", "low", "10500 mV", "10500 mV"),
        ("wiring", "high", "15", "15 V"),
        ("wiring", "sender_earth", "0R4", "0.4 Ω"),
        ("trim", "across sender", "4k7", "4.7 kΩ"),
        ("trim", "series at sender", "22", "22 Ω"),
        ("trim", "signal to earth", "1,5 k", "1.5 kΩ"),
        ("trim", "series at gauge", "4R7", "4.7 Ω"),
    ],
)
def test_that_each_amount_can_be_typed_in_any_unit(
    qtbot: QtBot, window: Window, step: str, name: str, typed: str, expected: str
) -> None:
    window.show_step(step)
    before = window.place.view.plan
    type_into(qtbot, field(window, step, name), typed)
    assert window.steps[step].fields[name].problem == ""
    assert window.place.view.plan != before
    amount = field(window, step, name).amount  # type: ignore[attr-defined]
    kind = field(window, step, name).kind  # type: ignore[attr-defined]
    wanted = expected.split(" ")
    assert amount.si(kind) == pytest.approx(Amount(float(wanted[0]), wanted[1]).si(kind), rel=2e-3)
    window.undo()
    assert window.place.view.plan == before


def test_that_a_resistor_typed_in_moves_the_needle_at_once(qtbot: QtBot, window: Window) -> None:
    before = window.panel.spot.shown
    window.show_step("trim")
    type_into(qtbot, field(window, "trim", "across sender"), "430 ohm")
    assert window.panel.spot.shown > before + 1.0
    assert plain(window.panel.dial.accessibleDescription()).count(
        plain(window.place.reader.value(window.panel.spot.shown, Kind.TEMPERATURE))
    )


def test_that_bad_input_says_what_to_do_and_loses_nothing(qtbot: QtBot, window: Window) -> None:
    window.show_step("duty")
    before = window.place.view.plan
    editor = field(window, "duty", "high")
    type_into(qtbot, editor, "45 psi")
    problem = window.steps["duty"].fields["high"].problem
    assert "psi" in problem
    assert isinstance(editor, QLineEdit)
    assert editor.text() == "45 psi"
    assert window.place.view.plan == before
    type_into(qtbot, editor, "30 °C")  # below the low end
    assert "40" in window.steps["duty"].fields["high"].problem
    assert window.place.view.plan == before
    type_into(qtbot, editor, "125 °C")
    assert window.steps["duty"].fields["high"].problem == ""


def test_that_an_arrow_key_moves_a_number_and_is_one_step_of_undo(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("duty")
    before = window.place.view.plan
    editor = field(window, "duty", "allowed")
    qtbot.mouseClick(editor, Qt.MouseButton.LeftButton)
    for _ in range(5):
        qtbot.keyClick(editor, Key.Key_Up)
    assert window.place.view.plan.duty.allowed == Amount(8.5, "°C")
    window.undo()
    assert window.place.view.plan == before


def test_that_typing_shows_its_consequence_before_the_field_is_left(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("trim")
    before = window.place.view.plan
    editor = field(window, "trim", "across sender")
    qtbot.mouseClick(editor, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(editor, "430")
    qtbot.waitUntil(lambda: window.place.view.pairing.trim != ())
    assert isinstance(editor, QLineEdit)
    assert editor.text() == "430"  # what is typed is not rewritten under the fingers
    qtbot.keyClick(editor, Key.Key_Escape)
    assert window.place.view.plan == before
    qtbot.keyClicks(editor, "430")
    qtbot.waitUntil(lambda: window.place.view.pairing.trim != ())
    qtbot.keyClick(editor, Key.Key_Return)
    window.undo()
    assert window.place.view.plan == before


def test_that_a_plan_that_was_replaced_unsaved_can_be_gone_back_to_with_its_undo(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("trim")
    type_into(qtbot, field(window, "trim", "across sender"), "430")
    mine = window.place.view.plan
    window.new_actions["level"].trigger()
    assert window.place.view.plan.duty.quantity == "level"
    assert window.notice.text
    qtbot.mouseClick(window.notice.buttons[0], Qt.MouseButton.LeftButton)
    assert window.place.view.plan is mine
    window.undo()
    assert window.place.view.pairing.trim == ()


def test_that_unsaved_work_can_be_let_go_and_still_be_fetched_back(
    qtbot: QtBot, window: Window
) -> None:
    type_into(qtbot, window.top.name, "Not worth keeping")
    window.discard_action.trigger()
    assert "Harbour launch" in window.place.view.plan.name
    qtbot.mouseClick(window.notice.buttons[0], Qt.MouseButton.LeftButton)
    assert window.place.view.plan.name == "Not worth keeping"


def test_that_a_true_value_can_be_typed(qtbot: QtBot, window: Window) -> None:
    type_into(qtbot, window.panel.value, "194 F")
    assert window.panel.true == pytest.approx(90.0)
    type_into(qtbot, window.panel.value, "300")
    assert window.panel.true == pytest.approx(120.0)  # the end of the range


def test_that_a_check_leads_to_the_field_that_mends_it(qtbot: QtBot, window: Window) -> None:
    row = next(r for r in window.panel.checks.rows if "supply" in r.accessibleName())
    qtbot.mouseClick(row, Qt.MouseButton.LeftButton, pos=QPoint(40, 10))
    assert window.step == "wiring"
    focused = QApplication.focusWidget()
    assert focused is not None
    assert window.steps["wiring"].isAncestorOf(focused)


def test_that_the_slider_reads_the_curve_and_is_no_edit(qtbot: QtBot, window: Window) -> None:
    slider = window.panel.slider
    slider.setFocus()
    before = window.place.view.plan
    qtbot.keyClick(slider, Key.Key_Home)
    assert window.panel.true == pytest.approx(40.0)
    qtbot.keyClick(slider, Key.Key_PageUp)
    assert window.panel.true == pytest.approx(60.0)  # the next mark
    qtbot.keyClick(slider, Key.Key_PageUp)
    assert window.panel.true == pytest.approx(82.0)
    qtbot.keyClick(slider, Key.Key_PageDown)
    assert window.panel.true == pytest.approx(60.0)
    qtbot.keyClick(slider, Key.Key_Right)
    assert window.panel.true > 60.0
    assert window.place.view.plan is before
    assert "true" in slider.accessibleDescription().lower() or slider.accessibleDescription()


def test_that_the_numbers_on_screen_equal_those_of_the_command_line(
    window: Window, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "launch.json"
    write_plan(file, window.place.view.plan)
    assert main(["assess", str(file), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said == json.loads(json.dumps(exported(window.place.assessment())))
    rows = [row.accessibleName() for row in window.panel.checks.rows]
    assert len(rows) == len(said["checks"])
    for row, check in zip(rows, said["checks"], strict=True):
        assert row.startswith(check["verdict"])
    mark = next(m for m in said["marks"] if m["name"] == "alarm")
    window.panel.look_at(mark["true"])
    assert window.panel.spot.shown == pytest.approx(mark["shown"], rel=1e-9)


def test_that_a_class_is_found_by_words_and_taken_with_enter(qtbot: QtBot, window: Window) -> None:
    window.show_step("sender")
    step = window.steps["sender"]
    assert isinstance(step, SenderStep)
    step.tabs.setCurrentIndex(CLASS)
    words = step.picker.words
    qtbot.mouseClick(words, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(words, "291 22")
    qtbot.keyClick(words, Key.Key_Down)
    qtbot.keyClick(step.picker.list, Key.Key_Return)
    assert window.place.view.pairing.sender.key == "temperature-291-22-120c"
    assert all(not r.accessibleName().startswith("stop") for r in window.panel.checks.rows)
    qtbot.keyClick(window, Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.place.view.pairing.sender.key == "temperature-450-15-300f"


def test_that_a_pasted_table_becomes_the_sender(qtbot: QtBot, window: Window) -> None:
    window.show_step("sender")
    step = window.steps["sender"]
    assert isinstance(step, SenderStep)
    step.tabs.setCurrentIndex(TABLE)
    area = step.paste.area
    QApplication.clipboard().setText("°C\tohm\n40\t300\n60\t140\n80\t72\n100\t40\n120\t24\n")
    area.setFocus()
    qtbot.keyClick(area, Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(step.paste.use.isEnabled)
    qtbot.mouseClick(step.paste.use, Qt.MouseButton.LeftButton)
    sender = window.place.view.pairing.sender
    assert sender.curve is not None
    assert sender.curve.low == 40.0
    assert step.tabs.currentIndex() == KNOWN
    assert "bench" in window.place.view.pairing.sender.name


def test_that_a_pasted_table_becomes_the_dial(qtbot: QtBot, window: Window) -> None:
    window.show_step("gauge")
    step = window.steps["gauge"]
    assert isinstance(step, GaugeStep)
    step.tabs.setCurrentIndex(TABLE)
    step.paste.area.setPlainText("40 °C; 287 Ω\n80 °C; 69,1 Ω\n120 °C; 22,3 Ω\n")
    qtbot.waitUntil(step.paste.use.isEnabled)
    qtbot.mouseClick(step.paste.use, Qt.MouseButton.LeftButton)
    gauge = window.place.view.pairing.gauge
    assert [mark.needs for mark in gauge.marks][1] == Amount(69.1, "Ω")
    assert gauge.scaled_for is None


def test_that_what_is_known_of_the_movement_can_be_entered(qtbot: QtBot, window: Window) -> None:
    window.show_step("gauge")
    step = window.steps["gauge"]
    assert isinstance(step, GaugeStep)
    step.tabs.setCurrentIndex(KNOWN)
    type_into(qtbot, field(window, "gauge", "supply_coil"), "260")
    type_into(qtbot, field(window, "gauge", "earth_coil"), "180R")
    window.show_step("trim")
    type_into(qtbot, field(window, "trim", "pull-up"), "330")
    spot = window.panel.spot
    assert spot.shown == spot.shown  # known, for the coils are
    names = [row.accessibleName() for row in window.panel.checks.rows]
    assert any("coils are known" in name for name in names)


def test_that_pairings_stand_side_by_side_and_come_back_with_undo(
    qtbot: QtBot, window: Window
) -> None:
    qtbot.mouseClick(window.top.plus, Qt.MouseButton.LeftButton)
    assert list(window.top.letters) == ["A", "B"]
    assert window.place.view.label == "B"
    window.show_step("trim")
    type_into(qtbot, field(window, "trim", "across sender"), "430")
    qtbot.mouseClick(window.top.letters["A"], Qt.MouseButton.LeftButton)
    assert window.place.view.pairing.trim == ()
    window.show_step("compare")
    cards = window.steps["compare"].cards  # type: ignore[attr-defined]
    assert [card.isVisible() for card in cards] == [True, True]
    qtbot.mouseClick(cards[1].button, Qt.MouseButton.LeftButton)
    assert window.place.view.label == "B"
    window.undo()
    window.undo()
    assert list(window.top.letters) == ["A"]


def test_that_units_change_everywhere_and_nothing_in_the_plan(window: Window) -> None:
    before = window.place.view.plan
    action = window.units.action_for(Kind.TEMPERATURE, "°F")
    assert action is not None
    action.trigger()
    assert window.place.view.plan is before
    assert "°F" in plain(window.panel.dial.accessibleDescription())
    assert "°F" in window.panel.checks.rows[0].accessibleName()
    editor = field(window, "duty", "low")
    assert isinstance(editor, QLineEdit)
    assert plain(editor.text()) == "104.0 °F"
    assert load_settings().settings.units["temperature"] == "°F"


def test_that_a_plan_is_saved_opened_and_remembered(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    file = tmp_path / "mine.json"
    type_into(qtbot, window.top.name, "My launch")
    assert window.keeper.save_to(file)
    assert read_plan(file).name == "My launch"
    assert not window.save_action.isEnabled()
    window.new_actions["pressure"].trigger()
    assert window.place.view.plan.duty.quantity == "pressure"
    window.keeper.open_path(file)
    assert window.place.view.plan.name == "My launch"
    window.recent_menu.aboutToShow.emit()
    assert str(file) in [action.text() for action in window.recent_menu.actions()]


@pytest.mark.parametrize("quantity", ["temperature", "pressure", "level"])
def test_that_a_new_plan_says_what_to_do_next_and_calls_nothing_good(
    qtbot: QtBot, window: Window, quantity: str
) -> None:
    window.new_actions[quantity].trigger()
    assert window.step == "duty"
    rows = [row.accessibleName() for row in window.panel.checks.rows]
    assert rows[0] == "unknown: Nothing is known of the sender yet"
    assert not any(row.startswith("stop") for row in rows)
    qtbot.mouseClick(window.panel.checks.rows[0], Qt.MouseButton.LeftButton, pos=QPoint(40, 10))
    assert window.step == "sender"


def test_that_a_file_that_cannot_be_read_leaves_the_plan_and_says_why(
    window: Window, tmp_path: Path
) -> None:
    foreign = tmp_path / "foreign.json"
    foreign.write_text('{"format": "something else"}')
    before = window.place.view.plan
    window.keeper.open_path(foreign)
    assert window.place.view.plan is before
    assert "foreign.json" in window.notice.text


def test_that_a_plan_held_by_another_copy_is_read_only_until_taken_over(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    file = tmp_path / "shared.json"
    write_plan(file, demo_plan())
    record = {"machine": "another machine", "process": 1, "token": "x"}
    (tmp_path / ".shared.json.held").write_text(json.dumps(record))
    window.keeper.open_path(file)
    held = [window.place.session.read_only]
    assert held == [True]
    assert "another machine" in window.notice.text
    window.show_step("trim")
    type_into(qtbot, field(window, "trim", "across sender"), "430")
    assert "another machine" in window.steps["trim"].fields["across sender"].problem
    assert window.place.view.pairing.trim == ()
    qtbot.mouseClick(window.notice.buttons[0], Qt.MouseButton.LeftButton)
    held = [window.place.session.read_only]
    assert held == [False]
    type_into(qtbot, field(window, "trim", "across sender"), "430")
    assert len(window.place.view.pairing.trim) == 1


def test_that_every_control_can_be_reached_by_tab_and_has_a_name(
    qtbot: QtBot, window: Window
) -> None:
    for key in (*STEPS, *PAGES):
        window.show_step(key)
        window.rail.buttons[key].setFocus()
        seen: list[QWidget] = []
        for _ in range(200):
            qtbot.keyClick(QApplication.focusWidget() or window, Key.Key_Tab)
            focused = QApplication.focusWidget()
            assert focused is not None
            if focused in seen:
                break
            seen.append(focused)
        assert len(seen) > 12
        for widget in seen:
            assert widget.accessibleName() or getattr(widget, "text", lambda: "")(), widget
        assert window.panel.slider in seen
        assert any(row in seen for row in window.panel.checks.rows)


def test_that_a_reader_with_a_decimal_comma_reads_and_types_commas(qtbot: QtBot) -> None:
    window = shown(qtbot, start_session(demo_plan()), Settings(decimal=",", theme="light"))
    try:
        assert "98,0" in window.panel.checks.rows[0].accessibleName()
        type_into(qtbot, field(window, "duty", "allowed"), "2,5")
        assert window.place.view.plan.duty.allowed == Amount(2.5, "°C")
        type_into(qtbot, field(window, "duty", "high"), "121,250")
        assert window.place.view.plan.duty.high == Amount(121.25, "°C")
    finally:
        shut(window)


def test_that_a_new_plan_of_nothing_can_be_made_whole_by_choosing(qtbot: QtBot) -> None:
    settings = Settings(theme="dark")
    probe = start_session(demo_plan())
    window = shown(qtbot, probe, settings)
    try:
        window.keeper.use(start_session(new_plan("level", window.place.reader.renderer)))
        for key, wanted in (("sender", "0 190"), ("gauge", "0 190 ratio")):
            window.show_step(key)
            step = window.steps[key]
            qtbot.mouseClick(step.picker.words, Qt.MouseButton.LeftButton)  # type: ignore[attr-defined]
            qtbot.keyClicks(step.picker.words, wanted)  # type: ignore[attr-defined]
            qtbot.keyClick(step.picker.words, Key.Key_Down)  # type: ignore[attr-defined]
            qtbot.keyClick(step.picker.list, Key.Key_Return)  # type: ignore[attr-defined]
        window.show_step("duty")
        type_into(qtbot, field(window, "duty", "allowed"), "5 %")
        assessment = window.place.assessment()
        assert assessment.reading is not None
        assert float(abs(assessment.reading.error).max()) < 1e-9
    finally:
        shut(window)
