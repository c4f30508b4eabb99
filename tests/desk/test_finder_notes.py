"""What the finder in the steps says of the whole plan, and what stands in its way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from catalog.quantities.amounts import Amount
from retrofit.desk.edits import set_duty
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session
from retrofit.desk.steps.gauge import GaugeStep
from retrofit.desk.steps.part_step import PartStep
from retrofit.desk.steps.sender import SenderStep
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.finder_list import FinderList
from retrofit.desk.workplace import Workplace
from retrofit.plan.assess import assess
from retrofit.plan.checks.check import Verdict
from retrofit.plan.document import Plan
from retrofit.plan.draft import Wish
from retrofit.plan.file import read_plan
from retrofit.shipped import path as shipped
from tests.desk.of_classes import of_classes
from tests.desk.seeing import opened, plain

Left = Qt.MouseButton.LeftButton


@pytest.fixture
def launch() -> Plan:
    return replace(read_plan(shipped("demo", "harbour-launch.json")), mends="no")


def press(qtbot: QtBot, step: PartStep, button: QPushButton) -> None:
    """Click a button, scrolled into sight; the events of the search come in."""
    step.ensureWidgetVisible(button)
    qtbot.mouseClick(button, Left)


def finding(qtbot: QtBot, step: PartStep, most: int = 1) -> FinderList:
    """Look at each part with its best trim of so many resistors."""
    press(qtbot, step, step.finding.most.buttons[str(most)])
    return step.finding.finder


def keys(finder: FinderList) -> set[str]:
    return {row.key for row in finder.rows}


def test_that_the_whole_plan_s_verdict_stands_beside_that_of_needle_and_trim(
    qtbot: QtBot, reader: Reader, theme: Theme
) -> None:
    wish = Wish(allowed=Amount(5.0, "%"), medium="fresh water")
    place = of_classes(reader, "level-240-33-mid-103", "gauge-level-240-33-ratio-12v", wish)
    finder = finding(qtbot, opened(qtbot, SenderStep(place, theme), 820, 860))
    row = finder.rows[0]
    judged = finder.judging.of(row.key)
    assert judged is not None
    whole = assess(judged.plan, "A").checks[0]
    assert (row.verdict, whole.verdict) == (Verdict.GOOD, Verdict.UNKNOWN)
    assert plain(row.detail).endswith("whole plan unknown")
    assert "needle and trim good, whole plan unknown" in row.spoken
    finder.look_at(row.key)
    says = plain(reader.sentence(whole.says))
    assert f"The whole plan with it: unknown – {says}." in plain(finder.detail.text())
    # Where both say the same it is said once.
    second = finder.rows[1]
    assert second.verdict is Verdict.STOP
    assert "whole plan" not in plain(second.detail)
    place.close()


def test_that_a_missing_allowed_error_is_said_once_with_a_way_to_its_field(
    qtbot: QtBot, launch: Plan, reader: Reader, theme: Theme
) -> None:
    bare = replace(
        launch,
        duty=replace(
            launch.duty,
            allowed=None,
            marks=tuple(replace(mark, allowed=None) for mark in launch.duty.marks),
        ),
    )
    place = Workplace(Session(bare), reader, Stock(), InlineExecutor())
    step = opened(qtbot, SenderStep(place, theme), 820, 860)
    finder = finding(qtbot, step)
    assert keys(finder) == set()
    assert "say under Duty how large a needle error may be, 3 °C for one" in plain(
        finder.note.text()
    )
    assert finder.note.isVisible()
    with qtbot.waitSignal(place.field_wanted) as wanted:
        press(qtbot, step, finder.mend)
    assert wanted.args == ["duty", "allowed"]
    # With an error allowed there is nothing to say, and the rows are there.
    place.attempt(set_duty("allowed", Amount(3.0, "K")))
    assert "temperature-291-22-120c" in keys(finder)
    assert not finder.note.isVisible()
    assert not finder.mend.isVisible()
    place.close()


def test_that_gauges_for_another_supply_that_would_fit_are_named(
    qtbot: QtBot, reader: Reader, theme: Theme
) -> None:
    wish = Wish(allowed=Amount(5.0, "%"))
    place = of_classes(reader, "level-40-250", "gauge-level-0-90-ratio-12v", wish)
    step = opened(qtbot, GaugeStep(place, theme), 820, 860)
    finder = finding(qtbot, step)
    assert "gauge-level-40-250-ratio-24v (24 V)" in plain(finder.note.text())
    assert finder.mend.text() == "Go to Wiring"
    place.close()


def test_that_what_is_put_in_is_the_trim_that_the_row_shows(
    qtbot: QtBot, reader: Reader, theme: Theme
) -> None:
    wish = Wish(allowed=Amount(5.0, "%"), medium="fresh water")
    place = of_classes(reader, "level-0-190", "gauge-level-10-180-ratio-12v", wish)
    step = opened(qtbot, SenderStep(place, theme), 820, 860)
    finder = finding(qtbot, step, 2)
    for key in [row.key for row in finder.rows][1:6]:
        finder.look_at(key)
        judged = finder.judging.of(key)
        assert judged is not None
        press(qtbot, step, finder.take)
        assert place.view.plan == judged.plan
        place.session.undo()
    place.close()
