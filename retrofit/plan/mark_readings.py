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


def least_sure(marks: tuple[MarkReading, ...]) -> MarkReading | None:
    """Return the mark with the widest worst-case band; None where no mark tells what is in it."""
    told = [mark for mark in marks if mark.shares]
    return max(told, key=lambda one: _width(one), default=None)


def _width(mark: MarkReading) -> float:
    width = mark.worst_high - mark.worst_low
    return 0.0 if math.isnan(width) else width


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
