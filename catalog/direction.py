"""Which way a part runs: whether what it gives or needs rises with the value."""

from __future__ import annotations

from catalog.codec import Part
from catalog.parts.laws import Point, signal_kind
from catalog.parts.sender import Sender

DIRECTIONS = {"rising": True, "falling": False}
"""Words of a search that ask which way a part runs, not what is written of it."""


def rising_of(part: Part) -> bool | None:
    """Return whether a part's signal rises with the value, None where nobody knows.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> part = load_generic().part
    >>> rising_of(part("level-0-190")), rising_of(part("gauge-level-240-33-ratio-12v"))
    (True, False)
    """
    if isinstance(part, Sender):
        return None if part.curve is None else part.curve.rising
    if part.marks:
        first, last = (Point(mark.at, mark.needs) for mark in (part.marks[0], part.marks[-1]))
        kind = signal_kind(first)
        return last.gives.si(kind) > first.gives.si(kind)
    return None if part.own_class is None else part.own_class.rising
