"""Port, adapters and sender in a row, lengths and diameters to one scale."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.fittings.adapters import Adapter
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import Thread
from retrofit.drawing.lettering import shorten
from retrofit.drawing.look import BODY, Drawing, Look
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
from retrofit.plan.checks.check import Verdict

CHAIN_WIDTH = 150.0
"""Width of the drawing [mm]."""

HOSE_SHOWN = 60e-3
"""Length to which a hose is cut short in the drawing [m]."""

STUB = 8e-3
"""Length of a parallel male that nobody measured [m] (common practice, no source)."""

BODY_LENGTH = 40e-3
"""Length of a sender's body that nobody measured [m] (assumed; drawn dashed)."""

_WALL = 14e-3
_OVER_THREAD = 1.5
_BODY_OVER = 2.2
_LEFT, _ROW, _BELOW = 4.0, 4.0, 16.0
_MOST = 2.0


@dataclass(frozen=True)
class Mounted:
    """What is known of a sender's shape.

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
    """

    body: float | None = None
    thread: float | None = None
    probe: float | None = None
    wall: float | None = None


@dataclass(frozen=True)
class _Piece:
    """One piece as drawn: its name, its body outside the face behind it, and its male stub."""

    key: str
    name: str
    start: float
    length: float
    across: float
    stub: float
    stub_across: float
    hose: bool = False
    guessed: bool = False


def chain_drawing(chain: Chain, mounted: Mounted, look: Look) -> Drawing:
    """Draw a chain from the port outwards.

    Parameters
    ----------
    chain : Chain
        The pieces; empty where the sender goes straight in.
    mounted : Mounted
        Lengths of the sender; those not known are drawn dashed at usual ones.
    look : Look
        Colours, language, units.

    Returns
    -------
    Drawing
        `CHAIN_WIDTH` wide; groups "port", one for each piece by its key, and "sender"; the joints
        carry the mark of their verdict. A hose is cut short.
    """
    pieces = _pieces(chain, mounted, look)
    wall = _WALL if mounted.wall is None else mounted.wall
    reach = max(wall, (mounted.probe or 0.0) - chain.stands_off) + 4e-3
    total = reach + pieces[-1].start + pieces[-1].length
    across = max(piece.across for piece in pieces)
    across = max(across, 2.2 * _major(chain.port, "female"))
    scale = min((CHAIN_WIDTH - 2.0 * _LEFT) / total, _MOST * 1e3)
    middle = _ROW + across * scale / 2.0
    face = _LEFT + reach * scale
    height = middle + across * scale / 2.0 + _BELOW
    paint = _Painter(scale, face, middle, look)
    drawn = [group("port", paint.port(chain.port, wall, across))]
    drawn += [group(piece.key, paint.piece(piece)) for piece in pieces]
    if mounted.probe is not None:
        sender = pieces[-1]
        drawn.append(group("probe", paint.probe(sender.start, mounted.probe)))
    drawn += paint.joints(chain, pieces)
    port = look.say(message("drawing.chain.port", thread=chain.port.designation))
    drawn += paint.names(pieces, height, port)
    title = look.say(message("drawing.chain.title"))
    words = look.say(_in_words(chain))
    size = (CHAIN_WIDTH, height)
    return Drawing(document(size, title, words, drawn), *size, title, words)


def _major(thread: Thread, gender: str) -> float:
    part = thread.male if gender == "male" else thread.female
    part = part or thread.male or thread.female
    assert part is not None
    return part.major.basic


def _stub(thread: Thread) -> float:
    return thread.useful_length or STUB


def _pieces(chain: Chain, mounted: Mounted, look: Look) -> list[_Piece]:
    found, at = [], 0.0
    for adapter in chain.pieces:
        length = min(adapter.added, HOSE_SHOWN) if adapter.kind == "hose" else adapter.added
        found.append(_adapter(adapter, at, length))
        at += length
    major = _major(chain.sender, "male")
    body = BODY_LENGTH if mounted.body is None else mounted.body
    stub = _stub(chain.sender) if mounted.thread is None else mounted.thread
    name = look.say(message("drawing.chain.sender", thread=chain.sender.designation))
    guessed = mounted.body is None
    found.append(_Piece("sender", name, at, body, _BODY_OVER * major, stub, major, guessed=guessed))
    return found


