"""What a check is, and what all checks look at."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Literal

from catalog.message import Message, SiValue
from catalog.provenance import Basis, BasisKind
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.stages import MarkReading
from retrofit.reading import Band, Needle, Reading

Step = Literal["duty", "gauge", "sender", "trim", "wiring"]


class Verdict(Enum):
    """The answer of a check, worst first."""

    STOP = "stop"
    CAUTION = "caution"
    UNKNOWN = "unknown"
    GOOD = "good"


SEVERITY = {verdict: order for order, verdict in enumerate(Verdict)}

COMPUTED = Basis(BasisKind.UNSTATED, "computed from the parts of this plan")
COMMON = Basis(BasisKind.COMMON_PRACTICE)


@dataclass(frozen=True)
class Check:
    """One question with its answer.

    Attributes
    ----------
    name : str
        Which question: "signal", "range", "direction", "mark", "flatters", "dial", "supply",
        "coils", "stations", "controller".
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
    """

    duty: Duty
    pairing: Pairing
    needle: Needle | Message
    reading: Reading | None
    band: Band | None
    marks: tuple[MarkReading, ...]

    def value(self, si: float) -> SiValue:
        """Return a value of the quantity that is read, for a message."""
        return SiValue(si, self.duty.kind)

    def apart(self, si: float) -> SiValue:
        """Return a difference of two such values, for a message."""
        return SiValue(si, difference(self.duty.kind))

    def signal(self, value: float) -> SiValue:
        """Return an output of the sender, for a message."""
        return SiValue(value, self.pairing.sender.signal or Kind.RESISTANCE)
