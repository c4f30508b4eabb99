"""The resistors of a trim and where each sits, and what the original gauge gave the sender."""

from dataclasses import dataclass
from typing import Literal

from catalog.parts.fields import AmpereFigure, Ohms, VoltFigure, Watts
from catalog.provenance import Tolerance

Place = Literal[
    "across sender", "series at sender", "signal to earth", "series at gauge", "pull-up"
]
"""Where a trim resistor sits, from the sender to the gauge; the pull-up goes from the gauge's
signal terminal to its supply."""

PLACES: tuple[Place, ...] = (
    "across sender",
    "series at sender",
    "signal to earth",
    "series at gauge",
    "pull-up",
)


@dataclass(frozen=True)
class TrimResistor:
    """One resistor of a trim.

    Attributes
    ----------
    place : str
        Where it sits; at most one resistor a place.
    value : Amount
        Its resistance, > 0 Ω; of a potentiometer the resistance to which it is set.
    tolerance : Tolerance or None
        None where nobody said.
    rating : Amount or None
        Watts that it may take.
    track : Amount or None
        Whole track of a potentiometer, its free end tied to the wiper; None: a fixed resistor.
    """

    place: Place
    value: Ohms
    tolerance: Tolerance | None = None
    rating: Watts | None = None
    track: Ohms | None = None


@dataclass(frozen=True)
class SenderLimits:
    """What the original gauge gave the sender, read at the sender's lead with no trim.

    In fuel nothing that is put in may give it more.

    Attributes
    ----------
    current : Figure or None
        Largest current through the sender, at its lowest ohms; None where nobody read it.
    open_volts : Figure or None
        Volts between the lead and earth, the lead off the sender.
    short_current : Figure or None
        Current from the lead through a meter to earth.
    supply : Figure or None
        Volts of the gauge's supply when they were read; None: the highest of the plan.
    """

    current: AmpereFigure | None = None
    open_volts: VoltFigure | None = None
    short_current: AmpereFigure | None = None
    supply: VoltFigure | None = None
