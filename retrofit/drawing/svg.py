"""A small typed SVG builder, kept to what every renderer of ours draws alike.

SVG Tiny 1.2 without style sheets, clip paths, filters, patterns or opacity: each colour and
size is an attribute of its element. Lengths are given in millimetres and written in twentieths
of one, because Qt rounds sizes of type to whole units. It must not know what is drawn.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape  # that of xml.sax imports a whole network client
from typing import Literal

from catalog.errors import BugError

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

UNITS = 20
"""Units of the drawing in a millimetre."""

FONT = "Inter"
"""Family of the font in ``resources/fonts``, which window and paper both load."""

CAP_HEIGHT = 0.727
"""Height of its capitals and figures [em]; no renderer agrees on ``dominant-baseline``."""

# What XML 1.0 cannot hold even escaped; a name typed by a user may contain it.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True)
class Pen:
    """How a line is drawn.

    Attributes
    ----------
    colour : str
        "#rrggbb".
    width : float
        Width [mm].
    dash : tuple of float
        Lengths of dashes and gaps [mm]; empty for a solid line.
    round : bool
        Whether ends and corners are rounded.
    """

    colour: str
    width: float
    dash: tuple[float, ...] = ()
    round: bool = False


@dataclass(frozen=True)
class Type:
    """How a text is set.

    Attributes
    ----------
    size : float
        Size of type [mm], drawn to the nearest twentieth.
    colour : str
        "#rrggbb".
    anchor : str
        Which end of the text stands at its place.
    bold : bool
        Whether it is semibold.
    halo : str
        Colour of a rim that parts it from the lines behind; empty for none.
    """

    size: float
    colour: str
    anchor: Anchor = "start"
    bold: bool = False
    halo: str = ""


@dataclass(frozen=True)
class Element:
    """One SVG element with its attributes and children."""

    tag: str
    attributes: Mapping[str, str | float] = field(default_factory=dict)
    children: tuple[Element | str, ...] = ()

    def write(self) -> str:
        """Return the element as markup, names and texts escaped."""
        inside = "".join(
            escape(clean(child), quote=False) if isinstance(child, str) else child.write()
            for child in self.children
        )
        named = "".join(
            f' {name}="{escape(number(value) if isinstance(value, float) else clean(value))}"'
            for name, value in self.attributes.items()
        )
        return f"<{self.tag}{named}>{inside}</{self.tag}>" if inside else f"<{self.tag}{named}/>"


def clean(text: str) -> str:
    r"""Return a text without the characters that XML cannot hold.

    Examples
    --------
    >>> clean("oil\x00 gauge")
    'oil gauge'
    """
    return _NOT_XML.sub("", text)


def number(value: float) -> str:
    """Write a length [mm] in units of the drawing: no closing zeros, no minus zero.

    Raises
    ------
    BugError
        For NaN and infinity, which no drawing may contain.

    Examples
    --------
    >>> number(12.50004), number(-0.0001), number(3.3333)
    ('250', '0', '66.67')
    """
    if not math.isfinite(value):
        raise BugError(f"a drawing cannot place {value}")
    text = f"{value * UNITS:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def group(name: str, children: Iterable[Element], title: str = "") -> Element:
    """Return a group called `name`, with a text for whoever cannot see it."""
    shown: list[Element | str] = [Element("title", {}, (title,))] if title else []
    return Element("g", {"id": name}, (*shown, *children))


def _stroke(pen: Pen | None) -> dict[str, str | float]:
    if pen is None:
        return {}
    found: dict[str, str | float] = {"stroke": pen.colour, "stroke-width": pen.width}
    if pen.dash:
        found["stroke-dasharray"] = ",".join(number(length) for length in pen.dash)
    if pen.round:
        found |= {"stroke-linecap": "round", "stroke-linejoin": "round"}
    return found


def _id(name: str) -> dict[str, str | float]:
    return {"id": name} if name else {}


def line(start: Point, end: Point, pen: Pen, name: str = "") -> Element:
    """Return a straight line between two places [mm]."""
    (x1, y1), (x2, y2) = start, end
    ends: dict[str, str | float] = {"x1": x1, "y1": y1, "x2": x2, "y2": y2}
    return Element("line", {**_id(name), **ends, **_stroke(pen)})


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def polyline(points: Sequence[Point], pen: Pen, name: str = "") -> Element:
    """Return an open line through places [mm]."""
    shape: dict[str, str | float] = {"points": _points(points), "fill": "none"}
    return Element("polyline", {**_id(name), **shape, **_stroke(pen)})


def polygon(points: Sequence[Point], fill: str, pen: Pen | None = None, name: str = "") -> Element:
    """Return a closed shape through places [mm]."""
    shape: dict[str, str | float] = {"points": _points(points), "fill": fill}
    return Element("polygon", {**_id(name), **shape, **_stroke(pen)})


def path(steps: str, fill: str = "none", pen: Pen | None = None, name: str = "") -> Element:
    """Return a path of SVG steps."""
    return Element("path", {**_id(name), "d": steps, "fill": fill, **_stroke(pen)})


def rectangle(
    corner: Point, opposite: Point, fill: str, pen: Pen | None = None, name: str = ""
) -> Element:
    """Return the upright rectangle between two corners [mm], in any order."""
    (x1, y1), (x2, y2) = corner, opposite
    shape: dict[str, str | float] = {
        "x": min(x1, x2),
        "y": min(y1, y2),
        "width": abs(x2 - x1),
        "height": abs(y2 - y1),
        "fill": fill,
    }
    return Element("rect", {**_id(name), **shape, **_stroke(pen)})


def circle(centre: Point, radius: float, fill: str, pen: Pen | None = None) -> Element:
    """Return a circle about a place [mm]."""
    shape: dict[str, str | float] = {"cx": centre[0], "cy": centre[1], "r": radius, "fill": fill}
    return Element("circle", {**shape, **_stroke(pen)})


def text(at: Point, words: str, kind: Type, name: str = "") -> Element:
    """Return a text whose figures are centred on the height of `at` [mm]."""
    if kind.halo:
        rim = Pen(kind.halo, 0.28 * kind.size, round=True)
        behind = _text(at, words, replace(kind, colour=kind.halo), "", rim)
        return Element("g", {}, (behind, _text(at, words, kind, name, None)))
    return _text(at, words, kind, name, None)


def _text(at: Point, words: str, kind: Type, name: str, rim: Pen | None) -> Element:
    attributes: dict[str, str | float] = {
        **_id(name),
        "x": at[0],
        "y": at[1] + CAP_HEIGHT / 2.0 * kind.size,
        "font-family": FONT,
        "font-size": round(kind.size * UNITS) / UNITS,
        "fill": kind.colour,
        **_stroke(rim),
    }
    if kind.anchor != "start":
        attributes["text-anchor"] = kind.anchor
    if kind.bold:
        attributes["font-weight"] = "600"
    return Element("text", attributes, (words,))


def document(size_mm: Point, title: str, desc: str, children: Iterable[Element]) -> str:
    """Return a whole SVG document, `size_mm` wide and high, with its text for the blind."""
    width, height = size_mm
    head = (Element("title", {}, (title,)), Element("desc", {}, (desc,)))
    attributes: dict[str, str | float] = {
        "xmlns": "http://www.w3.org/2000/svg",
        "version": "1.2",
        "baseProfile": "tiny",
        "width": f"{width:g}mm",
        "height": f"{height:g}mm",
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "role": "img",
    }
    return Element("svg", attributes, (*head, *children)).write()
