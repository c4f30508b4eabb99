"""What the finder looks like: choices, search field, chips, list, what is left out, buttons."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QProgressBar,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from catalog.library import PartKind
from retrofit.desk.models.part_list_model import PartListModel
from retrofit.desk.reader import Reader
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.chip_row import ChipRow, ChipWords
from retrofit.desk.widgets.part_list_delegate import PartListDelegate

_DETAIL_LINES = 3

_OUT_ROWS = 4
"""Rows of what is left out that are seen at a time."""


class FinderForm(QWidget):
    """The widgets of the finder; what they do is said elsewhere.

    Parameters
    ----------
    kind : str
        "gauge" or "sender": what the step chooses.
    reader, theme : Reader, Theme
        Texts and colours.
    """

    def __init__(
        self, kind: PartKind, reader: Reader, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._reader = reader
        text = reader.text
        self.ways = ChipRow(text("finder.ways"), one=True)
        own = "gauges" if kind == "gauge" else "senders"
        self.ways.offer(
            [ChipWords(way, text(f"finder.way.{way}"), "way") for way in (own, "pairs")]
        )
        self.ways.check(own)
        self.chips = ChipRow(text("finder.only"))
        self.words = QLineEdit()
        self.model, self.out_model = PartListModel(self), PartListModel(self)
        self.list, self.out = QListView(), QListView()
        self._delegate = PartListDelegate(theme, text("parts.own"), self.list)
        self._out_delegate = PartListDelegate(theme, text("parts.own"), self.out)
        self.empty, self.count, self.detail = QLabel(), QLabel(), QLabel()
        self.problem, self.reasons = QLabel(), QLabel()
        self.bar, self.halt = QProgressBar(), QPushButton(text("parts.stop"))
        self.note, self.mend = QLabel(), QPushButton()
        self.fold = QToolButton()
        self.trial = QPushButton(text("finder.try"))
        self.beside = QPushButton(text("finder.compare"))
        self.take = QPushButton(text("finder.take"))
        self._make_lists()
        self._make_rest(kind)
        self._arrange()
        for view in (self.list, self.out):
            theme.changed.connect(view.viewport().update)

    def _make_lists(self) -> None:
        text = self._reader.text
        for view, model, delegate, name in (
            (self.list, self.model, self._delegate, "finder.list"),
            (self.out, self.out_model, self._out_delegate, "finder.out"),
        ):
            view.setModel(model)
            view.setItemDelegate(delegate)
            view.setAccessibleName(text(name))
            view.setUniformItemSizes(True)
            view.setMouseTracking(True)
            view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
            view.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
            view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
            view.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setAccessibleDescription(text("finder.list.description"))
        self.list.setMinimumHeight(262)  # five rows: the page scrolls sooner than the list
        self.out.hide()

    def _make_rest(self, kind: PartKind) -> None:
        text = self._reader.text
        self.words.setPlaceholderText(text(f"parts.{kind}s.placeholder"))
        self.words.setAccessibleName(text("parts.search"))
        self.words.setMaxLength(200)
        for label in (self.count, self.detail, self.empty, self.problem, self.reasons):
            label.setWordWrap(True)
        for label in (self.count, self.detail, self.empty, self.reasons):
            label.setObjectName("muted")
        self.detail.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.detail.setAlignment(Qt.AlignmentFlag.AlignTop)
        # Room for what is usual, so that the list does not move from row to row.
        self.detail.setMinimumHeight(_DETAIL_LINES * self.detail.fontMetrics().lineSpacing())
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setMargin(24)
        self.problem.setObjectName("field-problem")
        self.problem.hide()
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName(text("finder.searching"))
        self.bar.setFixedSize(QSize(120, 6))
        self.note.setObjectName("notice")
        self.note.setMargin(10)
        self.note.setWordWrap(True)
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.hide()
        self.mend.hide()
        self.halt.setObjectName("flat")
        self.halt.setAccessibleName(text("trims.halt"))
        self.fold.setObjectName("fold")
        self.fold.setCheckable(True)
        self.fold.setArrowType(Qt.ArrowType.RightArrow)
        self.fold.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.fold.hide()
        self.trial.setObjectName("toggle")
        self.trial.setCheckable(True)
        self.trial.setToolTip(text("finder.try.hint"))
        self.trial.setAccessibleDescription(text("finder.try.hint"))
        self.beside.setToolTip(text("finder.compare.hint"))
        self.beside.setAccessibleDescription(text("finder.compare.hint"))
        self.take.setObjectName("primary")
        for button in (self.trial, self.beside, self.take):
            button.setAccessibleName(button.text())
            button.setEnabled(False)

    def _arrange(self) -> None:
        status = QHBoxLayout()
        status.setSpacing(8)
        status.addWidget(self.count, 1)
        status.addWidget(self.bar)
        status.addWidget(self.halt)
        doing = QHBoxLayout()
        doing.setSpacing(8)
        doing.addWidget(self.fold)
        doing.addStretch(1)
        for button in (self.trial, self.beside, self.take):
            doing.addWidget(button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(8)
        for widget in (self.ways, self.chips, self.words):
            whole.addWidget(widget)
        noted = QHBoxLayout()
        noted.setSpacing(8)
        noted.addWidget(self.note, 1)
        noted.addWidget(self.mend, 0, Qt.AlignmentFlag.AlignTop)
        whole.addLayout(noted)
        whole.addWidget(self.list, 1)
        whole.addWidget(self.empty, 1)
        whole.addLayout(status)
        whole.addLayout(doing)
        for label in (self.problem, self.detail, self.reasons):
            whole.addWidget(label)
        whole.addWidget(self.out)
        self.setFocusProxy(self.words)

    # --- what is shown ----------------------------------------------------------------------

    def say(self, problem: str) -> None:
        """Show why something could not be done; nothing for an empty text."""
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))

    def show_progress(self, *, running: bool) -> None:
        """Show or hide the bar and the button that stops."""
        self.bar.setVisible(running)
        self.halt.setVisible(running)

    def show_empty(self, words: str, *, nothing: bool) -> None:
        """Show what to do in place of the list where nothing is listed."""
        self.empty.setText(words)
        self.empty.setVisible(nothing)
        self.list.setVisible(not nothing)

    def show_note(self, words: str, go: str) -> None:
        """Show what stands in the way, and a button to where that is mended; nothing for none."""
        self.note.setText(words)
        self.note.setVisible(bool(words))
        self.mend.setText(go)
        self.mend.setAccessibleName(go)
        self.mend.setVisible(bool(go))

    def show_detail(self, lines: Sequence[str]) -> None:
        """Show what is to know of a row."""
        self.detail.setText("\n".join(lines))

    def make_room(self) -> None:
        """Keep room for the widest worst error."""
        self._delegate.make_room_for(row.worst for row in self.model.rows)

    def fit_out(self) -> None:
        """Let the list of what is left out be a few rows high."""
        rows = min(self.out_model.rowCount(), _OUT_ROWS)
        self.out.setVisible(rows > 0)
        if rows:
            self.out.setFixedHeight(self.out.sizeHintForRow(0) * rows + 2)
