"""Names above the verticals of a chart: in rows, beside their own line, across no other's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import SMALL

ROW = SMALL * 1.3
"""Height of a row of names [mm]."""

_BESIDE = 0.7
_APART = 1.2
_LEAST_ROOM = 4.5


@dataclass(frozen=True)
class NameTag:
    """A name above a chart.

    Attributes
    ----------
    words : str
        The name, shortened if need be; empty where there is no room.
    line : float
        Place across of its own vertical [mm].
    start, end : float
        Where the text starts and ends [mm].
    row : int
        Row above the plot, 0 the nearest; its vertical goes up through that row.
    """

    words: str
    line: float
    start: float
    end: float
    row: int


def place_tags(
    marks: Sequence[tuple[float, str]], left: float, right: float, most_rows: int
) -> tuple[NameTag, ...]:
    """Return the names of verticals, given as (place across [mm], name), left to right.

    Seen from the right each name stands right of its line (left of it where the edge is too
    near), in the lowest row where it touches no other name and no vertical that passes
    through; the last way out is to shorten it.
    """
    placed: list[NameTag] = []
    waiting = sorted(marks)
    while waiting:
        x, words = waiting.pop()
        # A name left of its line must not stand in the way of lines that are still to come.
        edge = max([left, *(before + 0.4 for before, _ in waiting)])
        tag = _first_free(x, words, placed, (edge, right), most_rows)
        placed.append(tag or _shortened(x, words, placed, right))
    return tuple(reversed(placed))


def _first_free(
    x: float,
    words: str,
    placed: Sequence[NameTag],
    ends: tuple[float, float],
    most_rows: int,
) -> NameTag | None:
    wide = width(words, SMALL)
    for start in (x + _BESIDE, x - _BESIDE - wide):
        for row in range(most_rows):
            tried = NameTag(words, x, start, start + wide, row)
            inside = ends[0] <= start and tried.end <= ends[1]
            if inside and _free(tried, placed):
                return tried
    return None


def _free(tried: NameTag, placed: Sequence[NameTag]) -> bool:
    for other in placed:
        near = other.start - _APART < tried.end and tried.start < other.end + _APART
        if other.words and other.row == tried.row and near:
            return False
        if other.row >= tried.row and _crosses(tried, other.line):
            return False
        if tried.row >= other.row and other.words and _crosses(other, tried.line):
            return False
    return True


def _crosses(tag: NameTag, x: float) -> bool:
    return tag.start - 0.4 < x < tag.end + 0.4


def _shortened(x: float, words: str, placed: Sequence[NameTag], right: float) -> NameTag:
    start = x + _BESIDE
    free = min([right, *(min(tag.line, tag.start) - _APART for tag in placed)]) - start
    cut = shorten(words, SMALL, free) if free >= _LEAST_ROOM else ""
    tag = NameTag(cut, x, start, start + width(cut, SMALL), 0)
    return tag if cut and _free(tag, placed) else NameTag("", x, start, start, 0)
