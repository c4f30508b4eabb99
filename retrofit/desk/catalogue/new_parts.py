"""Parts that the user begins: with nothing known, or as a copy of another."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from catalog.codec import Part
from catalog.library import PartKind
from catalog.parts.fields import QuantityName
from catalog.parts.gauge import Gauge, UnknownMovement
from catalog.parts.laws import UnknownLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount

Taken = Callable[[str], bool]
"""Whether a key is taken."""

_USUAL: dict[QuantityName, tuple[Amount, Amount]] = {
    "level": (Amount(0.0, "%"), Amount(100.0, "%")),
    "pressure": (Amount(0.0, "bar"), Amount(10.0, "bar")),
    "temperature": (Amount(40.0, "°C"), Amount(120.0, "°C")),
}
"""Scale of a dial of which nobody has said anything yet."""


def free_key(wanted: str, taken: Taken) -> str:
    """Return a key that is not taken: the wanted one, or with a number behind it.

    Examples
    --------
    >>> free_key("my-sender", {"my-sender", "my-sender-2"}.__contains__)
    'my-sender-3'
    """
    plain = re.sub(r"-\d+$", "", wanted) if taken(wanted) else wanted
    number, key = 1, wanted
    while taken(key):
        number += 1
        key = f"{plain}-{number}"
    return key


def new_part(
    kind: PartKind,
    quantity: QuantityName,
    name: str,
    taken: Taken,
    scale: tuple[Amount, Amount] | None = None,
) -> Part:
    """Return a part of which nothing is known yet but what it is about.

    Parameters
    ----------
    kind : str
        "sender" or "gauge".
    quantity : str
        What it is about.
    name : str
        What to call it.
    taken : callable
        Whether a key is taken.
    scale : pair of Amount, optional
        Ends of a gauge's scale; the usual ones where left out.

    Examples
    --------
    >>> new_part("sender", "level", "New level sender", lambda key: False).key
    'my-level-sender'
    """
    key = free_key(f"my-{quantity}-{kind}", taken)
    if kind == "sender":
        return Sender(key, name, quantity, UnknownLaw())
    low, high = scale or _USUAL[quantity]
    return Gauge(key, name, quantity, UnknownMovement(), low, high)


def copied(part: Part, name: str, taken: Taken) -> Part:
    """Return a copy of a part under a key of its own."""
    return replace(part, key=free_key(f"{part.key[:180]}-copy", taken), name=name)
