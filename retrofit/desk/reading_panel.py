"""What never leaves the screen: dial, range slider, error chart and checks."""

from __future__ import annotations

import math
from collections import Counter

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QSlider,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from catalog.message import SiValue, message
from catalog.quantities.amounts import Amount, of_si
from catalog.quantities.kinds import Kind
from catalog.quantities.show import preferred
from retrofit.desk.session import Change
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.check_list import CheckList
from retrofit.desk.widgets.dial_view import DialView
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.desk.widgets.sum_view import ShownAt, asked_of
from retrofit.desk.widgets.svg_view import PIXELS_PER_MM, LayeredView
from retrofit.desk.workplace import Workplace
from retrofit.drawing.chart import ChartDrawing, error_chart
from retrofit.drawing.dial import dial_drawing, dial_markers
from retrofit.drawing.look import Look
from retrofit.drawing.scrubber import chart_scrubber
from retrofit.drawing.spot import Spot, spot_at
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import SEVERITY, Check
from retrofit.plan.document import Duty

STEPS = 1000
"""Places of the slider over the range of the duty."""


class RangeSlider(QSlider):
    """A slider over the range of the duty, with the marks that matter under the page keys."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setRange(0, STEPS)
        self.setSingleStep(STEPS // 200)
        self.setPageStep(STEPS // 20)
        self._stations: tuple[int, ...] = ()

    def set_stations(self, stations: tuple[int, ...]) -> None:
        """Set the places to which the page keys jump."""
        self._stations = tuple(sorted(stations))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Jump from mark to mark with the page keys."""
        key, here = event.key(), self.value()
        above = [s for s in self._stations if s > here]
        below = [s for s in self._stations if s < here]
        if key == Qt.Key.Key_PageUp and above:
            self.setValue(above[0])
        elif key == Qt.Key.Key_PageDown and below:
            self.setValue(below[-1])
        else:
            super().keyPressEvent(event)


