"""A bar of a round length: how large a drawing is, true at whatever size it is shown."""

from __future__ import annotations

import math

from catalog.quantities.kinds import Kind
from catalog.quantities.show import show
from retrofit.drawing.lettering import width
from retrofit.drawing.look import SMALL, Look, from_unit
from retrofit.drawing.svg import Element, Pen, Point, Type, line, text

_TICK = 0.9


def round_length(most: float) -> float:
    """Return the greatest 1, 2 or 5 times a power of ten that is not above `most`, above 0.

    Examples
    --------
    >>> round_length(0.73), round_length(20.0)
    (0.5, 20.0)
    """
    power = 10.0 ** math.floor(math.log10(most) + 1e-9)
    figure = max(each for each in (1.0, 2.0, 5.0) if each * power <= most * (1.0 + 1e-9))
    return float(f"{figure * power:.1e}")


def scale_bar(right: Point, scale: float, look: Look, longest: float = 18.0) -> list[Element]:
    """Return a bar that ends at a place, its length lettered at its left.

    Parameters
    ----------
    right : pair of float
        Right end [mm].
    scale : float
        Millimetres drawn for a metre of metal, above 0.
    look : Look
        Unit and colours.
    longest : float
        Longest bar [mm].
    """
    unit = look.unit(Kind.LENGTH)
    number = round_length(longest / scale / unit.factor)
    length = from_unit(number, unit)
    x, y = right
    left, pen = x - length * scale, Pen(look.palette.muted, 0.3)
    words = show(length, Kind.LENGTH, look.renderer.style, step=min(number, 1.0))
    ends = [line((at, y - _TICK), (at, y + _TICK), pen) for at in (left, x)]
    bar = line((left, y), (x, y), pen, "scale-bar")
    label = text((left - 1.2, y), words, Type(SMALL, look.palette.muted, "end"), "scale-words")
    return [bar, *ends, label]


def bar_room(look: Look, longest: float = 18.0) -> float:
    """Return the most room that a bar and its words take [mm]."""
    return longest + 1.2 + width(f"0.00 {look.unit(Kind.LENGTH).symbol}", SMALL)
