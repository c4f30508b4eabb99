"""The curve of a part: as a chart whose points can be dragged, as a table, or pasted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from catalog.errors import UserError
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.gauge import DialMark, Gauge
from catalog.parts.laws import Point, Shape, TableLaw, UnknownLaw, characteristic, point_problems
from catalog.parts.sender import Sender
from catalog.provenance import Basis
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, Unit, unit_named
from catalog.quantities.show import preferred
from catalog.tables import Wanted
from retrofit.desk.catalogue.curve_chart import CurveChart
from retrofit.desk.catalogue.drawn import drawn_curve
from retrofit.desk.catalogue.point_basis import PointBasis
from retrofit.desk.jobs import Executor
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import FoldCard
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.dial_mark_rows import DIAL, SENDER
from retrofit.desk.widgets.table_paste import TablePaste
from retrofit.desk.widgets.value_rows import Entry, RowWords, ValueRows
from retrofit.drawing.curves_chart import DrawnCurve

_CHART = 210


class CurveEditor(QWidget):
    """Edits the points of a sender's table or the marks of a dial.

    Parameters
    ----------
    reader, theme : Reader, Theme
        Units, texts and colours.
    executor : Executor
        Reads long pasted tables aside.
    """

    taken = Signal(object)
    """A sound list of Point or DialMark, a tuple."""

    def __init__(
        self, reader: Reader, theme: Theme, executor: Executor, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._reader = reader
        self._part: Sender | Gauge | None = None
        self._shown: tuple[Entry, ...] = ()
        self.chart = CurveChart(reader, theme)
        self.chart.setFixedHeight(_CHART)
        self.chart.setAccessibleName(reader.text("curve.chart"))
        self.hint = QLabel(reader.text("curve.hint"))
        self.hint.setObjectName("field-hint")
        self.hint.setWordWrap(True)
        self.rows = {words: self._rows(words, theme) for words in (SENDER, DIAL)}
        self.basis = PointBasis(reader)
        self.paste_card = FoldCard(reader.text("curve.paste"), columns=1)
        self.paste = TablePaste(Wanted("level"), reader, theme, executor)
        self.paste_card.add(self.paste)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for widget in (self.chart, self.hint, *self.rows.values(), self.basis, self.paste_card):
            column.addWidget(widget)
        self.chart.moved.connect(self._moved)
        self.chart.looked_at.connect(self.basis.look_at)
        self.basis.chosen.connect(self.chart.look_at)
        self.basis.changed.connect(self._sourced)
        self.paste.accepted.connect(self._pasted)

    def _rows(self, words: RowWords, theme: Theme) -> ValueRows:
        fewest = 0 if words is DIAL else 2
        return ValueRows(words, self._typed, self._reader, theme, fewest=fewest)

    # --- what is asked of it --------------------------------------------------------------------

    def show_part(self, part: Sender | Gauge, *, begins: bool = False) -> None:
        """Show the points of a part.

        A formula has none to edit; `begins` where a table is to take its place.
        """
        self._part = part
        kept = _kept_points(part)
        self._shown = tuple(Entry(_at(one), _gives(one), one) for one in kept)
        formula = isinstance(part, Sender) and not isinstance(part.law, TableLaw | UnknownLaw)
        editable = begins or not formula
        for words, rows in self.rows.items():
            rows.setVisible(editable and words is self._words)
        self.paste_card.setVisible(editable)
        self._now.show_entries(self._shown, part.quantity, self._signal)
        self.basis.show_points(kept, _points_basis(part))
        self.paste.want(Wanted(part.quantity, decimal=self._reader.decimal))
        self._draw(self._shown)

    @property
    def _words(self) -> RowWords:
        return DIAL if isinstance(self._part, Gauge) else SENDER

    @property
    def _now(self) -> ValueRows:
        return self.rows[self._words]

    @property
    def _signal(self) -> Kind:
        assert self._part is not None
        return self._part.signal or Kind.RESISTANCE

    @property
    def _quantity(self) -> QuantityName:
        assert self._part is not None
        return self._part.quantity

    # --- drawing --------------------------------------------------------------------------------

    def _draw(self, entries: Sequence[Entry]) -> None:
        """Draw the points as they stand, and the curve through them where they are sound."""
        part = self._part
        assert part is not None
        kind, signal = QUANTITY_KIND[part.quantity], self._signal
        pairs = tuple((entry.at.si(kind), entry.gives.si(signal)) for entry in entries)
        drawn = drawn_curve(part) if not entries else self._through(entries)
        if drawn is None:
            nothing = np.array([])
            drawn = DrawnCurve(part.name, nothing, nothing)
        self.chart.show_curves([replace(drawn, points=pairs)], kind, signal)
        self.chart.let_move(self._units(entries) if entries else None)
        self.hint.setVisible(bool(entries))

    def _through(self, entries: Sequence[Entry]) -> DrawnCurve:
        points = tuple(Point(entry.at, entry.gives) for entry in entries)
        law = getattr(self._part, "law", None)
        shape: Shape = law.shape if isinstance(law, TableLaw) else "unknown"
        kind = QUANTITY_KIND[self._quantity]
        x = np.array([point.at.si(kind) for point in points])
        if not point_problems(points, self._quantity):
            try:
                curve = characteristic(TableLaw(points, shape), self._quantity)
            except UserError:
                curve = None
            if curve is not None:
                fine = np.union1d(np.linspace(curve.low, curve.high, 121), x)
                return DrawnCurve("", fine, np.asarray(curve.output(fine)))
        return DrawnCurve("", x, np.array([point.gives.si(self._signal) for point in points]))

    def _units(self, entries: Sequence[Entry]) -> tuple[Unit, Unit]:
        kinds = QUANTITY_KIND[self._quantity], self._signal
        first = (
            unit_named(kinds[0], entries[0].at.unit),
            unit_named(kinds[1], entries[0].gives.unit),
        )
        style = self._reader.style
        return (
            first[0] or preferred(kinds[0], style),
            first[1] or preferred(kinds[1], style),
        )

    # --- the user -------------------------------------------------------------------------------

    def _typed(self, entries: tuple[Entry, ...], more: bool) -> str:
        self._draw(entries)
        if not more:
            self._take(entries)
        return ""

    def _moved(self, number: int, pair: tuple[Amount, Amount], more: bool) -> None:
        entries = list(self._current())
        entries[number] = replace(entries[number], at=pair[0], gives=pair[1])
        self._now.show_entries(entries, self._quantity, self._signal)
        self._draw(entries)
        points = tuple(Point(entry.at, entry.gives) for entry in entries)
        self._shown = tuple(entries)
        if not more and not point_problems(points, self._quantity):
            self._take(tuple(entries))

    def _current(self) -> Sequence[Entry]:
        """Return the complete rows, as they stand; they are the points of the chart."""
        rows = [(row.amounts, row.kept) for row in self._now.rows]
        found = [
            Entry(at, gives, kept)
            for (at, gives), kept in rows
            if at is not None and gives is not None
        ]
        return found if len(found) == len(self.chart.points) else self._shown

    def _take(self, entries: tuple[Entry, ...]) -> None:
        self._shown = entries
        made = _mark if self._words is DIAL else _point
        self.taken.emit(tuple(made(entry) for entry in entries))

    def _pasted(self, points: tuple[Point, ...]) -> None:
        self._take(tuple(Entry(point.at, point.gives) for point in points))

    def _sourced(self, number: int, basis: Basis | None) -> None:
        entries = list(self._current())
        if 0 <= number < len(entries):
            kept = entries[number].kept
            if isinstance(kept, Point | DialMark):
                entries[number] = replace(entries[number], kept=replace(kept, basis=basis))
                self._take(tuple(entries))


def _kept_points(part: Sender | Gauge) -> tuple[Point, ...] | tuple[DialMark, ...]:
    if isinstance(part, Gauge):
        return part.marks
    return part.law.points if isinstance(part.law, TableLaw) else ()


def _points_basis(part: Sender | Gauge) -> Basis:
    if isinstance(part, Gauge):
        return part.basis
    return part.law.basis if isinstance(part.law, TableLaw) else Basis()


def _at(one: Point | DialMark) -> Amount:
    return one.at


def _gives(one: Point | DialMark) -> Amount:
    return one.gives if isinstance(one, Point) else one.needs


def _point(entry: Entry) -> Point:
    """Return the point of a row; one that reads otherwise no longer comes from where it did."""
    if isinstance(entry.kept, Point) and entry.kept.gives == entry.gives:
        return replace(entry.kept, at=entry.at)
    return Point(entry.at, entry.gives)


def _mark(entry: Entry) -> DialMark:
    if isinstance(entry.kept, DialMark) and entry.kept.needs == entry.gives:
        return replace(entry.kept, at=entry.at)
    return DialMark(entry.at, entry.gives)
