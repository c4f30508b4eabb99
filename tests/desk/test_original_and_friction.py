"""What was read of the old gauge: its limits in fuel, the friction of a dial, a sender's spread."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from catalog.parts.laws import TableLaw
from catalog.provenance import Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import set_gauge
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.duty import DutyStep
from retrofit.desk.steps.gauge import GaugeStep
from retrofit.desk.steps.page import StepPage
from retrofit.desk.steps.sender import SenderStep
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.workplace import Workplace
from retrofit.plan.checks.check import Verdict
from tests.bands.pairings import decoded
from tests.desk.seeing import opened, plain
from tests.desk.whole_window import type_into
from tests.retrofit.plan.plans import COILS, LEVEL_240_33, check_of, gauge, plan, sender


def a_tank(reader: Reader, **fields: Any) -> Workplace:
    dial = gauge(LEVEL_240_33, movement={"kind": "ratio", "pull_off": "0 %", **COILS})
    raw = plan(dial, sender(LEVEL_240_33), {"across sender": "1 kΩ"}, **fields)
    return Workplace(Session(decoded(raw)), reader, Stock(), InlineExecutor())


@pytest.fixture
def diesel(reader: Reader) -> Iterator[Workplace]:
    """A trim on a sender in diesel; nobody read what the original gauge gave it."""
    made = a_tank(reader, medium="diesel")
    yield made
    made.close()


def line(step: StepPage, name: str) -> QLineEdit:
    editor = step.fields[name].editor
    assert isinstance(editor, QLineEdit)
    return editor


def typed(qtbot: QtBot, step: StepPage, name: str, text: str) -> None:
    step.go_to(name)
    type_into(qtbot, line(step, name), text)


def test_that_the_limits_of_fuel_are_typed_where_the_check_leads_and_lift_its_stop(
    qtbot: QtBot, diesel: Workplace
) -> None:
    step = opened(qtbot, DutyStep(diesel), 760, 700)
    check = check_of(diesel.assessment(), "current")
    assert (check.verdict, check.step, check.field) == (Verdict.STOP, "duty", "original")
    step.go_to(check.field)
    assert line(step, "original.current").hasFocus()
    typed(qtbot, step, "original.current", "200 mA")
    step.go_to(check.field)
    assert line(step, "original.open_volts").hasFocus()  # the next that is lacking
    typed(qtbot, step, "original.open_volts", "14.4 V")
    typed(qtbot, step, "original.short_current", "300 mA")
    assert check_of(diesel.assessment(), "current").says.key != "check.current.original_unknown"
    original = diesel.view.plan.duty.original
    assert original is not None
    assert original.current is not None
    assert original.current.si(Kind.CURRENT) == pytest.approx(0.2)
    for _ in range(3):
        diesel.session.undo()
    assert diesel.view.plan.duty.original is None
    assert line(step, "original.current").text() == ""
    diesel.session.redo()
    assert plain(line(step, "original.current").text()) == "200 mA"


def test_that_a_limit_of_nothing_is_refused_and_stays_typed(
    qtbot: QtBot, diesel: Workplace
) -> None:
    step = opened(qtbot, DutyStep(diesel), 760, 700)
    before = diesel.view.plan
    typed(qtbot, step, "original.current", "0 A")
    assert "above zero" in step.fields["original.current"].problem
    assert plain(line(step, "original.current").text()) == "0 A"
    assert diesel.view.plan is before


@pytest.mark.parametrize(
    ("medium", "asked"),
    [("diesel", True), ("petrol", True), ("unknown", True), ("fresh water", False)],
)
def test_that_the_limits_are_asked_for_where_it_may_be_fuel(
    qtbot: QtBot, reader: Reader, medium: str, asked: bool
) -> None:
    tank = a_tank(reader, medium=medium)
    step = opened(qtbot, DutyStep(tank), 760, 700)
    assert step._original.card.isVisibleTo(step) is asked
    tank.close()


def test_that_nobody_is_told_to_earth_the_lead_of_a_tank(reader: Reader) -> None:
    # Common practice, no source: a lead is never earthed at a tank.
    assert "Never earth the lead" in reader.text("step.duty.original.caution")
    assert "never measured" in reader.text("step.duty.original.short_current.hint")


def test_that_friction_read_from_both_sides_widens_the_band(
    qtbot: QtBot, diesel: Workplace, theme: Theme
) -> None:
    step = opened(qtbot, GaugeStep(diesel, theme), 760, 700)
    before = diesel.assessment().spread
    assert before is not None
    assert "unstated.friction" in [one.key for one in before.unstated]
    step.go_to("friction")
    assert line(step, "mark0.from_below").hasFocus()
    typed(qtbot, step, "mark1.from_below", "110 ohm")
    qtbot.keyClick(line(step, "mark1.from_below"), Qt.Key.Key_Tab)
    assert line(step, "mark1.from_above").hasFocus()
    typed(qtbot, step, "mark1.from_above", "96 ohm")
    mark = diesel.view.pairing.gauge.marks[1]
    assert (mark.needs, mark.from_below, mark.from_above) == (
        Amount(103.0, "Ω"),
        Amount(110.0, "Ω"),
        Amount(96.0, "Ω"),
    )
    after = diesel.assessment().spread
    assert after is not None
    assert "unstated.friction" not in [one.key for one in after.unstated]
    assert after.fixed > before.fixed
    diesel.session.undo()
    assert diesel.view.pairing.gauge.marks[1].from_above is None
    assert line(step, "mark1.from_above").text() == ""


def test_that_each_reading_of_friction_says_of_which_mark_it_is(
    qtbot: QtBot, diesel: Workplace, theme: Theme
) -> None:
    step = opened(qtbot, GaugeStep(diesel, theme), 760, 700)
    names = [
        field.editor.accessibleName()
        for name, field in step.fields.items()
        if name.startswith("mark")
    ]
    assert len(names) == 2 * len(diesel.view.pairing.gauge.marks)
    assert len(set(names)) == len(names)
    assert "50 %" in plain(names[2])


@pytest.mark.parametrize(("keys", "amount"), [("2 ohm", Amount(2.0, "Ω")), ("5", Amount(5.0, "%"))])
def test_that_a_sender_takes_its_tolerance_in_ohms_or_per_cent(
    qtbot: QtBot, diesel: Workplace, theme: Theme, keys: str, amount: Amount
) -> None:
    step = opened(qtbot, SenderStep(diesel, theme), 760, 700)
    typed(qtbot, step, "tolerance", keys)
    law = diesel.view.pairing.sender.law
    assert isinstance(law, TableLaw)
    assert law.tolerance == Tolerance(amount)
    spread = diesel.assessment().spread
    assert spread is not None
    assert "unstated.sender" not in [one.key for one in spread.unstated]
    step.read()
    assert plain(line(step, "tolerance").text()) == str(amount)
    diesel.session.undo()
    assert line(step, "tolerance").text() == ""


def test_that_the_supply_for_which_a_gauge_is_made_can_be_said_where_it_is_asked_for(
    qtbot: QtBot, diesel: Workplace, theme: Theme
) -> None:
    step = opened(qtbot, GaugeStep(diesel, theme), 760, 700)
    assert diesel.attempt(set_gauge(diesel.view.label, "system", ())) == ""
    check = check_of(diesel.assessment(), "supply")
    assert (check.why.key, check.step, check.field) == (
        "check.supply.system_unknown",
        "gauge",
        "system",
    )
    step.go_to(check.field)
    choice = step.fields["system"].editor
    assert choice.hasFocus()
    qtbot.keyClick(choice, Qt.Key.Key_End)  # 12 V and 24 V
    assert diesel.view.pairing.gauge.system == ("12 V", "24 V")
    qtbot.keyClick(choice, Qt.Key.Key_Home)
    assert not diesel.view.pairing.gauge.system
