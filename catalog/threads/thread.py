"""What a thread is: form, pitch, taper, and the diameters of male and female with their limits.

All lengths are metres. A taper thread's diameters are those where it starts: the male's at its
small end, the female's at its face. It must not know which standards there are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from catalog.provenance import Basis

INCH = 0.0254

Gender = Literal["male", "female"]
Series = Literal["G", "R", "Rc", "Rp", "NPT", "M", "UNF", "UNC"]
Size = Literal["low", "middle", "basic", "high"]


@dataclass(frozen=True)
class Form:
    """The axial section of a thread, its flanks straight, in shares of the pitch.

    Attributes
    ----------
    name : str
        "Whitworth 55°", "ISO 60°", "unified 60°" or "NPT 60°".
    flank_angle : float
        Angle between the flanks [rad].
    crest : float
        Major less pitch diameter, over the pitch.
    female_minor, male_root : float
        Pitch diameter less minor diameter of the female and less root diameter of the male,
        over the pitch.
    basis : Basis
        Where the shares come from.
    """

    name: str
    flank_angle: float
    crest: float
    female_minor: float
    male_root: float
    basis: Basis

    @property
    def triangle(self) -> float:
        """Height of the sharp triangle over the pitch."""
        return 0.5 / self.half_tangent

    @property
    def half_tangent(self) -> float:
        """Tangent of half the flank angle."""
        return math.tan(self.flank_angle / 2.0)

    @property
    def depth(self) -> float:
        """Radial depth that flanks of a sound pair share, over the pitch."""
        return (self.crest + self.female_minor) / 2.0


@dataclass(frozen=True)
class Span:
    """One diameter: basic size and limits.

    Attributes
    ----------
    low, basic, high : float
        [m], in this order (a male's highest size may lie below its basic size).
    basis : Basis
        Where the limits come from.

    Examples
    --------
    >>> from catalog.provenance import UNSTATED
    >>> Span(8.0, 10.0, 9.0, UNSTATED).at("middle")
    8.5
    """

    low: float
    basic: float
    high: float
    basis: Basis

    def at(self, size: Size) -> float:
        """Return one of its sizes [m]; "middle" lies halfway between the limits.

        A metric or unified male cannot have its basic size: its limits lie below it.
        """
        return self.middle if size == "middle" else float(getattr(self, size))

    @property
    def middle(self) -> float:
        """Halfway between the limits [m]."""
        return (self.low + self.high) / 2.0


@dataclass(frozen=True)
class Diameters:
    """Major, pitch and minor (the male's root) diameter where the thread starts."""

    major: Span
    pitch: Span
    minor: Span


@dataclass(frozen=True)
class Drill:
    """A drill before the tap.

    Attributes
    ----------
    diameter : float
        [m].
    note : str
        Its trade name, or that a taper reamer follows.
    basis : Basis
        Where it comes from; drills of taper threads differ from source to source.
    """

    diameter: float
    note: str
    basis: Basis


@dataclass(frozen=True)
class Thread:
    """One thread of a standard.

    Attributes
    ----------
    key : str
        For files: "g-1-8", "npt-1-8", "m10x1", "unf-3-8-24".
    designation : str
        As the standard writes it: "G 1/8", "1/8-27 NPT", "M10x1".
    standard : str
        Its number and year.
    series : str
        Family within the standards.
    form : Form
        Its axial section.
    pitch : float
        [m].
    taper : float
        Growth of the diameters along the axis, 1/16 or 0.
    male, female : Diameters or None
        None where the standard has no such part (R is a male, Rc and Rp are females).
    gauge_length : float or None
        Small end of the male to the gauge plane [m], hand-tight engagement; None if parallel.
    useful_length : float or None
        Full threads of a taper male from its small end [m]; None if parallel.
    tolerance_turns : float
        Turns by which the gauge plane may lie either way; 0 if parallel.
    drills : tuple of Drill
        Drills before the tap; empty where none is known.
    grade : str
        Tolerance class, such as "B", "6g/6H", "2A/2B".
    basis, useful_length_basis : Basis
        Where the basic sizes, and the useful length, come from.
    """

    key: str
    designation: str
    standard: str
    series: Series
    form: Form
    pitch: float
    taper: float
    male: Diameters | None
    female: Diameters | None
    gauge_length: float | None
    useful_length: float | None
    tolerance_turns: float
    drills: tuple[Drill, ...]
    grade: str
    basis: Basis
    useful_length_basis: Basis | None = None

    @property
    def per_inch(self) -> float:
        """Turns in one inch."""
        return INCH / self.pitch

    def part(self, gender: Gender) -> Diameters | None:
        """Return the diameters of the male or the female; None where there is none."""
        return self.male if gender == "male" else self.female

    def at_gauge_plane(self, diameter: Span) -> float:
        """Return a diameter of the male, given at the small end, at the gauge plane [m]."""
        return diameter.basic + self.taper * (self.gauge_length or 0.0)
