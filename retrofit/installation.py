"""What stands between the two parts: supply, stabiliser, earth path and trims."""

from dataclasses import dataclass
from typing import Literal

from catalog.parts.fields import OhmFigure, Ohms, VoltFigure, Volts, Watts
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
        Its resistance, > 0 Ω.
    tolerance : Tolerance or None
        None where nobody said.
    rating : Amount or None
        Watts that it may take.
    """

    place: Place
    value: Ohms
    tolerance: Tolerance | None = None
    rating: Watts | None = None


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
