"""The one line edit for all quantities, with the unit typed at will."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QLineEdit, QWidget

from catalog.errors import UserError
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import DIFFERENCE, Kind, unit_named
from catalog.quantities.numerals import read
from catalog.quantities.parse import parse
from catalog.quantities.show import preferred
from retrofit.desk.reader import Reader

_NUDGE = 10.0
"""Steps of a shown number that an arrow key moves; a hundred times that with the page keys."""


_EDGE = 10
"""Room between the lent unit and the edge [logical pixels]."""

PAUSE_MS = 350
"""How long typing has to rest until its consequence is shown [ms]."""


def select_from_end(line: QLineEdit) -> None:
    """Select everything with the cursor at the start: of a long text its start is seen."""
    line.setSelection(len(line.text()), -len(line.text()))


class QuantityEdit(QLineEdit):
    """A line edit that holds one amount, or nothing where the field may be left empty.

    Parameters
    ----------
    kind : Kind
        What is typed.
    reader : Reader
        Units and decimal mark.
    name : str
        Accessible name.
    optional : bool
        Whether it may be left empty, which means unknown.
    parent : QWidget, optional
        Owner.
    """

    edited = Signal(object)
    """The user finished typing another Amount, or emptied the field (None)."""

    nudged = Signal(object)
    """The Amount is being changed by an arrow key or by typing: one step of undo however often."""

    refused = Signal(str)
    """What was typed cannot be used: the sentence; empty when all is well again."""

    def __init__(
        self,
        kind: Kind,
        reader: Reader,
        name: str,
        *,
        optional: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self._reader = reader
        self._optional = optional
        self._live = False
        self._amount: Amount | None = None
        self.setAccessibleName(name)
        self.setMaxLength(64)
        self._before: Amount | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._try)
        self.textEdited.connect(self._typed)
        self.editingFinished.connect(self._finish)
        reader.changed.connect(self._show)

    @property
    def kind(self) -> Kind:
        """What is typed here."""
        return self._kind

    def set_kind(self, kind: Kind) -> None:
        """Hold another kind of quantity from now on; what was shown is cleared."""
        if kind is not self._kind:
            self._kind = kind
            self._amount = None
            self.clear()

    @property
    def amount(self) -> Amount | None:
        """The amount that is held."""
        return self._amount

    def set_amount(self, amount: Amount | None) -> None:
        """Show an amount; what the user is typing just now is left alone if it is the same."""
        if amount == self._amount and self.isModified():
            return
        self._amount = amount
        self._show()
        self.refused.emit("")

    def _show(self) -> None:
        text = self._reader.amount(self._amount, self._kind)
        if text != self.text():
            self.setText(text)
            if not self.hasFocus():
                self.setCursorPosition(0)  # of a long one its start is seen, not its tail
        self.setModified(False)
        self._describe(text)

    def _describe(self, text: str) -> None:
        self.setAccessibleDescription(text or self._reader.text("value.unknown"))

    def _unit(self) -> str:
        """Return the unit that a bare number has: the shown one."""
        style = self._reader.style
        # A difference is shown in the unit of what it is a difference of.
        base = next((one for one, apart in DIFFERENCE.items() if apart is self._kind), self._kind)
        chosen = self._kind in style.units or base in style.units
        if chosen or self._amount is None:
            return preferred(self._kind, style).symbol
        return self._amount.unit

    @property
    def lent_unit(self) -> str:
        """The unit that a bare number being typed will get; empty where none is lent.

        It is that of the amount that stood here: a plan in psi stays in psi, a run in metres in
        metres. So it is shown while somebody types: after a mistyped "16 m", 12 would be 12 m.
        """
        if not self.isModified():
            return ""
        try:
            typed = read(self.text(), decimal=self._reader.decimal)
        except UserError:
            return ""
        return "" if typed.unit else self._unit()

    def commit(self) -> None:
        """Take what has been typed so far, as if the field had been left."""
        self._finish()

    def _typed(self) -> None:
        if not self._pause.isActive():
            self._before = self._amount if not self._live else self._before
        self._pause.start()

    def _try(self) -> None:
        """Show what follows from what is typed so far, if it can be understood already."""
        text = self.text().strip()
        if not self.isModified() or not text:
            return
        try:
            amount = self._parsed(text)
        except UserError:
            return  # more may be typed; leaving the field will say what is wrong
        if amount != self._amount:
            self._amount, self._live = amount, True
            self.nudged.emit(amount)

    def _parsed(self, text: str) -> Amount:
        return parse(text, self._kind, default=self._unit(), decimal=self._reader.decimal)

    def _finish(self) -> None:
        self._pause.stop()
        if not self.isModified():
            return
        text = self.text().strip()
        if not text and self._optional:
            self._take(None)
            return
        try:
            amount = self._parsed(text)
        except UserError as error:
            self.refused.emit(self._reader.error(error))
            return
        self._take(amount)

    def _take(self, amount: Amount | None) -> None:
        self.setModified(False)
        self.refused.emit("")
        if amount != self._amount or self._live:
            self._amount, self._live = amount, False
            self.edited.emit(amount)
        self._show()

    def take_back(self) -> None:
        """Show the amount that was held before typing began, forgetting what was typed."""
        self._pause.stop()
        if self._live:
            self.setModified(False)
            self._take(self._before)
            return
        self._show()
        self.refused.emit("")

    def forget(self) -> None:
        """Drop what was typed and not taken: it was of something that is no longer here."""
        self._pause.stop()
        self._live = False
        self.setModified(False)
        self._show()
        self.refused.emit("")

    # --- Qt -------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Take back on Escape, move the number with the arrow and page keys."""
        steps = {
            Qt.Key.Key_Up: 1.0,
            Qt.Key.Key_Down: -1.0,
            Qt.Key.Key_PageUp: 10.0,
            Qt.Key.Key_PageDown: -10.0,
        }
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Escape and self.isModified():
            self.take_back()
        elif key in steps and self._amount is not None and not self.isModified():
            self._nudge(steps[key], self._amount)
        else:
            super().keyPressEvent(event)

    def _nudge(self, steps: float, amount: Amount) -> None:
        unit = unit_named(self._kind, self._unit())
        if unit is None:
            return
        if unit.symbol != amount.unit:  # go on from the number that is shown, not from its digits
            amount = parse(
                self.text(), self._kind, default=unit.symbol, decimal=self._reader.decimal
            )
        step = unit.step * _NUDGE if unit.step else 10.0 ** (len(str(int(abs(amount.number)))) - 2)
        moved = Amount(float(f"{amount.number + steps * step:.12g}"), amount.unit)
        self._amount = moved
        self._show()
        self.nudged.emit(moved)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint the unit that a bare number gets at the right edge."""
        super().paintEvent(event)
        unit = self.lent_unit
        if not unit:
            return
        metrics, box = self.fontMetrics(), self.rect().adjusted(0, 0, -_EDGE, 0)
        if metrics.horizontalAdvance(self.text() + unit) + 4 * _EDGE > self.width():
            return
        with QPainter(self) as painter:
            painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
            side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(box, side, unit)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Show the start of what stands here."""
        super().focusOutEvent(event)
        if not self.isModified():
            self.setCursorPosition(0)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Select everything, so that typing replaces it."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            select_from_end(self)
