"""A plan that another copy holds: said at the start, with a button that takes it over."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from retrofit.desk.files import demo_plan
from retrofit.desk.session import open_session
from retrofit.desk.window import Window
from retrofit.plan.file import write_plan
from tests.desk.whole_window import field, shown, shut, type_into

LEFT = Qt.MouseButton.LeftButton
ELSEWHERE = {"machine": "another machine", "process": 1, "token": "x"}


def held_elsewhere(file: Path) -> None:
    (file.parent / f".{file.name}.held").write_text(json.dumps(ELSEWHERE))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "shared.json"
    write_plan(made, demo_plan())
    return made


@pytest.fixture
def held(qtbot: QtBot, file: Path) -> Iterator[Window]:
    """A window that opens with a plan which another machine holds."""
    held_elsewhere(file)
    made = shown(qtbot, open_session(file))
    yield made
    shut(made)


def test_that_a_held_plan_is_said_at_the_start_and_taken_over_by_its_banner(
    qtbot: QtBot, held: Window
) -> None:
    assert "another machine" in held.notice.text
    assert [button.text() for button in held.notice.buttons] == ["Take over"]
    qtbot.mouseClick(held.notice.buttons[0], LEFT)
    assert not held.place.session.read_only
    assert held.notice.text == ""
    assert not held.top.take_over.isVisible()
    type_into(qtbot, field(held, "duty", "allowed"), "4")
    assert held.steps["duty"].fields["allowed"].problem == ""


def test_that_the_button_at_the_top_stays_when_the_banner_is_closed(
    qtbot: QtBot, held: Window
) -> None:
    held.notice.dismiss()
    assert held.top.take_over.isVisible()
    qtbot.mouseClick(held.top.take_over, LEFT)
    assert not held.place.session.read_only


def test_that_a_plan_that_is_taken_away_is_said_once(qtbot: QtBot, file: Path) -> None:
    window = shown(qtbot, open_session(file))
    try:
        assert window.notice.text == ""
        assert not window.top.take_over.isVisible()
        held_elsewhere(file)
        type_into(qtbot, field(window, "duty", "allowed"), "4")
        assert "another machine" in window.notice.text
        assert window.top.take_over.isVisible()
        window.notice.dismiss()
        type_into(qtbot, field(window, "duty", "allowed"), "5")
        assert window.notice.text == ""
    finally:
        shut(window)
