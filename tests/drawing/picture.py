"""Read a drawing back from its SVG alone, as somebody who looks at it would."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


@dataclass(frozen=True)
class Picture:
    """A parsed drawing; every place in millimetres."""

    svg: str

    @cached_property
    def root(self) -> ElementTree.Element:
        return ElementTree.fromstring(self.svg)

    @cached_property
    def unit(self) -> float:
        """Millimetres a unit of the drawing."""
        wide = float(self.root.attrib["width"].removesuffix("mm"))
        return wide / float(self.root.attrib["viewBox"].split()[2])

    def all(self, tag: str, within: str = "") -> list[ElementTree.Element]:
        start = self.named(within) if within else self.root
        return list(start.iter(SVG + tag))

    def named(self, name: str) -> ElementTree.Element:
        (found,) = [e for e in self.root.iter() if e.get("id") == name]
        return found

    def names(self, start: str) -> list[str]:
        ids = [e.get("id", "") for e in self.root.iter()]
        return [name for name in ids if re.fullmatch(start + r"-\d+", name)]

    def points(self, element: ElementTree.Element) -> list[Point]:
        pairs = (pair.split(",") for pair in element.attrib["points"].split())
        return [(float(x) * self.unit, float(y) * self.unit) for x, y in pairs]

    def length(self, element: ElementTree.Element, name: str) -> float:
        return float(element.attrib[name]) * self.unit

    def texts(self, within: str = "") -> list[str]:
        return ["".join(e.itertext()) for e in self.all("text", within)]

    def says(self, name: str) -> str:
        return "".join(self.named(name).itertext())
