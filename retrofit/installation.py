"""What stands between the two parts: supply, stabiliser, earth path and trims."""

from dataclasses import dataclass
from typing import Literal

from catalog.parts.fields import AmpereFigure, OhmFigure, Ohms, VoltFigure, Volts, Watts
from catalog.provenance import Tolerance

YesNo = Literal["yes", "no", "unknown"]

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


@dataclass(frozen=True)
class Supply:
    """The supply of the gauge.

    Attributes
    ----------
    nominal : Amount
        Volts at which readings are given.
    low, high : Amount or None
        Range over which the needle should stay true; None where nobody said.
    """

    nominal: Volts
    low: Volts | None = None
    high: Volts | None = None


@dataclass(frozen=True)
class Stabiliser:
    """The instrument stabiliser between the supply and a heater gauge.

    Attributes
    ----------
    fitted : str
        Whether there is one.
    holds : str
        Which of its output it keeps: the "heat-equivalent" (root mean square) or the "mean",
        which a meter shows; "unknown" otherwise.
    output : Figure or None
        Volts that it holds; None: what the gauge is made for.
    """

    fitted: YesNo = "unknown"
    holds: Literal["heat-equivalent", "mean", "unknown"] = "unknown"
    output: VoltFigure | None = None


@dataclass(frozen=True)
class Installation:
    """What the pairing hangs on.

    Attributes
    ----------
    supply : Supply
        The gauge's supply.
    stabiliser : Stabiliser
        Matters for heaters only.
    sender_earth : Figure or None
        Ohms measured from the sender's body (or return) to battery negative; None is counted
        as nothing and said to be unmeasured.
    """

    supply: Supply
    stabiliser: Stabiliser = Stabiliser()
    sender_earth: OhmFigure | None = None
