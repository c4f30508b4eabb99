"""Text in columns: wrapping and tables, counted in the columns that a terminal uses."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Sequence
from typing import Literal

Side = Literal["left", "right"]

_GAP = "  "


def columns(text: str) -> int:
    r"""Return how many columns a text takes: wide signs two, combining ones none.

    Examples
    --------
    >>> columns("40 °C"), columns("e\u0301"), columns("水温")
    (5, 1, 4)
    """
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1
        for sign in text
    )


def padded(text: str, width: int, side: Side = "left") -> str:
    """Return a text filled with blanks to `width` columns, standing left or right.

    Examples
    --------
    >>> padded("33", 4, "right")
    '  33'
    """
    blanks = " " * (width - columns(text))
    return text + blanks if side == "left" else blanks + text


def clipped(text: str, width: int) -> str:
    """Return a text cut to `width` columns, with … where something is missing.

    Examples
    --------
    >>> clipped("harbour launch", 8)
    'harbour…'
    """
    if columns(text) <= width:
        return text
    while text and columns(text) > width - 1:
        text = text[:-1]
    return f"{text}…"


def wrapped(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """Return a text in lines of at most `width` columns, the first begun with `first`.

    Examples
    --------
    >>> wrapped("the needle shows 88 °C", 14, "- ", "  ")
    ['- the needle', '  shows 88 °C']
    """
    indent = " " * columns(first) if rest is None else rest
    lines = textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return lines or [first.rstrip()]


def table(
    heads: Sequence[str], rows: Sequence[Sequence[str]], sides: Sequence[Side], indent: str = "  "
) -> list[str]:
    """Return a table in aligned columns, as wide as its widest cells.

    Examples
    --------
    >>> table(["mark", "at"], [["warm", "60"], ["alarm", "98"]], ["left", "right"], "")
    ['mark   at', 'warm   60', 'alarm  98']
    """
    lines = [heads, *rows]
    widths = [max(columns(line[i]) for line in lines) for i in range(len(heads))]
    return [(indent + _GAP.join(map(padded, line, widths, sides))).rstrip() for line in lines]


def facts(pairs: Sequence[tuple[str, str]], width: int, indent: str = "  ") -> list[str]:
    """Return named facts, one below the other, their texts aligned and wrapped.

    Examples
    --------
    >>> facts([("gauge", "ratio"), ("supply", "13.5 V")], 40, "")
    ['gauge   ratio', 'supply  13.5 V']
    """
    widest = max((columns(name) for name, _ in pairs), default=0)
    lines = []
    for name, text in pairs:
        lines += wrapped(text, width, f"{indent}{padded(name, widest)}{_GAP}")
    return lines
