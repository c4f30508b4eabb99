"""The tab that chooses a class: each part as it is, or each with its best trim."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from catalog.library import PartKind
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.chip_row import ChipRow, ChipWords
from retrofit.desk.widgets.finder_list import FinderList
from retrofit.desk.widgets.part_picker import PartPicker
from retrofit.desk.workplace import Workplace

COUNTS = ("0", "1", "2")
"""Resistors that a part may come with."""


class FinderTab(QWidget):
    """A choice over the list of parts as they are and the finder.

    Parameters
    ----------
    kind : str
        "gauge" or "sender": what the step chooses.
    picker : PartPicker
        The list of parts as they are.
    place : Workplace
        The open plan.
    theme : Theme
        Colours.
    """

    def __init__(
        self,
        kind: PartKind,
        picker: PartPicker,
        place: Workplace,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        text = place.reader.text
        self.picker = picker
        self.finder = FinderList(kind, place, theme)
        self.most = ChipRow(text("finder.most"), one=True)
        self.most.offer([ChipWords(n, text(f"finder.most_{n}"), "most") for n in COUNTS])
        self.most.check("0")
        self.most.changed.connect(self._chosen)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        within = picker.layout()
        if within is not None:
            within.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.most)
        # No stack: that is as high as the higher of the two, and the page would scroll for nothing.
        column.addWidget(picker, 1)
        column.addWidget(self.finder, 1)
        self.finder.hide()

    def forget(self) -> None:
        """Forget what was typed, for another plan."""
        self.finder.words.clear()

    def _chosen(self) -> None:
        most = int(self.most.checked[0])
        if most:
            self.finder.use_most(most)
        shown, other = (self.finder, self.picker) if most else (self.picker, self.finder)
        if shown.isHidden():
            shown.words.setText(other.words.text())
            other.hide()
            shown.show()
            self.updateGeometry()
