"""What all drawings share: how the reader wants them, what they hand back, units of axes."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.message import Message
from catalog.quantities.kinds import Kind, Unit
from catalog.quantities.show import preferred, show
from retrofit.drawing.palette import Palette
from retrofit.messages import Renderer

SMALL, BODY = 2.75, 3.2
"""Sizes of type [mm]: 10.4 and 12.1 pixels at 96 to the inch, 7.8 and 9.1 points."""


@dataclass(frozen=True)
class Look:
    """How the reader wants drawings.

    Attributes
    ----------
    palette : Palette
        Colours of the theme.
    renderer : Renderer
        Language, units and decimal mark.
    """

    palette: Palette
    renderer: Renderer

    def say(self, words: Message) -> str:
        """Return a message as the reader's sentence."""
        return self.renderer.sentence(words)

    def unit(self, kind: Kind) -> Unit:
        """Return the reader's unit of a kind."""
        return preferred(kind, self.renderer.style)

    def figure(self, value: float, kind: Kind, step: float, *, sign: bool = False) -> str:
        """Return the number of a tick at `value` [SI], rounded to `step` [reader's unit]."""
        style = self.renderer.style
        return show(value, kind, style, step=step, sign=sign, unit=False)


@dataclass(frozen=True)
class Drawing:
    """A drawing of any kind.

    Attributes
    ----------
    svg : str
        The whole SVG document; it paints no ground, so it lies on any card or paper.
    width, height : float
        Size [mm].
    title, desc : str
        Accessible name and text; the document holds both as well.
    """

    svg: str
    width: float
    height: float
    title: str
    desc: str


def in_unit(value: float, unit: Unit) -> float:
    """Return an SI value as a number of the unit."""
    return (value - unit.offset) / unit.factor


def from_unit(number: float, unit: Unit) -> float:
    """Return a number of the unit as an SI value."""
    return number * unit.factor + unit.offset
