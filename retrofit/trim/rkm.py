"""The RKM code of IEC 60062: 4R7, 470R, 4K7, 47K3, with the letter of the tolerance behind it.

The number itself is read by the one parser of all that is typed.
"""

from __future__ import annotations

import re
from decimal import Decimal

from catalog.errors import BugError, user_error
from catalog.message import SiValue
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import shown
from catalog.quantities.parse import parse
from retrofit.trim.colour import Marked

LETTERS: dict[str, float] = {
    "E": 0.00005,
    "L": 0.0001,
    "P": 0.0002,
    "W": 0.0005,
    "B": 0.001,
    "C": 0.0025,
    "D": 0.005,
    "F": 0.01,
    "G": 0.02,
    "H": 0.03,
    "J": 0.05,
    "K": 0.10,
    "M": 0.20,
    "N": 0.30,
}
"""Letter of each symmetric tolerance [1]; F and K as published, the others from memory."""

_SCALES = (("M", 6), ("K", 3), ("R", 0))
_CODE = re.compile(rf"([0-9]*[RKM][0-9]*)([{''.join(LETTERS)}])?")
_KEPT = 6
"""Significant digits that a code keeps: more than any series or meter has."""


def code(ohm: float, tolerance: float | None = None) -> str:
    """Write a resistance in the RKM code, six significant digits kept.

    Parameters
    ----------
    ohm : float
        Resistance [Ω], above 0, finite.
    tolerance : float, optional
        Half width over the value [1]; its letter follows.

    Raises
    ------
    UserError
        ``rkm.tolerance`` for a tolerance that has no letter.
    BugError
        For no resistance.

    Notes
    -----
    Tests: ``tests/trim/test_rkm.py``.

    Examples
    --------
    >>> code(4.7), code(470.0), code(47300.0), code(0.47), code(4700.0, 0.05)
    ('4R7', '470R', '47K3', 'R47', '4K7J')
    """
    number = Decimal(f"{ohm:.{_KEPT}g}") if 0.0 < ohm < float("inf") else Decimal(0)
    if number == 0:
        raise BugError(f"{ohm} Ω has no code")
    letter, power = next((pair for pair in _SCALES if number >= Decimal(10) ** pair[1]), ("R", 0))
    whole, _, part = f"{number.scaleb(-power).normalize():f}".partition(".")
    written = f"{'' if whole == '0' else whole}{letter}{part}"
    if tolerance is None:
        return written
    for suffix, stands_for in LETTERS.items():
        if stands_for == tolerance:
            return written + suffix
    raise user_error("rkm.tolerance", tolerance=SiValue(tolerance, Kind.FRACTION))


def read_code(text: str) -> Marked:
    """Return what a code says.

    Parameters
    ----------
    text : str
        The code, with or without the letter of a tolerance; anything else that the parser of
        quantities reads as ohms is taken as well, without a tolerance.

    Returns
    -------
    Marked
        Ohms [Ω], above 0, and tolerance [1] or None.

    Raises
    ------
    UserError
        As for `catalog.quantities.parse.parse`; ``rkm.no_ohms`` for no resistance.

    Notes
    -----
    A closing K or M behind digits alone is the multiplier: 470K is 470 kΩ, 470RK is 10 %.

    Examples
    --------
    >>> read_code("4K7"), read_code("470RK")
    (Marked(ohm=4700.0, tolerance=None), Marked(ohm=470.0, tolerance=0.1))
    """
    marked = _CODE.fullmatch(text.strip())
    body, letter = (marked[1], marked[2]) if marked is not None else (text, None)
    ohm = parse(body, Kind.RESISTANCE).si(Kind.RESISTANCE)
    if ohm <= 0.0:
        raise user_error("rkm.no_ohms", text=shown(text))
    return Marked(ohm, None if letter is None else LETTERS[letter])
