"""The sheet step: pages on screen as printed, saved by real clicks, painted for a printer."""

from __future__ import annotations

import io
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPageSize, QPdfWriter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from retrofit.desk.edits import rename_plan
from retrofit.desk.files import demo_plan, start_session
from retrofit.desk.reader import Reader
from retrofit.desk.steps.sheet import SheetStep
from retrofit.desk.stock import Stock
from retrofit.desk.window import PAGES, STEPS
from retrofit.desk.workplace import Workplace
from retrofit.plan.document import Plan
from tests.desk.executors import HeldExecutor
from tests.desk.seeing import opened
from tests.desk.whole_window import shown, shut

LEFT, Key = Qt.MouseButton.LeftButton, Qt.Key


@cache
def the_demo() -> Plan:
    """One plan for all tests here, so that its likely band is worked out once."""
    return demo_plan()


@pytest.fixture
def plan() -> Plan:
    return the_demo()


@pytest.fixture
def step(qtbot: QtBot, place: Workplace) -> SheetStep:
    return opened(qtbot, SheetStep(place), 900, 700)


def pictured(step: SheetStep) -> list[QImage]:
    return [label.pixmap().toImage() for label in step.pages if label.isVisibleTo(step)]


def test_that_the_pages_are_shown_when_the_step_is_looked_at(step: SheetStep) -> None:
    assert 1 <= len(pictured(step)) <= 3
    assert str(len(pictured(step))) in step.state.text()


def test_that_a_page_on_screen_has_ink_on_it(step: SheetStep) -> None:
    small = pictured(step)[0].scaled(40, 56).convertToFormat(QImage.Format.Format_Grayscale8)
    lights = {small.pixelColor(x, y).lightness() for x in range(40) for y in range(56)}
    assert max(lights) > 240
    assert min(lights) < 200


def test_that_another_paper_is_laid_out_anew(qtbot: QtBot, step: SheetStep) -> None:
    before = pictured(step)[0].size()
    step.paper.setFocus()
    qtbot.keyClick(step.paper, Key.Key_Down)
    step.paper.activated.emit(step.paper.currentIndex())
    after = pictured(step)[0].size()
    assert after.width() / after.height() == pytest.approx(8.5 / 11.0, abs=0.01)
    assert before != after


def test_that_an_edit_is_seen_on_the_pages(step: SheetStep) -> None:
    before = pictured(step)[0]
    step.place.attempt(rename_plan("Quite another name"))
    assert pictured(step)[0] != before


@pytest.mark.parametrize(
    ("form", "starts"), [("pdf", b"%PDF"), ("html", b"<!DOCTYPE html>"), ("csv", b"true")]
)
def test_that_a_click_saves_the_sheet(
    qtbot: QtBot,
    step: SheetStep,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    form: str,
    starts: bytes,
) -> None:
    chosen = tmp_path / f"made.{form}"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(chosen), ""))
    qtbot.mouseClick(step.buttons[form], LEFT)
    assert chosen.read_bytes().lower().startswith(starts.lower())
    assert str(chosen) in step.state.text()


def test_that_giving_up_the_dialog_saves_nothing(
    qtbot: QtBot, step: SheetStep, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    before = step.state.text()
    qtbot.mouseClick(step.buttons["pdf"], LEFT)
    assert step.state.text() == before


def test_that_a_folder_that_is_not_there_is_said_in_the_step(
    step: SheetStep, tmp_path: Path
) -> None:
    step.save_to(tmp_path / "nowhere" / "sheet.pdf", "pdf")
    assert "nowhere" in step.state.text()


def test_that_the_saved_pdf_is_the_paper_that_was_chosen(step: SheetStep, tmp_path: Path) -> None:
    step.paper.set_word("Letter")
    step.save_to(tmp_path / "sheet", "pdf")
    page = PdfReader(io.BytesIO((tmp_path / "sheet.pdf").read_bytes())).pages[0]
    assert float(page.mediabox.width) == pytest.approx(8.5 * 72.0, abs=0.5)


def test_that_every_page_goes_to_the_printer(step: SheetStep, tmp_path: Path) -> None:
    file = tmp_path / "printed.pdf"
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(file))
    printer.setFullPage(True)
    printer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    step.print_on(printer)
    assert len(PdfReader(io.BytesIO(file.read_bytes())).pages) == len(pictured(step))
    assert str(len(pictured(step))) in step.state.text()


def test_that_a_page_is_not_cut_on_another_paper(step: SheetStep, tmp_path: Path) -> None:
    writer = QPdfWriter(str(tmp_path / "a5.pdf"))
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A5))
    step.print_on(writer)
    assert "printer" in step.state.text()


@pytest.fixture
def held(reader: Reader) -> Iterator[tuple[Workplace, HeldExecutor]]:
    executor = HeldExecutor()
    made = Workplace(start_session(the_demo()), reader, Stock(), executor)
    yield made, executor
    made.close()


def test_that_laying_out_does_not_hold_the_window_up(
    qtbot: QtBot, held: tuple[Workplace, HeldExecutor]
) -> None:
    place, executor = held
    step = opened(qtbot, SheetStep(place), 900, 700)
    assert pictured(step) == []
    assert "laid out" in step.state.text()
    executor.let_all_go()
    assert pictured(step)


def test_that_a_stale_sheet_is_not_shown(
    qtbot: QtBot, held: tuple[Workplace, HeldExecutor]
) -> None:
    place, executor = held
    step = opened(qtbot, SheetStep(place), 900, 700)
    step.paper.set_word("Letter")
    step.read()
    assert len(executor.jobs) == 2
    executor.let_all_go()
    page = pictured(step)[0]
    assert page.width() / page.height() == pytest.approx(8.5 / 11.0, abs=0.01)


def test_that_the_sheet_is_the_last_step_of_the_work(qtbot: QtBot) -> None:
    assert STEPS[-1] == "sheet"
    window = shown(qtbot, start_session(the_demo()))
    number = len(STEPS)
    qtbot.keyClick(window, Key(Key.Key_0 + number), Qt.KeyboardModifier.ControlModifier)
    assert window.step == "sheet"
    assert len(window.rail.buttons) == len(STEPS) + len(PAGES)
    shut(window)


def test_that_the_empty_room_of_the_pages_says_that_they_are_being_laid_out(
    qtbot: QtBot, plan: Plan, reader: Reader
) -> None:
    held = HeldExecutor()
    place = Workplace(start_session(plan), reader, Stock(), held)
    step = opened(qtbot, SheetStep(place), 900, 700)
    assert step.waiting.isVisible()
    assert "laid out" in step.waiting.text()
    held.let_all_go()
    assert not step.waiting.isVisible()
    assert step.pages[0].isVisible()
    place.close()
