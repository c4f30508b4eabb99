"""Which class lies on the bench: readings in, ranked classes out, and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from catalog.errors import UserError
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.catalogue.identify_answer import IdentifyAnswer
from retrofit.desk.catalogue.seen_rows import SeenRows
from retrofit.desk.catalogue.shelves import Shelves
from retrofit.desk.jobs import Executor, Job, Progress
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import Card
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.finder.identification import Identification
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
        self.caution = QLabel()
        self.clear = QPushButton(text("identify.page.clear"))
        self.answer = IdentifyAnswer(shelves, reader, theme)
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
        self.caution.setWordWrap(True)
        self.caution.setTextFormat(Qt.TextFormat.PlainText)
        self.caution.setObjectName("caution")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(12)
        for part in (self.caution, seen, self.answer):
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
        self.answer.use_wanted.connect(self.use_wanted)
        self.answer.show_wanted.connect(self.show_wanted)
        self.clear.clicked.connect(self._clear)
        self._shelves.changed.connect(self._changed)
        self._reader.changed.connect(self._changed)

    # --- what is asked of it --------------------------------------------------------------------

    def begin_with(self, quantity: QuantityName) -> None:
        """Begin with a quantity, for instance the plan's; readings that stand there stay."""
        if not self.points.pairs and not self.needles.pairs:
            self.quantity.set_word(quantity)
            self._of_part()

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
            self._show(None, self._reader.error(error))

    def _show(self, found: Identification | None, problem: str = "") -> None:
        self.answer.show_found(found, problem)
        cautions = () if found is None else found.cautions
        self.caution.setText(" ".join(self._reader.sentence(one) for one in cautions))
        self.caution.setVisible(bool(cautions))

    # --- the user -------------------------------------------------------------------------------

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


def _shown_at(share: float) -> float:
    """Return where a needle stands: at its ends it may be beyond them."""
    if share <= 0.0:
        return -math.inf
    return math.inf if share >= 1.0 else share
