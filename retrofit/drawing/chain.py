"""Port, adapters and sender in a row, lengths and diameters to one scale.

Letters keep their size whatever the scale: a drawing is made for the width in which it is shown.
What nobody measured is dashed and empty; what is very long is cut short, with a break.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from catalog.fittings.adapters import Adapter
from catalog.fittings.seals import JointKind
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import Thread
from retrofit.drawing.chain_marks import (
    NAMES_ROW,
    Leader,
    joint_marks,
    leaders,
    rows_of,
    scale_for_names,
)
from retrofit.drawing.lettering import shorten
from retrofit.drawing.look import BODY, SMALL, Drawing, Look
from retrofit.drawing.scale_bar import bar_room, scale_bar
from retrofit.drawing.svg import (
    Element,
    Pen,
    Type,
    document,
    group,
    line,
    polyline,
    rectangle,
    text,
)
from retrofit.fit.adapters import Chain, pieces_say
from retrofit.fit.engagement import rest
from retrofit.fit.seal import seal_check
from retrofit.fit.thread_fit import ThreadFit
from retrofit.fit.verdict import worst
from retrofit.plan.checks.check import Verdict

CHAIN_WIDTH = 150.0
"""Width of the drawing where none is asked for [mm]."""

HOSE_SHOWN = 60e-3
"""Length to which a hose is cut short in the drawing [m]."""

LONGEST_SHOWN = 150e-3
"""Length to which anything else is cut short [m]."""

STUB = 8e-3
"""Length of a parallel male that nobody measured [m] (common practice, no source)."""

BODY_LENGTH = 40e-3
"""Length of a sender's body that nobody measured [m] (assumed; drawn dashed)."""

MOST_LINES = 24
"""Lines that stand for a thread, at most: more would be a grey patch, and take seconds."""

_WALL = 14e-3
_OVER_THREAD = 1.5
_BODY_OVER = 2.2
_LEFT, _ABOVE = 3.0, 7.6
_BELOW_BODY, _FOOT = 2.6, 6.0
_MOST, _TALLEST = 2.0, 34.0
_DASH = (1.2, 0.8)
_MOST_PROUD = 0.6
"""Share of a piece that may be bare thread: the rest is its hexagon."""


@dataclass(frozen=True)
class Mounted:
    """What is known of a sender's shape and of its port.

    Attributes
    ----------
    body : float or None
        Length outside the port [m].
    thread : float or None
        Threaded length [m].
    probe : float or None
        From the face of its thread to its tip [m].
    wall : float or None
        Boss and wall of the port [m].
    piece : float or None
        Threaded length of the piece in the port [m].
    """

    body: float | None = None
    thread: float | None = None
    probe: float | None = None
    wall: float | None = None
    piece: float | None = None


@dataclass(frozen=True)
class _Long:
    """A length as drawn [m]: whether it was guessed, whether it is cut short."""

    length: float
    guessed: bool = False
    cut: bool = False


def _long(known: float | None, usual: float, most: float = LONGEST_SHOWN) -> _Long:
    length = usual if known is None else known
    return _Long(min(length, most), known is None, length > most)


@dataclass(frozen=True)
class _Piece:
    """One piece as drawn: the face that it goes into, its body, and its male stub.

    A taper stub does not go in to its shoulder: its body starts as far from the face as it stands
    proud when it is tight.
    """

    key: str
    name: str
    face: float
    start: float
    body: _Long
    across: float
    stub: _Long
    stub_across: float

    @property
    def end(self) -> float:
        """Its far end [m]."""
        return self.start + self.body.length


def joint_verdicts(chain: Chain, seals: Sequence[JointKind | None]) -> tuple[Verdict, ...]:
    """Return the worse of thread and seal for each joint; unknown where nobody said the seal.

    Parameters
    ----------
    chain : Chain
        Its joints, from the port outwards.
    seals : sequence of (JointKind or None)
        One for each; those left out are unknown.
    """
    said = [*seals, *[None] * len(chain.joints)]
    return tuple(
        Verdict(worst((joint.check.verdict, seal_check(joint, seal).verdict)))
        for joint, seal in zip(chain.joints, said, strict=False)
    )


