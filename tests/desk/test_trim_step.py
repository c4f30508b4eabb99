"""The trim step: finding, comparing and putting in, with real clicks and keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_duty, set_resistor, set_trim
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.trim import TrimStep
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.widgets.trim_wish_form import OWN
from retrofit.desk.workplace import Workplace
from retrofit.installation import TrimResistor
from retrofit.plan.document import Plan
from retrofit.plan.draft import Wish
from retrofit.plan.file import read_plan
from retrofit.plan.trims import propose
from retrofit.settings import Settings
from retrofit.shipped import path as shipped
from tests.desk.executors import HeldExecutor
from tests.desk.of_classes import of_classes
from tests.desk.seeing import opened, plain

Key = Qt.Key
Mode = QAbstractItemModelTester.FailureReportingMode


@pytest.fixture
def launch() -> Plan:
    return replace(read_plan(shipped("demo", "harbour-launch.json")), mends="no")


@pytest.fixture
def launched(launch: Plan, reader: Reader) -> Iterator[Workplace]:
    made = Workplace(Session(launch), reader, Stock(), InlineExecutor())
    yield made
    made.close()


@pytest.fixture
def step(qtbot: QtBot, launched: Workplace, theme: Theme) -> TrimStep:
    made = opened(qtbot, TrimStep(launched, theme), 760, 700)
    QAbstractItemModelTester(made.finder.model, Mode.Warning, made.finder.model)
    return made


def click(qtbot: QtBot, step: TrimStep, name: str) -> None:
    """Click a button of the finder, scrolled into sight."""
    button = getattr(step.finder, name)
    step.ensureWidgetVisible(button)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def names(step: TrimStep) -> list[str]:
    return [plain(row.name) for row in step.finder.model.rows]


def trim_of(step: TrimStep) -> list[tuple[str, str]]:
    return [(one.place, str(one.value)) for one in step.place.view.pairing.trim]


def choose(qtbot: QtBot, choice: object, word: str) -> None:
    """Choose a word with the keyboard, as its user does."""
    index = choice.findData(word)  # type: ignore[attr-defined]
    choice.setFocus()  # type: ignore[attr-defined]
    qtbot.keyClick(choice, Key.Key_Home)
    for _ in range(index):
        qtbot.keyClick(choice, Key.Key_Down)


def test_that_before_a_search_the_present_trim_stands_there_and_what_to_do(step: TrimStep) -> None:
    assert names(step) == ["Now: no resistor"]
    assert "find the best" in step.finder.says.text()
    assert step.finder.apply.isHidden()
    assert step.finder.proof.isHidden()


def test_that_find_the_best_lists_what_the_plan_proposes(qtbot: QtBot, step: TrimStep) -> None:
    click(qtbot, step, "button")
    expected = propose(step.place.view.plan, "A")
    assert names(step)[:2] == ["Now: no resistor", "Best of them: 430 Ω across the sender"]
    rows = {row.key: row for row in step.finder.model.rows}
    for one in (*expected.ladder, *expected.alternatives):
        assert one is not None
        if one.trim:
            assert rows[one.judged.key].errors == one.judged.errors
            assert rows[one.judged.key].verdict is one.judged.verdict
    says = plain(step.finder.says.text())
    assert "the needle errs by 9.3 °C at most, 3.5 °C is allowed" in says
    assert "More resistors buy nothing" in says
    assert "430RJ, or yellow, orange, brown, gold" in step.finder.detail.text()
    proof = plain(step.finder.proof.text())
    assert "No resistors in the sender's path can do it:" in proof
    assert "another sender: one with about 22.44 Ω" in proof
    assert step.finder.list.currentIndex().row() == 1


@pytest.mark.parametrize("way", ["button", "enter", "double click"])
def test_that_a_proposal_is_put_in_as_one_step_of_undo(
    qtbot: QtBot, step: TrimStep, way: str
) -> None:
    old = TrimResistor("pull-up", Amount(330.0, "Ω"))
    step.place.attempt(set_resistor("A", old))
    click(qtbot, step, "button")
    if way == "button":
        click(qtbot, step, "apply")
    elif way == "enter":
        assert step.finder.list.hasFocus()
        qtbot.keyClick(step.finder.list, Key.Key_Return)
    else:
        place = step.finder.list.visualRect(step.finder.list.currentIndex()).center()
        view = step.finder.list.viewport()
        qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=place)
        qtbot.mouseDClick(view, Qt.MouseButton.LeftButton, pos=place)
    assert trim_of(step) == [("across sender", "430 Ω")]
    assert plain(step.place.reader.sentence(step.place.session.undo_label)) == (  # type: ignore[arg-type]
        "Fit 430 Ω across the sender"
    )
    # What was found does not hang on the present trim, so it stays to compare with.
    assert names(step)[:2] == [
        "Now: 430 Ω across the sender",
        "Best of them: 430 Ω across the sender (in the plan)",
    ]
    assert not step.finder.apply.isEnabled()
    editor = step.fields["across sender"].editor
    assert isinstance(editor, QLineEdit)
    assert plain(editor.text()) == "430 Ω"
    step.place.session.undo()
    assert trim_of(step) == [("pull-up", "330 Ω")]


def test_that_a_click_on_another_row_shows_it_and_puts_that_one_in(
    qtbot: QtBot, step: TrimStep
) -> None:
    click(qtbot, step, "button")
    at = step.finder.list.visualRect(step.finder.model.index(2))
    step.ensureWidgetVisible(step.finder.list)
    qtbot.mouseClick(step.finder.list.viewport(), Qt.MouseButton.LeftButton, pos=at.center())
    assert "390 Ω from signal to earth" in plain(step.finder.detail.text())
    sketch = plain(step.sketch.accessibleDescription())
    assert sketch == "1 Ω in series at the sender and 390 Ω from signal to earth"
    click(qtbot, step, "apply")
    assert trim_of(step) == [("series at sender", "1 Ω"), ("signal to earth", "390 Ω")]


def test_that_the_sketch_follows_what_is_typed(qtbot: QtBot, step: TrimStep) -> None:
    editor = step.fields["series at gauge"].editor
    qtbot.mouseClick(editor, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(editor, "4R7")
    qtbot.keyClick(editor, Key.Key_Return)
    assert plain(step.sketch.accessibleDescription()) == "4.7 Ω in series at the gauge"
    assert names(step) == ["Now: 4.7 Ω in series at the gauge"]


def test_that_a_changed_plan_drops_what_was_found_and_says_so(qtbot: QtBot, step: TrimStep) -> None:
    click(qtbot, step, "button")
    assert len(names(step)) > 2
    step.place.attempt(set_duty("allowed", Amount(10.0, "°C")))
    assert names(step) == ["Now: no resistor"]
    assert step.finder.says.text() == "The plan has changed: find again."
    click(qtbot, step, "button")
    assert "Proposed: 430 Ω across the sender" in names(step)


def test_that_other_wishes_drop_what_was_found(qtbot: QtBot, step: TrimStep) -> None:
    click(qtbot, step, "button")
    form = step.finder.form
    step.ensureWidgetVisible(form.pull_up)
    qtbot.mouseClick(form.pull_up, Qt.MouseButton.LeftButton, pos=QPoint(12, 10))
    assert form.pull_up.isChecked()
    assert names(step) == ["Now: no resistor"]
    assert step.finder.says.text() == "Other resistors are wanted: find again."
    click(qtbot, step, "button")
    assert "A pull-up could not be looked at" in step.finder.says.text()


def test_that_own_values_are_typed_and_what_is_none_is_said_there(
    qtbot: QtBot, step: TrimStep
) -> None:
    form = step.finder.form
    assert form.own.isHidden() or not form.own.isVisible()
    choose(qtbot, form.series, OWN)
    assert form.own.isVisible()
    form.own.setFocus()
    qtbot.keyClicks(form.own, "390; huge")
    qtbot.keyClick(form.own, Key.Key_Return)
    assert len(names(step)) == 1
    assert "'huge' does not begin with a number" in form.own.accessibleDescription()
    qtbot.keyClick(form.own, Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(form.own, "390; 4k7")
    qtbot.keyClick(form.own, Key.Key_Return)
    assert "Best of them: 390 Ω across the sender" in names(step)


def test_that_a_limit_on_flattering_is_chosen_by_mark(qtbot: QtBot, step: TrimStep) -> None:
    form = step.finder.form
    assert [form.flattery.itemData(n) for n in range(form.flattery.count())] == [
        "either",
        "every",
        "mark:alarm",
        "mark:thermostat",
        "mark:warm",
    ]
    choose(qtbot, form.flattery, "mark:alarm")
    click(qtbot, step, "button")
    assert "82 Ω across the sender" in plain(step.finder.says.text())


def test_that_a_running_search_is_stopped_and_a_late_result_dropped(
    qtbot: QtBot, launch: Plan, reader: Reader, theme: Theme
) -> None:
    held = HeldExecutor()
    place = Workplace(Session(launch), reader, Stock(), held)
    step = opened(qtbot, TrimStep(place, theme), 760, 700)
    click(qtbot, step, "button")
    assert not step.finder.button.isEnabled()
    click(qtbot, step, "halt")
    assert step.finder.button.isEnabled()
    held.let_all_go()
    assert names(step) == ["Now: no resistor"]
    click(qtbot, step, "button")
    place.attempt(set_duty("allowed", Amount(5.0, "°C")))
    held.let_all_go()
    assert names(step) == ["Now: no resistor"]
    assert step.finder.says.text() == "The plan has changed: find again."
    place.close()


def test_that_a_search_in_a_thread_ends_in_the_window(
    qtbot: QtBot, launch: Plan, reader: Reader, theme: Theme
) -> None:
    place = Workplace(Session(launch), reader, Stock(), ThreadExecutor())
    step = opened(qtbot, TrimStep(place, theme), 760, 700)
    choose(qtbot, step.finder.form.most, "3")
    click(qtbot, step, "button")
    qtbot.waitUntil(lambda: not step.finder.searching, timeout=20_000)
    assert "Best of them: 430 Ω across the sender" in names(step)
    place.close()


def test_that_tests_come_first_where_the_plan_mends_and_a_reason_lets_it_go(
    qtbot: QtBot, step: TrimStep
) -> None:
    choose(qtbot, step.fields["mends"].editor, "yes")
    assert step.place.view.plan.mends == "yes"
    click(qtbot, step, "button")
    assert "Test the supply before any trim" in step.finder.says.text()
    assert len(names(step)) == 1
    fields = step.tests.fields
    for name, words in (("done_on", "2031-05-24"), ("reading", "13.6 V")):
        step.ensureWidgetVisible(fields[("supply", name)])
        fields[("supply", name)].setFocus()
        qtbot.keyClicks(fields[("supply", name)], words)
        qtbot.keyClick(fields[("supply", name)], Key.Key_Return)
    (test,) = step.place.view.plan.tests
    assert (test.kind, test.done_on, test.reading) == ("supply", "2031-05-24", "13.6 V")
    for kind in ("earth", "gauge"):
        editor = fields[(kind, "overridden")]
        editor.setFocus()
        qtbot.keyClicks(editor, "engine is out")
        qtbot.keyClick(editor, Key.Key_Return)
    assert [one.overridden for one in step.place.view.plan.tests] == ["", *["engine is out"] * 2]
    click(qtbot, step, "button")
    assert "Best of them: 430 Ω across the sender" in names(step)
    step.place.session.undo()
    assert len(step.place.view.plan.tests) == 2


def test_that_a_test_with_a_wrong_day_says_what_a_day_is(qtbot: QtBot, step: TrimStep) -> None:
    choose(qtbot, step.fields["mends"].editor, "yes")
    for name, words in (("done_on", "yesterday"), ("reading", "13.6 V")):
        editor = step.tests.fields[("supply", name)]
        editor.setFocus()
        qtbot.keyClicks(editor, words)
        qtbot.keyClick(editor, Key.Key_Return)
    assert "Write it as 2031-05-24" in step.tests.problem.text()
    assert step.place.view.plan.tests == ()


def test_that_a_shared_sender_gets_no_proposal(qtbot: QtBot, step: TrimStep) -> None:
    step.place.attempt(set_duty("controller_shares", "yes"))
    click(qtbot, step, "button")
    assert "An engine controller reads this sender" in step.finder.says.text()
    assert len(names(step)) == 1


def test_that_rows_are_told_in_the_readers_units(qtbot: QtBot, step: TrimStep) -> None:
    click(qtbot, step, "button")
    step.place.reader.use(Settings(decimal=","))
    assert any("9,3" in row.worst for row in step.finder.model.rows)
    assert any("2,65 times" in row.detail for row in step.finder.model.rows)


def test_that_a_whole_trim_replaces_what_was_there_and_bad_ones_are_refused(
    launched: Workplace,
) -> None:
    resistors = tuple(
        TrimResistor(place, Amount(10.0, "Ω")) for place in ("series at sender", "pull-up")
    )
    assert launched.attempt(set_trim("A", resistors)) == ""
    assert launched.view.pairing.trim == resistors
    doubled = (*resistors, resistors[0])
    assert "one place" in launched.attempt(set_trim("A", doubled))
    assert launched.view.pairing.trim == resistors


def test_that_a_pairing_that_runs_backwards_is_told_that_and_offered_no_resistor(
    qtbot: QtBot, reader: Reader, theme: Theme
) -> None:
    wish = Wish(allowed=Amount(5.0, "%"), medium="fresh water")
    place = of_classes(reader, "level-0-190", "gauge-level-240-33-ratio-12v", wish)
    step = opened(qtbot, TrimStep(place, theme), 760, 700)
    click(qtbot, step, "button")
    assert plain(step.finder.says.text()) == (
        "The needle runs backwards, and no resistor turns that round."
    )
    assert len(names(step)) == 1  # what is there now
    assert "another sender" in plain(step.finder.proof.text())
    place.close()
