"""Colour bands of IEC 60062: which bands a resistor wears, and what bands say.

Grey as a tolerance is left out: pages that cite the edition of 2016 give 0.01 %, older ones
0.05 %, so a grey band says nothing sure. Bands for temperature coefficients are not read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from catalog.errors import BugError, user_error
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind


class Colour(Enum):
    """A colour of a band, named by its word; `text` is the message that names it."""

    BLACK = "black"
    BROWN = "brown"
    RED = "red"
    ORANGE = "orange"
    YELLOW = "yellow"
    GREEN = "green"
    BLUE = "blue"
    VIOLET = "violet"
    GREY = "grey"
    WHITE = "white"
    GOLD = "gold"
    SILVER = "silver"
    PINK = "pink"

    @property
    def text(self) -> Message:
        """The message that names the colour in the reader's language."""
        return message(f"colour.{self.value}")


DIGITS: tuple[Colour, ...] = tuple(Colour)[:10]
"""Colour of each digit, 0 to 9."""

EXPONENTS: dict[Colour, int] = {
    **{colour: exponent for exponent, colour in enumerate(DIGITS)},
    Colour.GOLD: -1,
    Colour.SILVER: -2,
    Colour.PINK: -3,
}
"""Power of ten that each colour multiplies by."""

TOLERANCES: dict[Colour, float] = {
    Colour.SILVER: 0.10,
    Colour.GOLD: 0.05,
    Colour.RED: 0.02,
    Colour.BROWN: 0.01,
    Colour.GREEN: 0.005,
    Colour.BLUE: 0.0025,
    Colour.VIOLET: 0.001,
    Colour.ORANGE: 0.0005,
    Colour.YELLOW: 0.0002,
}
"""Tolerance that each colour stands for [1]; no band at all stands for `NO_BAND`."""

NO_BAND = 0.20


@dataclass(frozen=True)
class Marked:
    """What the marking on a resistor says.

    Attributes
    ----------
    ohm : float
        Resistance [Ω].
    tolerance : float or None
        Half width over the value [1]; None where the marking does not say.
    """

    ohm: float
    tolerance: float | None = None


def bands(ohm: float, tolerance: float, count: int = 4) -> tuple[Colour, ...]:
    """Return the bands of a resistor, in the order in which they are read.

    Parameters
    ----------
    ohm : float
        Resistance [Ω].
    tolerance : float
        Half width over the value [1], one of `TOLERANCES`, or `NO_BAND` for no fourth band.
    count : int
        4 (two digits) or 5 (three digits).

    Returns
    -------
    tuple of Colour
        Digits, multiplier, tolerance; three bands only for 20 % on two digits.

    Raises
    ------
    UserError
        ``colour.digits`` for a value of more digits than there are bands for, or beyond the
        multipliers; ``colour.tolerance`` for a tolerance that no colour stands for.

    Notes
    -----
    Tests: ``tests/trim/test_colour.py``.

    Examples
    --------
    >>> [colour.value for colour in bands(4700.0, 0.05)]
    ['yellow', 'violet', 'red', 'gold']
    """
    if count not in (4, 5):
        raise BugError(f"no resistor has {count} bands that are told here")
    places = count - 2
    by_exponent = {exponent: colour for colour, exponent in EXPONENTS.items()}
    digits, exponent = _digits(ohm, places)
    if len(digits) != places or exponent not in by_exponent:
        raise user_error("colour.digits", ohm=SiValue(ohm, Kind.RESISTANCE), bands=count)
    figures = (*(DIGITS[digit] for digit in digits), by_exponent[exponent])
    if tolerance == NO_BAND and count == 4:
        return figures
    for colour, stands_for in TOLERANCES.items():
        if tolerance == stands_for:
            return (*figures, colour)
    raise user_error("colour.tolerance", tolerance=SiValue(tolerance, Kind.FRACTION), bands=count)


def _digits(ohm: float, places: int) -> tuple[tuple[int, ...], int]:
    """Return `places` leading digits and the power of ten; more digits where the value has."""
    if not 0.0 < ohm < float("inf"):
        return (), 0
    _, digits, exponent = Decimal(repr(float(ohm))).normalize().as_tuple()
    short = max(0, places - len(digits))
    return (*digits, *(0,) * short), int(exponent) - short


def read_bands(colours: Sequence[Colour]) -> Marked:
    """Return what three to five bands say.

    Parameters
    ----------
    colours : sequence of Colour
        In the order of reading: the tolerance last, set apart on the resistor.

    Returns
    -------
    Marked
        Ohms [Ω] and tolerance [1]; three bands mean 20 %.

    Raises
    ------
    UserError
        ``colour.count`` for another number of bands; ``colour.place`` for a colour that means
        nothing where it stands, with the band's number.

    Examples
    --------
    >>> brown, black, gold = Colour.BROWN, Colour.BLACK, Colour.GOLD
    >>> read_bands([brown, black, black, gold, brown])
    Marked(ohm=10.0, tolerance=0.01)
    """
    if not 3 <= len(colours) <= 5:
        raise user_error("colour.count", bands=len(colours))
    places = max(2, len(colours) - 2)
    for number, colour in enumerate(colours, 1):
        allowed = DIGITS if number <= places else EXPONENTS if number == places + 1 else TOLERANCES
        if colour not in allowed:
            grey = number == places + 2 and colour is Colour.GREY
            key = "colour.grey_tolerance" if grey else "colour.place"
            raise user_error(key, colour=colour.text, band=number, bands=len(colours))
    figure = int("".join(str(DIGITS.index(colour)) for colour in colours[:places]))
    if figure == 0:
        raise user_error("colour.no_ohms", bands=len(colours))
    # Through the decimal text, so that yellow, violet, gold is the float that 4.7 reads as.
    ohm = float(f"{figure}e{EXPONENTS[colours[places]]}")
    tolerance = TOLERANCES[colours[places + 1]] if len(colours) > places + 1 else NO_BAND
    return Marked(ohm, tolerance)
