"""How the user wants to read: sentences, units and decimal mark, and who hears of a change."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from catalog.errors import UserError
from catalog.message import Message, SiValue, Value, message
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import NumberStyle, show, show_amount
from retrofit.messages import Renderer
from retrofit.settings import Settings


class Reader(QObject):
    """Makes text for the window, in the user's units.

    Parameters
    ----------
    settings : Settings
        Units, decimal mark and language.
    parent : QObject, optional
        Owner.
    """

    changed = Signal()
    """The units or the decimal mark changed: every shown text is stale."""

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._renderer = self._made()

    def _made(self) -> Renderer:
        style = replace(self._settings.number_style(), nbsp=True)
        return Renderer(style, self._settings.language)

    @property
    def settings(self) -> Settings:
        """The settings in force."""
        return self._settings

    @property
    def renderer(self) -> Renderer:
        """The renderer of messages."""
        return self._renderer

    @property
    def style(self) -> NumberStyle:
        """Units and decimal mark."""
        return self._renderer.style

    @property
    def decimal(self) -> DecimalMark:
        """The decimal mark that the user reads and types."""
        return self.style.decimal

    def use(self, settings: Settings) -> None:
        """Read with other settings from now on."""
        if settings == self._settings:
            return
        self._settings = settings
        self._renderer = self._made()
        self.changed.emit()

    def text(self, key: str, **values: Value | Message) -> str:
        """Return the sentence of a key."""
        return self._renderer.sentence(message(key, **values))

    def sentence(self, said: Message) -> str:
        """Return the sentence of a message."""
        return self._renderer.sentence(said)

    def error(self, error: UserError) -> str:
        """Return the sentences of an error, one a line."""
        return self._renderer.error(error)

    def value(self, si: float, kind: Kind, *, sign: bool = False) -> str:
        """Return an SI value in the user's unit."""
        return show(si, kind, self.style, sign=sign)

    def si(self, value: SiValue, *, sign: bool = False) -> str:
        """Return an SI value in the user's unit."""
        return show(value.value, value.kind, self.style, sign=sign)

    def amount(self, amount: Amount | None, kind: Kind) -> str:
        """Return an amount in the user's unit, nothing for None."""
        return "" if amount is None else show_amount(amount, self.style, kind)
