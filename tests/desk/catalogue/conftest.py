"""A window at its catalogue page, with the user's catalogue open in a folder of its own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from retrofit.desk.files import demo_plan, start_session
from retrofit.desk.steps.catalogue import CataloguePage
from retrofit.desk.window import Window
from tests.desk.whole_window import shown, shut


@pytest.fixture
def desk(qtbot: QtBot) -> Iterator[Window]:
    """The demo plan, whose sender and gauge are about temperature."""
    made = shown(qtbot, start_session(demo_plan()))
    made.open_stock()
    made.show_step("catalogue")
    yield made
    shut(made)


@pytest.fixture
def page(desk: Window) -> CataloguePage:
    step = desk.steps["catalogue"]
    assert isinstance(step, CataloguePage)
    return step
