"""A table from a spreadsheet: paste or drop two columns, see what is understood, use it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from catalog.errors import UserError
from catalog.json_file import read_text
from catalog.message import message
from catalog.parts.fields import QUANTITY_KIND, SIGNAL_KINDS
from catalog.parts.laws import Point, signal_kind
from catalog.quantities.kinds import UNITS, Kind
from catalog.tables import MOST_ROWS, Wanted
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.models.table_preview_model import (
    GIVES,
    PROBLEM,
    VALUE,
    PreviewRow,
    TablePreviewModel,
)
from retrofit.desk.pasted import LARGEST, Pasted, read_pasted
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.paste_area import PasteArea
from retrofit.desk.widgets.table_row_delegate import TableRowDelegate

_AT_ONCE = 4_000
"""Longest text that is read in the thread of the window [characters]: some ten milliseconds."""

_USUAL = ""


class TablePaste(QWidget):
    """Takes a table of two columns: the value, and what was measured there.

    Parameters
    ----------
    wanted : Wanted
        What the table is about; its decimal mark, order and units are chosen here.
    reader, theme : Reader, Theme
        Texts and colours.
    executor : Executor
        Reads long tables aside.
    """

    accepted = Signal(object)
    """The user takes the table: a tuple of Point."""

    def __init__(
        self,
        wanted: Wanted,
        reader: Reader,
        theme: Theme,
        executor: Executor,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._wanted = replace(wanted, decimal=reader.decimal)
        self._reader = reader
        self._executor = executor
        self._run = 0
        self._progress: Progress | None = None
        self._pasted = Pasted()
        self._stray = ""
        self._high: set[int] = set()
        self.area = PasteArea()
        self.model = TablePreviewModel(self._headings(), self)
        self.preview = QTableView()
        self.says = QLabel()
        self.sort = QPushButton(reader.text("paste.sort"))
        self.use = QPushButton(reader.text("paste.use"))
        self.clear = QPushButton(reader.text("paste.clear"))
        self.value_unit = Choice((), reader.text("paste.value_unit"))
        self.gives_unit = Choice((), reader.text("paste.gives_unit"))
        self._units = QWidget()
        self._make_area()
        self._make_preview(theme)
        self._fill_units()
        self._arrange()
        self._connect(reader, theme)
        self._show()

    # --- making -----------------------------------------------------------------------------

    def _make_area(self) -> None:
        text = self._reader.text
        self.area.setPlaceholderText(text("paste.placeholder"))
        self.area.setAccessibleName(text("paste.name"))
        self.area.setAccessibleDescription(text("paste.description"))
        self.area.setMinimumHeight(96)
        self.says.setWordWrap(True)
        self.says.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.use.setObjectName("primary")
        self.clear.setObjectName("flat")
        for button, key in ((self.sort, "sort"), (self.use, "use"), (self.clear, "clear")):
            button.setAccessibleName(text(f"paste.{key}"))
            button.setAccessibleDescription(text(f"paste.{key}.description"))

    def _make_preview(self, theme: Theme) -> None:
        self.preview.setModel(self.model)
        self.preview.setObjectName("preview")
        self.preview.setItemDelegate(TableRowDelegate(theme, self.preview))
        self.preview.setAccessibleName(self._reader.text("paste.preview"))
        self.preview.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.preview.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.preview.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.preview.setTabKeyNavigation(False)
        self.preview.setWordWrap(True)
        self.preview.setMinimumHeight(120)
        across = self.preview.horizontalHeader()
        across.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        across.setSectionResizeMode(PROBLEM, QHeaderView.ResizeMode.Stretch)
        across.resizeSection(VALUE, 150)
        across.resizeSection(GIVES, 150)
        across.setHighlightSections(False)
        self.preview.verticalHeader().setHighlightSections(False)

    def _arrange(self) -> None:
        units = QHBoxLayout(self._units)
        units.setContentsMargins(0, 0, 0, 0)
        units.setSpacing(16)
        hint = self._reader.text("paste.unit.hint")
        self._value_field = Field(self._reader.text("paste.value_unit"), self.value_unit, hint)
        self._gives_field = Field(self._reader.text("paste.gives_unit"), self.gives_unit, hint)
        units.addWidget(self._value_field)
        units.addWidget(self._gives_field)
        units.addStretch(1)
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        buttons.addWidget(self.clear)
        buttons.addStretch(1)
        buttons.addWidget(self.sort)
        buttons.addWidget(self.use)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(10)
        column.addWidget(self.area, 2)
        column.addWidget(self._units)
        column.addWidget(self.preview, 3)
        column.addWidget(self.says)
        column.addLayout(buttons)
        self.setFocusProxy(self.area)

    def _connect(self, reader: Reader, theme: Theme) -> None:
        self.area.textChanged.connect(self._typed)
        self.area.file_dropped.connect(self.read_file)
        self.area.refused.connect(self._too_long)
        self.value_unit.chosen.connect(self._unit_chosen)
        self.gives_unit.chosen.connect(self._unit_chosen)
        self.sort.clicked.connect(self._sort)
        self.use.clicked.connect(self._accept)
        self.clear.clicked.connect(self.area.clear)
        self.preview.verticalScrollBar().rangeChanged.connect(self._look_at_wrong)
        self.preview.horizontalHeader().sectionResized.connect(self._look_at_wrong)
        reader.changed.connect(self._units_changed)
        theme.changed.connect(self.preview.viewport().update)

    def _fill_units(self) -> None:
        kind = QUANTITY_KIND[self._wanted.quantity]
        signals = SIGNAL_KINDS if self._wanted.signal is None else (self._wanted.signal,)
        self._offer(self.value_unit, (kind,))
        self._offer(self.gives_unit, signals)

    def _offer(self, choice: Choice, kinds: Sequence[Kind]) -> None:
        choice.clear()
        units = [unit.symbol for kind in kinds for unit in UNITS[kind]]
        usual = self._reader.text("paste.unit.usual", unit=units[0])
        choice.addItem(usual, _USUAL)
        for symbol in units:
            choice.addItem(symbol, symbol)

    # --- what is asked of it ----------------------------------------------------------------

    @property
    def points(self) -> tuple[Point, ...]:
        """The table as it is understood now; empty where it cannot be used."""
        return self._pasted.points

    @property
    def reading(self) -> bool:
        """Whether a long table is being read aside."""
        return self._progress is not None

    def want(self, wanted: Wanted) -> None:
        """Take a table about something else from now on."""
        about = (wanted.quantity, wanted.signal)
        if about == (self._wanted.quantity, self._wanted.signal):
            return
        self._wanted = replace(wanted, decimal=self._reader.decimal)
        self._fill_units()
        self._read()

    def read_file(self, path: Path) -> None:
        """Take the text of a file in place of what is there."""
        try:
            text = read_text(path, LARGEST)
        except UserError as error:
            self._complain(self._reader.error(error))
            return
        self.area.take_text(text)
        self.area.setFocus()

    # --- reading ----------------------------------------------------------------------------

    def _typed(self) -> None:
        self._wanted = replace(self._wanted, sort=False)
        self._read()

    def _sort(self) -> None:
        self._wanted = replace(self._wanted, sort=True)
        self._read()

    def _unit_chosen(self) -> None:
        units = (self.value_unit.word or None, self.gives_unit.word or None)
        self._wanted = replace(self._wanted, units=units)
        self._read()

    def _units_changed(self) -> None:
        self._wanted = replace(self._wanted, decimal=self._reader.decimal)
        self._read()

    def _read(self) -> None:
        """Read the text: at once, or in a job where that takes long; older ones are dropped."""
        self._run += 1
        self._stray = ""
        if self._progress is not None:
            self._progress.cancel()
            self._progress = None
        text, wanted = self.area.toPlainText(), self._wanted
        if len(text) <= _AT_ONCE:
            self._pasted = read_pasted(text, wanted)
            self._show()
            return
        run = self._run
        self._progress = Progress()

        def work(progress: Progress) -> Pasted:
            progress.step(0, 1)
            return read_pasted(text, wanted)

        def succeed(pasted: Pasted) -> None:
            if run == self._run:
                self._progress = None
                self._pasted = pasted
                self._show()

        def fail(error: Exception) -> None:
            if run == self._run:
                self._progress = None
                raise error

        self._pasted = Pasted()
        self._show()
        self._executor.run(Job(work, succeed, fail, self._progress))

    def _too_long(self) -> None:
        self._complain(self._reader.text("paste.too_long", limit=MOST_ROWS))

    def _complain(self, text: str) -> None:
        """Say what is wrong with a text or file that was not taken."""
        self._stray = text
        self._say()

    def _accept(self) -> None:
        if self._pasted.points:
            self.accepted.emit(self._pasted.points)

    # --- showing ----------------------------------------------------------------------------

    def _show(self) -> None:
        pasted = self._pasted
        self.model.show_headings(self._headings())
        self.model.show_rows(self._preview_rows())
        wrong = [i for i, row in enumerate(self.model.rows) if row.problem]
        self.preview.setColumnHidden(PROBLEM, not wrong)
        self.preview.horizontalHeader().setStretchLastSection(not wrong)
        self.preview.setVisible(bool(self.model.rows))
        self._look_at_wrong()
        for field, bare in zip((self._value_field, self._gives_field), pasted.bare, strict=True):
            field.setVisible(bare)
        self._units.setVisible(any(pasted.bare))
        self.sort.setVisible(pasted.sortable)
        self.use.setEnabled(bool(pasted.points))
        self.clear.setEnabled(not self.area.document().isEmpty())
        self._say()

    def _look_at_wrong(self) -> None:
        """Bring the first row to mend into view; again when the table gets other room."""
        wrong = [i for i, row in enumerate(self.model.rows) if row.problem]
        self._make_room(wrong)
        if wrong:
            self.preview.scrollTo(self.model.index(wrong[0], VALUE))

    def _make_room(self, wrong: Sequence[int]) -> None:
        """Make rows with a sentence as high as it needs, and those that had one low again."""
        usual = self.preview.verticalHeader().defaultSectionSize()
        for row in self._high.difference(wrong):
            if row < self.model.rowCount():
                self.preview.setRowHeight(row, usual)
        for row in wrong:
            self.preview.resizeRowToContents(row)
        self._high = set(wrong)

    def _say(self) -> None:
        """Say how it stands: what is wrong, or what would be used."""
        text, wrong = self._said()
        self.says.setObjectName("field-problem" if wrong else "muted")
        self.says.setText(text)
        self.says.setVisible(bool(text))
        self.says.style().unpolish(self.says)
        self.says.style().polish(self.says)
        self.area.setAccessibleDescription(text or self._reader.text("paste.description"))

    def _said(self) -> tuple[str, bool]:
        pasted, reader = self._pasted, self._reader
        if self._stray:
            return self._stray, True
        if self._progress is not None:
            return reader.text("paste.reading"), False
        if pasted.points:
            return self._usable(pasted.points), False
        wrong = sum(bool(row.problems) for row in pasted.rows)
        said = [reader.sentence(problem) for problem in pasted.problems]
        if wrong:
            said.append(reader.text("paste.wrong_rows", count=wrong))
        if pasted.sortable:
            said.append(reader.text("paste.sortable"))
        return "\n".join(said), bool(said)

    def _usable(self, points: tuple[Point, ...]) -> str:
        kind, signal = QUANTITY_KIND[self._wanted.quantity], signal_kind(points[0])
        amount = self._reader.amount
        return self._reader.text(
            "paste.usable",
            count=len(points),
            low=amount(points[0].at, kind),
            high=amount(points[-1].at, kind),
            gives_low=amount(points[0].gives, signal),
            gives_high=amount(points[-1].gives, signal),
        )

    def _preview_rows(self) -> list[PreviewRow]:
        """Return what is understood of a good table, and of a bad one what stands there."""
        pasted, reader = self._pasted, self._reader
        if pasted.points:
            kind, signal = QUANTITY_KIND[self._wanted.quantity], signal_kind(pasted.points[0])
            return [
                PreviewRow(n, reader.amount(point.at, kind), reader.amount(point.gives, signal))
                for n, point in enumerate(pasted.points, 1)
            ]
        return [
            PreviewRow(
                row.number,
                row.cells[0] if row.cells else "",
                "   ".join(row.cells[1:]),
                " ".join(reader.sentence(problem) for problem in row.problems),
            )
            for row in pasted.rows
        ]

    def _headings(self) -> tuple[str, str, str]:
        quantity = self._reader.sentence(message(f"quantity.{self._wanted.quantity}"))
        return quantity, self._reader.text("paste.gives"), self._reader.text("paste.problem")
