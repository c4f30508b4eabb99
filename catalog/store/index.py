"""The columns of a part that lists and searches use, derived from its content.

`INDEX` is raised when anything is derived in another way; opening a store then derives all
anew. Whatever NumPy gives is turned into plain numbers here: its scalars land in SQLite as
bytes.
"""

from __future__ import annotations

import math

import numpy as np

from catalog.codec import MOVEMENT_TAGS, Part
from catalog.library import folded
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import Gauge
from catalog.parts.laws import Point, signal_kind
from catalog.parts.sender import Sender
from catalog.quantities.kinds import Kind
from catalog.store.tables import PartRow

INDEX = 1

_Ends = tuple[float, float]


def fill(row: PartRow, part: Part) -> None:
    """Set the columns of a row that say what is in a part."""
    ends, signal = _ends(part)
    in_ohms = ends is not None and signal is Kind.RESISTANCE
    row.kind = "sender" if isinstance(part, Sender) else "gauge"
    row.name = part.name
    row.quantity = part.quantity
    row.search = search_text(part)
    row.ohms_low = _ohms(ends[0]) if ends and in_ohms else None
    row.ohms_high = _ohms(ends[1]) if ends and in_ohms else None
    row.rising = None if ends is None else ends[1] > ends[0]
    row.stations = part.stations if isinstance(part, Sender) else None
    row.signal = None if part.signal is None else part.signal.value
    row.movement = MOVEMENT_TAGS[type(part.movement)] if isinstance(part, Gauge) else None


def search_text(part: Part) -> str:
    """Return the folded text in which the words of a search are looked for.

    Key, name and notes, and once more each word with an Ω in it, with "ohm" instead: words of a
    search hold no blanks, so this finds what ``catalog.library`` finds and is half as long.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> text = search_text(load_generic().part("level-0-190"))
    >>> text[:31], text[-8:]
    ('level-0-190 level, 0 ω empty to', ' ohm ohm')
    """
    text = folded(f"{part.key} {part.name} {part.notes}")
    spelt = (word.replace("ω", "ohm") for word in text.split() if "ω" in word)
    return " ".join((text, *spelt))


def _ohms(value: float) -> float | None:
    """Return ohms to the 12 digits that every machine agrees on."""
    return float(f"{value:.12g}") if math.isfinite(value) else None


def _ends(part: Part) -> tuple[_Ends | None, Kind | None]:
    """Return what a part gives or needs at its two ends, and in what; None where unknown."""
    if isinstance(part, Sender):
        return _sender_ends(part, None), part.signal
    if part.marks:
        first, last = (Point(mark.at, mark.needs) for mark in (part.marks[0], part.marks[-1]))
        kind = signal_kind(first)
        return (first.gives.si(kind), last.gives.si(kind)), kind
    if part.scaled_for is None:
        return None, None
    named = part.scaled_for
    drawn_for = Sender(named.key, named.name, part.quantity, named.law)
    unit = QUANTITY_KIND[part.quantity]
    return _sender_ends(drawn_for, (part.low.si(unit), part.high.si(unit))), drawn_for.signal


def _sender_ends(sender: Sender, at: _Ends | None) -> _Ends | None:
    curve = sender.curve
    if curve is None:
        return None
    low, high = at or (curve.low, curve.high)
    given = curve.output(np.array([low, high], dtype=np.float64))
    ends = float(given[0]), float(given[1])
    return None if any(map(math.isnan, ends)) else ends
