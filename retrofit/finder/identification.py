"""What comes of identifying a part: keys, SI values and messages, nothing rendered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from catalog.message import Message, SiValue

Found = Literal["identified", "several", "none"]


@dataclass(frozen=True)
class Expected:
    """What a class would give, or show, at one place.

    Attributes
    ----------
    key : str
        Key of the class.
    value : SiValue
        Expected reading; NaN where the class says nothing.
    low, high : float
        95 % of what it may be, tolerance and errors counted [SI].
    """

    key: str
    value: SiValue
    low: float
    high: float


@dataclass(frozen=True)
class SeenBeside:
    """One reading beside what a class gives there.

    Attributes
    ----------
    at : SiValue
        Value at which it was taken, or the test resistor; +inf Ω is the open lead.
    seen : SiValue
        What was read; ±inf for a needle at an end of its scale.
    expected : Expected
        What the class gives there.
    off : float
        How far the reading is from it [standard deviations]; NaN where that can't be said.
    doubt : float
        How likely this reading is wrong, if the class is right [1].
    """

    at: SiValue
    seen: SiValue
    expected: Expected
    off: float
    doubt: float


@dataclass(frozen=True)
class RankedClass:
    """One class with how likely it is.

    Attributes
    ----------
    key, name : str
        The class.
    share : float
        Its posterior probability [1].
    beside : tuple of SeenBeside
        Each reading beside what the class gives.
    swapped : pair of int or None
        Readings that look swapped if the class is right, counted from 1.
    leads : bool
        Whether it leads, alone or with others that no measurement tells from it.
    """

    key: str
    name: str
    share: float
    beside: tuple[SeenBeside, ...]
    swapped: tuple[int, int] | None
    leads: bool


@dataclass(frozen=True)
class NextMeasurement:
    """The single measurement that would tell most.

    Attributes
    ----------
    at : SiValue
        Value at which to measure, or the test resistor to put in the sender's place.
    bits : float
        What it is expected to tell about the class [bit].
    expected : tuple of Expected
        What each class that is left would give there, likeliest first.
    """

    at: SiValue
    bits: float
    expected: tuple[Expected, ...]


@dataclass(frozen=True)
class Identification:
    """What comes of it.

    Attributes
    ----------
    found : str
        "identified": one class, or several that no measurement tells apart; "several": more
        readings are needed; "none": none of these.
    ranked : tuple of RankedClass
        Likeliest first, at most `MOST_SHOWN`.
    unlisted : float
        How likely the part is of a class that is not listed [1].
    telling : NextMeasurement or None
        None where it would tell nothing or the leading classes are not of one quantity.
    says : tuple of Message
        The answer in sentences, what looks wrong with the readings included.
    assumed : tuple of Message
        What was taken for granted.
    cautions : tuple of Message
        What can hurt someone at the next measurement.
    left_out : tuple of str
        Keys of parts that could not be compared: they give something else, or no curve.
    """

    found: Found
    ranked: tuple[RankedClass, ...]
    unlisted: float
    telling: NextMeasurement | None
    says: tuple[Message, ...]
    assumed: tuple[Message, ...]
    cautions: tuple[Message, ...]
    left_out: tuple[str, ...]

    @property
    def leading(self) -> tuple[str, ...]:
        """Keys of the class that leads and of those that no measurement tells from it."""
        return tuple(one.key for one in self.ranked if one.leads)
