"""Pasting and dropping tables, good and bad."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from catalog.parts.laws import Point
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.tables import Wanted
from retrofit.desk.jobs import Executor, InlineExecutor
from retrofit.desk.models.table_preview_model import PROBLEM
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.widgets.table_paste import TablePaste
from tests.desk.executors import HeldExecutor
from tests.desk.seeing import opened, plain

Make = Callable[..., TablePaste]
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def make(qtbot: QtBot, reader: Reader, theme: Theme) -> Make:
    def made(
        wanted: Wanted | None = None, executor: Executor | None = None, reads: Reader = reader
    ) -> TablePaste:
        about = wanted or Wanted("temperature", Kind.RESISTANCE)
        paste = TablePaste(about, reads, theme, executor or InlineExecutor())
        QAbstractItemModelTester(
            paste.model, QAbstractItemModelTester.FailureReportingMode.Warning, paste
        )
        opened(qtbot, paste)
        paste.area.setFocus()
        return paste

    return made


def paste_text(qtbot: QtBot, paste: TablePaste, text: str) -> None:
    """Put a text on the clipboard and press the keys for paste."""
    QGuiApplication.clipboard().setText(text)
    qtbot.keyClick(paste.area, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)


def drop(paste: TablePaste, mime: QMimeData) -> None:
    copy, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    plain = Qt.KeyboardModifier.NoModifier
    paste.area.dropEvent(QDropEvent(QPointF(5, 5), copy, mime, left, plain))


def problems(paste: TablePaste) -> dict[int, str]:
    return {row.number: row.problem for row in paste.model.rows if row.problem}


def test_that_two_pasted_columns_are_previewed_and_used(qtbot: QtBot, make: Make) -> None:
    paste = make()
    assert not paste.use.isEnabled()
    paste_text(qtbot, paste, "°C\tohm\n40\t291\n120\t22\n")
    shown = [(plain(row.value), plain(row.gives)) for row in paste.model.rows]
    assert shown == [("40 °C", "291 Ω"), ("120 °C", "22 Ω")]
    assert plain(paste.says.text()) == "2 rows, 40 °C to 120 °C: 291 Ω to 22 Ω."
    with qtbot.waitSignal(paste.accepted) as taken:
        qtbot.mouseClick(paste.use, LEFT)
    assert taken.args == [
        (
            Point(Amount(40.0, "°C"), Amount(291.0, "Ω")),
            Point(Amount(120.0, "°C"), Amount(22.0, "Ω")),
        )
    ]


def test_that_a_table_can_be_typed_checked_and_used_by_keyboard_alone(
    qtbot: QtBot, make: Make
) -> None:
    paste = make()
    qtbot.keyClicks(paste.area, "40 C; 291 ohm")
    qtbot.keyClick(paste.area, Qt.Key.Key_Return)
    qtbot.keyClicks(paste.area, "120 C; 22 ohm")
    for widget in (paste.area, paste.preview, paste.clear):
        assert widget.hasFocus()
        qtbot.keyClick(widget, Qt.Key.Key_Tab)
    assert paste.use.hasFocus()
    with qtbot.waitSignal(paste.accepted):
        qtbot.keyClick(paste.use, Qt.Key.Key_Space)


def test_that_pasted_prose_is_marked_row_by_row_with_what_to_do(qtbot: QtBot, make: Make) -> None:
    paste = make()
    paste_text(qtbot, paste, "Dear sir\nthe gauge, as you know, is wrong\n")
    assert "has one cell where two should stand" in problems(paste)[1]
    assert "separate the columns by semicolons or tabs" in problems(paste)[2]
    assert not paste.preview.isColumnHidden(PROBLEM)
    assert "Rows to mend: 2" in paste.says.text()
    assert not paste.use.isEnabled()


def test_that_mixed_units_are_refused_at_the_row_that_has_them(qtbot: QtBot, make: Make) -> None:
    paste = make()
    paste_text(qtbot, paste, "°C; ohm\n40; 291\n176 °F; 70\n120; 22\n")
    assert list(problems(paste)) == [3]
    assert "does not agree with the heading" in problems(paste)[3]


def test_that_an_unsorted_table_is_sorted_on_request_and_again_when_typed(
    qtbot: QtBot, make: Make
) -> None:
    paste = make()
    paste_text(qtbot, paste, "40 °C; 291\n120 °C; 22\n60 °C; 134\n")
    assert paste.sort.isVisible()
    assert list(problems(paste)) == [3]
    qtbot.mouseClick(paste.sort, LEFT)
    assert [plain(row.value) for row in paste.model.rows] == ["40 °C", "60 °C", "120 °C"]
    assert paste.use.isEnabled()
    assert not paste.sort.isVisible()
    qtbot.keyClicks(paste.area, "50 °C; 190")
    assert not paste.use.isEnabled()


def test_that_a_table_without_units_asks_for_them_and_heeds_the_answer(
    qtbot: QtBot, make: Make
) -> None:
    paste = make()
    paste_text(qtbot, paste, "100; 450\n150; 158.2\n")
    assert paste.value_unit.isVisible()
    assert paste.gives_unit.isVisible()
    assert paste.points[0].at == Amount(100.0, "°C")
    paste.value_unit.setFocus()
    qtbot.keyClicks(paste.value_unit, "°F")
    assert paste.points[0].at == Amount(100.0, "°F")
    paste.area.clear()
    paste_text(qtbot, paste, "°C; kohm\n40; 2.9\n120; 0.2\n")
    assert not paste.value_unit.isVisible()
    assert paste.points[0] == Point(Amount(40.0, "°C"), Amount(2.9, "kΩ"))


def test_that_the_units_offered_are_those_of_what_is_wanted(make: Make) -> None:
    paste = make(Wanted("pressure"))
    values = {paste.value_unit.itemText(i) for i in range(paste.value_unit.count())}
    assert {"bar (usual)", "psi", "kPa", "kgf/cm²"} <= values
    paste.want(Wanted("level", Kind.VOLTAGE))
    assert [paste.value_unit.itemText(i) for i in range(paste.value_unit.count())] == [
        "% (usual)",
        "%",
    ]


@pytest.mark.parametrize("name", ["bench.csv", "bench.txt"])
def test_that_a_dropped_file_is_read_like_pasted_text(
    make: Make, tmp_path: Path, name: str
) -> None:
    file = tmp_path / name
    file.write_text("°C; Ω\n40; 291\n120; 22\n", encoding="utf-8")
    paste = make()
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(file))])
    drop(paste, mime)
    assert len(paste.points) == 2
    assert file.exists()


def test_that_dropped_text_is_put_in(make: Make) -> None:
    paste = make()
    mime = QMimeData()
    mime.setText("40 °C\t291\n120 °C\t22\n")
    drop(paste, mime)
    assert len(paste.points) == 2


@pytest.mark.parametrize(
    ("raw", "says"),
    [(b"\x89PNG\r\n\xff\xfe", "is not UTF-8 text"), (b"1;2\n" * 400_000, "is larger than 1 MB")],
    ids=["a picture", "far too large"],
)
def test_that_a_file_that_is_no_table_is_refused_and_what_was_there_stays(
    qtbot: QtBot, make: Make, tmp_path: Path, raw: bytes, says: str
) -> None:
    file = tmp_path / "file.csv"
    file.write_bytes(raw)
    paste = make()
    paste_text(qtbot, paste, "40 °C; 291\n120 °C; 22\n")
    paste.read_file(file)
    assert says in paste.says.text()
    assert paste.area.toPlainText().startswith("40 °C")
    assert len(paste.points) == 2


def test_that_a_hundred_thousand_rows_are_refused_at_once_and_what_was_there_stays(
    qtbot: QtBot, make: Make
) -> None:
    paste = make()
    paste_text(qtbot, paste, "40 °C; 291\n120 °C; 22\n")
    begun = time.perf_counter()
    paste_text(qtbot, paste, "\n".join(f"{n};{n}" for n in range(100_000)))
    assert time.perf_counter() - begun < 1.0
    assert "10000 rows at most" in paste.says.text()
    assert len(paste.points) == 2


def test_that_a_long_table_is_read_aside(qtbot: QtBot, make: Make) -> None:
    executor = ThreadExecutor()
    paste = make(executor=executor)
    paste_text(qtbot, paste, "°C; Ω\n" + "\n".join(f"{n};{n + 10}" for n in range(2000)))
    assert paste.reading
    assert paste.says.text() == "Reading the table…"
    assert not paste.use.isEnabled()
    qtbot.waitUntil(lambda: len(paste.points) == 2000, timeout=20_000)
    assert paste.use.isEnabled()
    executor.close()


def test_that_a_long_table_read_too_late_is_dropped(qtbot: QtBot, make: Make) -> None:
    held = HeldExecutor()
    paste = make(executor=held)
    paste_text(qtbot, paste, "\n".join(f"{n};{n + 10}" for n in range(2000)))
    qtbot.mouseClick(paste.clear, LEFT)
    paste_text(qtbot, paste, "40 °C; 291\n120 °C; 22\n")
    held.let_all_go()
    assert len(paste.points) == 2
    assert not paste.reading


def test_that_an_emptied_text_is_no_problem(qtbot: QtBot, make: Make) -> None:
    paste = make()
    paste_text(qtbot, paste, "nonsense")
    qtbot.mouseClick(paste.clear, LEFT)
    assert paste.says.text() == ""
    assert not paste.preview.isVisible()
    assert not paste.clear.isEnabled()


def test_that_a_decimal_comma_is_read_and_shown(qtbot: QtBot, make: Make, comma: Reader) -> None:
    paste = make(reads=comma)
    paste_text(qtbot, paste, "40,5 °C; 1,125 kOhm\n120 °C; 22,5 Ohm\n")
    assert paste.points[0] == Point(Amount(40.5, "°C"), Amount(1.125, "kΩ"))
    assert plain(paste.model.rows[0].gives) == "1,125 kΩ"


def test_that_every_control_has_a_name(make: Make) -> None:
    paste = make()
    controls = (
        paste.area,
        paste.preview,
        paste.sort,
        paste.use,
        paste.clear,
        paste.value_unit,
        paste.gives_unit,
    )
    assert [control for control in controls if not control.accessibleName()] == []
