"""A part's dict form laid flat, field by field, and put together again.

``{"law": {"tolerance": "5 %"}}`` is ``{"law.tolerance": "5 %"}``; a figure's number stands at
the figure's own path; lists of points stand apart.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

Scalar = str | int | float

MARK = "stated"
"""What a cell says of an object that is there and says nothing."""

BETWEEN_WORDS = ", "


@dataclass
class Flat:
    """A dict form laid flat.

    Attributes
    ----------
    cells : dict of str to str, int or float
        Fields by their path.
    lists : dict of str to list of dict
        Points, each laid flat itself, by the path of their list.
    """

    cells: dict[str, Scalar] = field(default_factory=dict)
    lists: dict[str, list[dict[str, Scalar]]] = field(default_factory=dict)


def flat(raw: dict[str, Any]) -> Flat:
    """Lay a dict form flat.

    Examples
    --------
    >>> flat({"law": {"resistance": {"is": "100 Ω", "tolerance": "0.1 %"}}}).cells
    {'law.resistance': '100 Ω', 'law.resistance.tolerance': '0.1 %'}
    """
    made = Flat()
    _lay(raw, "", made)
    return made


def _lay(value: Any, path: str, made: Flat) -> None:
    if isinstance(value, dict):
        if path and not value:
            made.cells[path] = MARK
        for name, inner in value.items():
            step = f"{path}.{name}" if path else name
            _lay(inner, path if name == "is" else step, made)
    elif isinstance(value, list):
        if value and isinstance(value[0], dict):
            made.lists[path] = [flat(item).cells for item in value]
        else:
            made.cells[path] = BETWEEN_WORDS.join(map(str, value))
    else:
        made.cells[path] = value


def put(raw: dict[str, Any], path: str, value: object) -> bool:
    """Put a field at its path; say whether there was room, and not a field in the way.

    Examples
    --------
    >>> raw = {}
    >>> put(raw, "law.low", "40 °C"), put(raw, "law.low.at", "40 °C"), raw
    (True, False, {'law': {'low': '40 °C'}})
    """
    *steps, last = path.split(".")
    for step in steps:
        inner = raw.setdefault(step, {})
        if not isinstance(inner, dict):
            return False
        raw = inner
    if last in raw:
        return False
    raw[last] = value
    return True
