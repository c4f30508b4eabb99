"""What a check is, and what all checks look at."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from typing import Literal

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, SiValue, message
from catalog.provenance import Basis, BasisKind
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.mark_readings import MarkReading
from retrofit.plan.shifts import Moved, Moves, hardest_at, hardest_move
from retrofit.plan.spread import Spread
from retrofit.reading import Band, Needle, Reading

Step = Literal["duty", "gauge", "sender", "trim", "fit", "wiring"]


class Verdict(Enum):
    """The answer of a check, worst first."""

    STOP = "stop"
    CAUTION = "caution"
    UNKNOWN = "unknown"
    GOOD = "good"


SEVERITY = {verdict: order for order, verdict in enumerate(Verdict)}

READABLE = 0.002
"""Share of the dial's scale that nobody can read off a needle (assumed)."""

SMALL = 1.0 / 3.0
"""Share of the allowed error that one effect may take and still be called good (assumed)."""

ROUNDING = 1.0 + 1e-9
"""A number equal to its limit, but for rounding, is within it."""

COMPUTED = Basis(BasisKind.UNSTATED, "computed from the parts of this plan")
COMMON = Basis(BasisKind.COMMON_PRACTICE)


@dataclass(frozen=True)
class Check:
    """One question with its answer.

    Attributes
    ----------
    name : str
        Which question: "signal", "range", "direction", "mark", "flatters", "dial", "supply",
        "curve", "coils", "earth", "stations", "controller", "power", "current", "wiper", "tests",
        "wires", "offset", "cranking", "lamp", "second", "alone", "polarity", "copper", "spread"; of
        the fit those of ``retrofit.fit.verdict.FitCheck``.
    verdict : Verdict
        The answer.
    says, why : Message
        What it is, then why.
    number, limit : SiValue or None
        The number that was judged and its limit.
    basis : Basis
        What the judgement rests on.
    step, field : str
        Where the plan is mended: the step of the work and the field of its part.
    mark : str
        Name of the mark it is about, if it is about one.
    moved : Moved or None
        Where the number is a move of the needle: at which value, without and with its cause.
    """

    name: str
    verdict: Verdict
    says: Message
    why: Message
    number: SiValue | None = None
    limit: SiValue | None = None
    basis: Basis = COMPUTED
    step: Step = "sender"
    field: str = ""
    mark: str = ""
    moved: Moved | None = None


def judged(size: float, allowed: float, beyond: Verdict) -> Verdict:
    """Return how one effect is judged against the allowed error; `beyond` where it is larger."""
    if size <= SMALL * allowed * ROUNDING:
        return Verdict.GOOD
    return Verdict.CAUTION if size <= allowed * ROUNDING else beyond


@dataclass(frozen=True)
class Effect:
    """How one effect on the needle is judged.

    Attributes
    ----------
    verdict : Verdict
        ``good`` up to a third of what is allowed, ``caution`` up to all of it, then ``stop``.
    shift, limit : SiValue or None
        The move with its sign where it matters most, and what is allowed there.
    moved : Moved or None
        At which value that is, and what is shown without and with it.
    """

    verdict: Verdict
    shift: SiValue | None
    limit: SiValue | None
    moved: Moved | None = None

    def why(self, check: str) -> Message:
        """Return the reason of a check that has the texts ``.good`` and ``.mend`` for it."""
        if self.limit is None:
            return message("check.mark.nothing_allowed")
        key = "good" if self.verdict is Verdict.GOOD else "mend"
        return message(f"check.{check}.{key}", limit=self.limit)


@dataclass(frozen=True)
class Facts:
    """All that the checks look at.

    Attributes
    ----------
    duty : Duty
        What has to be read.
    pairing : Pairing
        The parts, the trim and what they hang on.
    needle : Needle or Message
        What moves, or why nobody can tell.
    reading : Reading or None
        The reading curve; None where nobody can tell.
    band : Band or None
        The band 'shape unknown' of the curve.
    marks : tuple of MarkReading
        Readings at the marks; empty where nobody can tell.
    spread : Spread or None
        The worst-case band of the curve; None where nobody can tell a reading.
    """

    duty: Duty
    pairing: Pairing
    needle: Needle | Message
    reading: Reading | None
    band: Band | None
    marks: tuple[MarkReading, ...]
    spread: Spread | None = None

    def value(self, si: float) -> SiValue:
        """Return a value of the quantity that is read, for a message."""
        return SiValue(si, self.duty.kind)

    def apart(self, si: float) -> SiValue:
        """Return a difference of two such values, for a message."""
        return SiValue(si, difference(self.duty.kind))

    @property
    def unread(self) -> float:
        """Difference that nobody can read off this dial [SI difference]."""
        gauge, kind = self.pairing.gauge, self.duty.kind
        return READABLE * (gauge.high.si(kind) - gauge.low.si(kind))

    def hardest(self, moves: Array) -> tuple[float, float] | None:
        """Return the move that takes the largest share of what is allowed, and what is allowed.

        Parameters
        ----------
        moves : array, shape (POINTS + marks,)
            Moves of the needle over the range, then at the marks [SI difference], signed.

        Returns
        -------
        (float, float) or None
            [SI difference]; None where no move is known, or nobody said how large an error is
            allowed over the range or at a mark.
        """
        return hardest_move(self.duty, moves)

    def effect(self, moves: Array) -> Effect:
        """Return how one effect on the needle is judged, at the value where it matters most.

        Parameters
        ----------
        moves : array, shape (POINTS + marks,)
            Moves of the needle over the range, then at the marks [SI difference], signed.

        Returns
        -------
        Effect
            ``unknown`` where no move is known or nobody said what is allowed.
        """
        return self._effect(moves)[0]

    def _effect(self, moves: Array) -> tuple[Effect, int]:
        """Return how an effect is judged, and at which of its values; 0 where no move is known."""
        known = np.isfinite(moves)
        if not np.any(known):
            return Effect(Verdict.UNKNOWN, None, None), 0
        worst = hardest_at(self.duty, moves)
        if worst is None:
            n = int(np.argmax(np.where(known, np.abs(moves), -1.0)))
            return Effect(Verdict.UNKNOWN, self.apart(float(moves[n])), None), n
        n, allowed = worst
        verdict = judged(abs(moves[n]), allowed, beyond=Verdict.STOP)
        return Effect(verdict, self.apart(float(moves[n])), self.apart(allowed)), n

    def moved(self, moves: Moves) -> Effect:
        """Return how a move of the needle is judged, with the value where it matters most."""
        effect, n = self._effect(moves.size)
        if effect.shift is None:
            return effect
        x, before, after = (float(each[n]) for each in (moves.x, moves.before, moves.after))
        return replace(effect, moved=Moved(x, before, after, moves.on))

    def told(self, effect: Effect) -> dict[str, SiValue]:
        """Return a move of the needle and the value where it matters most, for a message."""
        assert effect.shift is not None
        assert effect.moved is not None
        return {"shift": effect.shift, "at": self.value(effect.moved.at)}

    def signal(self, value: float) -> SiValue:
        """Return an output of the sender, for a message."""
        return SiValue(value, self.pairing.sender.signal or Kind.RESISTANCE)
