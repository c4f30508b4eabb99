"""What the band at a mark is made of, most first; read only."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.desk.steps.page import Card
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.workplace import Workplace
from retrofit.plan.causes import cause_says
from retrofit.plan.checks.spread import listed
from retrofit.plan.mark_readings import MarkReading, weightiest

_ROWS = 8


class ContributionCard(Card):
    """The causes of the band, ranked by their share of the variance at one mark.

    Parameters
    ----------
    place : Workplace
        The open plan.
    """

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        text = place.reader.text
        super().__init__(text("shares.title"), columns=1, parent=parent)
        self._place = place
        self.mark = Choice([], text("shares.mark"))
        self.mark.chosen.connect(self._chosen)
        self.says = QLabel()
        self.says.setObjectName("muted")
        self.says.setWordWrap(True)
        self._table = QWidget()
        self._cells_grid = QGridLayout(self._table)
        self._cells_grid.setContentsMargins(0, 0, 0, 0)
        self._cells_grid.setHorizontalSpacing(18)
        self._cells_grid.setVerticalSpacing(6)
        self._cells_grid.setColumnStretch(0, 1)
        self.cells: list[QLabel] = []
        for widget in (self.mark, self._table, self.says):
            self.add(widget)
        place.settled.connect(self.read)

    def read(self) -> None:
        """Show the bands of the plan as it is now."""
        found = self._place.assessment()
        marks = [mark for mark in found.marks if mark.shares]
        self.mark.setVisible(len(marks) > 1)
        names = [mark.mark.name for mark in marks]
        if [self.mark.itemData(n) for n in range(self.mark.count())] != names:
            kept = self.mark.word
            self.mark.clear()
            for name in names:
                self.mark.addItem(name, name)
            if kept in names:
                self.mark.set_word(kept)
            elif (least := weightiest(found.marks)) is not None:
                self.mark.set_word(least.mark.name)
        self._fill(next((one for one in marks if one.mark.name == self.mark.word), None))
        self.says.setText(" ".join(map(self._place.reader.sentence, self._said())))

    def _fill(self, mark: MarkReading | None) -> None:
        for cell in self.cells:
            self._cells_grid.removeWidget(cell)
            cell.deleteLater()
        self.cells = []
        told = () if mark is None else mark.moving[:_ROWS]
        self._table.setVisible(bool(told))
        if not told:
            return
        text, reader = self._place.reader.text, self._place.reader
        kind = difference(self._place.view.plan.duty.kind)
        heads = ("shares.cause", "shares.share", "shares.alone")
        self._row(0, [text(key) for key in heads], "field-label")
        for row, one in enumerate(told, 1):
            low, high = SiValue(one.alone_low, kind), SiValue(one.alone_high, kind)
            words = [
                reader.sentence(cause_says(one.name)),
                reader.sentence(message("shares.of", share=SiValue(one.share, Kind.FRACTION))),
                reader.sentence(message("shares.from_to", low=low, high=high)),
            ]
            self._row(row, words, "")

    def _row(self, row: int, words: list[str], name: str) -> None:
        for column, one in enumerate(words):
            cell = QLabel(one)
            if name:
                cell.setObjectName(name)
            if column:
                cell.setAlignment(Qt.AlignmentFlag.AlignRight)
            self._cells_grid.addWidget(cell, row, column)
            self.cells.append(cell)

    def _said(self) -> list[Message]:
        """Return how the band was made, what was searched for it and what it leaves out."""
        found = self._place.assessment()
        spread, likely = found.spread, found.likely
        if spread is None:
            return [message("shares.nothing")]
        if not spread.causes:
            told = [message("shares.none")]
        elif likely is None:
            told = [message("shares.pending")]
        else:
            key = "shares.stable" if likely.convergence.reached else "shares.unstable"
            draws, seed = likely.convergence.draws, likely.convergence.seed
            told = [message(key, draws=draws, seed=seed)]
        if spread.searched:
            names = listed(tuple(cause_says(name) for name in spread.searched))
            told.append(message("shares.searched", causes=names))
        if spread.unstated:
            told.append(message("shares.unstated", what=listed(spread.unstated)))
        return told

    def _chosen(self, name: str) -> None:
        del name
        self.read()
