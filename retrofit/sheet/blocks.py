"""What a sheet is made of: sections of blocks, finished texts in them, no layout.

Paper and screen lay the same blocks out; neither works anything out nor words anything.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from retrofit.drawing.look import Drawing
from retrofit.plan.checks.check import Verdict

Side = Literal["left", "right"]


@dataclass(frozen=True)
class Facts:
    """Named facts, one below the other.

    Attributes
    ----------
    rows : tuple of (str, str)
        Name and fact.
    headed : bool
        Whether the first row names what all are about.
    """

    rows: tuple[tuple[str, str], ...]
    headed: bool = False


@dataclass(frozen=True)
class Grid:
    """A table.

    Attributes
    ----------
    caption : str
        What it tells, for whoever cannot see it.
    heads : tuple of str
        Headings of its columns.
    rows : tuple of tuple of str
        Its cells, as many a row as there are headings; the first one names the row.
    sides : tuple of str
        On which side each column stands.
    shares : tuple of int
        How the columns share the width that those of share 0 leave; empty: the first takes it.
    boxes : bool
        Whether its empty cells are there to be filled in by hand.
    """

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sides: tuple[Side, ...]
    shares: tuple[int, ...] = ()
    boxes: bool = False


@dataclass(frozen=True)
class Bullets:
    """Sentences, each on its own."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Prose:
    """A paragraph."""

    text: str


@dataclass(frozen=True)
class Verdicts:
    """Checks: the verdict, its word, what it is and why."""

    items: tuple[tuple[Verdict, str, str, str], ...]


@dataclass(frozen=True)
class Pictures:
    """Drawings side by side."""

    drawings: tuple[Drawing, ...]


Block = Facts | Grid | Bullets | Prose | Verdicts | Pictures


@dataclass(frozen=True)
class Section:
    """One part of a sheet.

    Attributes
    ----------
    name : str
        Which one, for links.
    title : str
        Its heading.
    blocks : tuple of Block
        What stands in it.
    small : bool
        Whether it is small print.
    whole : bool
        Whether it is kept on one page, where a page can hold it.
    """

    name: str
    title: str
    blocks: tuple[Block, ...]
    small: bool = False
    whole: bool = False


@dataclass(frozen=True)
class Sheet:
    """All that is printed of one pairing.

    Attributes
    ----------
    title, subtitle : str
        Name of the plan; which pairing of what.
    verdict : (Verdict, str)
        The worst of all checks, and its word.
    conclusion : tuple of str
        What that means and what to do, a line or two.
    key : tuple of (Verdict, str)
        What the four signs mean.
    made : str
        With which version, and when.
    day : str
        The day alone, as 2031-05-24.
    sections : tuple of Section
        In the order of reading.
    """

    title: str
    subtitle: str
    verdict: tuple[Verdict, str]
    conclusion: tuple[str, ...]
    key: tuple[tuple[Verdict, str], ...]
    made: str
    day: str
    sections: tuple[Section, ...]

    def section(self, name: str) -> Section:
        """Return a section by name."""
        (found,) = [one for one in self.sections if one.name == name]
        return found
