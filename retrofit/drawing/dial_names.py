"""Names of the marks that matter, around a dial: kept apart, within the drawing, or left out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from retrofit.drawing.face import NAME_RING, Face
from retrofit.drawing.lettering import shorten
from retrofit.drawing.look import SMALL
from retrofit.drawing.svg import Point

_LEADING = SMALL * 1.2
_LEAST_ROOM = 7.0
"""Room [mm] below which a name would be cut to nothing readable."""


@dataclass(frozen=True)
class Name:
    """A name in its place.

    Attributes
    ----------
    words : str
        The name, shortened if need be.
    angle : float
        Angle of its tick [°].
    at : (float, float)
        Where the text starts or ends, centred in height [mm].
    right : bool
        Whether it starts there (right half of the dial) or ends there.
    """

    words: str
    angle: float
    at: Point
    right: bool


def place_names(face: Face, marks: Sequence[tuple[float, str]], room: Point) -> tuple[Name, ...]:
    """Return names around the dial.

    Parameters
    ----------
    face : Face
        The dial.
    marks : sequence of (float, str)
        Angle of each mark [°] and its name.
    room : (float, float)
        Width of the drawing, and the height down to which names may stand [mm].
    """
    placed: list[Name] = []
    for right in (False, True):
        side = sorted((m for m in marks if (m[0] >= 0.0) is right), key=lambda m: abs(m[0]))
        heights = _spread([face.place(angle, NAME_RING)[1] for angle, _ in side], room[1])
        for (angle, words), y in zip(side, heights, strict=True):
            x = _beside(face, angle, y, right=right)
            free = room[0] - x if right else x
            cut = shorten(words, SMALL, free) if free >= _LEAST_ROOM else ""
            if cut:
                placed.append(Name(cut, angle, (x, y), right))
    return tuple(placed)


def fits(face: Face, marks: Sequence[tuple[float, str]], room: Point) -> bool:
    """Return whether every name has its place in full."""
    placed = place_names(face, marks, room)
    return sorted(name.words for name in placed) == sorted(words for _, words in marks)


def _spread(heights: list[float], lowest: float) -> list[float]:
    """Push heights, given from the top down, apart by a line; up again from the lowest."""
    spread: list[float] = []
    for y in heights:
        top = SMALL / 2.0
        spread.append(max(y, spread[-1] + _LEADING if spread else top))
    bottom = lowest - SMALL / 2.0
    for k in reversed(range(len(spread))):
        spread[k] = min(spread[k], bottom)
        bottom = spread[k] - _LEADING
    return spread


def _beside(face: Face, angle: float, y: float, *, right: bool) -> float:
    """Return where a name at a height begins: on the ring, and not inside its own tick."""
    reach, above = face.radius + NAME_RING * face.unit, face.centre[1] - y
    # The corner of the text nearest to the dial has to stay outside the ring.
    near = max(abs(above) - SMALL / 2.0, 0.0)
    out = math.sqrt(max(reach**2 - near**2, 0.0))
    own = abs(face.place(angle, NAME_RING)[0] - face.centre[0])
    out = max(out, own) if abs(angle) < 90.0 else out
    return face.centre[0] + (out if right else -out)