def chain_drawing(
    chain: Chain,
    seals: Sequence[JointKind | None],
    mounted: Mounted,
    look: Look,
    across: float = CHAIN_WIDTH,
) -> Drawing:
    """Draw a chain from the port outwards.

    Parameters
    ----------
    chain : Chain
        The pieces; empty where the sender goes straight in.
    seals : sequence of (JointKind or None)
        What seals each joint; None where nobody said.
    mounted : Mounted
        Lengths of the sender; those not known are drawn dashed at usual ones.
    look : Look
        Colours, language, units.
    across : float
        Width of the drawing [mm], 60 or more.

    Returns
    -------
    Drawing
        As high as it must be; groups "port", one for each piece by its key, and "sender"; above
        each joint its number and the mark of the worse of its thread and its seal.
    """
    pieces = _pieces(chain, mounted, look)
    wall = _long(mounted.wall, _WALL)
    probe = None if mounted.probe is None else _long(mounted.probe, 0.0)
    reach = max(wall.length, pieces[0].stub.length - pieces[0].start)
    if probe is not None:
        reach = max(reach, probe.length - pieces[-1].start)
    tall = max(*(piece.across for piece in pieces), 2.2 * _major(chain.port, "female"))
    port = look.say(message("drawing.chain.port", thread=chain.port.designation))
    names = [(reach - wall.length, port)]
    names += [(reach + piece.start, piece.name) for piece in pieces]
    room = across - 2.0 * _LEFT
    names = [(at, shorten(words, BODY, 0.7 * room)) for at, words in names]
    total = reach + pieces[-1].end
    scale = min(room / total, _MOST * 1e3, _TALLEST / tall, scale_for_names(names, room))
    widest = max(total * scale, *(at * scale + Leader.room(words) for at, words in names))
    left = _LEFT + (room - widest) / 2.0
    middle = _ABOVE + tall * scale / 2.0
    paint = _Painter(scale, left + reach * scale, middle, look)
    drawn = [group("port", paint.port(chain.port, wall, tall))]
    drawn += [group(piece.key, paint.piece(piece)) for piece in pieces]
    if probe is not None:
        drawn.append(group("probe", paint.probe(pieces[-1].start, probe)))
    verdicts = joint_verdicts(chain, seals)
    drawn += paint.joints(pieces, verdicts, across - _LEFT)
    low = middle + tall * scale / 2.0 + _BELOW_BODY
    flags = paint.flags(names, [wall, *(piece.body for piece in pieces)], left)
    bottoms = [tall, *(piece.across for piece in pieces)]
    drawn += leaders(flags, [middle + each * scale / 2.0 for each in bottoms], low, look)
    height = low + NAMES_ROW * (max(rows_of(flags)) + 1) + _FOOT
    dashed = wall.guessed or any(one.body.guessed or one.stub.guessed for one in pieces)
    drawn += _foot((across, height), scale, look, dashed=dashed)
    title = look.say(message("drawing.chain.title"))
    said = [look.say(_in_words(chain))]
    said += [look.say(_joint_says(n, one)) for n, one in enumerate(verdicts, start=1)]
    words, size = " ".join(said), (across, height)
    return Drawing(document(size, title, words, drawn), *size, title, words)


def _foot(size: tuple[float, float], scale: float, look: Look, *, dashed: bool) -> list[Element]:
    """Say at the bottom what dashed lines mean, and how long a bar is."""
    (across, height), y = size, size[1] - 2.6
    del height
    drawn = scale_bar((across - _LEFT, y), scale, look)
    if dashed:
        words = look.say(message("drawing.chain.dashed"))
        words = shorten(words, SMALL, across - 2.0 * _LEFT - bar_room(look) - 3.0)
        drawn.append(text((_LEFT, y), words, Type(SMALL, look.palette.muted), "dashed"))
    return drawn


