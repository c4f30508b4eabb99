"""What an unknown part can be: the classes, how likely each is, and what to measure next."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from catalog.message import SiValue
from catalog.quantities.kinds import Kind
from retrofit.desk.catalogue.row_list import RowList
from retrofit.desk.catalogue.shelves import Shelves
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import Card, FoldCard
from retrofit.desk.theme import Theme
from retrofit.finder.identification import (
    Expected,
    Identification,
    NextMeasurement,
    RankedClass,
)

_MOST = 6
_LEAST = 0.001


class IdentifyAnswer(Card):
    """Shows an identification.

    Parameters
    ----------
    shelves : Shelves
        The classes.
    reader, theme : Reader, Theme
        Texts, units and colours.
    """

    use_wanted = Signal(str)
    """The user takes a class into the plan."""

    show_wanted = Signal(str)
    """The user wants to see a class in the list."""

    def __init__(
        self, shelves: Shelves, reader: Reader, theme: Theme, parent: QWidget | None = None
    ) -> None:
        text = reader.text
        super().__init__(text("identify.page.answer"), columns=1, parent=parent)
        self._shelves, self._reader = shelves, reader
        self._found: Identification | None = None
        self.says, self.next, self.beside = QLabel(), QLabel(), QLabel()
        self.list = RowList(text("identify.page.list"), reader, theme)
        self.use = QPushButton(text("identify.page.use"))
        self.show_part = QPushButton(text("identify.page.show"))
        self.assumed = FoldCard(text("identify.page.assumed"), columns=1)
        self.assumptions = QLabel()
        for label in (self.says, self.next, self.beside, self.assumptions):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.beside.setObjectName("muted")
        self.use.setObjectName("primary")
        self.assumed.add(self.assumptions)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.show_part)
        buttons.addWidget(self.use)
        for widget in (self.says, self.next, self.list, self.beside):
            self.rows.addWidget(widget)
        self.rows.addLayout(buttons)
        self.rows.addWidget(self.assumed)
        self.list.looked_at.connect(self._looked)
        self.list.taken.connect(self.use_wanted)
        self.use.clicked.connect(self._use)
        self.show_part.clicked.connect(self._show_in_list)

    @property
    def ranked(self) -> tuple[RankedClass, ...]:
        """The classes, likeliest first."""
        return () if self._found is None else self._found.ranked

    def show_found(self, found: Identification | None, problem: str = "") -> None:
        """Show an identification; None: what to do, or the problem with what was typed."""
        self._found = found
        says = [problem] if found is None else [self._reader.sentence(one) for one in found.says]
        self.says.setText(" ".join(says).strip() or self._reader.text("identify.page.begin"))
        telling = None if found is None else found.telling
        self.next.setText("" if telling is None else self._telling(telling))
        self.next.setVisible(telling is not None)
        rows = [] if found is None else self._rows(found)
        self.list.setVisible(bool(rows))
        self.list.show_rows(rows, "")
        self.list.fit(_MOST)
        self.list.look_at(rows[0].key if rows else "")
        assumed = () if found is None else found.assumed
        self.assumptions.setText("\n".join(self._reader.sentence(one) for one in assumed))
        self.assumed.setVisible(bool(assumed))
        self._looked(self.list.key)

    def _rows(self, found: Identification) -> list[PartRow]:
        shown = [one for one in found.ranked if one.leads or one.share >= _LEAST]
        rows = []
        for one in shown or found.ranked[:1]:
            part = self._shelves.shelf.get(one.key)
            said = self._reader.text("identify.page.leads" if one.leads else "identify.page.behind")
            own = part is not None and part.own
            rows.append(PartRow(one.key, one.name, said, worst=self._share(one.share), own=own))
        nothing = self._reader.text("identify.page.unlisted")
        detail = self._reader.text("identify.page.unlisted.detail")
        rows.append(PartRow("", nothing, detail, worst=self._share(found.unlisted)))
        return rows

    def _share(self, share: float) -> str:
        if 0.0 < share < _LEAST:
            return f"< {self._reader.value(_LEAST, Kind.FRACTION)}"
        return self._reader.value(share, Kind.FRACTION)

    def _telling(self, telling: NextMeasurement) -> str:
        names = {one.key: one.name for one in self.ranked}
        lines = [self._reader.text("identify.page.next", at=telling.at)]
        for one in telling.expected:
            name = names.get(one.key, one.key)
            lines.append(self._reader.text("identify.page.next_row", name=name, **_range(one)))
        return "\n".join(lines)

    def _looked(self, key: str) -> None:
        one = next((each for each in self.ranked if each.key == key), None)
        for button in (self.use, self.show_part):
            button.setEnabled(bool(key))
        self.beside.setVisible(one is not None)
        if one is None:
            return
        lines = []
        for number, reading in enumerate(one.beside, 1):
            lines.append(
                self._reader.text(
                    "identify.page.reading",
                    number=number,
                    at=self._place(reading.at),
                    seen=self._seen(reading.seen),
                    expected=self._seen(reading.expected.value),
                    doubt=self._doubt(one, number, reading.doubt),
                )
            )
        self.beside.setText("\n".join(line.strip() for line in lines))

    def _doubt(self, one: RankedClass, number: int, doubt: float) -> str:
        if doubt >= 0.5:
            return self._reader.text("identify.page.doubtful")
        if one.swapped is not None and number in one.swapped:
            return self._reader.text("identify.page.swapped")
        return "\N{ZERO WIDTH SPACE}"

    def _place(self, at: SiValue) -> str:
        return (
            self._reader.text("identify.page.open_lead")
            if math.isinf(at.value)
            else self._reader.si(at)
        )

    def _seen(self, seen: SiValue) -> str:
        if math.isinf(seen.value):
            return self._reader.text(
                "identify.page.low_end" if seen.value < 0.0 else "identify.page.high_end"
            )
        if math.isnan(seen.value):
            return self._reader.text("value.unknown")
        return self._reader.si(seen)

    def _use(self) -> None:
        if self.list.key:
            self.use_wanted.emit(self.list.key)

    def _show_in_list(self) -> None:
        if self.list.key:
            self.show_wanted.emit(self.list.key)


def _range(one: Expected) -> dict[str, SiValue]:
    kind = one.value.kind
    return {"value": one.value, "low": SiValue(one.low, kind), "high": SiValue(one.high, kind)}
