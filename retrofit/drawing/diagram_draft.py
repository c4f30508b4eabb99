"""A wiring diagram while it is drawn: parts, wires and flags for the netlist, and the lettering.

What is placed here is drawn from the places that the netlist is read from, so that no wire can
be drawn one way and counted another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from catalog.message import Message, message
from retrofit.drawing.diagram_places import LINE
from retrofit.drawing.diagram_symbols import WIRE, earth_sign, symbol
from retrofit.drawing.lettering import shorten, width, wrap
from retrofit.drawing.look import BODY, Look
from retrofit.drawing.schematic import Flag, Part, PartKind, Schematic, State
from retrofit.drawing.svg import (
    Anchor,
    Element,
    Pen,
    Point,
    Type,
    circle,
    group,
    polygon,
    polyline,
    rectangle,
    text,
)

EARTH = "earth"
"""Name of the flags at battery's earthed pole, which every earth sign joins."""


@dataclass(frozen=True)
class Words:
    """A line of lettering: what it says, and how loud."""

    text: str
    bold: bool = False
    muted: bool = False


@dataclass
class Draft:
    """A wiring diagram while it is drawn.

    Attributes
    ----------
    look : Look
        Colours, language, units.
    """

    look: Look
    parts: list[Part] = field(default_factory=list)
    wires: list[tuple[Point, ...]] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)
    _under: list[Element] = field(default_factory=list)
    _over: list[Element] = field(default_factory=list)
    _lettering: list[Element] = field(default_factory=list)
    _told: list[str] = field(default_factory=list)

    def words(self, key: str, **values: Message | str) -> str:
        """Return a text of the diagram in the reader's language."""
        return self.look.say(message(f"drawing.wiring.{key}", **values))

    def part(
        self, name: str, kind: PartKind, start: Point, end: Point, state: State = "counted"
    ) -> None:
        """Place a part."""
        self.parts.append(Part(name, kind, start, end, state))

    def wire(self, *corners: Point) -> None:
        """Place a wire along its corners."""
        self.wires.append(corners)

    def earth(self, at: Point) -> None:
        """Join a place to the earthed pole and draw the sign for it."""
        self.flags.append(Flag(EARTH, at))
        self._over.extend(earth_sign(at, self.look.palette))

    def join(self, name: str, at: Point) -> None:
        """Say that a place is what the flags of this name mean."""
        self.flags.append(Flag(name, at, drawn=False))

    def flag(self, name: str, at: Point, side: Anchor, room: float) -> None:
        """Join a place to all of this name and write it there, on the right or on the left."""
        self.flags.append(Flag(name, at))
        away = 1.0 if side == "start" else -1.0
        x, y = at
        tip = ((x, y), (x + 1.6 * away, y - 1.3), (x + 1.6 * away, y + 1.3))
        self._over.append(polygon(tip, self.look.palette.ink))
        said = self.words(f"flag.{name}")
        self.say([Words(said)], (x + 2.6 * away, y), room - 2.6, side)

    def terminal(self, at: Point) -> None:
        """Draw a terminal."""
        pen = Pen(self.look.palette.ink, WIRE)
        self._over.append(circle(at, 0.95, self.look.palette.card, pen))

    def frame(self, corner: Point, opposite: Point, *, known: bool = True) -> None:
        """Draw the outline of a part that holds others, broken where its inside is not known."""
        pen = Pen(self.look.palette.ink, 0.45, () if known else (1.6, 1.2))
        self._under.append(rectangle(corner, opposite, self.look.palette.card, pen))

    def shapes(self, shapes: Sequence[Element]) -> None:
        """Draw what joins nothing."""
        self._over.extend(shapes)

    def say(self, lines: Sequence[Words], at: Point, room: float, anchor: Anchor = "start") -> None:
        """Write lines below each other from `at` on, each cut to the room there is [mm]."""
        x, y = at
        told = []
        for number, words in enumerate(lines):
            colour = self.look.palette.muted if words.muted else self.look.palette.ink
            kind = Type(BODY, colour, anchor, words.bold)
            fitted = shorten(words.text, BODY, room, bold=words.bold)
            if fitted:
                self._lettering.append(text((x, y + number * LINE), fitted, kind))
            told.append(words.text)
        self._told.append(", ".join(told))

    def wrapped(self, said: str, room: float, most: int, *, muted: bool = False) -> list[Words]:
        """Return a text in lines that fit the room [mm]."""
        return [Words(one, muted=muted) for one in wrap(said, BODY, room, most) if one]

    def fits(self, said: str, room: float) -> bool:
        """Return whether a text fits the room [mm]."""
        return width(said, BODY) <= room

    @property
    def schematic(self) -> Schematic:
        """What is placed so far."""
        return Schematic(tuple(self.parts), tuple(self.wires), tuple(self.flags))

    @property
    def told(self) -> str:
        """All that is written, for whoever cannot see it."""
        return "; ".join(self._told)

    def drawn(self, trims: Sequence[str]) -> list[Element]:
        """Return the drawing; the named parts stand out as trims."""
        palette, pen = self.look.palette, Pen(self.look.palette.ink, WIRE, round=True)
        bodies = [
            element
            for part in self.parts
            for element in symbol(
                part, palette, palette.corridor if part.name in trims else palette.card
            )
        ]
        dots = [circle(at, 0.85, palette.ink) for at in self.schematic.junctions()]
        wires = [polyline(wire, pen) for wire in self.wires]
        return [
            group("frames", self._under),
            group("wires", wires),
            group("parts", bodies),
            group("joints", [*dots, *self._over]),
            group("lettering", self._lettering),
        ]
