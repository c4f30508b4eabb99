"""The printed sheet of the pairing that is shown: its pages, saved, or sent to a printer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QPagedPaintDevice, QPageSize, QPixmap, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from catalog.atomic import save_bytes
from catalog.errors import BugError, UserError
from retrofit.desk.edits import Area
from retrofit.desk.jobs import Job, Progress
from retrofit.desk.printing import DOTS_PER_INCH, print_pages, smoothed
from retrofit.desk.steps.page import Card, StepPage
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.workplace import Workplace
from retrofit.drawing.look import Look
from retrofit.drawing.palette import LIGHT
from retrofit.messages import Renderer
from retrofit.plan.assess import assess
from retrofit.plan.document import Plan
from retrofit.sheet.compose import Print, compose
from retrofit.sheet.curve_csv import as_csv
from retrofit.sheet.html import as_html
from retrofit.sheet.pdf import PAPERS, Layout, Paper, as_pages, as_pdf
from retrofit.sheet.wording import Wording

T = TypeVar("T")

FORMS = ("pdf", "html", "csv")

_SCREEN_DOTS = 120.0
_WIDEST = 820


@dataclass(frozen=True)
class Wanted:
    """What a sheet is made of; nothing in it changes, so another thread may read it.

    Attributes
    ----------
    plan : Plan
        The plan.
    label : str
        Which pairing.
    paper : str
        "A4" or "Letter".
    renderer : Renderer
        Language and units.
    day : date
        The day that it bears.
    """

    plan: Plan
    label: str
    paper: Paper
    renderer: Renderer
    day: date

    def pages(self, dots: float) -> list[bytes]:
        """Return the pages as pictures."""
        found = assess(self.plan, self.label, likely=True)
        look = Look(LIGHT, self.renderer)
        sheet = compose(found, Print(self.renderer, self.day))
        return as_pages(sheet, Layout(self.paper, look), dots)

    def file(self, form: str) -> bytes:
        """Return the whole sheet in one of `FORMS`."""
        found = assess(self.plan, self.label, likely=True)
        look = Look(LIGHT, self.renderer)
        if form == "csv":
            return as_csv(found, Wording(self.renderer)).encode()
        sheet = compose(found, Print(self.renderer, self.day))
        if form == "html":
            return as_html(sheet, look).encode()
        return as_pdf(sheet, Layout(self.paper, look))


class SheetStep(StepPage):
    """Shows the sheet as it is printed, saves it as PDF, HTML or CSV, and prints it."""

    CAUTIONS = frozenset({"caution.no_safety_device"})

    AREAS = frozenset(Area)

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__("sheet", place, parent)
        self._run = 0
        self._progress: Progress | None = None
        self._shown: Wanted | None = None
        self._pages: list[bytes] = []
        self.pages: list[QLabel] = []
        papers: list[tuple[str, str]] = [(one, self.text(f"paper.{one}")) for one in PAPERS]
        self.paper = self._paper_choice(papers)
        self.which = QLabel()
        self.which.setObjectName("muted")
        self.which.setWordWrap(True)
        self.state = QLabel()
        self.state.setObjectName("muted")
        self.state.setWordWrap(True)
        self.buttons: dict[str, QPushButton] = {}
        self._arrange()
        place.settled.connect(self.read)
        self.read()

    def _paper_choice(self, papers: list[tuple[str, str]]) -> Choice:
        choice = Choice(papers, self.text("paper"))
        choice.set_word("A4")
        choice.chosen.connect(self._paper_chosen)
        return choice

    def _arrange(self) -> None:
        card = Card("", columns=1)
        row = QHBoxLayout()
        row.setSpacing(10)
        label = QLabel(self.text("paper"))
        label.setObjectName("field-label")
        row.addWidget(label)
        row.addWidget(self.paper)
        row.addStretch(1)
        buttons = QHBoxLayout()
        buttons.setSpacing(10)
        for form in (*FORMS, "print"):
            button = QPushButton(self.text(form))
            button.setProperty("form", form)
            button.setObjectName("primary" if form == "pdf" else "")
            button.clicked.connect(self._print if form == "print" else self._save)
            self.buttons[form] = button
            buttons.addWidget(button)
        buttons.addStretch(1)
        card.rows.addWidget(self.which)
        card.rows.addLayout(row)
        card.rows.addLayout(buttons)
        card.rows.addWidget(self.state)
        self.column.addWidget(card)
        self.column.addWidget(self.caution_line())
        self._inside = QWidget()
        self._inside.setObjectName("pages-inside")
        self._column = QVBoxLayout(self._inside)
        self._column.setContentsMargins(16, 16, 16, 16)
        self._column.setSpacing(16)
        self.waiting = QLabel(self.text("busy"))
        self.waiting.setObjectName("muted")
        self.waiting.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.waiting.setMinimumHeight(160)
        self._column.addWidget(self.waiting)
        self.column.addWidget(self._inside)
        self.column.addStretch(1)

    # --- what is shown --------------------------------------------------------------------------

    @property
    def wanted(self) -> Wanted:
        """The sheet of the pairing that is shown, on the chosen paper, of today."""
        view, reader = self.place.view, self.place.reader
        paper: Paper = "Letter" if self.paper.word == "Letter" else "A4"
        return Wanted(view.plan, view.label, paper, reader.renderer, date.today())

    def read(self) -> None:
        """Lay the sheet out anew, aside, while the step is looked at."""
        view = self.place.view
        pairing = view.plan.pairing(view.label)
        self.which.setText(
            self.place.reader.text(
                "step.sheet.which",
                label=view.label,
                gauge=pairing.gauge.name,
                sender=pairing.sender.name,
            )
        )
        if self.isVisible():
            self._lay_out()

    def _lay_out(self) -> None:
        wanted = self.wanted
        if wanted == self._shown and self._pages:
            return
        self._start(
            lambda: wanted.pages(_SCREEN_DOTS * self.devicePixelRatioF()),
            lambda pages: self._arrived(wanted, pages),
        )

    def _start(self, work: Callable[[], T], succeed: Callable[[T], None]) -> None:
        """Do something aside; a newer wish stops an older one."""
        self._run += 1
        run = self._run
        if self._progress is not None:
            self._progress.cancel()
        self._progress = Progress()
        self.state.setText(self.text("busy"))

        def worked(progress: Progress) -> T:
            progress.step(0, 1)
            return work()

        def arrived(result: T) -> None:
            if run == self._run:
                self._progress = None
                succeed(result)

        self.place.executor.run(Job(worked, arrived, self._failed, self._progress))

    def _arrived(self, wanted: Wanted, pages: list[bytes]) -> None:
        self._shown, self._pages = wanted, pages
        count = len(pages)
        self.waiting.hide()
        self.state.setText(self.place.reader.text("step.sheet.pages", count=str(count)))
        while len(self.pages) < count:
            page = QLabel()
            page.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            self.pages.append(page)
            self._column.addWidget(page)
        self._draw()

    def _draw(self) -> None:
        """Show the pages as wide as there is room."""
        room = min(max(self.viewport().width() - 84, 300), _WIDEST)
        ratio = self.devicePixelRatioF()
        for number, label in enumerate(self.pages):
            label.setVisible(number < len(self._pages))
            if number < len(self._pages):
                label.setPixmap(QPixmap.fromImage(smoothed(self._pages[number], room, ratio)))
                name = self.place.reader.text("step.sheet.page", number=str(number + 1))
                label.setAccessibleName(name)

    def _failed(self, error: Exception) -> None:
        if isinstance(error, UserError):
            self.state.setText(self.place.reader.error(error))
            self.waiting.hide()
            return
        raise BugError("the sheet") from error

    # --- saving and printing --------------------------------------------------------------------

    def _save(self) -> None:
        button = self.sender()
        form = "" if button is None else str(button.property("form"))
        if form not in FORMS:
            return
        name, _ = QFileDialog.getSaveFileName(
            self, self.text(form), str(self._proposed(form)), self.text(f"{form}.filter")
        )
        if name:
            self.save_to(Path(name), form)

    def _proposed(self, form: str) -> Path:
        """Return the file that is proposed: beside the plan and called like it."""
        own = self.place.session.path
        return Path(f"sheet.{form}") if own is None else own.with_suffix(f".{form}")

    def save_to(self, path: Path, form: str) -> None:
        """Save the sheet to a file, aside; what is wrong is said in the step."""
        whole = path if path.suffix else path.with_suffix(f".{form}")
        wanted = self.wanted

        def work() -> Path:
            save_bytes(whole, wanted.file(form))
            return whole

        self._start(work, self._saved)

    def _saved(self, path: Path) -> None:
        self.state.setText(self.place.reader.text("step.sheet.saved", path=str(path)))

    def _print(self) -> None:
        """Ask for a printer and print on it; what lays pages out runs aside."""
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter

        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        size = QPageSize.PageSizeId.A4 if self.paper.word == "A4" else QPageSize.PageSizeId.Letter
        printer.setPageSize(QPageSize(size))
        printer.setFullPage(True)
        printer.setDocName(self.place.view.plan.name)
        dialog = QPrintDialog(printer, self)
        if dialog.exec() == QDialog.DialogCode.Accepted:
            self.print_on(printer)

    def print_on(self, device: QPagedPaintDevice) -> None:
        """Print the sheet on a printer or into a PDF file."""
        wanted = self.wanted
        self._start(lambda: wanted.pages(DOTS_PER_INCH), lambda pages: self._printed(device, pages))

    def _printed(self, device: QPagedPaintDevice, pages: list[bytes]) -> None:
        count = print_pages(device, pages)
        self.state.setText(self.place.reader.text("step.sheet.printed", count=str(count)))

    def _paper_chosen(self, paper: str) -> None:
        del paper
        self.read()

    # --- Qt -------------------------------------------------------------------------------------

    def go_to(self, field: str) -> None:
        """Put the focus on the paper: nothing here mends a check."""
        del field
        self.paper.setFocus()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Lay the sheet out when the step is looked at."""
        super().showEvent(event)
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Show the pages as wide as there is room."""
        super().resizeEvent(event)
        self._draw()
