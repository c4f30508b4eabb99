"""One field of a part: the number with its tolerance, its basis and its source, or a word."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLineEdit, QPushButton, QWidget

from catalog.errors import UserError, user_error
from catalog.parts.slots import KIND, Slot
from catalog.provenance import UNSTATED, Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount, plain
from catalog.quantities.kinds import DIFFERENCE, Kind
from catalog.quantities.numerals import read, shown
from retrofit.desk.catalogue.settled_choice import SettledChoice
from retrofit.desk.reader import Reader
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.flow import FlowLayout
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.desk.widgets.tolerance_edit import ToleranceEdit

_LONGEST = {"notes": 2000}
_STRETCH = (4, 3, 4, 5)


def slot_label(slot: Slot, reader: Reader) -> str:
    """Return what a slot is called."""
    known = reader.renderer.known(f"slot.{slot.name}")
    return known if known is not None else reader.text(f"slot.{slot.path[-1]}")


class SlotRow(QWidget):
    """Shows one slot and edits it.

    Parameters
    ----------
    slot : Slot
        The field.
    reader : Reader
        Texts and units.
    signal : Kind or None
        What the part gives or needs: a tolerance may be in that as well.
    """

    edited = Signal(object)
    """The user gives it another value; None for nothing."""

    wanted = Signal()
    """The user wants to begin the record that is not there."""

    def __init__(
        self, slot: Slot, reader: Reader, signal: Kind | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._slot, self._reader = slot, reader
        self._editors: dict[str, Any] = {}
        self.fields: list[Field] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(10)
        self.label = slot_label(slot, reader)
        make = {
            "figure": self._make_figure,
            "amount": self._make_amount,
            "tolerance": self._make_tolerance,
            "basis": self._make_basis,
            "word": self._make_word,
            "words": self._make_words,
            "record": self._make_record,
        }.get(slot.holds, self._make_line)
        self._signal = signal
        make()
        self.show_slot(slot)

    @property
    def slot(self) -> Slot:
        """The field as it was shown last."""
        return self._slot

    @property
    def editors(self) -> dict[str, Any]:
        """The widgets that edit it, by what they edit: value, tolerance, basis, source."""
        return self._editors

    def show_problem(self, text: str) -> None:
        """Say what is wrong with the value; nothing for an empty text."""
        if self.fields:
            self.fields[0].show_problem(text)

    # --- making ---------------------------------------------------------------------------------

    def _add(self, name: str, editor: QWidget, label: str, stretch: int = 1) -> Field:
        field = Field(label, editor)
        if name != "value":
            part = self._reader.text("slot.of", what=label, whose=self.label)
            editor.setAccessibleName(part)
        column = len(self.fields)
        self._grid.addWidget(field, 0, column)
        self._grid.setColumnStretch(column, stretch)
        self._editors[name] = editor
        self.fields.append(field)
        return field

    def _amount_editor(self, stretch: int) -> None:
        assert self._slot.kind is not None
        editor = QuantityEdit(
            self._slot.kind, self._reader, self.label, optional=self._slot.optional
        )
        if self._slot.optional:
            editor.setPlaceholderText(self._reader.text("value.unknown"))
        field = self._add("value", editor, self.label, stretch)
        editor.edited.connect(self._changed)
        editor.refused.connect(field.show_problem)

    def _make_amount(self) -> None:
        self._amount_editor(1)

    def _make_figure(self) -> None:
        self._amount_editor(_STRETCH[0])
        assert self._slot.kind is not None
        kinds = (DIFFERENCE.get(self._slot.kind, self._slot.kind),)
        self._tolerance_editor("tolerance", kinds, self._reader.text("slot.tolerance.short"))
        self._basis_editors(self._reader.text("slot.basis"))

    def _tolerance_editor(self, name: str, kinds: tuple[Kind, ...], label: str) -> None:
        editor = ToleranceEdit(self._reader, label)
        editor.set_kinds(*kinds)
        editor.setPlaceholderText(self._reader.text("value.unknown"))
        field = self._add(name, editor, label, _STRETCH[1])
        editor.edited.connect(self._changed)
        editor.refused.connect(field.show_problem)

    def _make_tolerance(self) -> None:
        signal = () if self._signal is None else (self._signal,)
        apart = () if self._slot.kind is None else (self._slot.kind,)
        self._tolerance_editor("value", (*signal, *apart), self.label)

    def _basis_editors(self, label: str, name: str = "basis") -> None:
        kinds = [(kind.value, self._reader.text(f"basis.{kind.value}")) for kind in BasisKind]
        choice = Choice(kinds, label)
        choice.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        choice.setMinimumContentsLength(6)
        self._add(name, choice, label, _STRETCH[2])
        choice.chosen.connect(self._changed)
        source = QLineEdit()
        source.setMaxLength(300)
        self._add("source", source, self._reader.text("slot.source_of"), _STRETCH[3])
        source.editingFinished.connect(self._line_left)

    def _make_basis(self) -> None:
        self._basis_editors(self.label, "value")

    def _make_word(self) -> None:
        words = [(str(word), self._reader.text(f"word.{word}")) for word in self._slot.words]
        made = SettledChoice if self._slot.path[-1] == KIND else Choice
        choice = made(words, self.label)
        choice.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        choice.setMinimumContentsLength(8)
        self._add("value", choice, self.label)
        choice.chosen.connect(self._changed)

    def _make_words(self) -> None:
        holder = QWidget()
        row = FlowLayout()
        holder.setLayout(row)
        for word in self._slot.words:
            box = QCheckBox(self._reader.text(f"word.{word}"))
            box.setAccessibleName(f"{self.label}: {box.text()}")
            box.clicked.connect(self._changed)
            self._editors[str(word)] = box
            row.addWidget(box)
        self._add("value", holder, self.label)

    def _make_line(self) -> None:
        editor = QLineEdit()
        editor.setMaxLength(_LONGEST.get(self._slot.path[-1], 200))
        self._add("value", editor, self.label)
        editor.editingFinished.connect(self._line_left)

    def _make_record(self) -> None:
        button = QPushButton(self._reader.text("slot.begin", what=self.label))
        button.setAccessibleName(button.text())
        button.clicked.connect(self.wanted)
        self._editors["begin"] = button
        self._grid.addWidget(button, 0, 0)
        self._grid.setColumnStretch(1, 1)

    # --- showing --------------------------------------------------------------------------------

    def show_slot(self, slot: Slot) -> None:
        """Show the field as it is now; what is typed in it just now is left alone."""
        self._slot = slot
        value, editors = slot.value, self._editors
        if slot.holds == "figure":
            editors["value"].set_amount(None if value is None else value.amount)
            self._show_tolerance("tolerance", None if value is None else value.tolerance)
            self._show_basis("basis", None if value is None else value.basis)
            for name in ("tolerance", "basis", "source"):
                editors[name].setEnabled(value is not None)
        elif slot.holds == "amount":
            editors["value"].set_amount(value)
        elif slot.holds == "tolerance":
            self._show_tolerance("value", value)
        elif slot.holds == "basis":
            self._show_basis("value", value)
        elif slot.holds == "word":
            editors["value"].set_word("" if value is None else str(value))
        elif slot.holds == "words":
            for word in slot.words:
                editors[str(word)].setChecked(word in (value or ()))
        elif slot.holds != "record":
            self._show_line(editors["value"], _line_text(value, self._reader))

    def _show_tolerance(self, name: str, tolerance: Tolerance | None) -> None:
        self._editors[name].set_amount(None if tolerance is None else tolerance.half_width)

    def _show_basis(self, name: str, basis: Basis | None) -> None:
        shown = basis or UNSTATED
        self._editors[name].set_word(shown.kind.value)
        self._show_line(self._editors["source"], shown.source)

    @staticmethod
    def _show_line(editor: QLineEdit, text: str) -> None:
        if not editor.isModified() and editor.text() != text:
            editor.setText(text)
            editor.setToolTip(text)
            editor.setCursorPosition(0)

    # --- the user -------------------------------------------------------------------------------

    def _line_left(self) -> None:
        editor = self.sender()
        if isinstance(editor, QLineEdit) and editor.isModified():
            editor.setModified(False)
            self._changed()

    def _changed(self, *_: object) -> None:
        try:
            value = self._value()
        except UserError as error:
            self.show_problem(self._reader.error(error))
            return
        if value != self._slot.value:
            self.show_problem("")
            self.edited.emit(value)

    def _value(self) -> Any:
        """Return what the editors say; raises UserError where that cannot be read."""
        editors, slot = self._editors, self._slot
        if slot.holds == "figure":
            return self._figure()
        if slot.holds == "amount":
            return editors["value"].amount
        if slot.holds == "tolerance":
            return self._tolerance("value")
        if slot.holds == "basis":
            return self._basis("value")
        if slot.holds == "word":
            word = editors["value"].word
            return next((one for one in slot.words if str(one) == word), None)
        if slot.holds == "words":
            return tuple(word for word in slot.words if editors[str(word)].isChecked())
        text = editors["value"].text().strip()
        if slot.holds in ("number", "count"):
            return _number(text, slot, self._reader)
        return None if not text and slot.path[-1] == "thread" else text

    def _figure(self) -> Figure | None:
        amount: Amount | None = self._editors["value"].amount
        if amount is None:
            return None
        return Figure(amount, self._tolerance("tolerance"), self._basis("basis"))

    def _tolerance(self, name: str) -> Tolerance | None:
        amount: Amount | None = self._editors[name].amount
        return None if amount is None else Tolerance(amount)

    def _basis(self, name: str) -> Basis:
        return Basis(BasisKind(self._editors[name].word), self._editors["source"].text().strip())


def _line_text(value: Any, reader: Reader) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return plain(value).replace(".", reader.decimal)
    return str(value)


def _number(text: str, slot: Slot, reader: Reader) -> float | int | None:
    if not text and slot.optional:
        return None
    typed = read(text, decimal=reader.decimal)
    whole = slot.holds == "count"
    if typed.unit or (whole and typed.value != round(typed.value)):
        raise user_error("slot.whole" if whole else "slot.number", text=shown(text))
    return round(typed.value) if whole else typed.value
