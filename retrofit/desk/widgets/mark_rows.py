"""The marks that matter, a row each, with a row for a new one."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from retrofit.desk.edits import add_mark, remove_mark, set_mark
from retrofit.desk.widgets.mark_row import NARROWEST, STRETCH, MarkRow
from retrofit.desk.workplace import Workplace
from retrofit.plan.document import DutyMark, Side

_HEADS = ("name", "at", "allowed", "flatters")


class MarkRows(QWidget):
    """Edits the marks of the duty.

    Parameters
    ----------
    place : Workplace
        The open plan and the means to work on it.
    """

    problem = Signal(str)
    """What is wrong with a mark; empty when all is well again."""

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = place
        text = place.reader.text
        self.setAccessibleName(text("marks.rows"))
        self._rows: list[MarkRow] = []
        self.heads = QWidget()
        self.empty = QLabel(text("marks.empty"))
        self.empty.setObjectName("muted")
        self.empty.setWordWrap(True)
        self.draft = MarkRow(place.view.plan.duty.kind, place.reader, draft=True)
        self.draft.hide()
        self.add = QPushButton(text("marks.add"))
        self.add.setAccessibleName(text("marks.add"))
        self.add.setAccessibleDescription(text("marks.add.description"))
        self.take = QPushButton(text("marks.take"))
        self.take.setObjectName("primary")
        self.take.setAccessibleName(text("marks.take"))
        self.take.setAccessibleDescription(text("marks.take.description"))
        self.take.hide()
        self._arrange()
        self.add.clicked.connect(self.begin)
        self.take.clicked.connect(self._commit)
        self.draft.finished.connect(self._commit)
        self.draft.removed.connect(self._give_up)
        self.draft.problem.connect(self.problem)
        self.read()

    def _arrange(self) -> None:
        heads = QGridLayout(self.heads)
        heads.setContentsMargins(0, 0, 0, 0)
        heads.setHorizontalSpacing(8)
        for column, key in enumerate(_HEADS):
            label = QLabel(self._place.reader.text(f"marks.{key}"))
            label.setObjectName("field-label")
            label.setMinimumWidth(NARROWEST[column])
            label.setWordWrap(True)
            heads.addWidget(label, 0, column, Qt.AlignmentFlag.AlignBottom)
            heads.setColumnStretch(column, STRETCH[column])
        heads.setColumnMinimumWidth(len(_HEADS), self.draft.remove.sizeHint().width() + 8)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.take)
        buttons.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(6)
        self._column.addWidget(self.heads)
        self._column.addWidget(self.empty)
        self._column.addWidget(self.draft)
        self._column.addLayout(buttons)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    # --- what is asked of it ----------------------------------------------------------------

    @property
    def rows(self) -> Sequence[MarkRow]:
        """The rows of the marks, in their order."""
        return tuple(self._rows)

    def read(self) -> None:
        """Show the marks as they are now."""
        duty = self._place.view.plan.duty
        focused = self._focused()
        while len(self._rows) > len(duty.marks):
            self._drop(self._rows.pop())
        while len(self._rows) < len(duty.marks):
            self._new_row()
        for row, mark in zip(self._rows, duty.marks, strict=True):
            row.set_kind(duty.kind)
            row.show_mark(mark)
        self.draft.set_kind(duty.kind)
        self._order_tabs()
        self._show()
        if focused >= len(self._rows):
            self._focus_on(focused)

    def forget(self) -> None:
        """Drop the new mark and whatever else was typed and not taken: another plan is open."""
        for row in self._rows:
            row.forget()
        self.draft.clear()
        self.draft.hide()
        self._show()

    def go_there(self) -> None:
        """Put the cursor where marks are made: in the first one, or in a new one."""
        if self._rows:
            self._rows[0].name.setFocus()
            self._rows[0].name.selectAll()
        else:
            self.begin()

    def begin(self) -> None:
        """Begin a new mark; it is in the plan once it has a name and a value."""
        self.draft.show()
        self._show()
        self.draft.name.setFocus()

    # --- rows -------------------------------------------------------------------------------

    def _new_row(self) -> None:
        row = MarkRow(self._place.view.plan.duty.kind, self._place.reader)
        row.set_field.connect(self._set)
        row.removed.connect(self._remove)
        row.problem.connect(self.problem)
        before = self._rows[-1] if self._rows else self.heads
        self._column.insertWidget(self._column.indexOf(before) + 1, row)
        self._rows.append(row)
        row.show()  # now, so that it can have the focus

    def _order_tabs(self) -> None:
        """Let Tab go through the rows from above: later rows were made last."""
        order: list[QWidget] = [self.heads]
        for row in (*self._rows, self.draft):
            order += row.editors
        order += [self.take, self.add]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def _drop(self, row: MarkRow) -> None:
        self._column.removeWidget(row)
        row.hide()
        row.deleteLater()

    def _focused(self) -> int:
        """Return the number of the row that has the focus, −1 for none."""
        return next((i for i, row in enumerate(self._rows) if row.has_focus), -1)

    def _focus_on(self, gone: int) -> None:
        """Keep the focus in the rows when the last one has gone."""
        if gone < 0:
            return
        if self._rows:
            self._rows[-1].remove.setFocus()
        else:
            self.add.setFocus()

    def _show(self) -> None:
        drafting = not self.draft.isHidden()
        self.heads.setVisible(bool(self._rows) or drafting)
        self.empty.setVisible(not self._rows and not drafting)
        self.add.setVisible(not drafting)
        self.take.setVisible(drafting)

    # --- the user ---------------------------------------------------------------------------

    def _index(self) -> int:
        return self._rows.index(cast("MarkRow", self.sender()))

    def _set(self, field: str, value: object, more: bool) -> None:
        index = self._index()
        row = self._rows[index]
        if field == "name" and not value:
            row.show_problem(self._place.reader.text("marks.no_name"))
            return
        problem = self._place.attempt(set_mark(index, field, value), more=more)
        row.show_problem(problem)

    def _remove(self) -> None:
        self.problem.emit(self._place.attempt(remove_mark(self._index())))

    def _commit(self) -> None:
        """Put the new mark into the plan, or say what it lacks."""
        draft, text = self.draft, self._place.reader.text
        if not draft.commit():
            return  # the sentence that says why is shown
        if not draft.words:
            draft.show_problem(text("marks.no_name"))
            draft.name.setFocus()
        elif draft.at.amount is None:
            draft.show_problem(text("marks.no_value"))
            draft.at.setFocus()
        else:
            side = cast("Side", draft.flatters.word or "unknown")
            mark = DutyMark(draft.words, draft.at.amount, draft.allowed.amount, side)
            problem = self._place.attempt(add_mark(mark))
            draft.show_problem(problem)
            if not problem:
                self._give_up()

    def _give_up(self) -> None:
        """Forget the new mark."""
        self.draft.clear()
        self.draft.hide()
        self._show()
        self.add.setFocus()

    # --- Qt -------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Let Escape forget the new mark."""
        if event.matches(QKeySequence.StandardKey.Cancel) and self.draft.has_focus:
            self._give_up()
        else:
            super().keyPressEvent(event)
