"""What a command needs to speak: the renderer, the user's units, the width, the two streams."""

from __future__ import annotations

import codecs
import json
import os
import shutil
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TextIO

from catalog.errors import UserError
from catalog.message import Message, SiValue
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.show import preferred, show
from retrofit.cli.layout import wrapped
from retrofit.messages import Renderer
from retrofit.settings import Settings

WIDEST = 100
NARROWEST = 60

_PLAIN = {
    "Ω": "ohm",
    "°": "deg ",
    "−": "-",
    "–": "-",
    "—": "-",
    "…": "...",
    "×": "x",
    "²": "2",
    "³": "3",
    "∞": "inf",
    "■": "#",
    "▲": "!",
    "●": "*",
    "\N{NO-BREAK SPACE}": " ",
}
"""How signs are written on a terminal whose character set lacks them."""


def _plainly(error: UnicodeError) -> tuple[str, int]:
    """Stand in for signs that a stream cannot write: an error handler for ``codecs``."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    plain = "".join(_PLAIN.get(sign, "?") for sign in missing)
    return "".join(sign if ord(sign) < 128 else "?" for sign in plain), error.end


codecs.register_error("retrofit.plain", _plainly)


def never_fail_on_signs() -> None:
    """Let both streams write plain signs in place of what their character set lacks."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="retrofit.plain")


@dataclass(frozen=True)
class Terminal:
    """Speaks to the user of a command.

    Attributes
    ----------
    settings : Settings
        Units, decimal mark, language.
    width : int
        Columns to fill.
    """

    settings: Settings
    width: int

    @staticmethod
    def with_settings(settings: Settings) -> Terminal:
        """Return a terminal as wide as the real one, within what can be read."""
        columns = shutil.get_terminal_size((WIDEST, 24)).columns
        return Terminal(settings, max(NARROWEST, min(WIDEST, columns)))

    @cached_property
    def renderer(self) -> Renderer:
        """The renderer in the user's units and language."""
        return Renderer(self.settings.number_style(), self.settings.language)

    @property
    def decimal(self) -> DecimalMark:
        """The user's decimal mark."""
        return self.settings.decimal

    def text(self, message: Message) -> str:
        """Return the sentence of a message."""
        return self.renderer.sentence(message)

    def value(self, si: float, kind: Kind, *, sign: bool = False) -> str:
        """Return a number with its unit, or the word for unknown."""
        if si != si:
            return self.text(Message("value.unknown"))
        return show(si, kind, self.settings.number_style(), sign=sign)

    def amount(self, value: SiValue) -> str:
        """Return a number of a message with its unit."""
        return self.value(value.value, value.kind)

    def number(self, si: float, kind: Kind, *, sign: bool = False) -> str:
        """Return a number without its unit, for a table whose heading has it."""
        if si != si:
            return "?"
        return show(si, kind, self.settings.number_style(), sign=sign, unit=False)

    def unit(self, kind: Kind) -> str:
        """Return the symbol of the unit in which a kind is shown."""
        return preferred(kind, self.settings.number_style()).symbol

    def say(self, lines: Iterable[str]) -> None:
        """Write lines to the standard output."""
        _write(sys.stdout, lines)

    def data(self, data: object) -> None:
        """Write plain data as JSON; what the stream cannot hold is spelled out."""
        utf = (sys.stdout.encoding or "").lower().startswith("utf")
        text = json.dumps(data, ensure_ascii=not utf, allow_nan=False, indent=1)
        sys.stdout.write(text + "\n")

    def complain(self, error: UserError) -> None:
        """Write each sentence of an error to the standard error stream, wrapped."""
        for message in error.messages:
            _write(sys.stderr, wrapped(self.text(message), self.width))


def _write(stream: TextIO, lines: Iterable[str]) -> None:
    # A no-break space keeps number and unit in one line, then only hinders searching the text.
    for line in lines:
        stream.write(line.replace("\N{NO-BREAK SPACE}", " ").rstrip() + "\n")


def silence_stdout() -> None:
    """Point the standard output nowhere, when whoever read it has gone."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, sys.stdout.fileno())
    finally:
        os.close(nowhere)
