"""How wide a text is in the shipped font, so that labels are placed and shortened by measure.

Reads the advance widths out of the font file itself (OpenType 1.9: tables ``cmap``, ``hhea``,
``hmtx``), so no toolkit is needed. Kerning is left out: it narrows a label by a few per cent.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import cached_property, lru_cache

from catalog.errors import BugError
from retrofit.shipped import path

FILES = {False: "Inter-Regular.otf", True: "Inter-SemiBold.otf"}
"""Font files in ``resources/fonts`` by weight: regular, semibold."""

_FALLBACK_ADVANCE = 0.75
"""Advance [em] of what the font lacks; another font draws it, wider than ours on average."""


@dataclass(frozen=True)
class FontMetrics:
    """Advance widths of a font file.

    Attributes
    ----------
    data : bytes
        The file, in TrueType or OpenType form.
    """

    data: bytes

    @cached_property
    def _tables(self) -> dict[str, int]:
        count = struct.unpack_from(">H", self.data, 4)[0]
        records = (struct.unpack_from(">4sLLL", self.data, 12 + 16 * i) for i in range(count))
        return {tag.decode("ascii"): offset for tag, _, offset, _ in records}

    @cached_property
    def _em(self) -> int:
        return int(struct.unpack_from(">H", self.data, self._tables["head"] + 18)[0])

    @cached_property
    def _glyphs(self) -> tuple[tuple[int, int, int], ...]:
        """Runs of characters from the full Unicode map: first, last, first glyph."""
        start = self._tables["cmap"]
        count = struct.unpack_from(">H", self.data, start + 2)[0]
        for i in range(count):
            offset = start + struct.unpack_from(">L", self.data, start + 4 + 8 * i + 4)[0]
            if struct.unpack_from(">H", self.data, offset)[0] == 12:
                runs = struct.unpack_from(">L", self.data, offset + 12)[0]
                at = offset + 16
                return tuple(
                    struct.unpack_from(">LLL", self.data, at + 12 * k) for k in range(runs)
                )
        raise BugError("the shipped font has no full Unicode map. Install the program again.")

    def advance(self, character: str) -> float:
        """Return the advance width of a character [em]."""
        code = ord(character)
        glyph = next((g + code - a for a, b, g in self._glyphs if a <= code <= b), None)
        if glyph is None:
            return _FALLBACK_ADVANCE
        last = struct.unpack_from(">H", self.data, self._tables["hhea"] + 34)[0] - 1
        at = self._tables["hmtx"] + 4 * min(glyph, last)
        return float(struct.unpack_from(">H", self.data, at)[0]) / self._em


@lru_cache(maxsize=2)
def _font(*, bold: bool) -> FontMetrics:
    return FontMetrics(path("fonts", FILES[bold]).read_bytes())


@lru_cache(maxsize=4096)
def _advance(character: str, *, bold: bool) -> float:
    return _font(bold=bold).advance(character)


def width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a text [mm] set at `size` [mm], kerning left out.

    Examples
    --------
    >>> width("100", 4.0) < width("1000", 4.0)
    True
    """
    return size * sum(_advance(character, bold=bold) for character in text)


def shorten(text: str, size: float, room: float, *, bold: bool = False) -> str:
    """Return a text cut to `room` [mm] with …, or nothing where not even two letters fit.

    Examples
    --------
    >>> shorten("thermostat opens", 3.0, 15.0)
    'thermos…'
    """
    if width(text, size, bold=bold) <= room:
        return text
    for length in range(_reach(text, size, room, bold=bold), 1, -1):
        cut = text[:length].rstrip() + "…"
        if width(cut, size, bold=bold) <= room:
            return cut
    return ""


def _reach(text: str, size: float, room: float, *, bold: bool) -> int:
    """Return how many letters from the start fit the room [mm], so that none more need trying."""
    taken = 0.0
    for length, character in enumerate(text):
        taken += size * _advance(character, bold=bold)
        if taken > room:
            return length
    return len(text)


def wrap(text: str, size: float, room: float, most: int) -> tuple[str, ...]:
    """Return a text broken at blanks into at most `most` lines, each within `room` [mm]."""
    lines: list[str] = []
    words = text.split()
    while words:
        count = 1
        while count < len(words) and width(" ".join(words[: count + 1]), size) <= room:
            count += 1
        if len(lines) == most - 1:
            count = len(words)
        lines.append(shorten(" ".join(words[:count]), size, room))
        words = words[count:]
    return tuple(lines)
