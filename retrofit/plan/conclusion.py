"""What the verdict means and what to do, in a line or two; all of it taken from the assessment."""

from __future__ import annotations

import math
from collections.abc import Iterator

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import ROUNDING, Check, Verdict
from retrofit.plan.mark_readings import MarkReading, weightiest
from retrofit.plan.trim_words import ohms_by_place, trim_words
from retrofit.trim.proof import ProofOfNo

_OF_NEEDLE = ("mark", "flatters", "curve")
"""Checks that tell where the needle stands."""

_NO_CURE = (
    "law.cure.pull_up_unknown",
    "law.cure.no_pull_up",
    "law.cure.no_live_feed",
)
"""What a proof tells beside the cures, and is none itself."""

_CURES = 2


def conclusion_of(found: Assessment) -> tuple[Message, ...]:
    """Return what the verdict of a pairing means, what helps, and how much is still open.

    Parameters
    ----------
    found : Assessment
        Of the pairing.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_conclusion.py``.
    """
    return (*_means(found), *_helps(found), *_open(found))


def _means(found: Assessment) -> Iterator[Message]:
    checks = [one for one in found.checks if one.verdict is found.verdict]
    if found.verdict is Verdict.STOP:
        yield from _stops(found, checks)
    elif found.verdict is Verdict.CAUTION:
        yield _with_care(found, checks)
    elif found.verdict is Verdict.GOOD:
        yield message("conclusion.good")


def _stops(found: Assessment, checks: list[Check]) -> Iterator[Message]:
    mark = weightiest(found.marks)
    wrong = any(one.name in _OF_NEEDLE for one in checks)
    if wrong and mark is not None and _beyond(mark):
        side = mark.mark.flatters
        hides = side != "unknown" and mark.flattery(side) > 0.0
        kind = found.plan.duty.kind
        yield message(
            "conclusion.stop.hides" if hides else "conclusion.stop.wrong",
            mark=mark.mark.name,
            at=SiValue(mark.at, kind),
            shown=SiValue(mark.shown, kind),
        )
        checks = [one for one in checks if one.name not in _OF_NEEDLE]
        if checks:
            yield message("conclusion.besides", says=checks[0].says)
    elif checks:
        yield message("conclusion.stop.other", says=checks[0].says)


def _with_care(found: Assessment, checks: list[Check]) -> Message:
    """Return what asks for care: where the needle may stand, where that is the matter."""
    mark, kind = weightiest(found.marks), found.plan.duty.kind
    near = mark is not None and mark.allowed is not None and mark.worst > mark.allowed * ROUNDING
    if mark is None or not near or not any(one.name in _OF_NEEDLE for one in checks):
        return message("conclusion.caution", says=checks[0].says)
    return message(
        "conclusion.caution.mark",
        mark=mark.mark.name,
        at=SiValue(mark.at, kind),
        low=SiValue(mark.worst_low, kind),
        high=SiValue(mark.worst_high, kind),
        allowed=SiValue(mark.allowed or 0.0, difference(kind)),
    )


def _beyond(mark: MarkReading) -> bool:
    known = mark.allowed is not None and not math.isnan(mark.error)
    return known and abs(mark.error) > (mark.allowed or 0.0) * ROUNDING


def _helps(found: Assessment) -> Iterator[Message]:
    """Give what resistors can or cannot do, where the needle is wrong; else which are in it."""
    trim = found.pairing.trim
    wrong = any(one.name in _OF_NEEDLE and one.verdict is Verdict.STOP for one in found.checks)
    if trim:
        key = "conclusion.trim_wrong" if wrong else "conclusion.trim"
        yield message(key, trim=trim_words(ohms_by_place(trim)))
    if not wrong or found.pairing.gauge.signal is not Kind.RESISTANCE:
        return
    proof = found.proof_of_no
    if isinstance(proof, ProofOfNo):
        cures = [one for one in proof.cures if one.key not in _NO_CURE][:_CURES]
        if len(cures) == _CURES:
            yield message("conclusion.no_resistor", one=cures[0], two=cures[1])
        else:
            yield message("conclusion.no_resistor.plain")
    elif isinstance(proof, Message):
        yield message("conclusion.resistor_unknown", why=proof)
    elif not trim:
        yield message("conclusion.maybe_resistor")


def _open(found: Assessment) -> Iterator[Message]:
    count = sum(one.verdict is Verdict.UNKNOWN for one in found.checks)
    if count:
        only = found.verdict is Verdict.UNKNOWN
        number = "one" if count == 1 else "more"
        key = f"conclusion.unknown.{number}" if only else f"conclusion.open.{number}"
        yield message(key, count=count)
