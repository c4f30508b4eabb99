"""Fields beside each other in equal columns; a list of long words gets more than one of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field

GAP = 16
"""Room between two columns [logical pixels]."""


@dataclass(frozen=True)
class _Cell:
    """A widget and how it is put in: in a row of its own, or first in one."""

    widget: QWidget
    wide: bool
    first: bool
    at: Qt.AlignmentFlag


class FieldGrid(QGridLayout):
    """Puts fields from left to right, each as many columns wide as its words need.

    Parameters
    ----------
    columns : int
        Columns, at least 1.
    """

    def __init__(self, columns: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._columns = columns
        self._cells: list[_Cell] = []
        self._spans: list[int] = []
        self._begins = False
        self.setContentsMargins(0, 0, 0, 0)
        self.setHorizontalSpacing(GAP)
        self.setVerticalSpacing(12)
        for column in range(columns):
            self.setColumnStretch(column, 1)

    def begin_row(self) -> None:
        """Let what is put in next stand at the beginning of a row."""
        self._begins = True

    def put(self, widget: QWidget, *, wide: bool, at: Qt.AlignmentFlag) -> None:
        """Put a widget in after the others, or in a row of its own."""
        self._cells.append(_Cell(widget, wide, self._begins, at))
        self._begins = False
        self._spans.append(self._columns if wide else 1)
        row, column = self._places()[-1]
        self.addWidget(widget, row, column, 1, self._spans[-1], at)

    def _places(self) -> list[tuple[int, int]]:
        """Return row and column of each cell."""
        found = []
        row = column = 0
        for cell, span in zip(self._cells, self._spans, strict=True):
            if column and (cell.first or column + span > self._columns):
                row, column = row + 1, 0
            found.append((row, column))
            column += span
        return found

    def _span(self, cell: _Cell, width: int) -> int:
        """Return how many columns a cell needs in a width of the whole [logical pixels]."""
        if cell.wide:
            return self._columns
        if not isinstance(cell.widget, Field) or not isinstance(cell.widget.editor, Choice):
            return 1
        one = (width + GAP) / self._columns  # a column and the gap beside it
        return min(self._columns, max(1, math.ceil((cell.widget.editor.room + GAP) / one)))

    def _fit(self, width: int) -> None:
        """Give each cell the columns that it needs in this width."""
        spans = [self._span(cell, width) for cell in self._cells]
        if spans == self._spans:
            return
        self._spans = spans
        for cell in self._cells:
            self.removeWidget(cell.widget)
        for cell, span, (row, column) in zip(self._cells, spans, self._places(), strict=True):
            self.addWidget(cell.widget, row, column, 1, span, cell.at)

    # --- Qt -------------------------------------------------------------------------------------

    def hasHeightForWidth(self) -> bool:  # noqa: N802
        """Say that the height hangs on the width."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802
        """Return the height at a width."""
        self._fit(width)
        return super().heightForWidth(width)

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802
        """Put the fields in a rectangle."""
        self._fit(rect.width())
        super().setGeometry(rect)