def _joint_says(number: int, verdict: Verdict) -> Message:
    word = message(f"drawing.verdict.{verdict.value}")
    return message("drawing.chain.joint", number=number, verdict=word)


def _major(thread: Thread, gender: str) -> float:
    part = thread.male if gender == "male" else thread.female
    part = part or thread.male or thread.female
    assert part is not None
    return part.major.basic


def _stub(thread: Thread, known: float | None) -> _Long:
    """Return a male's length: measured, of its standard, or guessed."""
    return _long(thread.useful_length if known is None else known, STUB)


def _pieces(chain: Chain, mounted: Mounted, look: Look) -> list[_Piece]:
    found: list[_Piece] = []
    at = 0.0
    for adapter, joint in zip(chain.pieces, chain.joints, strict=False):
        known = mounted.piece if not found else None
        found.append(_adapter(adapter, joint, at, known))
        at = found[-1].end
    major = _major(chain.sender, "male")
    name = look.say(message("drawing.chain.sender", thread=chain.sender.designation))
    body, stub = _long(mounted.body, BODY_LENGTH), _stub(chain.sender, mounted.thread)
    start = at + _proud(chain.joints[-1], stub)
    found.append(_Piece("sender", name, at, start, body, _BODY_OVER * major, stub, major))
    return found


def _proud(joint: ThreadFit, stub: _Long) -> float:
    """Return how far a tightened male stands off [m], halfway between its limits."""
    return sum(rest(joint, stub.length).proud) / 2.0 if joint.goes else 0.0


def _adapter(adapter: Adapter, joint: ThreadFit, at: float, thread: float | None) -> _Piece:
    inner, outer = _major(adapter.male, "male"), _major(adapter.female, "female")
    across = _OVER_THREAD * max(inner, outer)
    hose = adapter.kind == "hose"
    body = _long(adapter.added, 0.0, HOSE_SHOWN if hose else LONGEST_SHOWN)
    name = f"{adapter.male.designation} → {adapter.female.designation}"
    stub = _stub(adapter.male, thread)
    # A piece is as long as its table says where its thread comes to rest halfway.
    proud = min(_proud(joint, stub), _MOST_PROUD * body.length)
    body = replace(body, length=body.length - proud, cut=hose)
    return _Piece(adapter.key, name, at, at + proud, body, across, stub, inner)


def _in_words(chain: Chain) -> Message:
    ends = {"port": chain.port.designation, "sender": chain.sender.designation}
    if not chain.pieces:
        return message("chain.straight", **ends)
    names = pieces_say(chain.pieces)
    return message("chain.pieces", names=names, added=SiValue(chain.added, Kind.LENGTH))


