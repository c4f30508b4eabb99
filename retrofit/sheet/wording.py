"""The words and numbers of a sheet: everything through the one renderer, nothing worked out."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from catalog.message import Message, message
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.show import preferred, show, show_amount, show_digits
from retrofit.drawing.svg import clean
from retrofit.messages import Renderer

_DIGITS = 4
_ROUGH = (BasisKind.COMMON_PRACTICE, BasisKind.MEMORY, BasisKind.ASSUMED)
"""Digits that a number of such an origin is worth at most."""

_LONGEST = 80
"""Letters of a name that a sheet has room for; the plan's file keeps the rest."""


_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")


def printable(text: str) -> str:
    r"""Return a text without signs that cannot be printed or that turn the text behind them round.

    Names from right to left keep their order: their letters say it themselves.

    Examples
    --------
    >>> printable("oil\x00 \u202egauge")
    'oil gauge'
    """
    return _TURNING.sub("", clean(text))


def _cut(text: str, most: int) -> str:
    whole = " ".join(text.split())
    return whole if len(whole) <= most else whole[: most - 1].rstrip() + "…"


def _fitted(found: Message) -> Message:
    values = [
        (name, _cut(value, _LONGEST) if isinstance(value, str) else value)
        for name, value in found.values
    ]
    inner = [
        (name, _fitted(value) if isinstance(value, Message) else value) for name, value in values
    ]
    return Message(found.key, tuple(inner))


@dataclass(frozen=True)
class Wording:
    """Speaks to the reader of a sheet.

    Attributes
    ----------
    renderer : Renderer
        Language, units and decimal mark.
    """

    renderer: Renderer

    def text(self, found: Message) -> str:
        """Return the sentence of a message, names in it no longer than a sheet has room for."""
        return self.renderer.sentence(_fitted(found))

    def name(self, found: str) -> str:
        """Return a name no longer than a sheet has room for."""
        return _cut(found, _LONGEST)

    def say(self, key: str, /, **values: Message | str | float) -> str:
        """Return a text of the sheet."""
        return self.renderer.sentence(message(f"sheet.{key}", **values))

    @property
    def unknown(self) -> str:
        """The word for what nobody knows."""
        return self.text(Message("value.unknown"))

    def value(self, si: float, kind: Kind, *, sign: bool = False) -> str:
        """Return a number with its unit, or the word for unknown."""
        return self.unknown if si != si else show(si, kind, self.renderer.style, sign=sign)

    def number(self, si: float, kind: Kind, *, sign: bool = False) -> str:
        """Return a number without its unit, for a table whose heading has it."""
        if si != si:
            return self.unknown
        return show(si, kind, self.renderer.style, sign=sign, unit=False)

    def unit(self, kind: Kind) -> str:
        """Return the symbol of the unit in which a kind is shown."""
        return preferred(kind, self.renderer.style).symbol

    def amount(self, found: Amount | None, kind: Kind | None = None) -> str:
        """Return an amount as the user typed it, or in the unit that he prefers."""
        return self.unknown if found is None else show_amount(found, self.renderer.style, kind)

    def reading(self, found: Amount, kind: Kind) -> str:
        """Return a value in the unit of the sheet, and as it was typed where that is another."""
        typed = self.amount(found, kind)
        if found.unit == self.unit(kind) or self.renderer.style.units.get(kind):
            return typed
        return self.say("both_units", shown=self.value(found.si(kind), kind), typed=typed)

    def signal(self, found: Amount, kind: Kind, basis: Basis | None) -> str:
        """Return what a part gives or wants: as typed, but a rule of thumb with four digits."""
        rough = basis is not None and basis.kind in _ROUGH
        many = len(f"{found.number:.12g}".replace(".", "").strip("-0")) > _DIGITS
        if not rough or not many:
            return self.amount(found, kind)
        return show_digits(found.si(kind), kind, self.renderer.style, _DIGITS)

    def amperes(self, si: float) -> str:
        """Return a current with two digits in amperes: no wire is chosen by the third."""
        style = self.renderer.style
        if not style.units.get(Kind.CURRENT):
            style = replace(style, units={**style.units, Kind.CURRENT: "A"})
        return self.unknown if si != si else show_digits(si, Kind.CURRENT, style, 2)

    def figure(self, found: Figure | None, kind: Kind, of: str = "") -> str:
        """Return a number with its tolerance, of what it is a share, and where it comes from."""
        if found is None:
            return self.unknown
        told = self.amount(found.amount, kind)
        if of:
            told = self.say(f"of.{of}", share=told)
        if found.tolerance is not None:
            told = f"{told} ± {self.tolerance(found.tolerance)}"
        return f"{told} ({self.basis(found.basis)})"

    def tolerance(self, found: Tolerance | None, of: str = "") -> str:
        """Return a half width, a share with of what it is one; or the word for unknown."""
        if found is None:
            return self.unknown
        told = self.amount(found.half_width)
        return self.say(f"of.{of}", share=told) if of and found.half_width.unit == "%" else told

    def basis(self, found: Basis) -> str:
        """Return where a number comes from, with its source."""
        word = self.text(message(f"basis.{found.kind.value}"))
        return f"{word}: {_cut(found.source, 2 * _LONGEST)}" if found.source else word
