"""What narrows the list of the catalogue, folded away while nobody needs it."""

from __future__ import annotations

from typing import Any, cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLineEdit, QPushButton, QWidget

from catalog.codec import MOVEMENT_TAGS
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.quantities.kinds import Kind
from catalog.shelf import Sieve
from retrofit.desk.reader import Reader
from retrofit.desk.steps.page import FoldCard
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.quantity_edit import QuantityEdit

_ANY = ""
_CHOICES: dict[str, tuple[str, ...]] = {
    "kind": ("sender", "gauge"),
    "quantity": ("level", "pressure", "temperature"),
    "whose": ("own", "retired"),
    "direction": ("rising", "falling"),
    "stations": ("1", "2"),
    "earth_return": ("body", "insulated", "either", "unknown"),
    "movement": tuple(MOVEMENT_TAGS.values()),
}


class Filters(FoldCard):
    """Edits a `Sieve` besides its words.

    Parameters
    ----------
    reader : Reader
        Texts and units.
    """

    changed = Signal()
    """Another sieve holds."""

    def __init__(self, reader: Reader, parent: QWidget | None = None) -> None:
        super().__init__(reader.text("filters.title"), columns=3, parent=parent)
        self._reader = reader
        self.choices = {name: self._choice(name, words) for name, words in _CHOICES.items()}
        self.at = QuantityEdit(Kind.LEVEL, reader, reader.text("filters.at"), optional=True)
        self.ohms = QuantityEdit(
            Kind.RESISTANCE, reader, reader.text("filters.ohms"), optional=True
        )
        self.low = QuantityEdit(Kind.LEVEL, reader, reader.text("filters.low"), optional=True)
        self.high = QuantityEdit(Kind.LEVEL, reader, reader.text("filters.high"), optional=True)
        self.thread_name = QLineEdit()
        self.thread_name.setMaxLength(40)
        self.thread_name.setPlaceholderText(reader.text("filters.thread.placeholder"))
        self.switch = QCheckBox(reader.text("filters.switch"))
        self.clear = QPushButton(reader.text("filters.clear"))
        self.fields: dict[str, Field] = {}
        self._arrange()
        self._connect()
        self._of_quantity()

    def _choice(self, name: str, words: tuple[str, ...]) -> Choice:
        text = self._reader.text
        shown = [(_ANY, text("filters.any"))]
        prefix = {"movement": "movement", "quantity": "quantity"}.get(name, "filters.word")
        if name in ("stations", "earth_return"):
            prefix = "word"
        shown += [(word, text(f"{prefix}.{word}")) for word in words]
        made = Choice(shown, text(f"filters.{name}"))
        made.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        made.setMinimumContentsLength(5)
        return made

    def _arrange(self) -> None:
        text = self._reader.text
        editors: dict[str, QWidget] = {
            "kind": self.choices["kind"],
            "quantity": self.choices["quantity"],
            "whose": self.choices["whose"],
            "direction": self.choices["direction"],
            "at": self.at,
            "ohms": self.ohms,
            "low": self.low,
            "high": self.high,
            "movement": self.choices["movement"],
            "stations": self.choices["stations"],
            "earth_return": self.choices["earth_return"],
            "thread": self.thread_name,
        }
        for name, editor in editors.items():
            self.fields[name] = Field(text(f"filters.{name}"), editor)
            self.add(self.fields[name])
        below = QWidget()
        row = QHBoxLayout(below)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.switch)
        row.addStretch(1)
        row.addWidget(self.clear)
        self.add(below, wide=True)

    def _connect(self) -> None:
        for choice in self.choices.values():
            choice.chosen.connect(self._chosen)
        for name in ("at", "ohms", "low", "high"):
            editor: QuantityEdit = getattr(self, name)
            editor.edited.connect(self._changed)
            editor.nudged.connect(self._changed)
            editor.refused.connect(self.fields[name].show_problem)
        self.thread_name.textChanged.connect(self._changed)
        self.switch.toggled.connect(self._changed)
        self.clear.clicked.connect(self.reset)

    # --- what is asked of it --------------------------------------------------------------------

    def sieve(self, words: str) -> Sieve:
        """Return what a part must be to be listed."""
        chosen: dict[str, Any] = {
            name: choice.word or None for name, choice in self.choices.items()
        }
        stations = chosen.pop("stations")
        return Sieve(
            words,
            at=self._si(self.at),
            ohms=self._si(self.ohms),
            low=self._si(self.low),
            high=self._si(self.high),
            thread=self.thread_name.text(),
            switch=self.switch.isChecked(),
            stations=None if stations is None else int(stations),
            whose=chosen.pop("whose") or "all",
            **chosen,
        )

    def reset(self) -> None:
        """Let every part through again."""
        for choice in self.choices.values():
            choice.set_word(_ANY)
        for editor in (self.at, self.ohms, self.low, self.high):
            editor.set_amount(None)
        self.thread_name.clear()
        self.switch.setChecked(False)
        self._of_quantity()
        self._changed()

    def show_retired(self) -> None:
        """Let the retired parts through."""
        self.choices["whose"].set_word("retired")
        self._changed()

    # --- the user -------------------------------------------------------------------------------

    def _chosen(self, word: str) -> None:
        del word
        self._of_quantity()
        self._changed()

    def _changed(self, *_: object) -> None:
        count = self.sieve("").count
        self.say(self._reader.text("filters.count", count=count) if count else "")
        self.changed.emit()

    def _of_quantity(self) -> None:
        """A value can only be typed once it is known of what; its unit says so otherwise."""
        word = self.choices["quantity"].word
        for name in ("at", "low", "high"):
            editor: QuantityEdit = getattr(self, name)
            editor.setEnabled(bool(word))
            editor.setPlaceholderText("" if word else self._reader.text("filters.quantity_first"))
            if word:
                editor.set_kind(QUANTITY_KIND[cast(QuantityName, word)])
            else:
                editor.set_amount(None)

    @staticmethod
    def _si(editor: QuantityEdit) -> float | None:
        return None if editor.amount is None else editor.amount.si(editor.kind)
