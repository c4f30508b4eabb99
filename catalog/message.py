"""Messages as a key and values, so that one renderer makes the sentence for every reader.

A message holds no translated text and no formatted number: quantities stay SI floats with
their kind until ``retrofit.messages`` renders them in the reader's units and language.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalog.quantities.kinds import Kind


@dataclass(frozen=True)
class SiValue:
    """A number in the SI unit of its kind, waiting to be shown in the reader's unit.

    Attributes
    ----------
    value : float
        Value in the SI unit of `kind` (Celsius temperature in °C); NaN means unknown.
    kind : Kind
        What is measured; decides the unit and the digits when it is shown.
    """

    value: float
    kind: Kind


Value = str | int | float | SiValue


@dataclass(frozen=True)
class Message:
    """One sentence, as the key of its template and the values that go into it.

    Attributes
    ----------
    key : str
        Dotted name of the template, for example ``"number.thousands"``.
    values : tuple of (str, value)
        Named values of the template, in a fixed order so that messages compare equal.
    """

    key: str
    values: tuple[tuple[str, Value | Message], ...] = ()

    def __iter__(self) -> Iterator[tuple[str, Value | Message]]:
        """Iterate over the named values."""
        return iter(self.values)

    def value(self, name: str) -> Value | Message:
        """Return the value called `name`; raises KeyError when the message has none."""
        return dict(self.values)[name]


def message(key: str, **values: Value | Message) -> Message:
    """Make a message from a template key and its named values.

    Examples
    --------
    >>> message("file.missing", path="launch.json").value("path")
    'launch.json'
    """
    return Message(key, tuple(values.items()))
