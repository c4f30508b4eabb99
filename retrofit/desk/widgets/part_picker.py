"""Choosing a part: type words, look at what each part would do, take one."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QProgressBar,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from catalog.errors import UserError
from retrofit.desk.jobs import Executor
from retrofit.desk.models.part_list_model import PartListModel, PartRole, PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.part_list_delegate import PartListDelegate
from retrofit.desk.widgets.part_rating import PartRating, Rate
from retrofit.desk.widgets.rows_view import RowsView
from retrofit.plan.candidates import Candidate, best_first

MOST_ROWS = 500
"""Rows that are listed; more are not looked through by anyone, the count says what to do."""

Search = Callable[[str], Sequence[PartRow]]


@dataclass(frozen=True)
class PickerWords:
    """What a picker says of its parts; each is a key of the texts.

    Attributes
    ----------
    name : str
        Accessible name of the list.
    placeholder : str
        What can be typed.
    nothing : str
        What to do where there are no parts at all.
    """

    name: str
    placeholder: str
    nothing: str


GAUGES = PickerWords("parts.gauges", "parts.gauges.placeholder", "parts.gauges.nothing")
SENDERS = PickerWords("parts.senders", "parts.senders.placeholder", "parts.senders.nothing")


class PartPicker(QWidget):
    """A search field over a list of parts.

    Parameters
    ----------
    words : PickerWords
        What the parts are.
    search : callable
        From the typed words to the rows that match; called in the thread of the window. A
        UserError that it raises is shown in the place of the rows.
    reader, theme : Reader, Theme
        Texts and colours.
    executor : Executor
        Rates the listed parts aside.
    """

    picked = Signal(str)
    """The user takes the part with this key."""

    looked_at = Signal(str)
    """Another part is selected; empty for none."""

    def __init__(
        self,
        words: PickerWords,
        search: Search,
        reader: Reader,
        theme: Theme,
        executor: Executor,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._words = words
        self._search = search
        self._reader = reader
        self._total = 0
        self._arranging = False
        self._stale = False
        self._trouble = ""
        self._present = ""
        self._found: tuple[PartRow, ...] = ()
        self.rating = PartRating(executor, self)
        self.model = PartListModel(self)
        self.words = QLineEdit()
        self.list = RowsView()
        self._delegate = PartListDelegate(theme, reader.text("parts.own"), self.list)
        self.empty = QLabel()
        self.count = QLabel()
        self.take = QPushButton()
        self.bar = QProgressBar()
        self.halt = QPushButton()
        # A widget, not a bare layout: that would show its first child as a window of its own.
        self._stack = QStackedWidget()
        self._make_search()
        self._make_list()
        self._arrange()
        self._connect(reader, theme)
        self.search_again()

    # --- making -----------------------------------------------------------------------------

    def _make_search(self) -> None:
        text = self._reader.text
        self.words.setPlaceholderText(text(self._words.placeholder))
        self.words.setAccessibleName(text("parts.search"))
        self.words.setAccessibleDescription(text(self._words.placeholder))
        self.words.setMaxLength(200)
        self.take.setText(text("parts.take"))
        self.take.setObjectName("primary")
        self.take.setAccessibleName(text("parts.take"))
        self.halt.setText(text("parts.stop"))
        self.halt.setObjectName("flat")
        self.halt.setAccessibleName(text("parts.stop.name"))
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName(text("parts.rating"))

    def _make_list(self) -> None:
        self.list.setModel(self.model)
        self.list.setItemDelegate(self._delegate)
        self.list.setAccessibleName(self._reader.text(self._words.name))
        self.list.setAccessibleDescription(self._reader.text("parts.list.description"))
        self.list.setUniformItemSizes(True)
        self.list.setMouseTracking(True)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.list.setResizeMode(QListView.ResizeMode.Adjust)  # a narrow row has a line more
        self.empty.setWordWrap(True)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setObjectName("muted")
        self.empty.setMargin(24)
        self.count.setObjectName("muted")
        self.count.setWordWrap(True)

    def _arrange(self) -> None:
        self._stack.addWidget(self.list)
        self._stack.addWidget(self.empty)
        below = QHBoxLayout()
        below.setSpacing(8)
        below.addWidget(self.count, 1)
        below.addWidget(self.bar)
        below.addWidget(self.halt)
        below.addWidget(self.take)
        self.bar.setFixedSize(QSize(120, 6))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 10, 0, 0)
        whole.setSpacing(8)
        whole.addWidget(self.words)
        whole.addWidget(self._stack, 1)
        whole.addLayout(below)
        self.setFocusProxy(self.words)

    def _connect(self, reader: Reader, theme: Theme) -> None:
        self.words.textChanged.connect(self.search_again)
        self.words.returnPressed.connect(self._take)
        self.list.doubleClicked.connect(self._take)
        self.take.clicked.connect(self._take)
        self.halt.clicked.connect(self.rating.stop)
        self.rating.rated.connect(self._rated)
        self.rating.moved.connect(self._moved)
        self.list.selectionModel().currentChanged.connect(self._looked)
        reader.changed.connect(self._write)
        theme.changed.connect(self.list.viewport().update)
        down = QShortcut(QKeySequence(Qt.Key.Key_Down), self.words)
        down.setContext(Qt.ShortcutContext.WidgetShortcut)
        down.activated.connect(self._into_list)
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            enter = QShortcut(QKeySequence(key), self.list)
            enter.setContext(Qt.ShortcutContext.WidgetShortcut)
            enter.activated.connect(self._take)

    # --- what is asked of it ----------------------------------------------------------------

    @property
    def key(self) -> str:
        """Key of the part that is selected, empty for none."""
        return str(self.list.currentIndex().data(PartRole.KEY) or "")

    def rate_with(self, rate: Rate | None) -> None:
        """Rate the listed parts with a function for the plan as it is now; None: don't.

        What was rated for the plan before is forgotten. Nothing is rated while the picker is
        hidden.
        """
        self.rating.use(rate)
        self._stale = True
        self._catch_up()

    def set_present(self, key: str) -> None:
        """Say which part is taken already: taking it again would change nothing."""
        self._present = key
        self._offer()

    def _offer(self) -> None:
        offered = self.key not in ("", self._present)
        if not offered and self.take.hasFocus():
            self.list.setFocus()  # Qt would go to whatever comes next, with all of it selected
        self.take.setEnabled(offered)

    def look_at(self, key: str) -> None:
        """Select a part; nothing is selected where it is not listed."""
        row = self.model.row_of(key)
        selection = self.list.selectionModel()
        if row < 0:
            selection.clear()
            return
        index = self.model.index(row)
        selection.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self.list.scrollTo(index)

    def begin_anew(self) -> None:
        """Forget what was typed and rated: another plan is open."""
        self.rating.forget()
        self.words.clear()
        self.search_again()

    def search_again(self) -> None:
        """Search again, for instance because the catalogue has changed."""
        self._trouble = ""
        found: Sequence[PartRow] = ()
        try:
            found = self._search(self.words.text())
        except UserError as error:
            self._trouble = self._reader.error(error)
        self._total = len(found)
        self._found = tuple(found[:MOST_ROWS])
        self._show(self._in_order([self._filled(row) for row in self._found]))
        self._stale = not self.isVisible()
        if not self._stale:
            self.rating.want([row.key for row in self.model.rows])

    def _catch_up(self) -> None:
        """Search and rate again where that has waited; not while nobody looks."""
        if self._stale and self.isVisible():
            self.search_again()

    # --- rows -------------------------------------------------------------------------------

    def _filled(self, row: PartRow) -> PartRow:
        """Return a row with what is known of its part."""
        candidate = self.rating.of(row.key)
        if candidate is None:
            return self._as_before(row)
        reader = self._reader
        worst = self._worst(candidate)
        says = reader.sentence(candidate.says)
        verdict = reader.text(f"verdict.{candidate.verdict.value}")
        spoken = reader.text("parts.spoken", verdict=verdict, name=row.name, says=says, worst=worst)
        return replace(
            row,
            detail=says,
            verdict=candidate.verdict,
            worst=worst,
            errors=candidate.errors or None,
            allowed=candidate.allowed,
            spoken=spoken,
        )

    def _as_before(self, row: PartRow) -> PartRow:
        """Return a row with what its part was in the plan before it changed, told to be old."""
        old = self.rating.before(row.key)
        if old is None:
            return row
        return replace(
            row,
            detail=self._reader.sentence(old.says),
            verdict=old.verdict,
            worst=self._worst(old),
            errors=old.errors or None,
            allowed=old.allowed,
            spoken=self._reader.text("parts.spoken_old", name=row.name),
            stale=True,
        )

    def _worst(self, candidate: Candidate) -> str:
        if math.isnan(candidate.worst.value):
            return self._reader.text("value.unknown")
        size = self._reader.si(candidate.worst)
        return f"≥ {size}" if candidate.at_least else size

    def _in_order(self, rows: Sequence[PartRow]) -> Sequence[PartRow]:
        """Put the best row first once all are rated; until then none that is listed moves."""
        by_key = {row.key: row for row in rows}
        found = [c for c in (self.rating.of(key) for key in by_key) if c is not None]
        if len(found) == len(rows):
            return [by_key[candidate.key] for candidate in best_first(found)]
        before = {row.key: place for place, row in enumerate(self.model.rows)}
        return sorted(rows, key=lambda row: before.get(row.key, len(before)))

    def _show(self, rows: Sequence[PartRow]) -> None:
        """List rows; the selected part stays selected, or nothing is."""
        before = self.key
        self._arranging = True
        self.model.show_rows(rows)
        self.look_at(before)
        self._arranging = False
        self._stack.setCurrentWidget(self.list if rows else self.empty)
        self.empty.setText(self._trouble or self._nothing())
        self._tell_count()
        self._offer()
        if self.key != before:
            self.looked_at.emit(self.key)

    def _nothing(self) -> str:
        """Return what to do where no part is listed."""
        words = self.words.text().strip()
        if words:
            return self._reader.text("parts.none", words=words)
        return self._reader.text(self._words.nothing)

    def _write(self) -> None:
        """Write the rows anew, in other units."""
        self.model.update_rows([self._filled(row) for row in self._found])
        self._tell_count()

    def _tell_count(self) -> None:
        shown = self.model.rowCount()
        key = "parts.count_cut" if self._total > shown else "parts.count"
        said = self._reader.text(key, shown=shown, total=self._total) if shown else ""
        self.count.setText(said)
        self._delegate.make_room_for(row.worst for row in self.model.rows)

    # --- rating -----------------------------------------------------------------------------

    def _rated(self, keys: Sequence[str]) -> None:
        rated = set(keys)
        self.model.update_rows([self._filled(row) for row in self._found if row.key in rated])
        self._tell_count()

    def _moved(self) -> None:
        running = self.rating.running
        self.bar.setVisible(running)
        self.halt.setVisible(running)
        if running:
            self.bar.setRange(0, self.rating.total)
            self.bar.setValue(self.rating.done)
        elif not self._arranging and self.model.rowCount():
            rows = self.model.rows
            ordered = self._in_order(rows)
            if list(ordered) != list(rows):
                self._show(ordered)

    # --- the user ---------------------------------------------------------------------------

    def _looked(self, now: QModelIndex, before: QModelIndex) -> None:
        del now, before
        if not self._arranging:
            self._offer()
            self.looked_at.emit(self.key)

    def _take(self) -> None:
        key = self.key
        if not key and self.model.rowCount() == 1:
            key = self.model.rows[0].key
        if key:
            self.picked.emit(key)
        elif self.model.rowCount():
            self._into_list()

    def _into_list(self) -> None:
        """Go from the words to the list."""
        if not self.model.rowCount():
            return
        self.list.setFocus()
        if not self.key:
            self.look_at(self.model.rows[0].key)

    # --- Qt -------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Rate what waited for being seen."""
        super().showEvent(event)
        self._catch_up()

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        """Rate nothing that nobody sees."""
        super().hideEvent(event)
        if self.rating.running:
            self.rating.stop()
            self._stale = True
