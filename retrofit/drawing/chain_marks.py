"""What is written on the drawing of a chain: a mark above each joint, a name for each piece.

Names stand below, each to the right of a line that comes down from its piece. From the right to
the left they take the next lower row where one would reach the line of its right neighbour: so no
line crosses a name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from retrofit.drawing.lettering import width
from retrofit.drawing.look import BODY, SMALL, Look
from retrofit.drawing.signs import verdict_sign
from retrofit.drawing.svg import Element, Pen, Type, group, line, polyline, text
from retrofit.plan.checks.check import Verdict

NAMES_ROW = 4.6
"""Height of a row of names [mm]."""

SIGN = 3.4
"""Size of the mark of a joint [mm]."""

_INSET, _GAP = 2.6, 0.9
_APART = 3.0
_SIGNS_AT = 2.4
_SPREAD = 9.0
_BEYOND = 1.2


@dataclass(frozen=True)
class Leader:
    """A line down from a piece to its name.

    Attributes
    ----------
    x : float
        Where it comes down [mm].
    words : str
        The name.
    """

    x: float
    words: str

    @property
    def end(self) -> float:
        """Right end of the name [mm]."""
        return self.x + _GAP + width(self.words, BODY)

    @staticmethod
    def inset(length: float) -> float:
        """Return how far from the left end of a piece its line comes down [mm]."""
        return min(_INSET, length / 2.0)

    @staticmethod
    def room(words: str) -> float:
        """Return the most room that a name takes to the right of its piece's left end [mm]."""
        return _INSET + _GAP + width(words, BODY)


def scale_for_names(names: Sequence[tuple[float, str]], room: float) -> float:
    """Return the greatest scale at which every name ends within the room [mm a metre].

    Parameters
    ----------
    names : sequence of (float, str)
        Left end of its piece from the left of all [m], and the name.
    room : float
        [mm].
    """
    scales = [(room - Leader.room(words)) / at for at, words in names if at > 0.0]
    return min(scales, default=float("inf"))


def rows_of(flags: Sequence[Leader]) -> list[int]:
    """Return the row of each name, 0 the highest, for lines from left to right.

    Examples
    --------
    >>> rows_of([Leader(0.0, "a long name"), Leader(5.0, "b"), Leader(50.0, "c")])
    [1, 0, 0]
    """
    rows = [0] * len(flags)
    for number in range(len(flags) - 2, -1, -1):
        after = flags[number + 1]
        below = flags[number].end + _APART > after.x
        rows[number] = rows[number + 1] + below
    return rows


def leaders(
    flags: Sequence[Leader], bottoms: Sequence[float], low: float, look: Look
) -> list[Element]:
    """Paint the names below, each with its line.

    Parameters
    ----------
    flags : sequence of Leader
        From left to right.
    bottoms : sequence of float
        Lower edge of each piece [mm].
    low : float
        Top of the first row [mm].
    look : Look
        Colours.
    """
    pen, kind = Pen(look.palette.corridor_edge, 0.2), Type(BODY, look.palette.muted)
    drawn = []
    for flag, row, bottom in zip(flags, rows_of(flags), bottoms, strict=True):
        y = low + NAMES_ROW * (row + 0.5)
        drawn.append(line((flag.x, bottom), (flag.x, y + 1.2), pen))
        drawn.append(text((flag.x + _GAP, y), flag.words, kind))
    return [group("names", drawn)]


def joint_marks(
    spots: Sequence[tuple[float, float, float]],
    verdicts: Sequence[Verdict],
    within: tuple[float, float],
    look: Look,
) -> list[Element]:
    """Paint a line at each joint, and above it the joint's number and verdict.

    Parameters
    ----------
    spots : sequence of (float, float, float)
        Place along the axis, upper and lower edge [mm], from left to right.
    verdicts : sequence of Verdict
        Of each joint.
    within : pair of float
        Left and right edge of the drawing [mm].
    look : Look
        Colours.
    """
    places = _spread([x for x, _, _ in spots], (within[0] + SIGN, within[1] - SIGN))
    drawn = []
    joints = enumerate(zip(spots, places, verdicts, strict=True), start=1)
    for number, ((x, top, bottom), at, verdict) in joints:
        colour = look.palette.verdict(verdict)
        dash = (1.0, 0.8) if verdict is Verdict.UNKNOWN else ()
        up, down = top - _BEYOND, bottom + _BEYOND
        thin = Pen(look.palette.corridor_edge, 0.2)
        kind = Type(SMALL, look.palette.ink, "end")
        under = _SIGNS_AT + SIGN / 2.0 + 0.3
        marks = [
            line((x, up), (x, down), Pen(colour, 0.8, dash)),
            polyline([(at, under), (at, under + 0.5), (x, max(up, under + 0.9))], thin),
            text((at - SIGN / 2.0 - 0.7, _SIGNS_AT), str(number), kind),
            verdict_sign(verdict, (at, _SIGNS_AT), SIGN, look.palette),
        ]
        drawn.append(group(f"joint-{number}", marks))
    return drawn


def _spread(places: Sequence[float], within: tuple[float, float]) -> list[float]:
    """Return places moved as little as needed to stand apart between two ends, in their order."""
    found: list[float] = []
    for place in places:
        found.append(max(place, within[0] if not found else found[-1] + _SPREAD))
    limit = within[1]
    for number in range(len(found) - 1, -1, -1):
        found[number] = min(found[number], limit)
        limit = found[number] - _SPREAD
    return found
