"""The finder in the steps: searched, filtered, tried, compared, put in; with clicks and keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from catalog.library import load_generic
from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_duty, set_resistor, set_sender
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.gauge import GaugeStep
from retrofit.desk.steps.part_step import PartStep
from retrofit.desk.steps.sender import SenderStep
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.widgets.finder_list import FinderList
from retrofit.desk.window import Window
from retrofit.desk.workplace import Workplace
from retrofit.finder.judged import judged_row
from retrofit.finder.rank import FindWishes, find
from retrofit.finder.ranking import Ranking
from retrofit.finder.rows import Way, candidates
from retrofit.installation import TrimResistor
from retrofit.plan.assess import assess
from retrofit.plan.document import Plan
from retrofit.plan.file import read_plan
from retrofit.plan.trim_wishes import TrimWishes
from retrofit.settings import Settings
from retrofit.shipped import path as shipped
from tests.desk.executors import HeldExecutor
from tests.desk.seeing import opened, plain

Key = Qt.Key
Left = Qt.MouseButton.LeftButton
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
def step(qtbot: QtBot, launched: Workplace, theme: Theme) -> PartStep:
    return with_testers(opened(qtbot, SenderStep(launched, theme), 820, 860))


def with_testers(step: PartStep) -> PartStep:
    """The step with testers on the models of its finder."""
    for model in (step.finding.finder.model, step.finding.finder.out_model):
        QAbstractItemModelTester(model, Mode.Warning, model)
    return step


def press(qtbot: QtBot, step: PartStep, button: QPushButton) -> None:
    """Click a button, scrolled into sight; the events of the search come in."""
    step.ensureWidgetVisible(button)
    qtbot.mouseClick(button, Left)


def finding(qtbot: QtBot, step: PartStep, most: int = 1) -> FinderList:
    """Look at each part with its best trim of so many resistors."""
    press(qtbot, step, step.finding.most.buttons[str(most)])
    return step.finding.finder


def chip(qtbot: QtBot, step: PartStep, key: str) -> None:
    finder = step.finding.finder
    buttons = {**finder.ways.buttons, **finder.chips.buttons}
    press(qtbot, step, buttons[key])


def ranked(plan: Plan, way: Way, most: int) -> Ranking:
    """What the finder of the command line finds in the shipped parts."""
    library, quantity, ranking = load_generic(), plan.duty.quantity, Ranking()
    senders = [one for one in library.senders if one.quantity == quantity]
    gauges = [one for one in library.gauges if one.quantity == quantity]
    tried = candidates(plan.pairing("A"), way, senders, gauges)
    for arrived in find(plan, "A", way, tried, FindWishes(TrimWishes(most=most))):
        ranking.take(arrived)
    return ranking


def keys(finder: FinderList) -> set[str]:
    return {row.key for row in finder.rows}


def test_that_parts_are_listed_as_they_are_until_a_trim_is_asked_for(step: PartStep) -> None:
    assert step.picker.isVisible()
    assert not step.finding.finder.isVisible()
    assert step.finding.finder.rows == ()
    assert step.finding.most.checked == ("0",)


@pytest.mark.parametrize("way", ["senders", "gauges", "pairs"])
def test_that_each_way_lists_what_the_finder_finds_with_the_numbers_of_the_assessment(
    qtbot: QtBot, launched: Workplace, theme: Theme, way: Way
) -> None:
    kind = GaugeStep if way == "gauges" else SenderStep
    step = with_testers(opened(qtbot, kind(launched, theme), 820, 860))
    finder = finding(qtbot, step)
    if way == "pairs":
        chip(qtbot, step, way)
    expected = ranked(launched.view.plan, way, 1)
    assert keys(finder) == {row.key for row in expected.rows}
    by_key = {row.key: row for row in finder.rows}
    for row in expected.rows[:6]:
        judged = judged_row(launched.view.plan, "A", row, TrimWishes(most=1))
        assert by_key[row.key].errors == judged.judged.judged.errors
        assert by_key[row.key].verdict is judged.judged.judged.verdict
    assert [one.candidate.key for one in finder.search.ranking.excluded] == [
        one.candidate.key for one in expected.excluded
    ]


def test_that_the_rows_say_trim_error_band_and_where_danger_is_hidden(
    qtbot: QtBot, step: PartStep
) -> None:
    finder = finding(qtbot, step, 2)
    first, second = finder.rows[0], finder.rows[1]
    assert plain(first.name) == "291 Ω at 40 °C to 22 Ω at 120 °C"
    assert plain(first.detail).startswith("no resistor · 0.10 × allowed · likely ± ")
    assert first.starred
    assert first.allowed == pytest.approx(3.5)
    assert plain(second.name).endswith("(in the plan)")
    assert plain(second.detail).startswith("430 Ω across the sender · 2.65 × allowed · likely ± ")
    assert plain(second.detail).endswith("hides danger at alarm, thermostat")
    assert plain(second.worst) == "9.3 °C"
    assert not second.starred
    assert "nothing else beats it" in plain(first.spoken)


def test_that_only_rows_get_a_star_that_no_other_row_beats(
    qtbot: QtBot, launched: Workplace, theme: Theme
) -> None:
    step = with_testers(opened(qtbot, GaugeStep(launched, theme), 820, 860))
    finder = finding(qtbot, step, 2)
    known = {}
    for row in finder.rows:
        one = finder.judging.of(row.key)
        assert one is not None
        if one.row.band is not None and not one.judged.judged.at_least:
            known[row.key] = (one.judged.judged.share, one.judged.count, one.row.band)
    assert len(known) >= 2
    assert any(row.starred for row in finder.rows)
    for row in finder.rows:
        here = known.get(row.key)
        better = [
            other
            for other in known.values()
            if here is not None
            and all(mine >= theirs for mine, theirs in zip(here, other, strict=True))
            and other[0] < here[0] - 1e-9
        ]
        if row.starred:
            assert here is not None
            assert better == []
        elif here is not None:
            assert any(
                other is not here
                and all(mine >= theirs - 1e-9 for mine, theirs in zip(here, other, strict=True))
                for other in known.values()
            )


def test_that_what_is_left_out_stays_reachable_with_its_reason(
    qtbot: QtBot, step: PartStep
) -> None:
    finder = finding(qtbot, step)
    assert finder.fold.text() == "14 left out"
    assert not finder.out.isVisible()
    step.ensureWidgetVisible(finder.fold)
    qtbot.mouseClick(finder.fold, Left, pos=QPoint(12, 12))
    assert finder.out.isVisible()
    assert finder.out_model.rowCount() == 14
    assert "not known over the whole range" in plain(finder.reasons.text())
    details = [plain(row.detail) for row in finder.out_model.rows]
    assert any("known from 60.0 °C to 88.0 °C" in detail for detail in details)
    qtbot.mouseClick(finder.fold, Left, pos=QPoint(12, 12))
    assert not finder.out.isVisible()


def test_that_a_chip_leaves_out_what_it_asks_for_and_says_so(qtbot: QtBot, step: PartStep) -> None:
    finder = finding(qtbot, step)
    every = keys(finder)
    chip(qtbot, step, "two gauges")
    senders = {one.key: one for one in load_generic().senders}
    assert all(senders[key].stations == 2 for key in keys(finder))
    assert keys(finder) < every
    reasons = {one.candidate.key: one.why.key for one in finder.search.ranking.excluded}
    assert all(reasons[key] == "find.filter.stations" for key in every - keys(finder))
    chip(qtbot, step, "one gauge")  # of one kind only one is on
    assert set(finder.chips.checked) == {"one gauge"}
    assert keys(finder) == {key for key in every if senders[key].stations == 1}
    chip(qtbot, step, "one gauge")
    assert not finder.chips.checked
    assert keys(finder) == every


def test_that_what_nobody_knows_is_left_out_by_a_wish_and_said(
    qtbot: QtBot, step: PartStep
) -> None:
    finder = finding(qtbot, step)
    every = keys(finder)
    step.place.attempt(set_duty("medium", "coolant"))
    chip(qtbot, step, "medium")
    reasons = {one.candidate.key: one.why.key for one in finder.search.ranking.excluded}
    senders = {one.key: one for one in load_generic().senders}
    for key in every - keys(finder):
        fitting = senders[key].fitting
        stated = fitting is not None and bool(fitting.media)
        assert reasons[key] == ("find.filter.medium" if stated else "find.filter.medium_unknown")
    assert every != keys(finder)


def test_that_typed_ohms_and_words_narrow_the_rows(qtbot: QtBot, step: PartStep) -> None:
    finder = finding(qtbot, step)
    finder.words.setFocus()
    qtbot.keyClicks(finder.words, "450 15")
    found = step.place.stock.search("450 15", "temperature", "sender")
    answering = {one.part.key for one in found}
    assert keys(finder) == answering & {row.key for row in finder.search.ranking.rows}
    assert len(keys(finder)) < len(finder.search.ranking.rows)
    qtbot.keyClicks(finder.words, " nowhere")
    assert not finder.rows
    assert finder.empty.isVisible()
    assert "No part holds all of these words" in finder.empty.text()
    press(qtbot, step, step.finding.most.buttons["0"])
    assert step.picker.words.text() == "450 15 nowhere"


@pytest.mark.parametrize("way", ["button", "enter", "double click"])
def test_that_part_and_trim_are_put_in_as_one_step_of_undo(
    qtbot: QtBot, step: PartStep, way: str
) -> None:
    place = step.place
    place.attempt(set_resistor("A", TrimResistor("pull-up", Amount(330.0, "Ω"))))
    before = place.view.plan
    finder = finding(qtbot, step)
    finder.words.setFocus()
    qtbot.keyClick(finder.words, Key.Key_Down)
    assert finder.list.hasFocus()
    qtbot.keyClick(finder.list, Key.Key_Down)
    qtbot.keyClick(finder.list, Key.Key_Down)
    picked = finder.rows[2]
    assert finder.key == picked.key
    if way == "button":
        press(qtbot, step, finder.take)
    elif way == "enter":
        qtbot.keyClick(finder.list, Key.Key_Return)
    else:
        at = finder.list.visualRect(finder.list.currentIndex()).center()
        qtbot.mouseClick(finder.list.viewport(), Left, pos=at)
        qtbot.mouseDClick(finder.list.viewport(), Left, pos=at)
    pairing = place.view.pairing
    assert pairing.sender.key == picked.key
    assert pairing.sender_origin is not None
    assert pairing.sender_origin.revision == 1
    assert [(one.place, str(one.value)) for one in pairing.trim] == [("across sender", "270 Ω")]
    assert place.session.undo_label is not None
    said = plain(place.reader.sentence(place.session.undo_label))
    assert said == "Use Temperature, 482 Ω at 40 °C to 19 Ω at 150 °C with 270 Ω across the sender"
    assert plain(finder.rows[2].name).endswith("(in the plan)")
    assert finder.key == picked.key
    assert not finder.take.isEnabled()
    place.session.undo()
    assert place.view.plan == before
    assert finder.take.isEnabled()
    place.session.redo()
    assert place.view.pairing.sender.key == picked.key


def test_that_a_trial_moves_the_dial_and_the_checks_but_not_the_plan(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("sender")
    step = window.steps["sender"]
    assert isinstance(step, PartStep)
    before, own = window.place.view.plan, window.place.assessment()
    finder = finding(qtbot, step)
    finder.into_list()
    press(qtbot, step, finder.trial)
    assert window.place.view.plan is before
    assert window.panel.trial.isVisible()
    assert plain(window.panel.trial.text()).startswith("On trial: 291 Ω at 40 °C")
    at_alarm = own.pairing.gauge.low.si(own.plan.duty.kind) + 40.0
    window.panel.look_at(at_alarm)
    assert window.panel.spot.shown == pytest.approx(at_alarm, abs=0.5)
    assert window.place.looked_at().checks != own.checks
    qtbot.keyClick(finder.list, Key.Key_Down)
    assert plain(window.panel.trial.text()).startswith("On trial: 450 Ω at 100 °F")
    window.show_step("duty")  # who goes away leaves the dial to the plan
    assert not window.panel.trial.isVisible()
    assert window.place.trial is None
    assert window.place.shown() is window.place.assessment()


def test_that_an_edit_ends_a_trial(qtbot: QtBot, step: PartStep) -> None:
    finder = finding(qtbot, step)
    finder.into_list()
    press(qtbot, step, finder.trial)
    assert step.place.shown() is not step.place.assessment()
    step.place.attempt(set_duty("allowed", Amount(5.0, "°C")))
    assert step.place.shown() is step.place.assessment()
    assert not finder.trial.isChecked()


def test_that_a_pick_is_compared_as_another_pairing_and_undo_takes_it_away(
    qtbot: QtBot, window: Window
) -> None:
    window.show_step("sender")
    step = window.steps["sender"]
    assert isinstance(step, PartStep)
    before = window.place.view.plan
    finder = finding(qtbot, step, 2)
    finder.into_list()
    press(qtbot, step, finder.beside)
    assert window.step == "compare"
    assert [pairing.label for pairing in window.place.view.plan.pairings] == ["A", "B"]
    assert window.place.view.label == "B"
    assert window.place.view.plan.pairings[0] == before.pairings[0]
    assert plain(window.place.view.pairing.sender.name).startswith("Temperature, 291 Ω")
    window.undo()
    assert window.place.view.plan == before


def test_that_another_plan_is_searched_anew_but_not_another_trim(
    qtbot: QtBot, step: PartStep
) -> None:
    finder = finding(qtbot, step)
    searched = finder.search.ranking
    step.place.attempt(set_resistor("A", TrimResistor("pull-up", Amount(330.0, "Ω"))))
    assert finder.search.ranking is searched
    step.place.attempt(set_duty("allowed", Amount(10.0, "°C")))
    assert finder.search.ranking is not searched
    assert plain(finder.rows[0].detail).startswith("no resistor · 0.03 × allowed")
    searched = finder.search.ranking
    step.place.attempt(set_sender("A", "name", "Sender of mine"))
    assert finder.search.ranking is not searched
    assert any("Sender of mine" in row.name for row in finder.rows)


def test_that_two_resistors_are_no_worse_than_one(qtbot: QtBot, step: PartStep) -> None:
    finder = finding(qtbot, step, 1)
    one = {row.key: row.best.worst for row in finder.search.ranking.rows}
    finder = finding(qtbot, step, 2)
    two = {row.key: row.best.worst for row in finder.search.ranking.rows}
    assert one.keys() == two.keys()
    assert all(two[key] <= one[key] + 1e-9 for key in one)


def test_that_a_search_is_stopped_and_what_comes_late_is_dropped(
    qtbot: QtBot, launch: Plan, reader: Reader, theme: Theme
) -> None:
    held = HeldExecutor()
    place = Workplace(Session(launch), reader, Stock(), held)
    step = with_testers(opened(qtbot, SenderStep(place, theme), 820, 860))
    held.jobs.clear()
    finder = finding(qtbot, step)
    assert finder.search.running
    assert finder.halt.isVisible()
    press(qtbot, step, finder.halt)
    assert not finder.halt.isVisible()
    held.let_all_go()
    assert not finder.rows
    place.attempt(set_duty("allowed", Amount(5.0, "°C")))
    place.attempt(set_duty("allowed", Amount(10.0, "°C")))
    held.let_all_go()
    assert plain(finder.rows[0].detail).startswith("no resistor · 0.03 × allowed")
    place.close()


def test_that_a_search_in_a_thread_shows_rows_and_ends(
    qtbot: QtBot, launch: Plan, reader: Reader, theme: Theme
) -> None:
    place = Workplace(Session(launch), reader, Stock(), ThreadExecutor())
    step = with_testers(opened(qtbot, SenderStep(place, theme), 820, 860))
    finder = finding(qtbot, step, 2)
    qtbot.waitUntil(lambda: len(finder.rows) > 0, timeout=20_000)
    qtbot.waitUntil(lambda: not finder.search.running, timeout=20_000)
    qtbot.waitUntil(lambda: len(finder.judging.bands) == len(finder.rows), timeout=20_000)
    assert finder.rows[0].starred
    place.close()


def test_that_a_shared_sender_gets_no_pick_and_the_reason(qtbot: QtBot, step: PartStep) -> None:
    finder = finding(qtbot, step)
    step.place.attempt(set_duty("controller_shares", "yes"))
    assert not finder.rows
    assert "An engine controller reads this sender" in finder.empty.text()
    assert not finder.take.isEnabled()


def test_that_rows_are_told_in_the_readers_units(qtbot: QtBot, step: PartStep) -> None:
    finder = finding(qtbot, step)
    step.place.reader.use(Settings(decimal=","))
    assert plain(finder.rows[1].worst) == "9,3 °C"
    assert "2,65 × allowed" in plain(finder.rows[1].detail)


def test_that_all_is_reached_by_keyboard_alone(qtbot: QtBot, step: PartStep) -> None:
    button = step.finding.most.buttons["2"]
    button.setFocus()
    qtbot.keyClick(button, Key.Key_Space)
    finder = step.finding.finder
    assert finder.isVisible()
    names = [button.accessibleName() for button in finder.chips.buttons.values()]
    assert all(name.startswith("Only ") for name in names)
    finder.words.setFocus()
    qtbot.keyClick(finder.words, Key.Key_Return)
    assert finder.list.hasFocus()
    assert finder.key == finder.rows[0].key
    for widget in (finder.trial, finder.beside, finder.take):
        assert widget.isEnabled()
        assert widget.accessibleName()


def test_that_a_row_judged_in_the_plan_says_what_the_assessment_of_it_says(
    qtbot: QtBot, step: PartStep
) -> None:
    finder = finding(qtbot, step, 2)
    finder.into_list()
    press(qtbot, step, finder.take)
    found = assess(step.place.view.plan, "A")
    assert found.reading is not None
    worst = float(abs(found.reading.error).max())
    assert plain(finder.rows[0].worst) == f"{worst:.1f} °C"
