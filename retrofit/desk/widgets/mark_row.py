"""One mark that matters: name, value, the error allowed there, the side that hides danger."""

from __future__ import annotations

from typing import get_args

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QToolButton, QWidget

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.plan.document import DutyMark, Side

STRETCH = (3, 2, 2, 2)
"""How the four fields share the width; the heads above them do the same."""

NARROWEST = (96, 72, 86, 146)
"""Least width of the four fields [logical pixels]: what stands in them can be read."""


class MarkRow(QWidget):
    """Edits one mark.

    Parameters
    ----------
    kind : Kind
        What is read.
    reader : Reader
        Units and texts.
    draft : bool
        Whether it is a mark not yet in the plan, whose value may be missing.
    """

    set_field = Signal(str, object, bool)
    """A field of the mark has another value: its name, the value, whether more follows."""

    removed = Signal()
    """The user takes the mark away."""

    problem = Signal(str)
    """What was typed cannot be used: the sentence; empty when all is well again."""

    finished = Signal()
    """Return was pressed in the row."""

    def __init__(
        self, kind: Kind, reader: Reader, *, draft: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        text = reader.text
        self._reader = reader
        self.name = QLineEdit()
        self.name.setMaxLength(120)
        self.name.setPlaceholderText(text("marks.name.placeholder"))
        self.at = QuantityEdit(kind, reader, text("marks.at"), optional=draft)
        self.allowed = QuantityEdit(difference(kind), reader, text("marks.allowed"), optional=True)
        self.allowed.setPlaceholderText(text("marks.allowed.placeholder"))
        sides = [(side, text(f"marks.side.{side}")) for side in get_args(Side)]
        self.flatters = Choice(sides, text("marks.flatters"))
        self.flatters.set_word("unknown")
        self.remove = QToolButton()
        self.remove.setText("✕")
        self.remove.setObjectName("flat")
        self.remove.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.under = QLabel()
        self.under.setObjectName("field-problem")
        self.under.setWordWrap(True)
        self.under.hide()
        self._arrange()
        self._connect()
        self.name_fields("")

    def _arrange(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        for column, editor in enumerate((self.name, self.at, self.allowed, self.flatters)):
            grid.addWidget(editor, 0, column)
            grid.setColumnStretch(column, STRETCH[column])
            # Equal minimums keep the columns of all rows under each other.
            editor.setMinimumWidth(NARROWEST[column])
        grid.addWidget(self.remove, 0, len(STRETCH))
        grid.addWidget(self.under, 1, 0, 1, len(STRETCH) + 1)

    def _connect(self) -> None:
        self.name.editingFinished.connect(self._named)
        self.at.edited.connect(self._at_edited)
        self.at.nudged.connect(self._at_nudged)
        self.allowed.edited.connect(self._allowed_edited)
        self.allowed.nudged.connect(self._allowed_nudged)
        self.flatters.chosen.connect(self._side_chosen)
        self.remove.clicked.connect(self.removed)
        for editor in (self.at, self.allowed):
            editor.refused.connect(self.show_problem)
        for line in (self.name, self.at, self.allowed):
            line.returnPressed.connect(self._finish)

    @property
    def editors(self) -> tuple[QWidget, ...]:
        """Everything in the row that takes the focus, in order."""
        return self.name, self.at, self.allowed, self.flatters, self.remove

    @property
    def has_focus(self) -> bool:
        """Whether somebody works in the row."""
        return any(editor.hasFocus() for editor in self.editors)

    def set_kind(self, kind: Kind) -> None:
        """Edit a mark of another quantity from now on."""
        self.at.set_kind(kind)
        self.allowed.set_kind(difference(kind))

    def show_mark(self, mark: DutyMark) -> None:
        """Show a mark as it is in the plan."""
        if mark.name != self.name.text() and not (self.name.isModified() and self.name.hasFocus()):
            self.name.setText(mark.name)
            self.name.setCursorPosition(0)
        self.at.set_amount(mark.at)
        self.allowed.set_amount(mark.allowed)
        self.flatters.set_word(mark.flatters)
        self.name_fields(mark.name)

    def name_fields(self, name: str) -> None:
        """Tell a screen reader whose fields these are."""
        text = self._reader.text
        of = name or text("marks.new")
        for editor, key in (
            (self.name, "name"),
            (self.at, "at"),
            (self.allowed, "allowed"),
            (self.flatters, "flatters"),
        ):
            editor.setAccessibleName(text("marks.field_of", field=text(f"marks.{key}"), mark=of))
            editor.setToolTip(text(f"marks.{key}.description"))
        self.name.setAccessibleDescription(text("marks.name.description"))
        self.flatters.setAccessibleDescription(text("marks.flatters.description"))
        self.remove.setAccessibleName(text("marks.remove", mark=of))
        self.remove.setToolTip(text("marks.remove", mark=of))

    def show_problem(self, text: str) -> None:
        """Show what is wrong with the mark; nothing when `text` is empty."""
        self.under.setText(text)
        self.under.setVisible(bool(text))
        self.problem.emit(text)

    def forget(self) -> None:
        """Drop what was typed and not taken."""
        self.name.setModified(False)
        for editor in (self.at, self.allowed):
            editor.forget()
        self.show_problem("")

    def clear(self) -> None:
        """Empty every field, for the next new mark."""
        self.name.clear()
        for editor in (self.at, self.allowed):
            editor.clear()
            editor.setModified(False)
            editor.set_amount(None)
        self.flatters.set_word("unknown")
        self.show_problem("")

    @property
    def words(self) -> str:
        """The name as typed."""
        return self.name.text().strip()

    def commit(self) -> bool:
        """Take what has been typed so far; return whether all of it could be read."""
        self._named()
        self.at.commit()
        self.allowed.commit()
        return not (self.at.isModified() or self.allowed.isModified())

    def _finish(self) -> None:
        self.commit()
        self.finished.emit()

    def _named(self) -> None:
        if self.name.isModified():
            self.name.setModified(False)
            self.set_field.emit("name", self.words, False)

    def _at_edited(self, amount: Amount | None) -> None:
        self.set_field.emit("at", amount, False)

    def _at_nudged(self, amount: Amount | None) -> None:
        self.set_field.emit("at", amount, True)

    def _allowed_edited(self, amount: Amount | None) -> None:
        self.set_field.emit("allowed", amount, False)

    def _allowed_nudged(self, amount: Amount | None) -> None:
        self.set_field.emit("allowed", amount, True)

    def _side_chosen(self, side: str) -> None:
        self.set_field.emit("flatters", side, False)
