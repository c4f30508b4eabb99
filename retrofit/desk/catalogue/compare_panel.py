"""Up to four parts on one chart, and beside each other what is known of them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from catalog.codec import basis_text
from catalog.parts.facts import main_basis
from catalog.parts.fields import QUANTITY_KIND
from catalog.shelf import Kept
from retrofit.desk.catalogue.curve_chart import CurveChart
from retrofit.desk.catalogue.drawn import drawn_curve
from retrofit.desk.catalogue.part_words import ends_words
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import Card
from retrofit.desk.theme import Theme
from retrofit.drawing.curves_chart import DrawnCurve

SIGNS = "ABCD"
"""Under which the compared parts go."""

_CHART = 330


class ComparePanel(QWidget):
    """Compares parts.

    Parameters
    ----------
    reader, theme : Reader, Theme
        Texts, units and colours.
    """

    dropped = Signal(str)
    """The user no longer compares this part."""

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader = reader
        self._parts: tuple[Kept, ...] = ()
        self.empty = QLabel(reader.text("compare_parts.empty"))
        self.empty.setObjectName("notice")
        self.empty.setWordWrap(True)
        self.empty.setMargin(12)
        self.chart = CurveChart(reader, theme)
        self.chart.setFixedHeight(_CHART)
        self.chart.setAccessibleName(reader.text("compare_parts.chart"))
        self.says = QLabel()
        self.says.setObjectName("muted")
        self.says.setWordWrap(True)
        self.buttons: dict[str, QPushButton] = {}
        self._card = Card("", columns=1)
        self._card.add(self.chart)
        self._card.add(self.says)
        self._inside = QWidget()
        self._grid = QGridLayout(self._inside)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(14)
        self._card.add(self._inside)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.addWidget(self.empty)
        column.addWidget(self._card)
        column.addStretch(1)
        reader.changed.connect(self._show)

    def show_parts(self, parts: Sequence[Kept]) -> None:
        """Compare these parts."""
        self._parts = tuple(parts)
        self._show()

    def _show(self) -> None:
        self.empty.setVisible(not self._parts)
        self._card.setVisible(bool(self._parts))
        if not self._parts:
            return
        first = self._parts[0].facts
        curves: list[DrawnCurve] = []
        others: list[str] = []
        for sign, one in zip(SIGNS, self._parts, strict=False):
            drawn = drawn_curve(one.part, f"{sign}  {one.part.name}")
            alike = (one.facts.quantity, one.facts.signal) == (first.quantity, first.signal)
            if drawn is not None and alike:
                curves.append(drawn)
            else:
                others.append(sign)
        signal = first.signal
        self.chart.setVisible(signal is not None)
        if signal is not None:
            self.chart.show_curves(curves, QUANTITY_KIND[first.quantity], signal, key=True)
        said = self._reader.text("compare_parts.other", signs=", ".join(others)) if others else ""
        self.says.setText(said)
        self.says.setVisible(bool(said))
        self._facts()

    def _facts(self) -> None:
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = None if item is None else item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.buttons = {}
        for row, (sign, one) in enumerate(zip(SIGNS, self._parts, strict=False)):
            words = f"{one.part.name}\n{ends_words(one, self._reader)}"
            tolerance = getattr(getattr(one.part, "law", None), "tolerance", None)
            if tolerance is not None:
                words += f" ± {tolerance.half_width}"
            words += f"  ·  {basis_text(main_basis(one.part))}"
            name, button = QLabel(words), QPushButton(self._reader.text("compare_parts.drop"))
            name.setWordWrap(True)
            name.setTextFormat(Qt.TextFormat.PlainText)
            mark = QLabel(sign)
            mark.setObjectName("card-title")
            button.setObjectName("flat")
            button.setAccessibleName(
                self._reader.text("compare_parts.drop_name", name=one.part.name)
            )
            button.setProperty("key", one.key)
            button.clicked.connect(self._dropped)
            self.buttons[one.key] = button
            for column, widget in enumerate((mark, name, button)):
                self._grid.addWidget(widget, row, column, Qt.AlignmentFlag.AlignTop)
        self._grid.setColumnStretch(1, 1)

    def _dropped(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton):
            self.dropped.emit(str(button.property("key")))
