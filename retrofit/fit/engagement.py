"""How many turns of a pair hold, against the rule of common practice."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import BugError, user_error
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.fit.thread_fit import LEAST_TURNS, ThreadFit
from retrofit.fit.verdict import COMMON, FitCheck, Verdict

FEW_TURNS = 3.0
"""Turns below which a parallel joint carries nothing (common practice, no source)."""

WRENCH_TURNS = 1.5
"""Turns with a wrench that a taper joint needs beyond hand-tight, 1.5 to 3 (common practice, no
source; ASME B1.20.1 gives 3 threads for L3)."""


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


@dataclass(frozen=True)
class Engagement:
    """How many turns hold.

    Attributes
    ----------
    length : float
        Engaged length [m]; NaN where a length is unknown.
    turns : float
        In turns; NaN where a length is unknown.
    needed : float
        Turns by the rule.
    check : FitCheck
        The verdict.
    """

    length: float
    turns: float
    needed: float
    check: FitCheck


def engagement(fit: ThreadFit, male_length: float | None, female_depth: float | None) -> Engagement:
    """Return how many turns of a pair hold, against the rule.

    A parallel joint needs `LEAST_TURNS`; a taper one its hand-tight turns and `WRENCH_TURNS` more
    before the male meets the bottom of the hole or runs out of thread (common practice, no source).

    Parameters
    ----------
    fit : ThreadFit
        The pair; it must go.
    male_length, female_depth : float or None
        Threaded lengths [m], positive; None where nobody measured.

    Raises
    ------
    UserError
        For a length that is not above zero.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> from retrofit.fit.thread_fit import thread_fit
    >>> pair = thread_fit(thread("m10x1"), thread("m10x1"))
    >>> round(engagement(pair, 8e-3, 12e-3).turns, 6)
    8.0
    """
    if not fit.goes:
        raise BugError(f"{fit.male.key} does not go into {fit.female.key}")
    for name, length in (("male", male_length), ("female", female_depth)):
        if length is not None and not (math.isfinite(length) and length > 0.0):
            raise user_error("engagement.length", part=name, length=_length(length))
    pitch = fit.female.pitch
    taper = fit.male.taper > 0.0
    needed = fit.basic.turns + WRENCH_TURNS if taper else LEAST_TURNS
    if male_length is None and taper:
        male_length = fit.male.useful_length
    if male_length is None or female_depth is None:
        which = "female" if male_length is not None else "male"
        says = message("engagement.unknown")
        why = message("engagement.measure", part=which, needed=_length(needed * pitch))
        return Engagement(
            math.nan,
            math.nan,
            needed,
            FitCheck("engagement", "unknown", says, why, None, None, COMMON, "thread_length"),
        )
    length = min(male_length, female_depth)
    turns = length / pitch
    few = fit.basic.turns if taper else FEW_TURNS
    verdict: Verdict
    if turns >= needed - 1e-6:
        verdict = "good"
    else:
        verdict = "caution" if turns >= few - 1e-6 else "stop"
    says = message("engagement.turns", turns=round(turns, 1), length=_length(length))
    key = "engagement.enough" if verdict == "good" else "engagement.short"
    why = message(key, needed=round(needed, 1), length=_length(needed * pitch))
    check = FitCheck(
        "engagement",
        verdict,
        says,
        why,
        _length(length),
        _length(needed * pitch),
        COMMON,
        "thread_length",
    )
    return Engagement(length, turns, needed, check)
