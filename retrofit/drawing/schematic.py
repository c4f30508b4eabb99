"""A wiring diagram as a structure: parts with two ends, wires, flags; and the netlist in it.

The netlist is read back from the places alone: what touches is joined, what merely crosses is
not, as somebody who looks at the drawing would take it. It must not know how parts look.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from retrofit.drawing.svg import Point

PartKind = Literal[
    "battery",
    "charger",
    "coil",
    "consumer",
    "contact",
    "fuse",
    "lamp",
    "motor",
    "resistor",
    "run",
    "source",
    "switch",
    "transmitter",
    "variable",
]

State = Literal["counted", "joint", "unknown", "open", "sender"]
"""Whether a part counts in the network of the plan; else it is a plain joint (a fuse, a wire of
no known ohms), one of unknown value, one that is open, or the sender, which the network leaves
out."""

_CLOSE = 1e-6
"""Places nearer than this are the same [mm]."""


@dataclass(frozen=True)
class Part:
    """A part with two ends.

    Attributes
    ----------
    name : str
        Its name in the network of the plan.
    kind : str
        How it is drawn.
    start, end : (float, float)
        Where its ends are [mm]; of a battery the positive one comes first.
    state : str
        Whether it counts; see `State`.
    """

    name: str
    kind: PartKind
    start: Point
    end: Point
    state: State = "counted"


@dataclass(frozen=True)
class Flag:
    """A place that is joined to every other flag of the same name.

    Attributes
    ----------
    name : str
        What the place is.
    at : (float, float)
        Where it is [mm].
    drawn : bool
        Whether a sign stands there; else the place is what the flags elsewhere mean.
    """

    name: str
    at: Point
    drawn: bool = True


@dataclass(frozen=True)
class Netlist:
    """What is joined to what.

    Attributes
    ----------
    elements : dict
        Nets at the two ends of each part that counts, by its name.
    sender : (int, int) or None
        Nets at the ends of the sender.
    """

    elements: dict[str, tuple[int, int]]
    sender: tuple[int, int] | None


@dataclass(frozen=True)
class Schematic:
    """The places of a wiring diagram.

    Attributes
    ----------
    parts : tuple of Part
        Everything with two ends; names differ.
    wires : tuple of tuple of (float, float)
        Wires along their corners [mm].
    flags : tuple of Flag
        Places joined by name.
    """

    parts: tuple[Part, ...]
    wires: tuple[tuple[Point, ...], ...]
    flags: tuple[Flag, ...]

    def part(self, name: str) -> Part:
        """Return a part by name."""
        (found,) = [part for part in self.parts if part.name == name]
        return found

    def junctions(self) -> tuple[Point, ...]:
        """Return the places where three ways or more meet, in order."""
        found = [at for at in self._places() if sum(self._ways(at)) > 2]
        return tuple(sorted(set(found)))

    def netlist(self) -> Netlist:
        """Return what is joined to what, read from the places alone.

        Examples
        --------
        >>> lamp = Part("lamp", "lamp", (0.0, 0.0), (9.0, 0.0))
        >>> coil = Part("coil", "coil", (9.0, 9.0), (0.0, 9.0))
        >>> drawn = Schematic((lamp, coil), (((9.0, 0.0), (9.0, 9.0)),), ())
        >>> drawn.netlist().elements
        {'lamp': (0, 1), 'coil': (1, 2)}
        """
        nets = self._nets()
        numbers: dict[Point, int] = {}

        def number(at: Point) -> int:
            return numbers.setdefault(nets[at], len(numbers))

        counted = {
            part.name: (number(part.start), number(part.end))
            for part in self.parts
            if part.state == "counted"
        }
        sender = [part for part in self.parts if part.state == "sender"]
        ends = (number(sender[0].start), number(sender[0].end)) if sender else None
        return Netlist(counted, ends)

    def _places(self) -> Iterator[Point]:
        for part in self.parts:
            yield from (part.start, part.end)
        for wire in self.wires:
            yield from (wire[0], wire[-1])
        for flag in self.flags:
            yield flag.at

    def _ways(self, at: Point) -> Iterator[int]:
        """Give how many ways lead from a place, of each wire, part and flag."""
        for wire in self.wires:
            ends = sum(_same(at, end) for end in (wire[0], wire[-1]))
            yield ends if ends else 2 * any(_on(at, a, b) for a, b in _pieces(wire))
        for part in self.parts:
            yield sum(_same(at, end) for end in (part.start, part.end))
        for flag in self.flags:
            yield int(flag.drawn and _same(at, flag.at))

    def _nets(self) -> dict[Point, Point]:
        """Return for each place one that stands for all that are joined to it."""
        places = sorted(set(self._places()))
        head = {at: at for at in places}

        def top(at: Point) -> Point:
            while head[at] != at:
                at = head[at]
            return at

        for group in self._joined(places):
            for at in group[1:]:
                head[top(at)] = top(group[0])
        return {at: top(at) for at in places}

    def _joined(self, places: list[Point]) -> Iterator[list[Point]]:
        for wire in self.wires:
            yield [at for at in places if any(_on(at, a, b) for a, b in _pieces(wire))]
        for part in self.parts:
            if part.state == "joint":
                yield [part.start, part.end]
        named: dict[str, list[Point]] = defaultdict(list)
        for flag in self.flags:
            named[flag.name].append(flag.at)
        yield from named.values()
        for one in places:
            yield [other for other in places if _same(one, other)]


def _pieces(wire: tuple[Point, ...]) -> Iterator[tuple[Point, Point]]:
    return pairwise(wire)


def _same(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) < _CLOSE and abs(one[1] - other[1]) < _CLOSE


def _on(at: Point, start: Point, end: Point) -> bool:
    """Return whether a place lies on a straight piece of wire, its ends included."""
    (x, y), (x1, y1), (x2, y2) = at, start, end
    off = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
    within_x = min(x1, x2) - _CLOSE <= x <= max(x1, x2) + _CLOSE
    within_y = min(y1, y2) - _CLOSE <= y <= max(y1, y2) + _CLOSE
    return abs(off) < _CLOSE and within_x and within_y
