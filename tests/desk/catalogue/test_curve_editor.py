"""The curve editor: points dragged and moved by keys, typed, pasted, and named where wrong."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from catalog.codec import Part
from catalog.library import load_generic
from catalog.parts.gauge import Gauge
from catalog.parts.laws import Point, TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind
from catalog.quantities.amounts import Amount
from retrofit.desk.catalogue.curve_editor import CurveEditor
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.dial_mark_rows import DIAL, SENDER
from tests.desk.seeing import opened, plain
from tests.desk.whole_window import type_into

Key, Left = Qt.Key, Qt.MouseButton.LeftButton


def level(*ohms: float) -> Sender:
    points = tuple(
        Point(Amount(100.0 * n / (len(ohms) - 1), "%"), Amount(ohm, "Ω"))
        for n, ohm in enumerate(ohms)
    )
    return Sender("mine", "Mine", "level", TableLaw(points))


class Desk:
    """An editor that shows what was taken, as the page does."""

    def __init__(self, qtbot: QtBot, reader: Reader, theme: Theme, part: Sender | Gauge) -> None:
        self.editor = CurveEditor(reader, theme, InlineExecutor())
        self.taken: list[tuple[Point, ...]] = []
        self.part: Part = part
        self.editor.show_part(part)
        self.editor.taken.connect(self._take)
        opened(qtbot, self.editor, 640, 700)

    def _take(self, points: tuple[Point, ...]) -> None:
        self.taken.append(points)
        if isinstance(self.part, Sender):
            self.part = Sender("mine", "Mine", "level", TableLaw(points))
            self.editor.show_part(self.part)

    def drag(self, qtbot: QtBot, number: int, by: QPoint) -> None:
        chart = self.editor.chart
        start = chart.place_of(number).toPoint()
        qtbot.mousePress(chart, Left, pos=start)
        for step in (1, 2, 3, 4):
            qtbot.mouseMove(chart, start + by * step / 4)
        QApplication.processEvents()
        qtbot.mouseRelease(chart, Left, pos=start + by)


@pytest.fixture
def desk(qtbot: QtBot, reader: Reader, theme: Theme) -> Desk:
    return Desk(qtbot, reader, theme, level(240.0, 103.0, 33.0))


def test_that_a_dragged_point_goes_where_the_hand_goes_and_is_taken_once(
    desk: Desk, qtbot: QtBot
) -> None:
    before = desk.editor.chart.place_of(1)
    desk.drag(qtbot, 1, QPoint(0, -30))
    assert len(desk.taken) == 1
    (at, gives) = desk.taken[0][1].at, desk.taken[0][1].gives
    assert gives.number > 103.0
    assert at == Amount(50.0, "%")
    after = desk.editor.chart.place_of(1)
    assert abs((before - QPointF(0, 30) - after).manhattanLength()) < 4.0
    # Round numbers: nobody wants 131.8273 Ω from a mouse.
    assert len(f"{gives.number:g}") <= 5


def test_that_a_point_moves_by_the_arrow_keys(desk: Desk, qtbot: QtBot) -> None:
    chart = desk.editor.chart
    chart.setFocus()
    qtbot.keyClick(chart, Key.Key_Home)
    qtbot.keyClick(chart, Key.Key_PageDown)
    assert chart.point == 1
    assert plain(chart.accessibleDescription()).startswith("Point 2: 103 Ω at 50")
    qtbot.keyClick(chart, Key.Key_Up)
    assert desk.taken[-1][1].gives.number > 103.0
    qtbot.keyClick(chart, Key.Key_Right)
    assert desk.taken[-1][1].at.number > 50.0


def test_that_a_drag_that_makes_the_curve_turn_names_the_row_and_takes_nothing(
    desk: Desk, qtbot: QtBot
) -> None:
    desk.drag(qtbot, 1, QPoint(0, 400))  # below the last point
    assert desk.taken == []
    rows = desk.editor.rows[SENDER].rows
    assert "Ω" in next(row.problem for row in rows if row.problem)
    desk.drag(qtbot, 1, QPoint(0, -60))
    assert len(desk.taken) == 1
    assert not any(row.problem for row in desk.editor.rows[SENDER].rows)


def test_that_a_typed_row_moves_its_point_on_the_chart(desk: Desk, qtbot: QtBot) -> None:
    before = desk.editor.chart.place_of(1)
    type_into(qtbot, desk.editor.rows[SENDER].rows[1].gives, "150")
    assert desk.taken[-1][1].gives == Amount(150.0, "Ω")
    assert desk.editor.chart.place_of(1).y() < before.y()


def test_that_a_pasted_table_is_taken_and_a_wrong_one_names_its_rows(
    desk: Desk, qtbot: QtBot
) -> None:
    editor = desk.editor
    qtbot.mouseClick(editor.paste_card.heading, Left)
    for rows, wrong in (("50\t80\n100\tabc", 5), ("50\t80\n100\t10", 4)):
        editor.paste.area.take_text(f"level %\tohm\n0\t88\n25\t70\n{rows}\n")
        named = [row.number for row in editor.paste.model.rows if row.problem]
        assert named == [wrong]
        assert not editor.paste.use.isEnabled()
    editor.paste.area.take_text("level %\tohm\n0\t88\n50\t40\n100\t10\n")
    editor.paste.use.click()
    assert [point.gives.number for point in desk.taken[-1]] == [88.0, 40.0, 10.0]


def test_that_the_basis_of_a_single_point_is_kept_with_it(desk: Desk, qtbot: QtBot) -> None:
    basis = desk.editor.basis
    desk.editor.chart.look_at(1)
    assert basis.number == 1
    basis.kind.setFocus()
    qtbot.keyClick(basis.kind, Key.Key_Down)
    assert desk.taken[-1][1].basis == Basis(BasisKind.MEASURED)
    type_into(qtbot, basis.source, "bench")
    assert desk.taken[-1][1].basis == Basis(BasisKind.MEASURED, "bench")
    assert desk.taken[-1][0].basis is None
    # Another reading no longer comes from where the old one did.
    type_into(qtbot, desk.editor.rows[SENDER].rows[1].gives, "150")
    assert desk.taken[-1][1].basis is None


def test_that_a_dial_shows_the_curve_of_its_class_within_its_scale(
    qtbot: QtBot, reader: Reader, theme: Theme
) -> None:
    part = load_generic().part("gauge-temperature-291-22-120c-ratio-12v")
    assert isinstance(part, Gauge)
    desk = Desk(qtbot, reader, theme, part)
    assert desk.editor.rows[DIAL].isVisible()
    assert not desk.editor.rows[SENDER].isVisible()
    # 291 Ω at 40 °C is where its scale begins (common practice, no source).
    said = plain(desk.editor.chart.accessibleDescription())
    assert "291.5 Ω at 40" in said
    assert "120" in said
