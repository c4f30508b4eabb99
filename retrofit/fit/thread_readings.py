"""What is read off a thread, each reading with its error, and readings that no thread can have."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import INCH, Gender

CALLIPER = 0.05e-3
"""Error of a calliper on a thread's crests, 95 % [m] (common practice, no source)."""

PITCH_ERROR = 0.015e-3
"""Error of a pitch found with a thread gauge or over several turns, 95 % [m] (common practice, no
source)."""

FITS = 3.0
"""Standard deviations within which a reading agrees with a thread (99.7 % of a normal law)."""

WORN = 0.5
"""Most that wear takes off the crests, on diameter, over the pitch (assumed): about a third of the
depth of the thread."""

STEEPEST = 1.0 / 8.0
"""Steepest taper on diameter that is read as a thread's: twice the 1:16 of the standards."""


@dataclass(frozen=True)
class Reading:
    """One reading with its error.

    Attributes
    ----------
    value : float
        [m].
    error : float
        Half width of its 95 % interval [m], above 0.
    """

    value: float
    error: float

    @property
    def deviation(self) -> float:
        """Standard uncertainty [m]."""
        return self.error / 2.0


def turns_per_inch(count: float, error: float | None = None) -> Reading:
    """Return the pitch of a thread gauge's turns per inch; the error is a reading's usual one.

    Examples
    --------
    >>> round(turns_per_inch(27.0).value * 1e3, 4)
    0.9407
    """
    pitch = INCH / count if count else math.nan
    return Reading(pitch, PITCH_ERROR if error is None else error)


@dataclass(frozen=True)
class Measured:
    """What was read off a thread.

    Attributes
    ----------
    gender : "male" or "female"
        Which part it is.
    diameter : Reading or None
        Over the crests: outside of a male at its tip, inside of a female at its mouth.
    second : Reading or None
        The same, `apart` further along the thread.
    apart : float
        Distance of the two [m], above 0 where there is a second.
    pitch : Reading or None
        Crest to crest along the axis.
    worn : bool
        Whether the crests may be worn: a male thinner, a female wider than its limits.
    """

    gender: Gender
    diameter: Reading | None = None
    second: Reading | None = None
    apart: float = 0.0
    pitch: Reading | None = None
    worn: bool = False


def impossible(read: Measured) -> list[Message]:
    """Return what no thread can be, each with the measurement to repeat; empty where sound."""
    found = []
    named = (("diameter", read.diameter), ("second", read.second), ("pitch", read.pitch))
    for name, reading in named:
        if reading is None:
            continue
        if not (math.isfinite(reading.value) and reading.value > 0.0):
            found.append(message("identity.not_positive", which=_named(name)))
        elif not (math.isfinite(reading.error) and reading.error > 0.0):
            found.append(message("identity.error", which=_named(name)))
    if read.second is not None and read.diameter is None:
        found.append(message("identity.second_alone"))
    if read.second is not None and not read.apart > 0.0:
        found.append(message("identity.apart"))
    if found:
        return found
    if read.diameter is None and read.pitch is None:
        return [message("identity.nothing")]
    return _misshapen(read)


def _misshapen(read: Measured) -> list[Message]:
    found = []
    if read.diameter is not None and read.pitch is not None:
        coarsest = read.diameter.value / 3.0
        if read.pitch.value > coarsest:
            found.append(
                message(
                    "identity.coarse",
                    pitch=_length(read.pitch.value),
                    diameter=_length(read.diameter.value),
                )
            )
    if read.diameter is not None and read.second is not None:
        grown = read.second.value - read.diameter.value
        grown = grown if read.gender == "male" else -grown
        unsure = FITS * math.hypot(read.diameter.deviation, read.second.deviation)
        if grown < -unsure:
            found.append(message(f"identity.reversed_{read.gender}"))
        elif grown - unsure > STEEPEST * read.apart:
            found.append(message("identity.steep", grown=_length(grown), apart=_length(read.apart)))
    return found


def _named(which: str) -> Message:
    return message(f"identity.{which}")


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)
