"""Readings of an unknown part, two fields a row; nothing is refused for being out of order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.quantity_edit import QuantityEdit

_BEGIN = 3
"""Rows at the start: three readings usually tell."""


class SeenRow(QWidget):
    """One reading: a value, and what was read there."""

    changed = Signal()
    """Another number stands here."""

    removed = Signal()
    """The user takes the reading away."""

    finished = Signal()
    """Return was pressed in the last field."""

    def __init__(
        self, kinds: tuple[Kind, Kind], reader: Reader, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._problems = ["", ""]
        self.at = QuantityEdit(kinds[0], reader, "", optional=True)
        self.gives = QuantityEdit(kinds[1], reader, "", optional=True)
        self.remove = QToolButton()
        self.remove.setText("✕")
        self.remove.setObjectName("flat")
        self.under = QLabel()
        self.under.setObjectName("field-problem")
        self.under.setWordWrap(True)
        self.under.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        for editor in (self.at, self.gives):
            editor.setMinimumHeight(editor.sizeHint().height())
        grid.addWidget(self.at, 0, 0)
        grid.addWidget(self.gives, 0, 1)
        grid.addWidget(self.remove, 0, 2)
        grid.addWidget(self.under, 1, 0, 1, 3)
        for column in (0, 1):
            grid.setColumnStretch(column, 1)
        for editor in (self.at, self.gives):
            editor.edited.connect(self._edited)
            editor.nudged.connect(self._edited)
        self.at.refused.connect(self._at_refused)
        self.gives.refused.connect(self._gives_refused)
        self.gives.returnPressed.connect(self._finish)
        self.remove.clicked.connect(self.removed)

    @property
    def pair(self) -> tuple[Amount, Amount] | None:
        """Both numbers, None while one is missing or cannot be read."""
        if any(self._problems) or self.at.amount is None or self.gives.amount is None:
            return None
        return self.at.amount, self.gives.amount

    def _edited(self, amount: object) -> None:
        del amount
        self.changed.emit()

    def _finish(self) -> None:
        self.gives.commit()
        self.finished.emit()

    def _at_refused(self, text: str) -> None:
        self._refuse(0, text)

    def _gives_refused(self, text: str) -> None:
        self._refuse(1, text)

    def _refuse(self, place: int, text: str) -> None:
        changed = self._problems[place] != text
        self._problems[place] = text
        said = "\n".join(one for one in self._problems if one)
        self.under.setText(said)
        self.under.setVisible(bool(said))
        if changed:
            self.changed.emit()


class SeenRows(QWidget):
    """Rows of readings.

    Parameters
    ----------
    heads : tuple of str
        Keys of the headings of the two columns.
    reader : Reader
        Texts and units.
    """

    changed = Signal()
    """Other readings stand here."""

    def __init__(
        self, heads: tuple[str, str], reader: Reader, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._reader = reader
        self._kinds = (Kind.LEVEL, Kind.RESISTANCE)
        self._heads = heads
        self.rows: list[SeenRow] = []
        self.heads = [QLabel(reader.text(head)) for head in heads]
        self.add = QPushButton(reader.text("seen.add"))
        self.add.clicked.connect(self._begin)
        grid = QGridLayout()
        for column, label in enumerate(self.heads):
            label.setObjectName("field-label")
            grid.addWidget(label, 0, column)
            grid.setColumnStretch(column, 1)
        grid.setColumnMinimumWidth(2, 42)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(6)
        self._column.addLayout(grid)
        below = QHBoxLayout()
        below.addWidget(self.add)
        below.addStretch(1)
        self._column.addLayout(below)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        for _ in range(_BEGIN):
            self._new()

    @property
    def pairs(self) -> Sequence[tuple[Amount, Amount]]:
        """The complete readings, in order."""
        return [row.pair for row in self.rows if row.pair is not None]

    @property
    def refused(self) -> bool:
        """Whether something stands in a row that cannot be read."""
        return any(not row.under.isHidden() for row in self.rows)

    def set_kinds(self, value: Kind, gives: Kind, head: str = "") -> None:
        """Take readings of other kinds from now on; those of the old kinds go."""
        self._kinds = (value, gives)
        for row in self.rows:
            row.at.set_kind(value)
            row.gives.set_kind(gives)
        if head:
            self.heads[0].setText(head)
        self._name()

    def clear(self) -> None:
        """Take all readings away."""
        for row in self.rows:
            row.at.set_amount(None)
            row.gives.set_amount(None)
        self.changed.emit()

    def _new(self) -> SeenRow:
        row = SeenRow(self._kinds, self._reader)
        row.changed.connect(self.changed)
        row.removed.connect(self._remove)
        row.finished.connect(self._next)
        self._column.insertWidget(self._column.count() - 1, row)
        self.rows.append(row)
        self._name()
        before = self.rows[-2].remove if len(self.rows) > 1 else None
        if before is not None:
            QWidget.setTabOrder(before, row.at)
        for one, other in ((row.at, row.gives), (row.gives, row.remove), (row.remove, self.add)):
            QWidget.setTabOrder(one, other)
        return row

    def _name(self) -> None:
        text = self._reader.text
        for number, row in enumerate(self.rows, 1):
            for editor, head in ((row.at, self.heads[0]), (row.gives, self.heads[1])):
                editor.setAccessibleName(text("points.field_of", field=head.text(), row=number))
            row.remove.setAccessibleName(text("points.remove", row=number))
            row.remove.setToolTip(text("points.remove", row=number))

    def _begin(self) -> None:
        row = self._new()
        row.show()
        row.at.setFocus()

    def _remove(self) -> None:
        row = cast("SeenRow", self.sender())
        self.rows.remove(row)
        self._column.removeWidget(row)
        row.hide()
        row.deleteLater()
        if not self.rows:
            self._new().show()
        self._name()
        self.changed.emit()

    def _next(self) -> None:
        index = self.rows.index(cast("Any", self.sender()))
        if index + 1 < len(self.rows):
            self.rows[index + 1].at.setFocus()
        else:
            self._begin()
