"""All that is known of a part, every number with its tolerance and where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication, QLabel, QVBoxLayout, QWidget

from catalog.codec import Part
from catalog.errors import UserError
from catalog.message import message
from catalog.parts.gauge import Gauge
from catalog.parts.laws import TableLaw, TransmitterLaw
from catalog.parts.sender import Sender
from catalog.parts.slots import (
    KIND,
    Begun,
    Path,
    Slot,
    of_kind,
    record_at,
    slots_of,
    value_of,
    with_value,
)
from catalog.quantities.kinds import Kind
from retrofit.desk.catalogue.curve_editor import CurveEditor
from retrofit.desk.catalogue.slot_row import SlotRow, slot_label
from retrofit.desk.jobs import Executor
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import Card, FoldCard
from retrofit.desk.theme import Theme

_OF_FIELD = {
    "law": "curve",
    "movement": "movement",
    "fitting": "fitting",
    "terminals": "terminals",
    "source": "source",
}
_FIRST = ("name", "stations", "earth_return", "system", "notes")
_OUTPUT = "output"
_SMALL = ("word", "count", "number", "amount")


def group_of(slot: Slot) -> str:
    """Return the card on which a slot stands."""
    if slot.path[0] in _OF_FIELD:
        return _OF_FIELD[slot.path[0]]
    return "about" if slot.path[0] in _FIRST else "scale"


class PartForm(QWidget):
    """Shows a part and edits it.

    Parameters
    ----------
    reader, theme : Reader, Theme
        Texts, units and colours.
    executor : Executor
        Reads long pasted tables aside.
    """

    edited = Signal(object, object)
    """The user changed something: the whole part as it is now, and a Message of what."""

    def __init__(
        self, reader: Reader, theme: Theme, executor: Executor, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._reader = reader
        self._part: Part | None = None
        self._begun: dict[Path, Begun] = {}
        self._shape: tuple[object, ...] = ()
        self.rows: dict[str, SlotRow] = {}
        self._cards: list[QWidget] = []
        self.curve = CurveEditor(reader, theme, executor)
        self.curve.taken.connect(self._taken)
        self.problem = QLabel()
        self.problem.setObjectName("field-problem")
        self.problem.setWordWrap(True)
        self.problem.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 10, 0, 0)
        self._column.setSpacing(12)
        self._column.addWidget(self.problem)
        self.curve.setParent(self)
        self.curve.hide()

    # --- what is asked of it --------------------------------------------------------------------

    @property
    def part(self) -> Part | None:
        """The part as it is shown."""
        return self._part

    def show_part(self, part: Part) -> None:
        """Show a part; what is typed just now is left alone where it is the same one."""
        if self._part is None or part.key != self._part.key:
            self._begun, self._shape = {}, ()
            self._say("")
        self._part = part
        self._show()

    def _slots(self) -> list[Slot]:
        """Return the slots of the part, and those of records that are not complete yet."""
        assert self._part is not None
        found: list[Slot] = []
        begun = dict(self._begun)
        for slot in slots_of(self._part):
            path = slot.path[:-1] if slot.path[-1] == KIND else slot.path
            if path not in begun:
                hidden = any(slot.path[: len(one)] == one for one in self._begun)
                found += [] if hidden else [slot]
                continue
            started = begun.pop(path)
            if slot.path[-1] == KIND:
                found.append(_chosen(slot, started))
            if started.made is TransmitterLaw:
                words = (Kind.VOLTAGE.value, Kind.CURRENT.value)
                found.append(Slot((*path, _OUTPUT), "word", started.signal.value, words=words))
            found += started.slots(path, self._part.quantity)
        return found

    def _show(self) -> None:
        slots = self._slots()
        shape = tuple((slot.name, slot.holds, slot.kind, slot.words) for slot in slots)
        if shape != self._shape:
            self._rebuild(slots)
            self._shape = shape
        else:
            for slot in slots:
                self.rows[slot.name].show_slot(slot)
        assert self._part is not None
        if self._has_points():
            begun = self._begun.get(("law",))
            self.curve.show_part(self._part, begins=begun is not None and begun.made is TableLaw)

    def _has_points(self) -> bool:
        part = self._part
        if isinstance(part, Gauge):
            return True
        begun = self._begun.get(("law",))
        if begun is not None:
            return begun.made is TableLaw
        return isinstance(part, Sender)

    # --- building -------------------------------------------------------------------------------

    def _rebuild(self, slots: Sequence[Slot]) -> None:
        before = self._focused()
        self.curve.setParent(self)
        for card in self._cards:
            self._column.removeWidget(card)
            card.hide()
            card.deleteLater()
        self._cards, self.rows = [], {}
        groups: dict[str, list[Slot]] = {}
        for slot in slots:
            groups.setdefault(group_of(slot), []).append(slot)
        names = ("about", "curve", "scale", "movement", "fitting", "terminals", "source")
        if isinstance(self._part, Gauge):
            groups.setdefault("curve", [])
        for name in names:
            if name in groups:
                self._add_card(name, groups[name])
        if before in self.rows and self.rows[before].fields:
            self.rows[before].fields[0].setFocus()

    def _focused(self) -> str:
        focus = QApplication.focusWidget()
        named = (name for name, row in self.rows.items() if focus and row.isAncestorOf(focus))
        return next(named, "")

    def _add_card(self, name: str, slots: Sequence[Slot]) -> None:
        title = self._reader.text(f"form.{name}")
        if name == "curve" and isinstance(self._part, Gauge):
            title = self._reader.text("form.marks")
        folded = name in ("fitting", "terminals", "source")
        card: Card = FoldCard(title, columns=2) if folded else Card(title, columns=2)
        words = [slot for slot in slots if slot.holds == "word"] if name == "curve" else []
        self._add_rows(card, words)
        if name == "curve" and self._has_points():
            card.add(self.curve, wide=True)
            self.curve.show()
        if name == "curve" and isinstance(self._part, Gauge) and self._part.scaled_for is not None:
            drawn = self._reader.text("gauge.scaled_for", name=self._part.scaled_for.name)
            label = QLabel(drawn)
            label.setObjectName("muted")
            label.setWordWrap(True)
            card.add(label, wide=True)
        self._add_rows(card, [slot for slot in slots if slot not in words])
        if isinstance(card, FoldCard):
            card.open(opened=any(slot.value not in (None, ()) for slot in slots))
        self._column.addWidget(card)
        card.show()  # now, so that a field in it can have the focus
        self._cards.append(card)

    def _add_rows(self, card: Card, slots: Sequence[Slot]) -> None:
        for slot in slots:
            row = SlotRow(slot, self._reader, None if self._part is None else self._part.signal)
            row.edited.connect(self._row_edited)
            row.wanted.connect(self._row_wanted)
            self.rows[slot.name] = row
            card.add(row, wide=slot.holds not in _SMALL)

    # --- the user -------------------------------------------------------------------------------

    def _row_edited(self, value: object) -> None:
        row = self.sender()
        if isinstance(row, SlotRow):
            row.show_problem(self._edit(row.slot, value))

    def _row_wanted(self) -> None:
        row = self.sender()
        if isinstance(row, SlotRow):
            assert self._part is not None
            path = row.slot.path
            self._begin(path, record_at(self._part, path))
            self._go_to(path)

    def _go_to(self, path: Path) -> None:
        """Put the cursor in the first row of a record that was begun."""
        for slot_row in self.rows.values():
            if slot_row.slot.path[: len(path)] == path and slot_row.fields:
                slot_row.fields[0].go_there()
                return

    def _edit(self, slot: Slot, value: Any) -> str:
        """Change one field; return the sentence that says why not."""
        path = slot.path
        owner = next((one for one in self._begun if path[: len(one)] == one), None)
        if path[-1] == KIND:
            return self._become(path[:-1], str(value))
        if owner is None:
            return self._put(path, value, slot)
        begun = self._begun[owner]
        if path[-1] == _OUTPUT:
            self._begun[owner] = Begun(begun.made, {}, Kind(str(value)))
            self._show()
            return ""
        self._begun[owner] = begun.with_value(path[len(owner) :], value)
        return self._complete(owner)

    def _become(self, path: Path, tag: str) -> str:
        """Let the law or movement be another, at once or as soon as it is complete."""
        assert self._part is not None
        made = of_kind(path, tag)
        self._begun.pop(path, None)
        if isinstance(value_of(self._part, path), made):
            self._show()
            return ""
        return self._begin(path, made)

    def _begin(self, path: Path, made: type) -> str:
        begun = Begun(made)
        self._begun[path] = begun
        if made is TableLaw:
            self._show()
            return ""
        return self._complete(path)

    def _complete(self, path: Path) -> str:
        """Put a record in its place once it has all that it cannot do without."""
        assert self._part is not None
        try:
            record = self._begun[path].record()
        except UserError as error:
            return self._reader.error(error)
        if record is None:
            self._show()
            return ""
        slot = Slot(path, "record", None)
        problem = self._put(path, record, slot)
        if not problem:
            self._begun.pop(path, None)
            self._show()
        return problem

    def _put(self, path: Path, value: Any, slot: Slot) -> str:
        assert self._part is not None
        try:
            changed = with_value(self._part, path, value)
        except UserError as error:
            return self._reader.error(error)
        self._say("")
        self._hand_on(changed, slot_label(slot, self._reader))
        return ""

    def _taken(self, points: tuple[Any, ...]) -> None:
        """Put a sound table in."""
        part = self._part
        assert part is not None
        path: Path = ("marks",) if isinstance(part, Gauge) else ("law", "points")
        try:
            if isinstance(part, Sender) and not isinstance(part.law, TableLaw):
                changed = with_value(part, ("law",), TableLaw(points))
            else:
                changed = with_value(part, path, points)
        except UserError as error:
            self._say(self._reader.error(error))
            return
        self._begun.pop(("law",), None)
        self._say("")
        self._hand_on(changed, self._reader.text("slot.points"))

    def _hand_on(self, changed: Part, what: str) -> None:
        if changed == self._part:
            return
        self._part = changed
        self._show()
        self.edited.emit(changed, message("shelves.edit", part=changed.name, what=what))

    def _say(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))


def _chosen(slot: Slot, begun: Begun) -> Slot:
    """Return the slot of the kind, with the one that was begun."""
    words = cast("tuple[str, ...]", slot.words)
    word = next(word for word in words if of_kind(slot.path, word) is begun.made)
    return Slot(slot.path, slot.holds, word, None, slot.words, optional=False)
