"""The wiring step: real keys and clicks, each an edit that undo takes back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from catalog.provenance import BasisKind, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.files import new_plan
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.likely_bands import LikelyBands
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.wiring import WiringStep
from retrofit.desk.stock import Stock
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.workplace import Workplace
from retrofit.installation import Installation
from retrofit.plan.checks.check import Verdict
from tests.bands.pairings import decoded
from tests.desk.seeing import opened, picked
from tests.desk.whole_window import type_into
from tests.retrofit.plan.plans import COILS, LEVEL_240_33, check_of, gauge, mark, plan, sender

Key = Qt.Key


@pytest.fixture
def tank(reader: Reader) -> Iterator[Workplace]:
    """A tank with a ratio gauge whose coils are known."""
    dial = gauge(LEVEL_240_33, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
    raw = plan(dial, sender(LEVEL_240_33), marks=[mark("reserve", "25 %", "high")])
    made = Workplace(Session(decoded(raw)), reader, Stock(), InlineExecutor())
    yield made
    made.close()


@pytest.fixture
def step(qtbot: QtBot, tank: Workplace) -> WiringStep:
    return opened(qtbot, WiringStep(tank), 760, 700)


def installed(tank: Workplace) -> Installation:
    return tank.view.pairing.installation


def typed(qtbot: QtBot, step: WiringStep, name: str, text: str) -> None:
    step.go_to(name)
    type_into(qtbot, step.fields[name].editor, text)


def chosen(qtbot: QtBot, step: WiringStep, name: str, word: str) -> None:
    """Choose a word by keys: to the first entry, then down to it."""
    step.go_to(name)
    choice = step.fields[name].editor
    assert isinstance(choice, Choice)
    qtbot.keyClick(choice, Key.Key_Home)
    for _ in range(choice.findData(word)):
        qtbot.keyClick(choice, Key.Key_Down)
    assert choice.word == word
    choice.activated.emit(choice.currentIndex())


def opened_run(qtbot: QtBot, step: WiringStep, run: str) -> None:
    (card,) = [one.card for one in step._runs if one.run == run]
    step.ensureWidgetVisible(card.heading)
    if not card.heading.isChecked():
        qtbot.mouseClick(card.heading, Qt.MouseButton.LeftButton)


def test_that_a_wire_is_typed_by_size_and_length_and_moves_the_needle(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    opened_run(qtbot, step, "signal")
    typed(qtbot, step, "signal.size", "1,5 mm2")
    wire = installed(tank).signal.wire
    assert wire is not None
    assert wire.size == "1.5 mm²"
    # A size alone has no length yet: nobody can tell its ohms.
    assert check_of(tank.assessment(), "wires").verdict is Verdict.UNKNOWN
    typed(qtbot, step, "signal.length", "20 m")
    check = check_of(tank.assessment(), "wires")
    assert check.verdict is Verdict.GOOD
    assert check.number is not None
    assert check.number.value < 0.0  # more ohms in a falling sender's path read low


@pytest.mark.parametrize("by_mouse", [True, False], ids=["mouse", "keys"])
def test_that_a_size_picked_from_those_offered_is_in_the_plan(
    qtbot: QtBot, step: WiringStep, tank: Workplace, by_mouse: bool
) -> None:
    step.go_to("signal.size")
    picked(qtbot, step.fields["signal.size"].editor, "2.5", "2.5 mm²", by_mouse=by_mouse)
    wire = installed(tank).signal.wire
    assert wire is not None
    assert wire.size == "2.5 mm²"


def test_that_a_size_that_is_none_is_refused_with_the_nearest_and_nothing_is_lost(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    opened_run(qtbot, step, "feed")
    before = tank.view.plan
    typed(qtbot, step, "feed.size", "7 mm²")
    problem = step.fields["feed.size"].problem
    assert "6 mm²" in problem
    editor = step.fields["feed.size"].editor
    assert isinstance(editor, QLineEdit)
    assert editor.text() == "7 mm²"
    assert tank.view.plan is before


def test_that_undo_takes_a_wire_back_in_the_field_too(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    opened_run(qtbot, step, "feed")
    typed(qtbot, step, "feed.measured", "0.3 ohm")
    assert installed(tank).feed.measured is not None
    tank.session.undo()
    assert installed(tank).feed.empty
    editor = step.fields["feed.measured"].editor
    assert isinstance(editor, QLineEdit)
    assert editor.text() == ""


def test_that_a_consumer_is_added_named_and_removed(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    step.ensureWidgetVisible(step._loads.add)
    qtbot.mouseClick(step._loads.add, Qt.MouseButton.LeftButton)
    assert len(installed(tank).loads) == 1
    assert check_of(tank.assessment(), "offset").verdict is Verdict.UNKNOWN
    typed(qtbot, step, "load0.name", "Deck lights")
    typed(qtbot, step, "load0.watts", "60 W")
    opened_run(qtbot, step, "gauge earth")
    typed(qtbot, step, "gauge_earth.measured", "0.02 ohm")
    check = check_of(tank.assessment(), "offset")
    assert check.verdict is not Verdict.UNKNOWN
    assert "Deck lights" in tank.reader.sentence(check.says)
    button = step._loads._cards[0].remove
    qtbot.waitUntil(lambda: button.height() > 0)  # until the new card has its place
    step.ensureWidgetVisible(button)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert installed(tank).loads == ()
    tank.session.undo()
    assert installed(tank).loads[0].name == "Deck lights"


def test_that_only_the_fields_of_the_lamps_circuit_are_there(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    assert not step.fields["lamp.watts"].isVisibleTo(step)
    chosen(qtbot, step, "lamp", "switch in sender")
    assert step.fields["lamp.watts"].isVisibleTo(step)
    assert not step.fields["lamp.trips"].isVisibleTo(step)
    assert check_of(tank.assessment(), "lamp").why.key == "check.lamp.no_watts"
    typed(qtbot, step, "lamp.watts", "2 W")
    assert check_of(tank.assessment(), "lamp").why.key == "check.lamp.no_earth"
    chosen(qtbot, step, "lamp", "tapped from signal")
    assert step.fields["lamp.trips"].isVisibleTo(step)
    typed(qtbot, step, "lamp.trips", "4 V")
    assert check_of(tank.assessment(), "lamp").says.key == "check.lamp.trips"
    chosen(qtbot, step, "lamp", "none")
    assert installed(tank).lamp is None


def test_that_a_second_gauge_like_the_first_halves_what_each_may_take(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    chosen(qtbot, step, "second", "same")
    second = installed(tank).second
    assert second is not None
    assert second.gauge == tank.view.pairing.gauge
    assert check_of(tank.assessment(), "second").verdict is Verdict.STOP
    chosen(qtbot, step, "second", "none")
    assert installed(tank).second is None


def test_that_the_supply_slider_moves_the_dial_and_not_the_plan(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    before = tank.view.plan
    slider = step._try.slider
    step.ensureWidgetVisible(slider)
    slider.setFocus()
    with qtbot.waitSignal(tank.tried):
        qtbot.keyClick(slider, Key.Key_Home)
    shown = tank.shown()
    assert shown.pairing.installation.supply.nominal.si(Kind.VOLTAGE) == pytest.approx(11.0)
    assert tank.view.plan is before
    assert tank.shown() is shown  # worked out once, however often it is drawn
    assert step._try.back.isEnabled()
    qtbot.mouseClick(step._try.back, Qt.MouseButton.LeftButton)
    assert tank.shown() is tank.assessment()


def test_that_the_code_of_a_supply_gives_its_range(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    typed(qtbot, step, "low", "")
    typed(qtbot, step, "high", "")
    chosen(qtbot, step, "code", "C")
    assert installed(tank).supply.code == "C"
    assert step._try.slider.minimum() == 90
    assert step._try.slider.maximum() == 160


def test_that_what_the_band_is_made_of_is_ranked(step: WiringStep, tank: Workplace) -> None:
    words = [cell.text() for cell in step._made_of.cells]
    told = [share.name for share in tank.assessment().marks[0].shares if share.alone_high]
    assert len(words) == 3 * (1 + len(told)) or not told
    assert step._made_of.says.text()


def test_that_the_band_tells_how_stable_it_is_beside_what_it_leaves_out(
    step: WiringStep, tank: Workplace
) -> None:
    assert tank.assessment().spread is not None
    bands = LikelyBands(tank)
    bands.start()
    likely, spread = tank.assessment().likely, tank.assessment().spread
    assert likely is not None
    assert spread is not None
    assert spread.unstated
    said = step._made_of.says.text()
    assert tank.reader.text("unstated.sender") in said
    assert f"(seed {likely.convergence.seed})" in said


def test_that_a_check_leads_to_the_run_that_mends_it(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    opened_run(qtbot, step, "signal")
    typed(qtbot, step, "signal.size", "1 mm²")
    check = check_of(tank.assessment(), "wires")
    assert (check.step, check.field) == ("wiring", "signal")
    step.go_to(check.field)
    assert step.fields["signal.size"].editor.hasFocus()


def test_that_how_far_a_stabiliser_is_off_can_be_said_and_counts_in_the_band(
    qtbot: QtBot, reader: Reader
) -> None:
    heater = {"kind": "heater", "heater": "30 Ω", "feed": "6 V"}
    held = {"fitted": "yes", "holds": "heat-equivalent"}
    raw = plan(
        gauge(LEVEL_240_33, movement=heater),
        sender(LEVEL_240_33),
        wiring={"stabiliser": held},
    )
    place = Workplace(Session(decoded(raw)), reader, Stock(), InlineExecutor())
    page = opened(qtbot, WiringStep(place), 760, 700)
    before = place.assessment().spread
    assert before is not None
    assert "unstated.stabiliser" in [one.key for one in before.unstated]
    typed(qtbot, page, "output_tolerance", "3 %")
    output = installed(place).stabiliser.output
    assert output is not None
    assert (str(output.amount), output.tolerance) == ("6 V", Tolerance(Amount(3.0, "%")))
    after = place.assessment().spread
    assert after is not None
    cause = next(one for one in after.causes if one.name == "stabiliser")
    assert (cause.low, cause.high) == pytest.approx((5.82, 6.18))
    # Read with a meter it keeps its tolerance; with none fitted nothing of it is asked.
    typed(qtbot, page, "output", "6.2 V")
    read = installed(place).stabiliser.output
    assert read is not None
    assert read.tolerance == Tolerance(Amount(3.0, "%"))
    chosen(qtbot, page, "fitted", "no")
    assert not page.fields["output_tolerance"].isVisible()
    assert not page.fields["holds"].isVisible()
    place.close()


def test_that_amperes_that_are_typed_are_not_called_measured(
    qtbot: QtBot, step: WiringStep, tank: Workplace
) -> None:
    step.bring_up(step._loads.add)
    qtbot.mouseClick(step._loads.add, Qt.MouseButton.LeftButton)
    typed(qtbot, step, "load0.amperes", "5 A")
    amperes = installed(tank).loads[0].amperes
    assert amperes is not None
    assert amperes.basis.kind is BasisKind.UNSTATED


def test_that_the_assumed_supply_is_said_to_be_assumed_only_while_it_stands_there(
    qtbot: QtBot, reader: Reader
) -> None:
    place = Workplace(
        Session(new_plan("pressure", reader.renderer)), reader, Stock(), InlineExecutor()
    )
    step = opened(qtbot, WiringStep(place), 760, 700)
    said = reader.text("step.wiring.nominal.hint")

    def seen() -> bool:
        labels = step.fields["nominal"].findChildren(QLabel)
        return any(label.isVisible() and label.text() == said for label in labels)

    assert seen()
    typed(qtbot, step, "nominal", "27 V")
    assert installed(place).supply.nominal == Amount(27.0, "V")
    assert not seen()
    place.session.undo()
    assert seen()
    place.close()
