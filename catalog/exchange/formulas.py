"""Cells that a spreadsheet would take for a formula, made harmless and back again.

A text that begins with one of ``= + - @``, a tab or a carriage return gets an apostrophe in
front; so does such a sign after a comma, a semicolon or a line's end within a text, because a
spreadsheet that expects another separator would begin a new cell there. Reading takes exactly
that apostrophe away again. Numbers are written in columns of their own and need none.
"""

from __future__ import annotations

import re

_SIGNS = r"=+\-@\t\r＝＋－＠"
_BEGINS = re.compile(rf"(\A|[;,\t\r\n])('*)(?=[{_SIGNS}])")
_QUOTED = re.compile(rf"(\A|[;,\t\r\n])'('*)(?=[{_SIGNS}])")


def neutralised(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula.

    Examples
    --------
    >>> neutralised("=1+2"), neutralised("-40 °C"), neutralised("10 bar")
    ("'=1+2", "'-40 °C", '10 bar')
    >>> neutralised("oil;=1+2")
    "oil;'=1+2"
    """
    return _BEGINS.sub(r"\1'\2", text)


def restored(text: str) -> str:
    """Return the text that `neutralised` was given.

    Examples
    --------
    >>> restored("'=1+2"), restored("'tis oil"), restored(neutralised("'=1"))
    ('=1+2', "'tis oil", "'=1")
    """
    return _QUOTED.sub(r"\1\2", text)
