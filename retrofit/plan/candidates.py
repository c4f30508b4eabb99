"""What a part would do in a plan: the same assessment, with that part put in.

A list of parts shows a candidate's verdict, its worst error and the shape of its error curve.
No number is made here: all come from ``retrofit.plan.assess``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.quantities.kinds import difference
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.checks.check import Check, Verdict
from retrofit.plan.document import Plan
from retrofit.plan.stages import POINTS

CURVE_POINTS = 41
"""Points of the small error curve, every fifth of the reading curve."""

_EVERY = (POINTS - 1) // (CURVE_POINTS - 1)

NEEDLE_CHECKS = frozenset(
    {"signal", "direction", "range", "mark", "flatters", "curve", "dial", "stations"}
)
"""Checks that tell one candidate from another; the rest hangs on the plan and is shown with it."""

_PAST_MENDING = frozenset({"signal", "direction"})
"""Checks whose ``stop`` no resistor mends: another kind of part is needed."""


_RANK = {Verdict.GOOD: 0, Verdict.CAUTION: 1, Verdict.STOP: 2, Verdict.UNKNOWN: 3}
"""What is known to be wrong stands before what nobody can tell: it can still be trimmed."""


@dataclass(frozen=True)
class Candidate:
    """What one part would do in a plan.

    Attributes
    ----------
    key : str
        Key of the part.
    verdict : Verdict
        The worst of the checks in `NEEDLE_CHECKS`.
    worst : SiValue
        Largest needle error either way over range and marks [SI difference]; NaN where nobody
        can tell any.
    at_least : bool
        Whether a stop holds the needle at some value of the range, so that it may err more.
    share : float
        Largest needle error over the error allowed there [1]; NaN where either is unknown.
    errors : tuple of float
        Needle error at `CURVE_POINTS` equal steps of the range [SI difference]; NaN where the
        sender is not known, empty where nobody can tell any.
    allowed : float or None
        Allowed error over the range [SI difference]; None where nobody said.
    says : Message
        The one sentence that tells most: the worst check, or how well it fits.
    hopeless : bool
        Whether it gives another signal, runs backwards or is made for another supply: no
        resistor mends that.
    """

    key: str
    verdict: Verdict
    worst: SiValue
    at_least: bool
    share: float
    errors: tuple[float, ...]
    allowed: float | None
    says: Message
    hopeless: bool = False

    @property
    def by_number(self) -> tuple[float, float]:
        """What sorts the smallest error first: over the allowed one, then by itself."""
        share = math.inf if math.isnan(self.share) else self.share
        size = math.inf if math.isnan(self.worst.value) else self.worst.value
        return share, size

    @property
    def order(self) -> tuple[bool, int, float, float]:
        """What sorts the best candidate first, what nothing mends last."""
        return self.hopeless, _RANK[self.verdict], *self.by_number


def rate(plan: Plan, label: str, part: Gauge | Sender) -> Candidate:
    """Return what a part would do in one pairing of a plan, its trim left as it is.

    Parameters
    ----------
    plan : Plan
        The plan; it is not changed.
    label : str
        Which pairing.
    part : Gauge or Sender
        What to put in, for the quantity of the plan.

    Raises
    ------
    UserError
        When no pairing has that label, or the part is for another quantity.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_candidates.py``.
    """
    pairing = plan.pairing(label)
    if isinstance(part, Gauge):
        pairing = replace(pairing, gauge=part, gauge_origin=None)
    else:
        pairing = replace(pairing, sender=part, sender_origin=None)
    return candidate_of(assess(replace(plan, pairings=(pairing,)), label), part.key)


def candidate_of(found: Assessment, key: str, telling: Check | None = None) -> Candidate:
    """Return what an assessment says of whatever was put in, short.

    Parameters
    ----------
    found : Assessment
        What was worked out with it in its place.
    key : str
        Key of what was put in.
    telling : Check, optional
        The check that tells most; the worst of `NEEDLE_CHECKS` when left out.
    """
    duty = found.plan.duty
    check = _telling(found) if telling is None else telling
    kind = difference(duty.kind)
    worst, share = _worst(found)
    held = found.reading is not None and bool(np.any(np.abs(found.reading.held) == 1.0))
    verdict, says = check.verdict, check.says
    if verdict is Verdict.GOOD and math.isnan(share):
        # Nobody said how much is allowed: no error is small or large then.
        unjudged = "candidate.unjudged_held" if held else "candidate.unjudged"
        verdict, says = Verdict.UNKNOWN, message(unjudged, worst=SiValue(worst, kind))
    elif verdict is Verdict.GOOD:
        good = "candidate.good_held" if held else "candidate.good"
        says = message(good, worst=SiValue(worst, kind))
    return Candidate(
        key,
        verdict,
        SiValue(worst, kind),
        held,
        share,
        _curve(found),
        duty.allowed_at(None),
        found.reason or says,
        _hopeless(found),
    )


def best_first(candidates: Sequence[Candidate]) -> list[Candidate]:
    """Return candidates with the best one first: by verdict, then by error over allowed error.

    Those that no resistor mends come last, whatever nobody said of the others.
    """
    return sorted(candidates, key=lambda candidate: candidate.order)


def _telling(found: Assessment) -> Check:
    """Return the worst of the checks that tell candidates apart; they come worst first."""
    names = NEEDLE_CHECKS if found.plan.duty.marks else NEEDLE_CHECKS - {"flatters"}
    # The wrong system stops a gauge whatever the needle would show.
    return next(
        check
        for check in found.checks
        if check.name in names or (check.name == "supply" and check.verdict is Verdict.STOP)
    )


def _hopeless(found: Assessment) -> bool:
    return any(
        check.verdict is Verdict.STOP
        and (check.name in _PAST_MENDING or check.says.key == "check.supply.system")
        for check in found.checks
    )


def _curve(found: Assessment) -> tuple[float, ...]:
    if found.reading is None:
        return ()
    low, high = found.plan.duty.span
    errors = found.reading.error[::_EVERY]
    # Rounding is no error: drawn at its own scale it would look like one.
    errors = np.where(np.abs(errors) < 1e-9 * (high - low), 0.0, errors)
    return tuple(float(error) for error in errors)


def _worst(found: Assessment) -> tuple[float, float]:
    """Return the largest error either way [SI difference], and over the allowed one [1]."""
    if found.reading is None:
        return math.nan, math.nan
    allowed = found.plan.duty.allowed_at(None)
    errors = [abs(float(error)) for error in found.reading.error]
    pairs = [(error, allowed) for error in errors]
    pairs += [(abs(mark.error), mark.allowed) for mark in found.marks]
    known = [(error, limit) for error, limit in pairs if not math.isnan(error)]
    shares = [error / limit for error, limit in known if limit is not None]
    worst = max((error for error, _ in known), default=math.nan)
    return worst, max(shares, default=math.nan)
