"""What the needle shows at the marks that matter, computed there, with its bands."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from retrofit.plan.document import Duty, DutyMark, Side
from retrofit.plan.memo import staged
from retrofit.plan.spread import Likely, Share, Spread
from retrofit.plan.stages import held_side
from retrofit.reading import Needle, read


@dataclass(frozen=True)
class MarkReading:
    """What the needle shows at one mark that matters.

    Attributes
    ----------
    mark : DutyMark
        The mark.
    at : float
        True value [SI].
    ohms : float
        What the sender gives [Ω, V or A]; NaN where its curve is not known.
    shown : float
        What the needle shows [SI], held by its stops; NaN where not known.
    held : int
        −1 on the low stop, +1 on the high stop (the reading is "at least"), else 0.
    low, high : float
        Lowest and highest reading [SI] over the plausible shapes of both curves.
    allowed : float or None
        Allowed error [SI difference].
    worst_low, worst_high : float
        Ends of the worst-case band [SI]: everything off at once that was stated, shapes,
        friction and needle width included.
    likely_low, likely_high : float
        Ends of the likely band (95 %) [SI], the same included; NaN while it is not worked out.
    shares : tuple of Share
        What contributes to the band here, most first.
    """

    mark: DutyMark
    at: float
    ohms: float
    shown: float
    held: int
    low: float
    high: float
    allowed: float | None
    worst_low: float
    worst_high: float
    likely_low: float = math.nan
    likely_high: float = math.nan
    shares: tuple[Share, ...] = ()

    @property
    def error(self) -> float:
        """Needle error [SI difference]: shown − true."""
        return self.shown - self.at

    @property
    def moving(self) -> tuple[Share, ...]:
        """What moves the needle here at all when it alone goes to its limits, most first."""
        return tuple(one for one in self.shares if one.alone_low or one.alone_high)

    @property
    def worst(self) -> float:
        """Largest error either way [SI difference], everything counted; NaN if unknown."""
        gaps = abs(self.worst_low - self.at), abs(self.worst_high - self.at)
        return max(*gaps, abs(self.error))

    def flattery(self, side: Side) -> float:
        """Return how far the needle errs to `side` [SI difference], negative if it warns early."""
        return self.error if side == "high" else -self.error

    def worst_flattery(self, side: Side) -> float:
        """Return how far it may err to `side` [SI difference], everything counted."""
        return self.worst_high - self.at if side == "high" else self.at - self.worst_low


def weightiest(marks: tuple[MarkReading, ...]) -> MarkReading | None:
    """Return the mark where the error weighs most: where it hides danger first, None without one.

    Among marks that flatter the one that does by most of what is allowed there, then the one
    that errs by most of it; a mark whose reading nobody can tell weighs nothing.
    """
    told = [mark for mark in marks if not math.isnan(mark.error)]
    return max(told, key=lambda one: _weight(one), default=None)


def _weight(mark: MarkReading) -> tuple[float, float, float]:
    side, allowed = mark.mark.flatters, mark.allowed or 1.0
    flattery = 0.0 if side == "unknown" else max(mark.flattery(side), 0.0)
    worst = 0.0 if math.isnan(mark.worst) else mark.worst
    return flattery / allowed, abs(mark.error) / allowed, worst / allowed


@dataclass(frozen=True)
class Reach:
    """How far one thing alone moves the needle at a mark.

    Attributes
    ----------
    name : str
        A cause, "shape" (what the curves do between their known points), or "fixed", "friction"
        or "needle" (friction and width of the needle, as far as either was stated).
    low, high : float
        Moves of the needle down and up when it alone goes to its limits [SI difference].
    """

    name: str
    low: float
    high: float

    @property
    def size(self) -> float:
        """The larger of both [SI difference]."""
        return max(abs(self.low), abs(self.high))


def _fixed_name(spread: Spread) -> str:
    """Return what of friction and needle width is in a band."""
    missing = {one.key for one in spread.unstated}
    if "unstated.friction" in missing:
        return "needle"
    return "friction" if "unstated.needle" in missing else "fixed"


def reaches(mark: MarkReading, spread: Spread) -> tuple[Reach, ...]:
    """Return all that a band holds at a mark, shapes and friction included, farthest first."""
    found = [Reach(one.name, one.alone_low, one.alone_high) for one in mark.shares]
    found.append(Reach("shape", mark.low - mark.shown, mark.high - mark.shown))
    found.append(Reach(_fixed_name(spread), -spread.fixed, spread.fixed))
    told = [one for one in found if one.size > 0.0]
    return tuple(sorted(told, key=lambda one: -one.size))


@staged
def marks_of(
    needle: Needle, duty: Duty, spread: Spread, likely: Likely | None
) -> tuple[MarkReading, ...]:
    """Return the reading at each mark that matters, computed there and not interpolated."""
    if not duty.marks:
        return ()
    at = np.array([mark.at.si(duty.kind) for mark in duty.marks])
    there, band = read(needle, at), needle.band(at)
    return tuple(
        MarkReading(
            mark,
            float(at[i]),
            float(there.ohms[i]),
            float(there.shown[i]),
            held_side(float(there.held[i])),
            float(band.low[i]),
            float(band.high[i]),
            duty.allowed_at(mark),
            float(spread.at_marks.low[i]),
            float(spread.at_marks.high[i]),
            math.nan if likely is None else float(likely.at_marks.low[i]),
            math.nan if likely is None else float(likely.at_marks.high[i]),
            spread.shares[i],
        )
        for i, mark in enumerate(duty.marks)
    )
