"""What else hangs on the supply: one card a load, and a button for another one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Edit
from retrofit.desk.steps.page import Card, StepPage
from retrofit.desk.steps.typed_figures import ENTERED, figure
from retrofit.installation import Load

SetLoads = Callable[[tuple[Load, ...]], Edit]

_RETURNS = ("gauge earth", "engine earth")
_WHEN = ("always", "at times", "charging", "cranking")


class LoadCards(QWidget):
    """The loads of an installation.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    set_loads : callable
        Makes the edit from the changed loads.
    """

    def __init__(self, page: StepPage, set_loads: SetLoads) -> None:
        super().__init__()
        self._page, self._set = page, set_loads
        self._loads: tuple[Load, ...] = ()
        self._cards: list[_LoadCard] = []
        self.empty = QLabel(page.place.reader.text("loads.empty"))
        self.empty.setObjectName("muted")
        self.empty.setWordWrap(True)
        self.add = QPushButton(page.place.reader.text("loads.add"))
        self.add.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.add.clicked.connect(self._another)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(10)
        self._column.addWidget(self.empty)
        self._column.addWidget(self.add)

    def show_loads(self, loads: tuple[Load, ...]) -> None:
        """Show the loads as they are in the plan."""
        self._loads = loads
        self.empty.setVisible(not loads)
        while len(self._cards) < len(loads):
            card = _LoadCard(self._page, len(self._cards), self._changed, self._gone)
            self._column.insertWidget(len(self._cards), card.card)
            self._cards.append(card)
        for n, card in enumerate(self._cards):
            card.card.setVisible(n < len(loads))
            if n < len(loads):
                card.show(loads[n])

    def first_missing(self) -> QWidget:
        """Return the field that is still to be filled in, else the first; the button if none."""
        for number, load in enumerate(self._loads):
            if load.amperes is None and (load.when == "charging" or load.watts is None):
                part = "amperes" if load.when == "charging" else "watts"
                return self._page.fields[f"load{number}.{part}"]
        return self._page.fields["load0.name"] if self._loads else self.add

    def _another(self) -> None:
        taken = {load.name for load in self._loads}
        base = self._page.place.reader.text("loads.new")
        names = (base, *(f"{base} {n}" for n in range(2, 100)))
        name = next(one for one in names if one not in taken)
        self._page.place.attempt(self._set((*self._loads, Load(name))))
        field = self._page.fields[f"load{len(self._loads) - 1}.name"]
        field.go_there()

    def _changed(self, number: int, load: Load) -> Edit:
        loads = list(self._loads)
        loads[number] = load
        return self._set(tuple(loads))

    def _gone(self, number: int) -> None:
        for card in self._cards[number:]:
            card.forget()  # what was typed there was of another load
        rest = self._loads[:number] + self._loads[number + 1 :]
        self._page.place.attempt(self._set(rest))
        left = min(number, len(self._loads) - 1)
        (self._cards[left].remove if left >= 0 else self.add).setFocus()


class _LoadCard:
    """The fields of one load."""

    PARTS = ("name", "amperes", "watts", "on_feed", "returns", "when")

    def __init__(
        self,
        page: StepPage,
        number: int,
        changed: Callable[[int, Load], Edit],
        gone: Callable[[int], None],
    ) -> None:
        self._changed, self._number, self._gone = changed, number, gone
        self._page, self._load = page, Load("")
        text = page.place.reader.text
        name = f"load{number}"
        self._name = page.line_field(
            f"{name}.name", lambda words: self._edit(name=words), label=text("loads.name")
        )
        self._amperes = page.amount_field(
            f"{name}.amperes", Kind.CURRENT, self._current, optional=True, label=text("loads.amps")
        )
        self._watts = page.amount_field(
            f"{name}.watts",
            Kind.POWER,
            lambda amount: self._edit(watts=amount),
            optional=True,
            label=text("loads.watts"),
        )
        self._feed = page.word_field(
            f"{name}.on_feed",
            ("yes", "no", "unknown"),
            lambda word: self._edit(on_feed=word),
            label=text("loads.on_feed"),
        )
        self.card = Card("", columns=3)
        self._returns = page.choice_field(
            f"{name}.returns",
            [(word, text(f"loads.returns.{word}")) for word in _RETURNS],
            lambda word: self._edit(returns=word),
            label=text("loads.returns"),
        )
        self._when = page.choice_field(
            f"{name}.when",
            [(word, text(f"loads.when.{word}")) for word in _WHEN],
            lambda word: self._edit(when=word),
            label=text("loads.when"),
        )
        self._fields = {part: page.fields[f"{name}.{part}"] for part in self.PARTS}
        for part, field in self._fields.items():
            self.card.add(field, wide=part == "name")
        self.remove = QPushButton(text("loads.remove"))
        self.remove.setObjectName("flat")
        self.remove.clicked.connect(self._removed)
        self.card.add(self.remove, at=Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignRight)
        self.remove.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)

    def show(self, load: Load) -> None:
        """Show a load as it is in the plan."""
        self._load = load
        self._name.hold(load.name)
        self._watts.set_amount(load.watts)
        self._amperes.set_amount(None if load.amperes is None else load.amperes.amount)
        self._returns.set_word(load.returns)
        self._when.set_word(load.when)
        self._feed.set_word(load.on_feed)
        # The alternator's current is no load: it is read with a clamp meter, and hangs on no feed.
        charging = load.when == "charging"
        self._fields["watts"].setVisible(not charging or load.watts is not None)
        self._fields["on_feed"].setVisible(not charging)
        reader = self._page.place.reader
        for field in self._fields.values():
            field.say_whose(reader, load.name)
        self.remove.setAccessibleName(reader.text("loads.remove_of", load=load.name))

    def forget(self) -> None:
        """Drop what was typed and refused."""
        for field in self._fields.values():
            field.show_problem("")
            if isinstance(field.editor, QLineEdit):
                field.editor.setModified(False)
        self._name.forget()

    def _removed(self) -> None:
        self._gone(self._number)

    def _edit(self, **changes: Any) -> Edit:
        return self._changed(self._number, replace(self._load, **changes))

    def _current(self, amount: Amount | None) -> Edit:
        return self._edit(amperes=figure(amount, ENTERED))
