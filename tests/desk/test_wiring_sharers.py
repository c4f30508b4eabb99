"""What shares supply, earth and sender, in the wiring step: real keys and clicks, each undone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_gauge, set_installation
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.wiring import WiringStep
from retrofit.desk.stock import Stock
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.workplace import Workplace
from retrofit.installation import Installation, SecondGauge
from tests.bands.pairings import decoded
from tests.desk.seeing import opened
from tests.desk.whole_window import type_into
from tests.retrofit.plan.plans import COILS, LEVEL_240_33, check_of, gauge, mark, plan, sender

Key = Qt.Key


@pytest.fixture
def tank(reader: Reader) -> Iterator[Workplace]:
    """A tank with two pairings whose gauges differ."""
    dial = gauge(LEVEL_240_33, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
    raw = plan(dial, sender(LEVEL_240_33), marks=[mark("reserve", "25 %", "high")])
    made = decoded(raw)
    first = made.pairings[0]
    other = replace(first.gauge, key="measured-gauge", name="Gauge of the other tank")
    made = replace(made, pairings=(first, replace(first, label="B", gauge=other)))
    place = Workplace(Session(made), reader, Stock(), InlineExecutor())
    yield place
    place.close()


@pytest.fixture
def step(qtbot: QtBot, tank: Workplace) -> WiringStep:
    return opened(qtbot, WiringStep(tank), 760, 700)


def installed(tank: Workplace) -> Installation:
    return tank.view.pairing.installation


def chosen(qtbot: QtBot, step: WiringStep, name: str, word: str) -> None:
    """Choose a word by keys: to the first entry, then down to it."""
    step.go_to(name)
    choice = step.fields[name].editor
    assert isinstance(choice, Choice)
    choice.setFocus()
    qtbot.keyClick(choice, Key.Key_Home)
    for _ in range(choice.findData(word)):
        qtbot.keyClick(choice, Key.Key_Down)
    assert choice.word == word


def added(qtbot: QtBot, step: WiringStep) -> None:
    step.bring_up(step._loads.add)
    qtbot.mouseClick(step._loads.add, Qt.MouseButton.LeftButton)


def line(step: WiringStep, name: str) -> QLineEdit:
    editor = step.fields[name].editor
    assert isinstance(editor, QLineEdit)
    return editor


def typed(qtbot: QtBot, step: WiringStep, name: str, text: str) -> None:
    step.go_to(name)
    type_into(qtbot, line(step, name), text)


def test_that_every_field_of_a_run_and_of_a_load_is_told_apart_by_a_screen_reader(
    qtbot: QtBot, step: WiringStep
) -> None:
    added(qtbot, step)
    added(qtbot, step)
    names = [field.editor.accessibleName() for name, field in step.fields.items() if "." in name]
    assert all(names)
    assert len(set(names)) == len(names)
    removes = [card.remove.accessibleName() for card in step._loads._cards]
    assert len(set(removes)) == 2


def test_that_charging_asks_for_its_amperes_and_for_nothing_that_it_has_not(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    assert step._loads.empty.isVisibleTo(step)
    added(qtbot, step)
    assert not step._loads.empty.isVisibleTo(step)
    assert step.fields["load0.watts"].isVisibleTo(step)
    chosen(qtbot, step, "load0.when", "charging")
    assert not step.fields["load0.watts"].isVisibleTo(step)
    assert not step.fields["load0.on_feed"].isVisibleTo(step)
    typed(qtbot, step, "load0.amperes", "30")
    assert installed(tank).loads[0].amperes is not None
    tank.session.undo()
    tank.session.undo()
    assert step.fields["load0.watts"].isVisibleTo(step)
    tank.session.redo()
    assert not step.fields["load0.watts"].isVisibleTo(step)


def test_that_a_check_of_loads_leads_to_what_is_not_said_of_them(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    step.go_to("loads")
    assert step._loads.add.hasFocus()
    added(qtbot, step)
    added(qtbot, step)
    typed(qtbot, step, "load0.watts", "10 W")
    check = check_of(tank.assessment(), "offset")
    assert (check.step, check.field) == ("wiring", "loads")
    step.go_to(check.field)
    assert line(step, "load1.watts").hasFocus()


def test_that_two_loads_of_one_name_are_refused_and_the_words_stay_until_it_is_removed(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    added(qtbot, step)
    added(qtbot, step)
    first, second = (load.name for load in installed(tank).loads)
    assert first != second
    before = tank.view.plan
    typed(qtbot, step, "load1.name", first)
    assert first in step.fields["load1.name"].problem
    assert line(step, "load1.name").text() == first
    assert tank.view.plan is before
    remove = step._loads._cards[0].remove
    step.bring_up(remove)
    qtbot.mouseClick(remove, Qt.MouseButton.LeftButton)
    assert [load.name for load in installed(tank).loads] == [second]
    assert line(step, "load0.name").text() == second
    assert step._loads._cards[0].remove.hasFocus()
    added(qtbot, step)
    assert line(step, "load1.name").text() == installed(tank).loads[1].name
    assert step.fields["load1.name"].problem == ""


def test_that_typing_in_one_field_is_one_step_of_undo_and_each_field_its_own(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    added(qtbot, step)
    typed(qtbot, step, "load0.watts", "12 W")
    typed(qtbot, step, "load0.name", "Deck lights")
    tank.session.undo()
    assert installed(tank).loads[0].name != "Deck lights"
    assert installed(tank).loads[0].watts is not None
    tank.session.undo()
    assert installed(tank).loads[0].watts is None
    tank.session.undo()
    assert installed(tank).loads == ()
    for _ in range(3):
        tank.session.redo()
    assert line(step, "load0.name").text() == "Deck lights"


def test_that_the_gauge_of_another_pairing_can_share_the_sender(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    chosen(qtbot, step, "second", "pairing:B")
    second = installed(tank).second
    assert second is not None
    assert second.gauge == tank.view.plan.pairing("B").gauge
    choice = step.fields["second"].editor
    assert isinstance(choice, Choice)
    assert "Gauge of the other tank" in choice.currentText()
    chosen(qtbot, step, "second.powered", "unknown")
    step.go_to("second")
    assert step.fields["second.powered"].editor.hasFocus()
    assert installed(tank).second == replace(second, powered="unknown")


def test_that_a_second_gauge_that_is_in_no_catalogue_stays_on_offer_while_it_is_there(
    step: WiringStep, tank: Workplace
) -> None:
    own = replace(tank.view.pairing.gauge, key="measured-gauge", name="Bench gauge")
    with_own = replace(installed(tank), second=SecondGauge(own))
    tank.attempt(set_installation("A", "second", with_own))
    choice = step.fields["second"].editor
    assert isinstance(choice, Choice)
    assert choice.currentText() == "Bench gauge"
    choice.activated.emit(choice.currentIndex())  # chosen once more where it stands
    assert installed(tank) == with_own
    tank.session.undo()
    assert choice.word == "none"
    assert choice.findText("Bench gauge") < 0


def test_that_a_gauge_of_the_catalogue_can_share_the_sender_and_undo_takes_it_off(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    key = tank.stock.listed("", "level", "gauge")[0].key
    chosen(qtbot, step, "second", key)
    like_the_other, like_the_first = 1, 1  # what the keys went over on the way
    second = installed(tank).second
    assert second is not None
    assert second.gauge == tank.stock.part(key).part
    for _ in range(1 + like_the_first + like_the_other):
        tank.session.undo()
    choice = step.fields["second"].editor
    assert isinstance(choice, Choice)
    assert choice.word == "none"
    assert installed(tank).second is None


@pytest.mark.parametrize(
    ("words", "there"),
    [(("tapped from signal",), "lamp.trips"), (("switch in sender",), "lamp.watts")],
)
def test_that_a_check_of_the_lamp_leads_to_what_is_not_said_of_it(
    qtbot: QtBot, step: WiringStep, words: tuple[str, ...], there: str
) -> None:
    for word in words:
        chosen(qtbot, step, "lamp", word)
    step.go_to("lamp")
    assert step.fields[there].editor.hasFocus()


def test_that_a_run_is_brought_up_whole_when_a_check_opens_it(step: WiringStep) -> None:
    step.resize(760, 420)
    step.go_to("gauge_earth")
    editor = step.fields["gauge_earth.size"].editor
    assert editor.hasFocus()
    assert seen(step, editor)


def seen(step: WiringStep, widget: QWidget) -> bool:
    """Return whether a widget is wholly inside what is scrolled to."""
    top = widget.mapTo(step.viewport(), widget.rect().topLeft()).y()
    return top >= 0 and top + widget.height() <= step.viewport().height()


@pytest.mark.parametrize("width", [540, 860])
def test_that_no_field_is_cut_off_at_the_side(qtbot: QtBot, step: WiringStep, width: int) -> None:
    added(qtbot, step)
    chosen(qtbot, step, "lamp", "tapped from signal")
    chosen(qtbot, step, "second", "same")
    for run in step._runs:
        run.card.open()
    step.resize(width, 600)
    qtbot.waitUntil(lambda: step.viewport().width() >= width - 40)
    step.bring_up(step._loads.add)
    edge = step.viewport().width()
    for name, field in step.fields.items():
        if field.isVisibleTo(step):
            right = field.mapTo(step.viewport(), field.rect().topRight()).x()
            assert right <= edge, name


def test_that_a_gauge_like_the_first_stays_like_it_and_its_earth_is_asked_for(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    chosen(qtbot, step, "second", "same")
    chosen(qtbot, step, "second.earth", "gauge earth")
    width = Figure(Amount(1.5, "%"))
    assert tank.attempt(set_gauge(tank.view.label, "needle_width", width)) == ""
    second = installed(tank).second
    assert second is not None
    assert second.gauge == tank.view.pairing.gauge
    assert second.gauge.needle_width == width
    assert second.earth == "gauge earth"
    choice = step.fields["second"].editor
    assert isinstance(choice, Choice)
    assert choice.currentData() == "same"
