"""The preview of a pasted table, as plain values for a table view."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

_NOWHERE = QModelIndex()
VALUE, GIVES, PROBLEM = range(3)


@dataclass(frozen=True)
class PreviewRow:
    """One row of the preview.

    Attributes
    ----------
    number : int
        As a spreadsheet counts it.
    value, gives : str
        The two cells.
    problem : str
        The sentence that says what is wrong, empty for nothing.
    """

    number: int
    value: str
    gives: str
    problem: str = ""


class PreviewRole(IntEnum):
    """What a row tells its painter."""

    WRONG = int(Qt.ItemDataRole.UserRole) + 1


class TablePreviewModel(QAbstractTableModel):
    """Rows of a pasted table: value, what it gives, what is wrong.

    Parameters
    ----------
    headings : tuple of str
        Of the three columns.
    """

    def __init__(self, headings: tuple[str, str, str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._headings = headings
        self._rows: list[PreviewRow] = []

    @property
    def rows(self) -> Sequence[PreviewRow]:
        """The rows, in the order shown."""
        return tuple(self._rows)

    def show_headings(self, headings: tuple[str, str, str]) -> None:
        """Show other headings."""
        if headings != self._headings:
            self._headings = headings
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, VALUE, PROBLEM)

    def show_rows(self, rows: Sequence[PreviewRow]) -> None:
        """Show other rows; only those that differ are shown anew."""
        old, new = len(self._rows), len(rows)
        if new < old:
            self.beginRemoveRows(_NOWHERE, new, old - 1)
            del self._rows[new:]
            self.endRemoveRows()
        differing = [i for i, row in enumerate(self._rows) if row != rows[i]]
        if differing:
            first, last = differing[0], differing[-1]
            self._rows[first : last + 1] = rows[first : last + 1]
            self.dataChanged.emit(self.index(first, VALUE), self.index(last, PROBLEM))
            self.headerDataChanged.emit(Qt.Orientation.Vertical, first, last)
        if new > old:
            self.beginInsertRows(_NOWHERE, old, new - 1)
            self._rows.extend(rows[old:])
            self.endInsertRows()

    # --- Qt -------------------------------------------------------------------------------------

    def rowCount(  # noqa: N802
        self, parent: QModelIndex | QPersistentModelIndex = _NOWHERE
    ) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(  # noqa: N802
        self, parent: QModelIndex | QPersistentModelIndex = _NOWHERE
    ) -> int:
        """Return three."""
        return 0 if parent.isValid() else len(self._headings)

    def data(
        self,
        index: QModelIndex | QPersistentModelIndex,
        role: int = int(Qt.ItemDataRole.DisplayRole),
    ) -> Any:
        """Return one cell as a plain value."""
        if not index.isValid() or not 0 <= index.row() < len(self._rows):
            return None
        row = self._rows[index.row()]
        cell = (row.value, row.gives, row.problem)[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.problem or cell
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{cell}. {row.problem}" if row.problem and index.column() != PROBLEM else cell
        if role == PreviewRole.WRONG:
            return bool(row.problem)
        return None

    def headerData(  # noqa: N802
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = int(Qt.ItemDataRole.DisplayRole),
    ) -> Any:
        """Return the heading of a column, or the number of a row."""
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if orientation is Qt.Orientation.Horizontal:
            return self._headings[section] if 0 <= section < len(self._headings) else None
        return str(self._rows[section].number) if 0 <= section < len(self._rows) else None
