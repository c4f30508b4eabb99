"""Where a single point of a table comes from, where not as the rest."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QWidget

from catalog.parts.gauge import DialMark
from catalog.parts.laws import Point
from catalog.provenance import Basis, BasisKind
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field

_AS_TABLE = ""


class PointBasis(QWidget):
    """Shows and edits the basis of one point after the other.

    Parameters
    ----------
    reader : Reader
        Texts.
    """

    changed = Signal(int, object)
    """A point comes from elsewhere: its number, and its Basis or None for that of the table."""

    chosen = Signal(int)
    """Another point is looked at."""

    def __init__(self, reader: Reader, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        self._bases: list[Basis | None] = []
        text = reader.text
        self.point = Choice((), text("curve.basis.point"))
        kinds = [(kind.value, text(f"basis.{kind.value}")) for kind in BasisKind]
        self.kind = Choice([(_AS_TABLE, text("curve.basis.as_table")), *kinds], text("slot.basis"))
        self.source = QLineEdit()
        self.source.setMaxLength(200)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        fields = (
            Field(text("curve.basis.point"), self.point),
            Field(text("slot.basis"), self.kind),
            Field(text("slot.source_of"), self.source),
        )
        for column, (field, stretch) in enumerate(zip(fields, (2, 3, 4), strict=True)):
            grid.addWidget(field, 0, column)
            grid.setColumnStretch(column, stretch)
        self.point.chosen.connect(self._pointed)
        self.kind.chosen.connect(self._edited)
        self.source.editingFinished.connect(self._sourced)

    @property
    def number(self) -> int:
        """Number of the point that is looked at, −1 for none."""
        return self.point.currentIndex()

    def show_points(self, points: Sequence[Point | DialMark], table: Basis) -> None:
        """Show the points of another table, or the same as they are now."""
        before = max(0, self.number)
        self._bases = [point.basis for point in points]
        self.kind.setItemText(
            0,
            self._reader.text(
                "curve.basis.as_table_is", basis=self._reader.text(f"basis.{table.kind.value}")
            ),
        )
        if self.point.count() != len(points):
            self.point.clear()
            for number in range(1, len(points) + 1):
                self.point.addItem(str(number), str(number))
        self.setVisible(bool(points))
        self.look_at(min(before, len(points) - 1))

    def look_at(self, number: int) -> None:
        """Show the basis of a point."""
        if not 0 <= number < len(self._bases):
            return
        self.point.setCurrentIndex(number)
        basis = self._bases[number]
        self.kind.set_word(_AS_TABLE if basis is None else basis.kind.value)
        self.source.setText("" if basis is None else basis.source)
        self.source.setEnabled(basis is not None)

    def _pointed(self, word: str) -> None:
        self.look_at(int(word) - 1)
        self.chosen.emit(self.number)

    def _edited(self, word: str) -> None:
        self.source.setEnabled(bool(word))
        self._hand_on()

    def _sourced(self) -> None:
        if self.source.isModified():
            self.source.setModified(False)
            self._hand_on()

    def _hand_on(self) -> None:
        number, word = self.number, self.kind.word
        basis = Basis(BasisKind(word), self.source.text().strip()) if word else None
        if 0 <= number < len(self._bases) and basis != self._bases[number]:
            self._bases[number] = basis
            self.changed.emit(number, basis)
