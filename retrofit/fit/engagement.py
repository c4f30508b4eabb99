"""How many turns of a pair hold, and where a taper joint comes to rest.

A parallel male seats on its face. A taper one does not: it is turned hand-tight, then with a
wrench, and its hexagon stands proud of the port by what is left of its thread.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import BugError, user_error
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.fit.thread_fit import ThreadFit
from retrofit.fit.thread_states import LEAST_TURNS, WRENCH_TURNS
from retrofit.fit.verdict import COMMON, FitCheck, Verdict

FEW_TURNS = 3.0
"""Turns below which a parallel joint carries nothing (common practice, no source)."""


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


@dataclass(frozen=True)
class Rest:
    """Where a tightened joint comes to rest within its limits.

    Attributes
    ----------
    engaged : pair of float
        Least and most thread of the male inside the female [m]; inf of a parallel pair, which goes
        to its face.
    proud : pair of float
        Least and most distance between the two faces [m], 0 of a parallel pair; the most is inf
        where nobody measured a taper male.
    """

    engaged: tuple[float, float]
    proud: tuple[float, float]


def rest(fit: ThreadFit, male_length: float | None) -> Rest:
    """Return where a tightened joint comes to rest.

    Engaged at least hand-tight at the tightest limits and 1.5 turns with a wrench, at most
    hand-tight at the loosest and 3 turns (ASME B1.20.1: L1 + L3; ISO 7-1: gauge length and
    wrenching allowance); a washer's thickness is left out.

    Parameters
    ----------
    fit : ThreadFit
        The pair; it must go.
    male_length : float or None
        Threaded length of the male up to its face [m]; None where nobody measured.

    Returns
    -------
    Rest
        [m].

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> from retrofit.fit.thread_fit import thread_fit
    >>> pair = thread_fit(thread("npt-1-8"), thread("npt-1-8"))
    >>> [round(edge * 1e3, 1) for edge in rest(pair, 10e-3).proud]
    [1.2, 6.4]
    """
    if not fit.goes:
        raise BugError(f"{fit.male.key} does not go into {fit.female.key}")
    if not fit.male.taper:
        return Rest((math.inf, math.inf), (0.0, 0.0))
    pitch = fit.female.pitch
    least = (fit.tight.turns + WRENCH_TURNS[0]) * pitch
    most = (fit.loose.turns + WRENCH_TURNS[1]) * pitch
    if male_length is None:
        return Rest((least, most), (0.0, math.inf))
    proud = max(male_length - most, 0.0), max(male_length - least, 0.0)
    return Rest((min(least, male_length), min(most, male_length)), proud)


@dataclass(frozen=True)
class Engagement:
    """How many turns hold.

    Attributes
    ----------
    length : float
        Engaged length that there is room for [m]; NaN where a length is unknown.
    turns : float
        In turns; NaN where a length is unknown.
    needed : float
        Turns by the rule, at the loosest limits.
    check : FitCheck
        The verdict.
    """

    length: float
    turns: float
    needed: float
    check: FitCheck


def engagement(fit: ThreadFit, male_length: float | None, female_depth: float | None) -> Engagement:
    """Return how many turns of a pair hold, against the rule.

    A parallel joint needs `LEAST_TURNS`; a taper one its hand-tight turns at the loosest limits
    and the least `WRENCH_TURNS` more before the male meets the bottom of the hole or runs out of
    thread. No length is taken from a table: what nobody measured is unknown.

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
            part = message(f"engagement.{name}")
            raise user_error("engagement.length", part=part, length=_length(length))
    pitch, taper = fit.female.pitch, fit.male.taper > 0.0
    wrench = WRENCH_TURNS[0]
    needed = fit.loose.turns + wrench if taper else LEAST_TURNS
    if male_length is None or female_depth is None:
        which = message("engagement.female" if male_length is not None else "engagement.male")
        why = message("engagement.measure", part=which, needed=_length(needed * pitch))
        return _answer(math.nan, needed, pitch, "unknown", message("engagement.unknown"), why)
    length = min(male_length, female_depth)
    turns = length / pitch
    few = fit.tight.turns + wrench if taper else FEW_TURNS
    verdict: Verdict
    if turns >= needed - 1e-6:
        verdict = "good"
    else:
        verdict = "caution" if turns >= few - 1e-6 else "stop"
    says = message("engagement.turns", turns=round(turns, 1), length=_length(length))
    return _answer(length, needed, pitch, verdict, says, _why(fit, male_length, needed, verdict))


def _answer(
    length: float, needed: float, pitch: float, verdict: Verdict, says: Message, why: Message
) -> Engagement:
    number = None if math.isnan(length) else _length(length)
    limit = None if math.isnan(length) else _length(needed * pitch)
    check = FitCheck("engagement", verdict, says, why, number, limit, COMMON, "thread_length")
    return Engagement(length, length / pitch, needed, check)


def _why(fit: ThreadFit, male_length: float, needed: float, verdict: Verdict) -> Message:
    """Return the rule, and of a taper joint how far its hexagon will stand off."""
    pitch = fit.female.pitch
    turns, asked = round(needed, 1), _length(needed * pitch)
    if not fit.male.taper:
        key = "engagement.enough" if verdict == "good" else "engagement.short"
        return message(key, needed=turns, length=asked)
    key = "engagement.taper_enough" if verdict == "good" else "engagement.taper_short"
    rule = message(key, needed=turns, length=asked)
    low, high = rest(fit, male_length).proud
    proud = message("engagement.proud", low=_length(low), high=_length(high))
    return message("words.both", first=rule, then=proud)
