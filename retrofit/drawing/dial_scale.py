"""The numbers and ticks of a dial, in the reader's unit, as many as stand clear of each other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from catalog.quantities.kinds import Kind, Unit
from retrofit.drawing.face import Face
from retrofit.drawing.lettering import width
from retrofit.drawing.look import Look, from_unit, in_unit
from retrofit.drawing.scale import Ticks, even_parts, nice_ticks
from retrofit.drawing.svg import CAP_HEIGHT, Point

_PARTS = ("0", "¼", "½", "¾", "1")
_TICK = 0.10
"""Length of a major tick [unit of the face]."""

_CLEAR = 0.6
"""Clear space between two numbers, as a share of their height."""

_CLEAR_AT_LEAST = 0.3
"""Clear space between two numbers that a dial of any size keeps [mm]."""

_FIRST_OF_PARTS = (0, 4, 2, 1, 3)
"""Which parts of a tank keep their numbers where not all have room: ends, half, quarters."""

_MOST = 13


@dataclass(frozen=True)
class Numeral:
    """A number on the dial: its words, middle [mm], width and height [mm], value [SI]."""

    words: str
    at: Point
    size: Point
    value: float

    def overlaps(self, other: Numeral, clear: float) -> bool:
        """Return whether the boxes of two numbers come nearer than `clear` [mm]."""
        return all(
            abs(self.at[k] - other.at[k]) < (self.size[k] + other.size[k]) / 2.0 + clear
            for k in (0, 1)
        )


def numeral_size(face: Face) -> float:
    """Return the size of type of the numbers [mm]."""
    return min(max(0.125 * face.unit, 2.2), 5.0)


def in_parts(face: Face, kind: Kind, look: Look) -> bool:
    """Return whether the dial says 0 ¼ ½ ¾ 1: a whole tank, and the reader asked for no unit."""
    whole = abs(face.scale.low) < 1e-9 and abs(face.scale.high - 1.0) < 1e-9
    return kind is Kind.LEVEL and whole and Kind.LEVEL not in look.renderer.style.units


def dial_ticks(face: Face, kind: Kind, look: Look) -> Ticks:
    """Return the ticks of a dial [reader's unit], as many as leave its numbers apart."""
    unit = look.unit(kind)
    low, high = in_unit(face.scale.low, unit), in_unit(face.scale.high, unit)
    if in_parts(face, kind, look):
        return even_parts(low, high, 4, 2)
    for most in range(_MOST, 2, -1):
        ticks = nice_ticks(low, high, most)
        if _clear(tuple(_numeral(face, kind, look, ticks, unit, n) for n in ticks.major), face):
            return ticks
    return nice_ticks(low, high, 2)


def numerals(face: Face, kind: Kind, look: Look, ticks: Ticks) -> tuple[Numeral, ...]:
    """Return the numbers of a dial, in the order of the scale; on tiny dials not all of them."""
    unit = look.unit(kind)
    if in_parts(face, kind, look):
        parts = tuple(zip(_PARTS, ticks.major, strict=True))
        found = [_boxed(face, *parts[k], unit) for k in _FIRST_OF_PARTS]
    else:
        found = [_numeral(face, kind, look, ticks, unit, number) for number in ticks.major]
    kept: list[Numeral] = []
    for one in found:
        if not any(one.overlaps(other, _CLEAR_AT_LEAST) for other in kept):
            kept.append(one)
    return tuple(sorted(kept, key=lambda one: one.value))


def _numeral(
    face: Face, kind: Kind, look: Look, ticks: Ticks, unit: Unit, number: float
) -> Numeral:
    return _boxed(face, look.figure(from_unit(number, unit), kind, ticks.step), number, unit)


def _boxed(face: Face, words: str, number: float, unit: Unit) -> Numeral:
    value = from_unit(number, unit)
    size = numeral_size(face)
    angle = face.angle_of(value)
    box = (width(words, size), CAP_HEIGHT * size)
    turn = math.radians(angle)
    # Move the box inwards until the side that faces the scale keeps its distance from the tick.
    half = abs(math.sin(turn)) * box[0] / 2.0 + abs(math.cos(turn)) * box[1] / 2.0
    inner = -_TICK - 0.035 - half / face.unit
    return Numeral(words, face.place(angle, inner), box, value)


@lru_cache(maxsize=256)
def _clear(numbers: tuple[Numeral, ...], face: Face) -> bool:
    gap = _CLEAR * CAP_HEIGHT * numeral_size(face)
    return not any(
        one.overlaps(other, gap) for k, one in enumerate(numbers) for other in numbers[k + 1 :]
    )
