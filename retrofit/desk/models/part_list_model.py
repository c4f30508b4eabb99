"""The list of parts to choose from, as plain values for a list view."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from retrofit.plan.checks.check import Verdict

_NOWHERE = QModelIndex()


@dataclass(frozen=True)
class PartRow:
    """One part in a list: what it is, then why.

    Attributes
    ----------
    key : str
        Key of the part.
    name, detail : str
        The two lines.
    verdict : Verdict or None
        Whether the needle would be right with it; None while nobody has looked.
    worst : str
        Worst needle error, as shown; empty while it is not known.
    errors : tuple of float or None
        Needle error over the range [SI difference], NaN where not known; None before rating.
    own : bool
        Whether it is the user's own part, not the program's.
    allowed : float or None
        Allowed error [the same unit], for the corridor of the small curve.
    spoken : str
        All of it in one sentence, for a screen reader.
    starred : bool
        Whether it stands out: nothing else beats it.
    stale : bool
        Whether what is said of it is of the plan before it changed.
    """

    key: str
    name: str
    detail: str
    verdict: Verdict | None = None
    worst: str = ""
    errors: tuple[float, ...] | None = None
    own: bool = False
    allowed: float | None = None
    spoken: str = ""
    starred: bool = False
    stale: bool = False


class PartRole(IntEnum):
    """What a row tells its painter."""

    KEY = int(Qt.ItemDataRole.UserRole) + 1
    DETAIL = KEY + 1
    VERDICT = KEY + 2
    WORST = KEY + 3
    ERRORS = KEY + 4
    OWN = KEY + 5
    ALLOWED = KEY + 6
    STARRED = KEY + 7
    STALE = KEY + 8


class PartListModel(QAbstractListModel):
    """The parts of a list, in the order shown; never reset, so that a selection stays."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: list[PartRow] = []

    @property
    def rows(self) -> Sequence[PartRow]:
        """The rows, in the order shown."""
        return tuple(self._rows)

    def row_of(self, key: str) -> int:
        """Return the number of the row with a key, −1 where there is none."""
        return next((i for i, row in enumerate(self._rows) if row.key == key), -1)

    def show_rows(self, rows: Sequence[PartRow]) -> None:
        """Show these rows in this order; those that were there stay the rows that they were.

        Parameters
        ----------
        rows : sequence of PartRow
            Keys differ.
        """
        self._remove_all_but({row.key for row in rows})
        present = {row.key for row in self._rows}
        place = 0
        while place < len(rows):
            if rows[place].key in present:
                self._bring(rows[place].key, place)
                self._replace(place, rows[place])
                place += 1
                continue
            end = place
            while end < len(rows) and rows[end].key not in present:
                end += 1
            self._insert(place, rows[place:end])
            place = end

    def update_rows(self, rows: Iterable[PartRow]) -> None:
        """Show what is new about rows that are there; others are left out."""
        places = {row.key: i for i, row in enumerate(self._rows)}
        for row in rows:
            if row.key in places:
                self._replace(places[row.key], row)

    def _remove_all_but(self, kept: set[str]) -> None:
        last = len(self._rows) - 1
        while last >= 0:
            if self._rows[last].key in kept:
                last -= 1
                continue
            first = last
            while first > 0 and self._rows[first - 1].key not in kept:
                first -= 1
            self.beginRemoveRows(_NOWHERE, first, last)
            del self._rows[first : last + 1]
            self.endRemoveRows()
            last = first - 1

    def _insert(self, place: int, rows: Sequence[PartRow]) -> None:
        self.beginInsertRows(_NOWHERE, place, place + len(rows) - 1)
        self._rows[place:place] = rows
        self.endInsertRows()

    def _bring(self, key: str, place: int) -> None:
        """Move the row with a key up to a place; what is above the place is in order already."""
        if self._rows[place].key == key:
            return
        found = next(i for i in range(place + 1, len(self._rows)) if self._rows[i].key == key)
        self.beginMoveRows(_NOWHERE, found, found, _NOWHERE, place)
        self._rows.insert(place, self._rows.pop(found))
        self.endMoveRows()

    def _replace(self, place: int, row: PartRow) -> None:
        if self._rows[place] != row:
            self._rows[place] = row
            index = self.index(place)
            self.dataChanged.emit(index, index)

    # --- Qt -------------------------------------------------------------------------------------

    def rowCount(  # noqa: N802
        self, parent: QModelIndex | QPersistentModelIndex = _NOWHERE
    ) -> int:
        """Return how many parts there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(
        self,
        index: QModelIndex | QPersistentModelIndex,
        role: int = int(Qt.ItemDataRole.DisplayRole),
    ) -> Any:
        """Return one fact of a row as a plain value."""
        if not index.isValid() or not 0 <= index.row() < len(self._rows):
            return None
        row = self._rows[index.row()]
        facts: dict[int, Any] = {
            int(Qt.ItemDataRole.DisplayRole): row.name,
            int(Qt.ItemDataRole.ToolTipRole): f"{row.name}\n{row.detail}",
            int(Qt.ItemDataRole.AccessibleTextRole): row.spoken or f"{row.name}. {row.detail}",
            int(Qt.ItemDataRole.AccessibleDescriptionRole): row.detail,
            int(PartRole.KEY): row.key,
            int(PartRole.DETAIL): row.detail,
            int(PartRole.VERDICT): None if row.verdict is None else row.verdict.value,
            int(PartRole.WORST): row.worst,
            int(PartRole.ERRORS): row.errors,
            int(PartRole.OWN): row.own,
            int(PartRole.ALLOWED): row.allowed,
            int(PartRole.STARRED): row.starred,
            int(PartRole.STALE): row.stale,
        }
        return facts.get(int(role))
