"""Which class lies on the bench: readings in, ranked classes out, and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from catalog.errors import UserError
from catalog.message import SiValue
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.catalogue.row_list import RowList
from retrofit.desk.catalogue.seen_rows import SeenRows
from retrofit.desk.catalogue.shelves import Shelves
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import Card, FoldCard
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.finder.identification import Expected, Identification, NextMeasurement, RankedClass
from retrofit.finder.identify import identify_gauge, identify_sender
from retrofit.finder.seen import (
    CHEAP_METER,
    DigitalMeter,
    GaugeSeen,
    SeenNeedle,
    SeenPoint,
    SenderSeen,
)
from retrofit.finder.thread_factors import thread_factors
from retrofit.fit.thread_readings import CALLIPER, PITCH_ERROR, Measured, Reading

_MOST = 6
_LEAST = 0.001
_UNKNOWN = "unknown"
_FIELDS: dict[str, Kind] = {
    "rest": Kind.RESISTANCE,
    "supply_signal": Kind.RESISTANCE,
    "signal_earth": Kind.RESISTANCE,
    "diameter": Kind.LENGTH,
    "pitch": Kind.LENGTH,
    "meter_error": Kind.FRACTION,
}
_OF_SENDER = ("rising", "rest", "diameter", "pitch")
_OF_GAUGE = ("open", "supply_signal", "signal_earth")


class IdentifyPanel(QWidget):
    """Identifies a sender or a gauge.

    Parameters
    ----------
    shelves : Shelves
        The classes.
    executor : Executor
        Weighs them aside.
    reader, theme : Reader, Theme
        Texts, units and colours.
    """

    use_wanted = Signal(str)
    """The user takes a class into the plan."""

    show_wanted = Signal(str)
    """The user wants to see a class in the list."""

    def __init__(
        self,
        shelves: Shelves,
        executor: Executor,
        reader: Reader,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._shelves, self._executor, self._reader = shelves, executor, reader
        self._run = 0
        self._progress: Progress | None = None
        self._found: Identification | None = None
        text = reader.text
        self.part = Choice(self._words("sender", "gauge", of="shelf"), text("identify.page.part"))
        quantities = ("level", "pressure", "temperature")
        words = [(word, text(f"quantity.{word}")) for word in quantities]
        words.append((_UNKNOWN, text("word.unknown")))
        self.quantity = Choice(words, text("filters.quantity"))
        self.rising = Choice(
            self._words(_UNKNOWN, "rising", "falling"), text("identify.page.rising")
        )
        self.open = Choice(self._words(_UNKNOWN, "low", "high"), text("identify.page.open"))
        self.amounts = {
            name: QuantityEdit(kind, reader, text(f"identify.page.{name}"), optional=True)
            for name, kind in _FIELDS.items()
        }
        self.amounts["meter_error"].set_amount(Amount(CHEAP_METER.share * 100.0, "%"))
        self.points = SeenRows(("quantity.level", "seen.reads"), reader)
        self.needles = SeenRows(("seen.resistor", "seen.needle"), reader)
        self.needles.set_kinds(Kind.RESISTANCE, Kind.LEVEL)
        self.fields: dict[str, Field] = {}
        self.says, self.next, self.caution = QLabel(), QLabel(), QLabel()
        self.list = RowList(text("identify.page.list"), reader, theme)
        self.beside = QLabel()
        self.use, self.show_part = (
            QPushButton(text("identify.page.use")),
            QPushButton(text("identify.page.show")),
        )
        self.clear = QPushButton(text("identify.page.clear"))
        self.assumed = FoldCard(text("identify.page.assumed"), columns=1)
        self.assumptions = QLabel()
        self._arrange()
        self._connect()
        self._of_part()
        self._show(None)

    def _words(self, *words: str, of: str = "identify.page.word") -> list[tuple[str, str]]:
        return [(word, self._reader.text(f"{of}.{word}")) for word in words]

    def _arrange(self) -> None:
        text = self._reader.text
        seen = Card(text("identify.page.seen"), columns=3)
        editors: dict[str, QWidget] = {
            "part": self.part,
            "quantity": self.quantity,
            "rising": self.rising,
            "open": self.open,
            **self.amounts,
        }
        for name, editor in editors.items():
            hint = self._reader.renderer.known(f"identify.page.{name}.hint") or ""
            self.fields[name] = Field(text(f"identify.page.{name}"), editor, hint)
        for name in ("part", "quantity", "meter_error"):
            seen.add(self.fields[name])
        for rows in (self.points, self.needles):
            seen.add(rows, wide=True)
        for name in (*_OF_SENDER, *_OF_GAUGE):
            seen.add(self.fields[name])
        seen.add(self.clear)
        answer = Card(text("identify.page.answer"), columns=1)
        for label in (self.says, self.next, self.beside, self.assumptions, self.caution):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.beside.setObjectName("muted")
        self.caution.setObjectName("caution")
        self.use.setObjectName("primary")
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.show_part)
        buttons.addWidget(self.use)
        self.assumed.add(self.assumptions)
        for widget in (self.says, self.next, self.list, self.beside):
            answer.rows.addWidget(widget)
        answer.rows.addLayout(buttons)
        answer.rows.addWidget(self.assumed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(12)
        for part in (self.caution, seen, answer):
            column.addWidget(part)
        column.addStretch(1)

    def _connect(self) -> None:
        self.part.chosen.connect(self._part_chosen)
        self.quantity.chosen.connect(self._part_chosen)
        for choice in (self.rising, self.open):
            choice.chosen.connect(self._changed)
        for name, editor in self.amounts.items():
            editor.edited.connect(self._changed)
            editor.nudged.connect(self._changed)
            editor.refused.connect(self.fields[name].show_problem)
        for rows in (self.points, self.needles):
            rows.changed.connect(self._changed)
        self.list.looked_at.connect(self._looked)
        self.list.taken.connect(self.use_wanted)
        self.use.clicked.connect(self._use)
        self.show_part.clicked.connect(self._show_in_list)
        self.clear.clicked.connect(self._clear)
        self._shelves.changed.connect(self._changed)
        self._reader.changed.connect(self._changed)

    # --- what is asked of it --------------------------------------------------------------------

    def begin_with(self, quantity: QuantityName) -> None:
        """Begin with a quantity, for instance the plan's; readings that stand there stay."""
        if not self.points.pairs and not self.needles.pairs:
            self.quantity.set_word(quantity)
            self._of_part()

    def say(self, problem: str) -> None:
        """Say why a class could not be used."""
        self.says.setText(problem)

    @property
    def ranked(self) -> tuple[RankedClass, ...]:
        """The classes, likeliest first."""
        return () if self._found is None else self._found.ranked

    # --- what was seen --------------------------------------------------------------------------

    @property
    def _known_quantity(self) -> QuantityName | None:
        word = self.quantity.word
        return None if word == _UNKNOWN else cast(QuantityName, word)

    def _part_chosen(self, word: str) -> None:
        del word
        self._of_part()
        self._changed()

    def _of_part(self) -> None:
        """Show the fields of a sender or of a gauge."""
        sender, quantity = self.part.word == "sender", self._known_quantity
        self.points.setVisible(sender and quantity is not None)
        self.needles.setVisible(not sender)
        for name in _OF_SENDER:
            self.fields[name].setVisible(sender)
        for name in _OF_GAUGE:
            self.fields[name].setVisible(not sender)
        if quantity is not None:
            head = self._reader.text(f"quantity.{quantity}")
            self.points.set_kinds(QUANTITY_KIND[quantity], Kind.RESISTANCE, head)

    def _si(self, name: str) -> float | None:
        amount = self.amounts[name].amount
        return None if amount is None else amount.si(_FIELDS[name])

    def _meter(self) -> DigitalMeter:
        share = self._si("meter_error")
        return CHEAP_METER if share is None else DigitalMeter(share)

    def _sender_work(self) -> Callable[[], Identification] | None:
        quantity = self._known_quantity
        points: tuple[SeenPoint, ...] = ()
        if quantity is not None:
            kind = QUANTITY_KIND[quantity]
            points = tuple(
                SeenPoint(at.si(kind), gives.si(Kind.RESISTANCE)) for at, gives in self.points.pairs
            )
        rest, meter = self._si("rest"), self._meter()
        if not points and rest is None:
            return None
        rising = {"rising": True, "falling": False}.get(self.rising.word)
        read = self._thread()
        senders = [one.part for one in self._shelves.shelf if not one.retired]
        classes = [part for part in senders if isinstance(part, Sender)]

        def work() -> Identification:
            thread = {} if read is None else thread_factors(read, classes)
            seen = SenderSeen(quantity, points, rest, rising=rising, meter=meter, thread=thread)
            return identify_sender(seen, classes)

        return work

    def _thread(self) -> Measured | None:
        diameter, pitch = self._si("diameter"), self._si("pitch")
        if diameter is None and pitch is None:
            return None
        return Measured(
            "male",
            None if diameter is None else Reading(diameter, CALLIPER),
            pitch=None if pitch is None else Reading(pitch, PITCH_ERROR),
        )

    def _gauge_work(self) -> Callable[[], Identification] | None:
        needles = [
            SeenNeedle(ohm.si(Kind.RESISTANCE), _shown_at(at.si(Kind.LEVEL)))
            for ohm, at in self.needles.pairs
        ]
        if self.open.word != _UNKNOWN:
            end = -math.inf if self.open.word == "low" else math.inf
            needles.insert(0, SeenNeedle(math.inf, end))
        terminals = self._si("supply_signal"), self._si("signal_earth")
        if not needles and terminals == (None, None):
            return None
        quantity, meter = self._known_quantity, self._meter()
        parts = [one.part for one in self._shelves.shelf if not one.retired]
        classes = [part for part in parts if isinstance(part, Gauge)]

        def work() -> Identification:
            seen = GaugeSeen(
                quantity,
                tuple(needles),
                supply_signal=terminals[0],
                signal_earth=terminals[1],
                meter=meter,
            )
            return identify_gauge(seen, classes)

        return work

    # --- weighing -------------------------------------------------------------------------------

    def _changed(self, *_: object) -> None:
        """Weigh the classes again; not while nobody looks."""
        if not self.isVisible():
            return
        self._run += 1
        if self._progress is not None:
            self._progress.cancel()
            self._progress = None
        weigh = self._sender_work() if self.part.word == "sender" else self._gauge_work()
        if weigh is None:
            self._show(None)
            return
        run, wanted = self._run, weigh

        def work(progress: Progress) -> Identification:
            progress.step(0, 1)
            return wanted()

        self._progress = Progress()
        job: Job[Any] = Job(
            work,
            lambda found: self._arrived(run, found),
            lambda error: self._failed(run, error),
            self._progress,
        )
        self._executor.run(job)

    def _arrived(self, run: int, found: Identification) -> None:
        if run == self._run:
            self._progress = None
            self._show(found)

    def _failed(self, run: int, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        if run == self._run:
            self._progress = None
            self._show(None)
            self.says.setText(self._reader.error(error))

    # --- the answer -----------------------------------------------------------------------------

    def _show(self, found: Identification | None) -> None:
        self._found = found
        text = self._reader.text
        says = [] if found is None else [self._reader.sentence(one) for one in found.says]
        self.says.setText(" ".join(says) or text("identify.page.begin"))
        telling = None if found is None else found.telling
        self.next.setText("" if telling is None else self._telling(telling))
        self.next.setVisible(telling is not None)
        rows = [] if found is None else self._rows(found)
        self.list.setVisible(bool(rows))
        self.list.show_rows(rows, "")
        self.list.fit(_MOST)
        if rows and not self.list.key:
            self.list.look_at(rows[0].key)
        assumed = () if found is None else found.assumed
        self.assumptions.setText("\n".join(self._reader.sentence(one) for one in assumed))
        self.assumed.setVisible(bool(assumed))
        cautions = () if found is None else found.cautions
        self.caution.setText(" ".join(self._reader.sentence(one) for one in cautions))
        self.caution.setVisible(bool(cautions))
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

    # --- the user -------------------------------------------------------------------------------

    def _use(self) -> None:
        if self.list.key:
            self.use_wanted.emit(self.list.key)

    def _show_in_list(self) -> None:
        if self.list.key:
            self.show_wanted.emit(self.list.key)

    def _clear(self) -> None:
        self.points.clear()
        self.needles.clear()
        for name in ("rest", "supply_signal", "signal_earth", "diameter", "pitch"):
            self.amounts[name].set_amount(None)
        for choice in (self.rising, self.open):
            choice.set_word(_UNKNOWN)
        self._changed()

    # --- Qt -------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Weigh what changed while nobody looked."""
        super().showEvent(event)
        self._changed()


def _range(one: Expected) -> dict[str, SiValue]:
    kind = one.value.kind
    return {"value": one.value, "low": SiValue(one.low, kind), "high": SiValue(one.high, kind)}


def _shown_at(share: float) -> float:
    """Return where a needle stands: at its ends it may be beyond them."""
    if share <= 0.0:
        return -math.inf
    return math.inf if share >= 1.0 else share