def _adapter(adapter: Adapter, at: float, length: float) -> _Piece:
    inner, outer = _major(adapter.male, "male"), _major(adapter.female, "female")
    across = _OVER_THREAD * max(inner, outer)
    hose = adapter.kind == "hose"
    name = f"{adapter.male.designation} → {adapter.female.designation}"
    return _Piece(adapter.key, name, at, length, across, _stub(adapter.male), inner, hose)


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

    def _block(
        self,
        start: float,
        end: float,
        across: float,
        fill: str,
        pen: Pen | None = None,
        name: str = "",
    ) -> Element:
        half = across / 2.0 * self._scale
        corners = (self._x(start), self._middle - half), (self._x(end), self._middle + half)
        return rectangle(*corners, fill, pen or self._ink, name)

    def port(self, thread: Thread, wall: float, across: float) -> list[Element]:
        """Paint the wall with its hole."""
        hole = _major(thread, "female")
        palette = self._look.palette
        thick = (across - hole) / 2.0
        drawn = []
        for side in (-1.0, 1.0):
            near = self._middle + side * hole / 2.0 * self._scale
            far = self._middle + side * (hole / 2.0 + thick) * self._scale
            drawn.append(
                rectangle((self._x(-wall), near), (self._x(0.0), far), palette.gap, self._ink)
            )
        return drawn

    def piece(self, piece: _Piece) -> list[Element]:
        """Paint a body and the male thread that it goes in with."""
        palette = self._look.palette
        pen = Pen(palette.ink, 0.3, dash=(1.2, 0.8)) if piece.guessed else self._ink
        fill = palette.corridor if piece.key == "sender" else palette.card
        stub = self._block(
            piece.start - piece.stub,
            piece.start,
            piece.stub_across,
            fill,
            None,
            f"{piece.key}-stub",
        )
        end = piece.start + piece.length
        body = self._block(piece.start, end, piece.across, fill, pen, f"{piece.key}-body")
        threads = self._thread_lines(piece)
        return [stub, *threads, body, *(self._cut(piece) if piece.hose else [])]

    def _thread_lines(self, piece: _Piece) -> list[Element]:
        pen = Pen(self._look.palette.muted, 0.15)
        half = piece.stub_across / 2.0 * self._scale
        lines = []
        count = max(int(piece.stub * self._scale / 1.2), 2)
        for number in range(1, count):
            x = self._x(piece.start - piece.stub * number / count)
            lines.append(line((x, self._middle - half), (x + 0.4, self._middle + half), pen))
        return lines

    def _cut(self, piece: _Piece) -> list[Element]:
        """Paint the two breaks of a hose that is longer than shown."""
        half = piece.across / 2.0 * self._scale
        drawn = []
        for shift in (-1.0, 1.0):
            x = self._x(piece.start + piece.length / 2.0) + shift
            points = [
                (x, self._middle - half - 1.0),
                (x + 0.8, self._middle - half / 3.0),
                (x - 0.8, self._middle + half / 3.0),
                (x, self._middle + half + 1.0),
            ]
            drawn.append(polyline(points, Pen(self._look.palette.card, 1.2)))
            drawn.append(polyline(points, self._ink))
        return drawn

    def probe(self, face: float, length: float) -> list[Element]:
        """Paint the probe from the face of the sender's thread into the port."""
        pen = Pen(self._look.palette.true, 0.9, round=True)
        ends = (self._x(face), self._middle), (self._x(face - length), self._middle)
        return [line(*ends, pen, "probe-line")]

    def joints(self, chain: Chain, pieces: list[_Piece]) -> list[Element]:
        """Paint a line in the colour of the verdict at each joint."""
        drawn = []
        for joint, piece in zip(chain.joints, pieces, strict=True):
            colour = self._look.palette.verdict(Verdict(joint.check.verdict))
            x, half = self._x(piece.start), piece.across / 2.0 * self._scale + 1.2
            pen = Pen(colour, 0.8)
            drawn.append(line((x, self._middle - half), (x, self._middle + half), pen))
        return drawn

    def names(self, pieces: list[_Piece], height: float, port: str) -> list[Element]:
        """Set the names below, alternating in height so that none stands on its neighbour."""
        kind = Type(BODY, self._look.palette.muted, "middle")
        spots = [(max(self._x(0.0) / 2.0, 10.0), port)]
        spots += [(self._x(one.start + one.length / 2.0), one.name) for one in pieces]
        drawn = []
        for number, (x, name) in enumerate(spots):
            y = height - _BELOW + 4.8 + 4.6 * (number % 2)
            width = CHAIN_WIDTH - 4.0
            words = shorten(name, BODY, width)
            drawn.append(text((min(max(x, 12.0), CHAIN_WIDTH - 12.0), y), words, kind))
        return drawn
