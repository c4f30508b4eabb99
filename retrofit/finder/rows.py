"""What is tried, what came of it, and what could not be tried: plain frozen records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from catalog.arrays import Array
from catalog.message import Message
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from retrofit.plan.document import Pairing
from retrofit.trim.answer import Trim

Way = Literal["senders", "gauges", "pairs"]
"""Senders for a gauge, gauges for a sender, or both for a duty."""

ReasonKind = Literal[
    "quantity", "filter", "controller", "tests", "supply", "curve", "signal", "direction", "range",
    "scale", "unjudged", "unreachable",
]  # fmt: skip
"""Why a candidate is left out, short."""

CURVE_POINTS = 21
"""Equal steps of the range at which the small error curve of a row is known."""


@dataclass(frozen=True)
class Candidate:
    """One gauge with one sender.

    Attributes
    ----------
    key : str
        Key of the part that is tried; of pairs both, the gauge's first, joined by " + ".
    gauge, sender : Gauge, Sender
        The parts.
    """

    key: str
    gauge: Gauge
    sender: Sender


def candidates(
    pairing: Pairing, way: Way, senders: Sequence[Sender], gauges: Sequence[Gauge]
) -> tuple[Candidate, ...]:
    """Return all that can be tried, in the order of the parts.

    Parameters
    ----------
    pairing : Pairing
        The pairing whose gauge or sender stays.
    way : str
        What is looked for.
    senders, gauges : sequence of Sender, of Gauge
        The parts to choose from; those for another quantity are told apart later.
    """
    if way == "senders":
        return tuple(Candidate(one.key, pairing.gauge, one) for one in senders)
    if way == "gauges":
        return tuple(Candidate(one.key, one, pairing.sender) for one in gauges)
    return tuple(
        Candidate(f"{gauge.key} + {sender.key}", gauge, sender)
        for gauge in gauges
        for sender in senders
    )


@dataclass(frozen=True, eq=False)
class Fit:
    """A trim and what the needle does with it.

    Attributes
    ----------
    trim : Trim
        The resistors.
    worst : float
        Worst |error| over the allowed one [1] at `CURVE_POINTS` steps of the range and the
        marks, stops ignored.
    errors : array, shape (CURVE_POINTS,)
        Needle error over the range [SI difference], held by the stops; NaN where the sender is
        not known.
    flatters : tuple of str
        Marks at which it hides danger by more than a small effect.
    """

    trim: Trim
    worst: float
    errors: Array
    flatters: tuple[str, ...]

    @property
    def parts(self) -> int:
        """Number of resistors."""
        return len(self.trim.resistors)


@dataclass(frozen=True, eq=False)
class Row:
    """A candidate with its trim, exact.

    Attributes
    ----------
    candidate : Candidate
        What was tried.
    best : Fit
        The best trim of up to so many resistors: none beats it, and it ranks the candidate.
    lead : Fit
        The fewest resistors that are no worse than the best with its parts anywhere within
        their tolerance, or err less than a third of what is allowed: what to fit.
    band : float or None
        Likely band of the needle over the allowed error [1]; None while nobody worked it out.
    """

    candidate: Candidate
    best: Fit
    lead: Fit
    band: float | None = None

    @property
    def key(self) -> str:
        """Key of the candidate."""
        return self.candidate.key


@dataclass(frozen=True)
class Bounded:
    """A candidate that is not solved yet.

    Attributes
    ----------
    candidate : Candidate
        What will be tried.
    at_least : float
        What no trim of it can beat [1], proven.
    """

    candidate: Candidate
    at_least: float


@dataclass(frozen=True)
class Excluded:
    """A candidate that is left out, with the reason.

    Attributes
    ----------
    candidate : Candidate
        What was left out.
    kind : str
        The reason, short, for counting.
    why : Message
        The reason in a sentence.
    """

    candidate: Candidate
    kind: ReasonKind
    why: Message


Solution = Row | Excluded
"""What becomes of a candidate that was tried."""
