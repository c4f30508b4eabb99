"""A list of two-line rows as high as it is told, with what is said where it is empty."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QLabel,
    QListView,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from retrofit.desk.models.part_list_model import PartListModel, PartRole, PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.part_list_delegate import PartListDelegate


class RowList(QWidget):
    """Rows of which one is looked at.

    Parameters
    ----------
    name : str
        Accessible name.
    reader, theme : Reader, Theme
        Texts and colours.
    """

    looked_at = Signal(str)
    """Another row is looked at: its key, empty for none."""

    taken = Signal(str)
    """Return was pressed on a row, or it was clicked twice: its key."""

    def __init__(
        self, name: str, reader: Reader, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._arranging = False
        self.model = PartListModel(self)
        self.view = QListView()
        self._delegate = PartListDelegate(theme, reader.text("parts.own"), self.view)
        self.empty = QLabel()
        self.empty.setObjectName("muted")
        self.empty.setWordWrap(True)
        self.empty.setMargin(24)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        view = self.view
        view.setModel(self.model)
        view.setItemDelegate(self._delegate)
        view.setAccessibleName(name)
        view.setUniformItemSizes(True)
        view.setMouseTracking(True)
        view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        view.setResizeMode(QListView.ResizeMode.Adjust)
        self._stack = QStackedWidget()
        self._stack.addWidget(view)
        self._stack.addWidget(self.empty)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._stack)
        self.setFocusProxy(view)
        view.selectionModel().currentChanged.connect(self._looked)
        view.doubleClicked.connect(self._take)
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            enter = QShortcut(QKeySequence(key), view)
            enter.setContext(Qt.ShortcutContext.WidgetShortcut)
            enter.activated.connect(self._take)
        theme.changed.connect(view.viewport().update)

    @property
    def key(self) -> str:
        """Key of the row that is looked at, empty for none."""
        return str(self.view.currentIndex().data(PartRole.KEY) or "")

    def show_rows(self, rows: Sequence[PartRow], nothing: str) -> None:
        """List rows; the one that is looked at stays so, or none is. `nothing` where empty."""
        before = self.key
        self._arranging = True
        self.model.show_rows(rows)
        self._delegate.make_room_for(row.worst for row in rows)
        self.look_at(before)
        self._arranging = False
        self.empty.setText(nothing)
        self._stack.setCurrentWidget(self.view if rows else self.empty)
        if self.key != before:
            self.looked_at.emit(self.key)

    def fit(self, most: int) -> None:
        """Be as high as the rows are, up to so many of them."""
        high = max(1, min(most, self.model.rowCount()))
        hint = self.view.sizeHintForRow(0)
        self.setFixedHeight(high * (hint if hint > 0 else 54) + 2)

    def look_at(self, key: str) -> None:
        """Look at a row; at none where it is not listed."""
        row = self.model.row_of(key)
        selection = self.view.selectionModel()
        if row < 0:
            selection.clear()
            return
        index = self.model.index(row)
        selection.setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self.view.scrollTo(index)

    def _looked(self, now: QModelIndex, before: QModelIndex) -> None:
        del now, before
        if not self._arranging:
            self.looked_at.emit(self.key)

    def _take(self) -> None:
        if self.key:
            self.taken.emit(self.key)
