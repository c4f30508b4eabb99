"""What never leaves the screen: dial, range slider, error chart and checks."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from catalog.quantities.amounts import Amount, of_si
from catalog.quantities.show import preferred
from retrofit.desk.edits import Area
from retrofit.desk.session import Change
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.calm_slider import RangeSlider
from retrofit.desk.widgets.check_counts import CheckCounts
from retrofit.desk.widgets.check_list import CheckList
from retrofit.desk.widgets.dial_view import DialView
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.desk.widgets.sum_view import ShownAt, asked_of
from retrofit.desk.widgets.svg_view import PIXELS_PER_MM, LayeredView
from retrofit.desk.widgets.trial_banner import TrialBanner
from retrofit.desk.workplace import Workplace
from retrofit.drawing.chart import ChartDrawing, error_chart
from retrofit.drawing.dial import dial_drawing, dial_markers
from retrofit.drawing.dial_readout import readout_height
from retrofit.drawing.look import Look
from retrofit.drawing.scrubber import chart_scrubber
from retrofit.drawing.spot import Spot, spot_at
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Check
from retrofit.plan.document import Duty

STEPS = 1000
"""Places of the slider over the range of the duty."""

_MARGINS, _BESIDE = 33, 10
"""Width that no drawing has, and the gap between two dials [logical pixels]."""

_FACE = 0.74
"""Height of a dial of a usual sweep without its readout, as a share of its width."""

_CHART = 204
"""Least height of the chart: two rows of names, of numbers and of key, and 110 for the plane."""

_LEAST_CHECKS, _ROWS = 96, 112
"""What is left to the checks; slider, heads and the gaps between them [logical pixels]."""


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
        self.counts = CheckCounts(place.reader, theme)
        self.banner = TrialBanner(place)
        self.trial = self.banner.words
        self._as_typed: Amount | None = None
        self._kind = self._duty.kind
        self._checks: tuple[Check, ...] | None = None
        self.slider = RangeSlider(STEPS)
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
        side.setSpacing(_BESIDE)
        side.addWidget(self._one, 1)
        side.addWidget(self._two, 1)
        for widget in (self.banner, dials, ranging, self.chart, self.counts):
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
        self.slider.blockSignals(True)  # its places are coarser than the value
        self.slider.setValue(round(STEPS * min(max(share, 0.0), 1.0)))
        self.slider.blockSignals(False)
        self._set_true(min(max(true, low), high))

    def read(self) -> None:
        """Show the assessment as it is now."""
        self._checks = None  # another language or unit says the same checks otherwise
        duty = self._duty
        low, high = duty.span
        anew = math.isnan(self._true) or duty.kind is not self._kind
        self._kind = duty.kind
        self.look_at(_first_place(duty) if anew else self._true)
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
        names, size = other is None, _mm(self.dial.size())
        self.dial.show_ground(dial_drawing(assessment, look, size, names=names))
        if other is not None:
            size = _mm(self.second.size())
            self.second.show_ground(dial_drawing(other, look, size, names=names))
            for view, found in ((self._one, assessment), (self._two, other)):
                view.call(found.pairing.gauge.name, self._place.reader)
        else:
            self._one.alone()
        self._chart = error_chart(assessment, look, _mm(self.chart.size()))
        self.chart.show_ground(self._chart)
        self._draw_live(assessment)

    def _draw_live(self, assessment: Assessment) -> None:
        look = self._look
        other = assessment.of_second
        names, size = other is None, _mm(self.dial.size())
        markers = dial_markers(assessment, look, size, self._true, names=names)
        self.dial.show_live(markers)
        if other is not None:
            size = _mm(self.second.size())
            self.second.show_live(dial_markers(other, look, size, self._true, names=names))
        if self._chart is not None:
            self.chart.show_live(chart_scrubber(self._chart, assessment, look, self._true))
        self.slider.setAccessibleDescription(markers.desc)
        self.value.set_kind(self._duty.kind)
        self.value.set_amount(self._readable())

    def _unit(self) -> str:
        """Return the unit in which the true value is shown: that of all other numbers here."""
        return preferred(self._duty.kind, self._place.reader.style).symbol

    def _readable(self) -> Amount:
        """Return the true value as it was typed, or as finely as the slider can mean it."""
        kind, unit = self._duty.kind, self._unit()
        for typed in (self._as_typed, *(mark.at for mark in self._duty.marks)):
            if typed is not None and typed.unit == unit and typed.si(kind) == self._true:
                return typed
        low, high = (of_si(end, kind, unit).number for end in self._duty.span)
        places = max(0, math.floor(-math.log10(abs(high - low) / STEPS)))
        exact = Decimal(repr(of_si(self._true, kind, unit).number))
        # Half a step is rounded away from zero, as by the formatter of all other numbers.
        return Amount(float(exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)), unit)

    def _typed(self, amount: Amount | None) -> None:
        if amount is not None:
            self._as_typed = amount
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
        self.banner.read()
        self._share_out()
        checks = self._place.looked_at().checks
        if checks is not self._checks:
            self._checks = checks
            self.checks.show_checks(checks)
            if self.counts.show_checks(checks):
                self._scroll.verticalScrollBar().setValue(0)
        self._draw(self._place.shown())

    def _heard(self, change: Change) -> None:
        if Area.DOCUMENT in change.touches and change.before.plan is not change.after.plan:
            self._true, self._as_typed = math.nan, None  # another plan starts at its own place
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
        height, wide = self.height(), self.width() - _MARGINS
        tall = round(min(max(0.34 * height, 204), 430))
        names = 0
        if self._two.isVisibleTo(self):
            each = (wide - _BESIDE) // 2
            words = readout_height(each / PIXELS_PER_MM) * PIXELS_PER_MM
            tall = min(tall, round(_FACE * each + words))
            names = self._one.name.sizeHint().height() + 2
        for dial in (self.dial, self.second):
            dial.setFixedHeight(tall)
        rest = height - tall - names - self.banner.tall(wide) - _ROWS - _LEAST_CHECKS
        self.chart.setFixedHeight(max(84, min(round(max(0.22 * height, _CHART)), 280, rest)))


def _mm(size: QSize) -> tuple[float, float]:
    return max(size.width(), 120) / PIXELS_PER_MM, max(size.height(), 120) / PIXELS_PER_MM


def _first_place(duty: Duty) -> float:
    """Return where the slider starts: the last mark that matters, or the middle."""
    low, high = duty.span
    marks = [mark.at.si(duty.kind) for mark in duty.marks]
    return max(marks, default=(low + high) / 2.0)