class _Painter:
    """Paints a row about its axis; lengths in metres from the port's face outwards."""

    def __init__(self, scale: float, face: float, middle: float, look: Look) -> None:
        self._scale, self._face, self._middle = scale, face, middle
        self._look = look
        self._ink = Pen(look.palette.ink, 0.3)

    def _x(self, outwards: float) -> float:
        return self._face + outwards * self._scale

    def _style(self, shown: _Long, fill: str) -> tuple[str, Pen]:
        """Return fill and pen; what was guessed is empty and dashed."""
        if not shown.guessed:
            return fill, self._ink
        return self._look.palette.card, Pen(self._look.palette.ink, 0.3, dash=_DASH)

    def _block(
        self, start: float, end: float, across: float, style: tuple[str, Pen], name: str
    ) -> Element:
        half = across / 2.0 * self._scale
        corners = (self._x(start), self._middle - half), (self._x(end), self._middle + half)
        return rectangle(*corners, *style, name)

    def port(self, thread: Thread, wall: _Long, across: float) -> list[Element]:
        """Paint the wall with its hole."""
        hole = _major(thread, "female") / 2.0 * self._scale
        edge = across / 2.0 * self._scale
        style = self._style(wall, self._look.palette.gap)
        ends = self._x(-wall.length), self._x(0.0)
        drawn = []
        for side, name in ((-1.0, "wall-above"), (1.0, "wall-below")):
            near, far = self._middle + side * hole, self._middle + side * edge
            drawn.append(rectangle((ends[0], near), (ends[1], far), *style, name))
            if wall.cut:
                drawn += self._break(-wall.length / 2.0, min(near, far), max(near, far))
        return drawn

    def piece(self, piece: _Piece) -> list[Element]:
        """Paint a body and the male thread that it goes in with."""
        palette = self._look.palette
        fill = palette.corridor if piece.key == "sender" else palette.card
        tip, name = piece.start - piece.stub.length, f"{piece.key}-stub"
        across = piece.stub_across
        drawn = [self._block(tip, piece.start, across, self._style(piece.stub, fill), name)]
        drawn += self._thread_lines(piece)
        if piece.stub.cut:
            drawn += self._across((tip + piece.start) / 2.0, across)
        name = f"{piece.key}-body"
        style = self._style(piece.body, fill)
        drawn.append(self._block(piece.start, piece.end, piece.across, style, name))
        if piece.body.cut:
            drawn += self._across((piece.start + piece.end) / 2.0, piece.across)
        return drawn

    def _thread_lines(self, piece: _Piece) -> list[Element]:
        pen = Pen(self._look.palette.muted, 0.15)
        half = piece.stub_across / 2.0 * self._scale
        length = piece.stub.length * self._scale
        count = min(max(int(length / 1.2), 2), MOST_LINES)
        lean = min(0.4, length / count)
        lines = []
        for number in range(1, count):
            x = self._x(piece.start) - length * number / count
            lines.append(line((x, self._middle - half), (x + lean, self._middle + half), pen))
        return lines

    def _across(self, at: float, across: float) -> list[Element]:
        half = across / 2.0 * self._scale
        return self._break(at, self._middle - half, self._middle + half)

    def _break(self, at: float, top: float, bottom: float) -> list[Element]:
        """Paint the two breaks of what is longer than shown."""
        drawn = []
        third = (bottom - top) / 3.0
        for shift in (-1.0, 1.0):
            x = self._x(at) + shift
            points = [
                (x, top - 1.0),
                (x + 0.8, top + third),
                (x - 0.8, bottom - third),
                (x, bottom + 1.0),
            ]
            drawn.append(polyline(points, Pen(self._look.palette.card, 1.2)))
            drawn.append(polyline(points, self._ink))
        return drawn

    def probe(self, face: float, shown: _Long) -> list[Element]:
        """Paint the probe from the face of the sender's thread into the port."""
        pen = Pen(self._look.palette.true, 0.9, round=True)
        tip = face - shown.length
        drawn = [line((self._x(face), self._middle), (self._x(tip), self._middle), pen)]
        drawn[0] = replace(drawn[0], attributes={"id": "probe-line", **drawn[0].attributes})
        if shown.cut:
            at = (face + tip) / 2.0
            drawn += self._break(at, self._middle - 1.6, self._middle + 1.6)
        return drawn

    def joints(
        self, pieces: list[_Piece], verdicts: Sequence[Verdict], right: float
    ) -> list[Element]:
        """Mark each joint with its number and its verdict."""
        places = [
            (self._x(one.face), self._middle - one.across / 2.0 * self._scale, one.across)
            for one in pieces
        ]
        spots = [(x, top, top + across * self._scale) for x, top, across in places]
        return joint_marks(spots, verdicts, (_LEFT, right), self._look)

    def flags(
        self, names: list[tuple[float, str]], bodies: Sequence[_Long], left: float
    ) -> list[Leader]:
        """Return where the name of the port and of each piece stands: near its left end."""
        return [
            Leader(left + at * self._scale + Leader.inset(body.length * self._scale), words)
            for (at, words), body in zip(names, bodies, strict=True)
        ]