class ReadingPanel(QFrame):
    """The right side of the window.

    Parameters
    ----------
    place : Workplace
        The open plan.
    theme : Theme
        Colours of the drawings.
    """

    wanted = Signal(str, str)
    """The user wants to mend a check: its step and field."""

    sum_wanted = Signal(object)
    """The user wants to know how a number was made: `CheckNumber` or `ShownAt`."""

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("panel")
        self._place, self._theme = place, theme
        text = place.reader.text
        self._true = math.nan
        self._chart: ChartDrawing | None = None
        self._one, self._two = DialView("panel.gauge_1"), DialView("panel.gauge_2")
        self.dial, self.second = self._one.view, self._two.view
        self.chart = LayeredView()
        self.counts = QLabel()
        self.counts.setObjectName("panel-heading")
        self.back = QPushButton(text("panel.back"))
        self.back.setObjectName("flat")
        self.back.clicked.connect(lambda: place.try_supply(None))
        self.back.hide()
        self._worst = len(SEVERITY)
        self._kind = self._duty.kind
        self._checks: tuple[Check, ...] | None = None
        self.trial = QLabel()
        self.trial.setObjectName("notice")
        self.trial.setWordWrap(True)
        self.trial.setMargin(8)
        self.trial.hide()
        self.slider = RangeSlider()
        self.slider.setAccessibleName(text("panel.slider"))
        self.slider.valueChanged.connect(self._slid)
        self.value = QuantityEdit(self._duty.kind, place.reader, text("panel.true"))
        self.value.setFixedWidth(104)
        self.value.edited.connect(self._typed)
        self.value.nudged.connect(self._typed)
        self.checks = CheckList(place.reader, theme)
        self.checks.wanted.connect(self.wanted)
        self.checks.sum_wanted.connect(self._check_asked)
        self.how = QToolButton()
        self.how.setObjectName("how")
        self.how.setText("Σ")
        self.how.setAccessibleName(text("sums.how_shown"))
        self.how.setToolTip(text("sums.how_shown"))
        self.how.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.how.clicked.connect(self.ask_shown)
        self._arrange()
        place.changed.connect(self._heard)
        place.settled.connect(self.read)
        place.tried.connect(self._tried)
        place.reader.changed.connect(self.read)
        theme.changed.connect(self.read)
        self.read()

    def _arrange(self) -> None:
        inside = QWidget()
        inside.setObjectName("panel-inside")
        below = QVBoxLayout(inside)
        below.setContentsMargins(16, 0, 12, 12)
        below.setSpacing(0)
        below.addWidget(self.checks)
        below.addStretch(1)
        self._scroll = scroll = QScrollArea()
        scroll.setObjectName("panel-scroll")
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        column = QVBoxLayout(self)
        column.setContentsMargins(1, 10, 0, 0)
        column.setSpacing(6)
        ranging = QWidget()
        beside = QHBoxLayout(ranging)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(10)
        beside.addWidget(self.slider, 1)
        beside.addWidget(self.value)
        beside.addWidget(self.how)
        dials = QWidget()
        self._dials = side = QHBoxLayout(dials)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(10)
        side.addWidget(self._one, 1)
        side.addWidget(self._two, 1)
        trying = QWidget()
        said = QHBoxLayout(trying)
        said.setContentsMargins(0, 0, 0, 0)
        said.setSpacing(8)
        said.addWidget(self.trial, 1)
        said.addWidget(self.back)
        for widget in (trying, dials, ranging, self.chart, self.counts):
            holder = QVBoxLayout()
            holder.setContentsMargins(16, 0, 16, 0)
            holder.addWidget(widget)
            column.addLayout(holder)
        column.addWidget(scroll, 1)

    # --- what is shown --------------------------------------------------------------------------

    @property
    def true(self) -> float:
        """True value under the slider [SI]."""
        return self._true

    @property
    def spot(self) -> Spot:
        """What is shown under the slider."""
        return spot_at(self._place.shown(), self._true)

    def ask_shown(self) -> None:
        """Ask how what is shown under the slider was made."""
        self.sum_wanted.emit(ShownAt(self._true))

    def _check_asked(self, check: object) -> None:
        if isinstance(check, Check):
            self.sum_wanted.emit(asked_of(check))

    def look_at(self, true: float) -> None:
        """Put the slider on a true value [SI]."""
        low, high = self._duty.span
        share = (true - low) / (high - low)
        self.slider.setValue(round(STEPS * min(max(share, 0.0), 1.0)))
        self._set_true(min(max(true, low), high))

    def read(self) -> None:
        """Show the assessment as it is now."""
        self._checks = None  # another language or unit says the same checks otherwise
        duty = self._duty
        low, high = duty.span
        inside = low <= self._true <= high and duty.kind is self._kind
        self._kind = duty.kind
        self.look_at(self._true if inside else _first_place(duty))
        stations = tuple(
            round(STEPS * (mark.at.si(duty.kind) - low) / (high - low)) for mark in duty.marks
        )
        self.slider.set_stations(stations)
        self._tried()

    @property
    def _duty(self) -> Duty:
        return self._place.view.plan.duty

    @property
    def _look(self) -> Look:
        return Look(self._theme.palette, self._place.reader.renderer)

    def _draw(self, assessment: Assessment) -> None:
        look = self._look
        other = assessment.of_second
        if (other is None) is self._two.isVisibleTo(self):
            self._two.setVisible(other is not None)
            self._share_out()
        for laid in (self.layout(), self._dials, self._one.layout(), self._two.layout()):
            if laid is not None:
                laid.activate()
        self.dial.show_ground(dial_drawing(assessment, look, _mm(self.dial.size())))
        if other is not None:
            self.second.show_ground(dial_drawing(other, look, _mm(self.second.size())))
        self._chart = error_chart(assessment, look, _mm(self.chart.size()))
        self.chart.show_ground(self._chart)
        self._draw_live(assessment)

    def _draw_live(self, assessment: Assessment) -> None:
        look = self._look
        markers = dial_markers(assessment, look, _mm(self.dial.size()), self._true)
        self.dial.show_live(markers)
        other = assessment.of_second
        if other is None:
            self._one.alone()
        else:
            self.second.show_live(dial_markers(other, look, _mm(self.second.size()), self._true))
            for view, found in ((self._one, assessment), (self._two, other)):
                view.caption(found, self._true, self._place.reader)
        if self._chart is not None:
            self.chart.show_live(chart_scrubber(self._chart, assessment, look, self._true))
        self.slider.setAccessibleDescription(markers.desc)
        self.value.set_kind(self._duty.kind)
        self.value.set_amount(self._readable())

    def _unit(self) -> str:
        """Return the unit in which the true value is shown: that of all other numbers here."""
        return preferred(self._duty.kind, self._place.reader.style).symbol

    def _readable(self) -> Amount:
        """Return the true value in the reader's unit, as finely as the slider can mean it."""
        low, high = (of_si(end, self._duty.kind, self._unit()).number for end in self._duty.span)
        exact = of_si(self._true, self._duty.kind, self._unit())
        places = max(0, math.ceil(-math.log10(abs(high - low) / STEPS)))
        return Amount(round(exact.number, places), exact.unit)

    def _typed(self, amount: Amount | None) -> None:
        if amount is not None:
            self.look_at(amount.si(self._duty.kind))

    def _set_true(self, true: float) -> None:
        if true != self._true:
            self._true = true
            self._draw_live(self._place.shown())

    def _slid(self, value: int) -> None:
        low, high = self._duty.span
        at = low + (high - low) * value / STEPS
        kind = self._duty.kind
        near = (high - low) / STEPS / 2.0
        for mark in self._duty.marks:
            if abs(mark.at.si(kind) - at) <= near:
                at = mark.at.si(kind)  # the slider's steps would miss the mark by a hair
        self._set_true(at)

    def _tried(self) -> None:
        self._say_trial()
        checks = self._place.looked_at().checks
        if checks is not self._checks:
            self._checks = checks
            self.checks.show_checks(checks)
            self._count(checks)
        self._draw(self._place.shown())

    def _say_trial(self) -> None:
        """Say what of the dial is not in the plan: a pick, or a supply."""
        trial, volts, reader = self._place.trial, self._place.tried_volts, self._place.reader
        words = []
        if trial is not None:
            words.append(reader.text("panel.trial", what=trial.words))
        if volts is not None:
            tried = message("panel.tried_supply", volts=SiValue(volts, Kind.VOLTAGE))
            words.append(reader.sentence(tried))
        self.trial.setVisible(bool(words))
        self.back.setVisible(volts is not None)
        self.trial.setText(" ".join(words))

    def _count(self, checks: tuple[Check, ...]) -> None:
        """Say how many checks have each verdict; show the first one where they became worse."""
        text = self._place.reader.text
        counts = Counter(check.verdict for check in checks)
        told = [
            text(f"panel.count.{one.value}", count=counts[one]) for one in SEVERITY if counts[one]
        ]
        self.counts.setText(text("panel.counts", counts=", ".join(told)))
        worst = min((SEVERITY[one] for one in counts), default=len(SEVERITY))
        if worst < self._worst:
            self._scroll.verticalScrollBar().setValue(0)
        self._worst = worst

    def _heard(self, change: Change) -> None:
        del change
        self.read()

    # --- Qt -------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for a dial, a chart and some checks."""
        return QSize(372, 850)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Share the height between dial, chart and checks, and draw them anew."""
        super().resizeEvent(event)
        self._share_out()
        layout = self.layout()
        if layout is not None:
            layout.activate()
        self._draw(self._place.shown())

    def _share_out(self) -> None:
        """Share the height between dials, chart and checks; two dials need less of it than one."""
        height = self.height()
        tall = round(min(max(0.34 * height, 204), 430))
        if self._two.isVisibleTo(self):
            beside = (self.width() - 42) // 2
            for view in (self._one, self._two):
                view.beside(beside)
            tall = max(min(tall, round(0.9 * beside)), 120)
        self.dial.setFixedHeight(tall)
        self.second.setFixedHeight(tall)
        self.chart.setFixedHeight(round(min(max(0.22 * height, 150), 280)))


def _mm(size: QSize) -> tuple[float, float]:
    return max(size.width(), 120) / PIXELS_PER_MM, max(size.height(), 120) / PIXELS_PER_MM


def _first_place(duty: Duty) -> float:
    """Return where the slider starts: the last mark that matters, or the middle."""
    low, high = duty.span
    marks = [mark.at.si(duty.kind) for mark in duty.marks]
    return max(marks, default=(low + high) / 2.0)
