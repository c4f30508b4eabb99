"""How a resistor is marked: its RKM code, and its colour bands where there are any for it."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.errors import UserError
from retrofit.trim.colour import Colour, bands
from retrofit.trim.rkm import LETTERS, code


@dataclass(frozen=True)
class Marking:
    """The marking of one resistor.

    Attributes
    ----------
    code : str
        RKM code, with the letter of its tolerance where that has one.
    bands : tuple of Colour
        Colour bands in the order of reading; empty where none stand for the value or tolerance.
    """

    code: str
    bands: tuple[Colour, ...] = ()


def marking(ohm: float, tolerance: float | None = None) -> Marking:
    """Return how a resistor is marked: four bands where two digits do, else five.

    Parameters
    ----------
    ohm : float
        Resistance [Ω], above 0.
    tolerance : float, optional
        Half width over the value [1]; without one there are no bands.

    Examples
    --------
    >>> found = marking(430.0, 0.05)
    >>> found.code, [colour.value for colour in found.bands]
    ('430RJ', ['yellow', 'orange', 'brown', 'gold'])
    """
    written = code(ohm, tolerance if tolerance in LETTERS.values() else None)
    if tolerance is None:
        return Marking(written)
    for count in (4, 5):
        try:
            return Marking(written, bands(ohm, tolerance, count))
        except UserError:  # more digits than bands, or a tolerance without a colour
            continue
    return Marking(written)
