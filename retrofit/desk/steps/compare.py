"""The pairings of the plan side by side: what they are, their error and their worst checks."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Area
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import StepPage
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import VerdictMark
from retrofit.desk.widgets.svg_view import PIXELS_PER_MM, LayeredView
from retrofit.desk.workplace import Workplace
from retrofit.drawing.chart import error_chart
from retrofit.drawing.look import Look
from retrofit.plan.assess import Assessment, assess

_CARD_WIDTH = 340
_CHART_HEIGHT = 150
_WORST = 3
"""Checks that a card names."""


class PairingCard(QFrame):
    """One pairing: parts, trim, error chart, the worst checks."""

    wanted = Signal(str)
    """The user wants to work on this pairing."""

    def __init__(self, reader: Reader, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._reader, self._theme = reader, theme
        self._label = ""
        self._assessment: Assessment | None = None
        self._mark = VerdictMark(theme)
        self._heading, self._parts, self._checks = QLabel(), QLabel(), QLabel()
        self._heading.setObjectName("card-title")
        self._parts.setObjectName("muted")
        for label in (self._parts, self._checks):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.chart = LayeredView()
        self.chart.setFixedHeight(_CHART_HEIGHT)
        self.button = QPushButton(reader.text("compare.work_on"))
        self.button.clicked.connect(self._clicked)
        top = QHBoxLayout()
        top.addWidget(self._mark)
        top.addWidget(self._heading, 1)
        top.addWidget(self.button)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(16, 12, 16, 14)
        rows.setSpacing(8)
        rows.addLayout(top)
        rows.addWidget(self._parts)
        rows.addWidget(self.chart)
        rows.addWidget(self._checks)
        rows.addStretch(1)

    def show_pairing(self, assessment: Assessment, *, current: bool) -> None:
        """Show another pairing."""
        pairing, reader = assessment.pairing, self._reader
        self._assessment, self._label = assessment, pairing.label
        verdict = reader.text(f"verdict.{assessment.verdict.value}")
        self._mark.show_verdict(assessment.verdict)
        self._heading.setText(reader.text("top.pairing", label=pairing.label))
        trim = ", ".join(
            f"{reader.amount(r.value, Kind.RESISTANCE)} {reader.text(f'place.{r.place}')}"
            for r in pairing.trim
        )
        lines = [pairing.gauge.name, pairing.sender.name, trim or reader.text("compare.no_trim")]
        self._parts.setText("\n".join(lines))
        worst = [reader.sentence(check.says) for check in assessment.checks[:_WORST]]
        self._checks.setText("\n".join(worst))
        self.button.setEnabled(not current)
        self.button.setAccessibleName(reader.text("compare.work_on_label", label=pairing.label))
        self.setAccessibleName(f"{self._heading.text()}: {verdict}")
        self.setAccessibleDescription("; ".join((*lines, *worst)))
        self._draw()

    def _draw(self) -> None:
        if self._assessment is None:
            return
        look = Look(self._theme.palette, self._reader.renderer)
        width = max(self.width() - 34, _CARD_WIDTH - 34)
        size = (width / PIXELS_PER_MM, _CHART_HEIGHT / PIXELS_PER_MM)
        self.chart.show_ground(error_chart(self._assessment, look, size))

    def _clicked(self) -> None:
        self.wanted.emit(self._label)

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Draw the chart anew for the width."""
        super().resizeEvent(event)
        self._draw()


class ComparePage(StepPage):
    """All pairings of the plan."""

    AREAS = frozenset(Area)
    WIDEST = 16_777_215  # Qt's own most: as many cards beside each other as there is room for

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("compare", place, parent)
        self._theme = theme
        self.cards: list[PairingCard] = []
        self._alone = QLabel(self.text("alone"))
        self._alone.setObjectName("notice")
        self._alone.setWordWrap(True)
        self._alone.setMargin(12)
        self._grid = QGridLayout()
        self._grid.setSpacing(14)
        self.column.addWidget(self._alone)
        self.column.addLayout(self._grid)
        self.column.addStretch(1)
        theme.changed.connect(self.read)
        self.read()

    def read(self) -> None:
        """Show the pairings as they are now; nothing is worked out while nobody looks."""
        if not self.isVisible():
            return
        view = self.place.view
        while len(self.cards) < len(view.plan.pairings):
            card = PairingCard(self.place.reader, self._theme, self.widget())
            card.wanted.connect(self._wanted)
            self.cards.append(card)
        columns = max(1, (self.viewport().width() - 30) // (_CARD_WIDTH + 14))
        for index, card in enumerate(self.cards):
            shown = index < len(view.plan.pairings)
            card.setVisible(shown)
            if shown:
                label = view.plan.pairings[index].label
                self._grid.addWidget(card, index // columns, index % columns)
                card.show_pairing(assess(view.plan, label), current=label == view.label)
        self._alone.setVisible(len(view.plan.pairings) == 1)

    def _wanted(self, label: str) -> None:
        self.place.session.show_pairing(label)

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Put as many cards beside each other as there is room for."""
        super().resizeEvent(event)
        self.read()
