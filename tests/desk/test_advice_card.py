"""The wiring step shows what is proposed, and follows each edit while it is looked at."""

from __future__ import annotations

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from retrofit.desk.steps.advice_card import AdviceCard
from retrofit.desk.steps.wiring import WiringStep
from retrofit.desk.workplace import Workplace
from tests.desk.seeing import opened
from tests.desk.whole_window import type_into


def test_that_the_proposed_sizes_and_the_fuse_are_shown_with_reasons(
    qtbot: QtBot, place: Workplace
) -> None:
    step = opened(qtbot, WiringStep(place), 760, 700)
    (card,) = step.findChildren(AdviceCard)
    advice = place.assessment().advice
    assert advice.fuse.rating is not None
    assert f"fuse {advice.fuse.rating:g}" in card.says.text()
    assert all(one.size in card.says.text() for one in advice.wires if one.size)
    step.ensureWidgetVisible(card)
    qtbot.mouseClick(card.fold.heading, Qt.MouseButton.LeftButton)
    assert card.told.isVisible()
    assert "Local codes" in card.told.text()


def test_that_a_wire_of_the_user_s_own_is_judged_as_it_is_typed(
    qtbot: QtBot, place: Workplace
) -> None:
    step = opened(qtbot, WiringStep(place), 760, 700)
    (card,) = step.findChildren(AdviceCard)
    assert "thicker than" not in card.told.text()
    step.go_to("signal")
    type_into(qtbot, step.fields["signal.size"].editor, "0.35 mm²")
    type_into(qtbot, step.fields["signal.length"].editor, "4 m")
    assert "thicker than the 0.35 mm²" in card.told.text()
