"""The revisions of a part, what each says otherwise, and the way back to any of them."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from catalog.codec import Part
from catalog.errors import UserError
from catalog.exchange.compare import Difference, differences
from catalog.shelf import Kept
from catalog.store.records import RevisionRecord
from retrofit.desk.catalogue.row_list import RowList
from retrofit.desk.catalogue.shelves import Shelves
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme

_MOST = 5
_MOST_FIELDS = 12

Found = tuple[tuple[RevisionRecord, ...], dict[int, Part]]


class HistoryPanel(QWidget):
    """Shows the history of one part.

    Parameters
    ----------
    stock, shelves : Stock, Shelves
        The catalogue.
    executor : Executor
        Reads the history aside.
    reader, theme : Reader, Theme
        Texts and colours.
    """

    def __init__(
        self,
        stock: Stock,
        shelves: Shelves,
        executor: Executor,
        reader: Reader,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._stock, self._shelves = stock, shelves
        self._executor, self._reader = executor, reader
        self._part: Kept | None = None
        self._run = 0
        self._parts: dict[int, Part] = {}
        self._records: tuple[RevisionRecord, ...] = ()
        self.list = RowList(reader.text("history.name"), reader, theme)
        self.says = QLabel()
        self.says.setWordWrap(True)
        self.says.setTextFormat(Qt.TextFormat.PlainText)
        self.back = QPushButton(reader.text("history.back"))
        self.back.setAccessibleName(self.back.text())
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.back)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.addWidget(self.list)
        column.addWidget(self.says)
        column.addLayout(below)
        column.addStretch(1)
        self.list.looked_at.connect(self._looked)
        self.list.taken.connect(self._back)
        self.back.clicked.connect(self._back)

    def show_part(self, part: Kept | None) -> None:
        """Show the history of a part."""
        self._part = part
        self._run += 1
        store, run = self._stock.store, self._run
        if part is None or store is None:
            self._show((), {})
            return
        key = part.key

        def work(progress: Progress) -> Found:
            progress.step(0, 1)
            return _history(store, key)

        job: Job[Found] = Job(work, lambda found: self._arrived(run, found), self._failed)
        self._executor.run(job)

    def _arrived(self, run: int, found: Found) -> None:
        if run == self._run:
            self._show(*found)

    def _failed(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.says.setText(self._reader.error(error))

    def _show(self, records: tuple[RevisionRecord, ...], parts: dict[int, Part]) -> None:
        self._records, self._parts = records, parts
        rows = [self._row(record) for record in records]
        self.list.show_rows(rows, self._reader.text("history.nothing"))
        self.list.fit(_MOST)
        self._looked(self.list.key)

    def _row(self, record: RevisionRecord) -> PartRow:
        text = self._reader.text
        name = text("history.revision", number=record.number)
        if record.current:
            name = text("history.current", revision=name)
        shipped = record.origin == "shipped"
        why = text("history.shipped") if shipped else record.label or text("history.no_label")
        detail = text("history.row", when=_when(record.made_at), why=why)
        return PartRow(str(record.number), name, detail)

    def _looked(self, key: str) -> None:
        now = next((record for record in self._records if record.current), None)
        old = self._parts.get(int(key)) if key else None
        current = None if now is None else self._parts.get(now.number)
        self.back.setEnabled(
            bool(key) and now is not None and int(key) != now.number and self._shelves.can_save
        )
        if old is None or current is None or old is current:
            self.says.clear()
            return
        self.says.setText(told_differences(differences(old, current), self._reader))

    def _back(self, *_: object) -> None:
        if self.back.isEnabled() and self._part is not None and self.list.key:
            self._shelves.revert(self._part.key, int(self.list.key))


def told_differences(found: tuple[Difference, ...], reader: Reader) -> str:
    """Return the fields in which two states of a part differ, a line each."""
    if not found:
        return reader.text("history.same")
    nothing = reader.text("history.left_out")
    lines = [
        reader.text(
            "history.field",
            field=one.field,
            mine=nothing if one.mine is None else one.mine,
            theirs=nothing if one.theirs is None else one.theirs,
        )
        for one in found[:_MOST_FIELDS]
    ]
    more = len(found) - _MOST_FIELDS
    if more > 0:
        lines.append(reader.text("history.more", count=more))
    return "\n".join(lines)


def _history(store: Any, key: str) -> Found:
    records = tuple(store.history(key))
    parts: dict[int, Part] = {}
    for record in records:
        try:
            parts[record.number] = store.part(key, record.number)
        except UserError:
            continue  # an old revision that this program cannot read is still listed
    return records, parts


def _when(made_at: str) -> str:
    try:
        return datetime.fromisoformat(made_at).astimezone().strftime("%Y-%m-%d %H:%M")
    except ValueError:
        return made_at
