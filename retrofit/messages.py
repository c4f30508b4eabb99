"""The one renderer: a message's key and values become a sentence for window, paper and prompt.

Texts lie in ``resources/texts``, one JSON file a language, template by key. A template holds
``{name}`` where a value goes, ``{name:signed}`` where its sign always shows (a needle error),
``{name:rough}`` where two digits are all that the number is worth.
Whoever makes a message formats nothing; whoever shows one formats here.
"""

from __future__ import annotations

import json
import math
import os
import re
import string
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from catalog.errors import BugError, UserError
from catalog.message import Message, SiValue, Value
from catalog.quantities.amounts import plain
from catalog.quantities.show import NumberStyle, show, show_digits
from retrofit.shipped import path, resources

SOURCE_LANGUAGE = "english"
SIGNED, ROUGH = "signed", "rough"


def languages() -> tuple[str, ...]:
    """Names of the languages that there are texts for, sorted.

    Examples
    --------
    >>> "english" in languages()
    True
    """
    return tuple(sorted(file.stem for file in path("texts").glob("*.json")))


@lru_cache(maxsize=8)
def templates(language: str) -> Mapping[str, str]:
    """Templates of one language by key; empty when the language is not shipped.

    Raises
    ------
    BugError
        When the shipped file is damaged.
    """
    # A language comes from a settings file: it names a text, never a path.
    if not re.fullmatch(r"[a-z_]+", language):
        return {}
    file = resources() / "texts" / f"{language}.json"
    if not file.is_file():
        return {}
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except ValueError as problem:
        raise BugError(f"{file} is damaged: {problem}. Install the program again.") from problem
    if not isinstance(found, dict):
        raise BugError(f"{file} is damaged: it holds no object. Install the program again.")
    return {str(key): str(text) for key, text in found.items()}


def placeholders(template: str) -> tuple[tuple[str, str], ...]:
    """Names and formats of the values that a template asks for, in its order.

    Raises
    ------
    BugError
        When the template is malformed: a lone brace, an unnamed value, an unknown format.

    Examples
    --------
    >>> placeholders("{error:signed} at {mark}")
    (('error', 'signed'), ('mark', ''))
    """
    return tuple((name, spec) for _, name, spec in _pieces(template) if name)


def _pieces(template: str) -> list[tuple[str, str, str]]:
    """Split a template into (text before, name of the value or "", its format)."""
    try:
        parsed = list(string.Formatter().parse(template))
    except ValueError as problem:
        raise BugError(f"malformed template {template!r}: {problem}") from problem
    pieces = []
    for text, name, spec, conversion in parsed:
        if name is None:
            pieces.append((text, "", ""))
            continue
        if not name.isidentifier() or conversion or spec not in ("", SIGNED, ROUGH):
            raise BugError(f"malformed template {template!r}: {{{name}}}")
        pieces.append((text, name, spec or ""))
    return pieces


def _strict_by_environment() -> bool:
    return os.environ.get("RETROFIT_STRICT", "") == "1"


@dataclass(frozen=True)
class Renderer:
    """Makes sentences in one language, one number style.

    Attributes
    ----------
    style : NumberStyle
        Units and decimal mark of shown numbers.
    language : str
        Name of the texts; a sentence that it lacks comes in English.
    strict : bool
        Raise BugError for a missing text or value instead of showing its key; the tests set it
        through RETROFIT_STRICT=1.
    """

    style: NumberStyle
    language: str = SOURCE_LANGUAGE
    strict: bool = field(default_factory=_strict_by_environment)

    def sentence(self, message: Message) -> str:
        """Return the sentence of a message.

        A key without a text is shown as it is, a value that is not there as its name in
        braces, so that a mistake of ours never hides the rest from the user.

        Raises
        ------
        BugError
            In strict mode, for a missing text or value.
        """
        values = dict(message.values)
        translated = templates(self.language).get(message.key)
        source = templates(SOURCE_LANGUAGE).get(message.key)
        for template in (translated, source):
            if template is not None and all(n in values for n, _ in placeholders(template)):
                return self._filled(template, values)
        if self.strict:
            raise BugError(f"no text, or no value for its placeholders: {message}")
        return message.key if source is None else self._filled(source, values)

    def known(self, key: str) -> str | None:
        """Return the text of a key that takes no values, None where there is none."""
        found = templates(self.language).get(key)
        return templates(SOURCE_LANGUAGE).get(key) if found is None else found

    def error(self, error: UserError) -> str:
        """Return a user error's sentences, one a line."""
        return "\n".join(self.sentence(message) for message in error.messages)

    def _filled(self, template: str, values: Mapping[str, Value | Message]) -> str:
        parts = []
        for text, name, spec in _pieces(template):
            parts.append(text)
            if name in values:
                parts.append(self._value(values[name], spec))
            elif name:
                parts.append(f"{{{name}}}")
        return "".join(parts)

    def _value(self, value: Value | Message, spec: str) -> str:
        if isinstance(value, Message):
            return self.sentence(value)
        if isinstance(value, SiValue):
            if math.isnan(value.value):  # the word is the language's, not the number style's
                return self.sentence(Message("value.unknown"))
            if spec == ROUGH:
                return show_digits(value.value, value.kind, self.style, 2)
            return show(value.value, value.kind, self.style, sign=spec == SIGNED)
        if isinstance(value, str):
            return value
        return self._number(value, signed=spec == SIGNED)

    def _number(self, number: float, *, signed: bool) -> str:
        """Write a bare number: all its digits, the reader's decimal mark, a real minus."""
        if math.isnan(number):
            return self.sentence(Message("value.unknown"))
        text = "∞" if math.isinf(number) else plain(abs(number))
        sign = "−" if number < 0 else "+" if signed and number > 0 else ""
        return sign + text.replace(".", self.style.decimal)
