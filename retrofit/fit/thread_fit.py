"""A male thread in a female one: how far it screws in by hand, and what stops it.

Both stand in one axial section. At the depth x below the face, when the male's small end is s
deep, the diametral clearance of the flanks is

    c(x) = F − M − A − t_f·x − t_m·(s − x)

with the pitch diameters F of the female at its face and M of the male at its small end, and the
tapers t of the diameters. A is what unlike flank angles take: the corner of one crest meets the
other flank at the radial distance u from the pitch line, so A = 2u·|tan a − tan b| / tan(larger
half angle). The flanks leave an axial play of w(x) = c(x)·tan(larger half angle)/2 either way, and
the male has drifted by ΔP·x/P_f against the grooves. One axial shift must serve every turn from
0 to s; all is straight in x, so the two ends decide, and the male goes to s if and only if

    c(0) ≥ 0,   c(s) ≥ 0   and   (c(0) + c(s))/2 · tan(larger half angle) ≥ |ΔP|·s/P_f.

Crests against roots have the first two conditions with their own diameters. Without taper and
angle this is the standards' own equivalent of a pitch error, ΔP·n·cot(half angle) on the pitch
diameter. Everything is linear in s: the greatest s is closed. ``retrofit.fit.profile`` draws the
same diameters. Threads bend and brass gives way: nothing here is a reason to use force.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from catalog.errors import user_error
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.threads.thread import Diameters, Size, Thread
from retrofit.fit.verdict import COMMON, COMPUTED, FitCheck, Verdict

Outcome = Literal["goes", "goes with seal", "binds", "strips", "does not start"]
Limit = Literal["nothing", "pitch", "taper", "diameter", "crest", "root"]
SealKind = Literal["compound", "bonded washer", "crush washer", "O-ring face"]

LEAST_OVERLAP = 0.5
"""Share of the flanks' depth that must overlap (common practice, no source): tapping drills leave
60 to 75 %; the standards' own loosest pairs still share 57 %."""

LEAST_TURNS = 5.0
"""Engaged turns of a sound parallel joint (common practice, no source)."""

COMPARED_TURNS = 5
"""Turns over which a pitch difference is told: what a thread gauge lies on."""

PRINTED = 0.02
"""Turns that the rounding of printed figures may take (1/8-27 NPT: L1 and E1 differ by 0.002)."""

_TINY = 1e-9
_SAME = 1e-5
"""Relative difference of two pitches that are one: inch pitches are printed rounded."""


@dataclass(frozen=True)
class State:
    """The pair at one size within its limits.

    Attributes
    ----------
    outcome : str
        What happens.
    depth : float
        How deep the male goes by hand before it binds [m]; 0 where it does not start, inf
        where nothing stops it.
    turns : float
        The same in turns of the female's thread.
    limited_by : str
        What stops it.
    clearance : float
        Diametral clearance of the flanks where it starts, unlike angles taken off [m];
        negative: interference.
    overlap : float
        Share of the flanks' depth in which both overlap, 0 where the male drops in.
    runs_out : bool
        A taper male reaches its last full thread before it is tight.
    """

    outcome: Outcome
    depth: float
    turns: float
    limited_by: Limit
    clearance: float
    overlap: float
    runs_out: bool = False


@dataclass(frozen=True)
class ThreadFit:
    """What becomes of one male in one female.

    Attributes
    ----------
    male, female : Thread
        The pair.
    outcome : str
        Of the pair: it goes only if it goes at basic size and at both limits.
    basic, tight, loose : State
        At basic sizes; largest male in the smallest female; smallest male in the largest female.
    needed_turns : float
        Turns by hand that a taper pair of this kind must reach at its limits; the rule's turns
        for a parallel pair.
    seals : tuple of str
        What can make the pair tight; empty where it does not go.
    pitch_difference : float
        Male less female [m].
    major_difference : float
        Major diameters, male at its gauge plane less female at its face [m].
    check : FitCheck
        The verdict with its reason.
    """

    male: Thread
    female: Thread
    outcome: Outcome
    basic: State
    tight: State
    loose: State
    needed_turns: float
    seals: tuple[SealKind, ...]
    pitch_difference: float
    major_difference: float
    check: FitCheck

    @property
    def goes(self) -> bool:
        """Whether it goes, alone or with a seal."""
        return self.outcome in ("goes", "goes with seal")

    @property
    def drift(self) -> float:
        """Pitch difference over `COMPARED_TURNS` turns [m]."""
        return COMPARED_TURNS * abs(self.pitch_difference)


def _parts(male: Thread, female: Thread) -> tuple[Diameters, Diameters]:
    if male.male is None:
        raise user_error("thread_fit.no_male", name=male.designation)
    if female.female is None:
        raise user_error("thread_fit.no_female", name=female.designation)
    return male.male, female.female


def same_pitch(male: Thread, female: Thread) -> bool:
    """Return whether two pitches are one, printed figures' rounding apart."""
    return abs(male.pitch - female.pitch) <= _SAME * female.pitch


def like_flanks(male: Thread, female: Thread) -> bool:
    """Return whether pitch and flank angle agree, so that whole flanks bear."""
    return same_pitch(male, female) and male.form.flank_angle == female.form.flank_angle


@dataclass(frozen=True)
class _Sized:
    """Diametral clearances of flanks, crests and roots at the start [m], and the overlap."""

    flank: float
    crest: float
    root: float
    overlap: float


def angle_allowance(male: Thread, female: Thread, size: tuple[Size, Size]) -> float:
    """Return the diametral clearance that unlike flank angles take [m].

    Parameters
    ----------
    male, female : Thread
        The pair.
    size : pair of str
        Size of the male and of the female: "low", "basic" or "high".
    """
    inner, outer = _parts(male, female)
    mine, other = male.form.half_tangent, female.form.half_tangent
    if mine >= other:  # the female's crest meets the male's flank, inside the pitch line
        reach = (outer.pitch.at(size[1]) - outer.minor.at(size[1])) / 2.0
    else:  # the male's crest meets the female's flank, outside the pitch line
        reach = (inner.major.at(size[0]) - inner.pitch.at(size[0])) / 2.0
    return 2.0 * reach * abs(mine - other) / max(mine, other)


def _sized(male: Thread, female: Thread, size: tuple[Size, Size]) -> _Sized:
    inner, outer = _parts(male, female)
    one, two = size
    shared = (inner.major.at(one) - outer.minor.at(two)) / 2.0
    if male.taper:
        # Its threads grow into the female: what they share is told at the gauge plane.
        shared += male.taper * (male.gauge_length or 0.0) / 2.0
    depth = min(male.form.depth * male.pitch, female.form.depth * female.pitch)
    return _Sized(
        flank=outer.pitch.at(two) - inner.pitch.at(one) - angle_allowance(male, female, size),
        crest=outer.major.at(two) - inner.major.at(one),
        root=outer.minor.at(two) - inner.minor.at(one),
        overlap=max(shared / depth, 0.0),
    )


def _greatest_depth(male: Thread, female: Thread, at: _Sized) -> tuple[float, Limit]:
    """Return how deep the male goes [m], inf where nothing stops it, and what stops it."""
    starts: list[tuple[float, Limit]] = [
        (at.flank, "diameter"),
        (at.crest, "crest"),
        (at.root, "root"),
    ]
    clearance, first = min(starts, key=lambda pair: pair[0])
    if clearance < -_TINY:
        return -math.inf, first
    if at.overlap <= 0.0:
        return math.inf, "nothing"  # it drops in: no flank meets another
    steeper = max(male.taper, female.taper)
    found: list[tuple[float, Limit]] = [(math.inf, "nothing")]
    if steeper:
        found += [
            (max(at.flank, 0.0) / steeper, "taper"),
            (max(at.crest, 0.0) / steeper, "crest"),
            (max(at.root, 0.0) / steeper, "root"),
        ]
    if not same_pitch(male, female):
        play = max(male.form.half_tangent, female.form.half_tangent)
        drift = abs(male.pitch - female.pitch) / (female.pitch * play)
        mean = (male.taper + female.taper) / 2.0
        found.append((max(at.flank, 0.0) / (mean + drift), "pitch"))
    return min(found, key=lambda pair: pair[0])


def needed_turns(male: Thread, female: Thread) -> float:
    """Return the turns that a sound pair must reach.

    A taper male must reach its gauge length less the turns by which both standards let the gauge
    plane lie short; a parallel pair the `LEAST_TURNS` of common practice.
    """
    if not (male.taper or female.taper):
        return LEAST_TURNS
    length = male.gauge_length or female.gauge_length or 0.0
    return length / female.pitch - male.tolerance_turns - female.tolerance_turns


def _state(male: Thread, female: Thread, size: tuple[Size, Size]) -> State:
    at = _sized(male, female, size)
    depth, limit = _greatest_depth(male, female, at)
    if depth < 0.0:
        return State("does not start", 0.0, 0.0, limit, at.flank, at.overlap)
    turns = depth / female.pitch
    runs_out = male.useful_length is not None and depth > male.useful_length + _TINY
    outcome: Outcome
    if at.overlap < LEAST_OVERLAP or (math.isinf(turns) and not like_flanks(male, female)):
        outcome = "strips"  # flanks that never meet on their whole face carry on an edge only
    elif not like_flanks(male, female) or turns < needed_turns(male, female) - PRINTED:
        outcome = "binds"
    else:
        outcome = "goes with seal" if male.taper else "goes"
    return State(outcome, depth, turns, limit, at.flank, at.overlap, runs_out)


def _joint_outcome(basic: State, tight: State, loose: State) -> Outcome:
    """Return the outcome of the pair; nobody knows where within its limits a part lies."""
    if basic.outcome == "does not start":
        return basic.outcome
    all_of = {basic.outcome, tight.outcome, loose.outcome}
    if "strips" in all_of:
        return "strips"
    return "binds" if all_of & {"binds", "does not start"} else basic.outcome


def _seals(outcome: Outcome) -> tuple[SealKind, ...]:
    if outcome == "goes with seal":
        return ("compound",)
    return ("bonded washer", "crush washer", "O-ring face") if outcome == "goes" else ()


def thread_fit(male: Thread, female: Thread) -> ThreadFit:
    """Return what becomes of a male thread in a female one.

    The formulae stand at the top of this module.

    Parameters
    ----------
    male, female : Thread
        From ``catalog.threads``.

    Returns
    -------
    ThreadFit
        Lengths [m]; `depth` and `turns` are inf where nothing stops the male.

    Raises
    ------
    UserError
        Where the standard has no such male or female (a female R, a male Rc).

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_thread_fit.py`` holds pairs of the standards' tables,
    ``test_profile.py`` measures the overlap of the drawn profiles.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> thread_fit(thread("npt-1-8"), thread("npt-1-8")).outcome
    'goes with seal'
    >>> thread_fit(thread("m10x1"), thread("g-1-8")).outcome
    'does not start'
    """
    _parts(male, female)
    basic = _state(male, female, ("basic", "basic"))
    tight = _state(male, female, ("high", "low"))
    loose = _state(male, female, ("low", "high"))
    outcome = _joint_outcome(basic, tight, loose)
    inner, outer = _parts(male, female)
    return ThreadFit(
        male=male,
        female=female,
        outcome=outcome,
        basic=basic,
        tight=tight,
        loose=loose,
        needed_turns=needed_turns(male, female),
        seals=_seals(outcome),
        pitch_difference=male.pitch - female.pitch,
        major_difference=male.at_gauge_plane(inner.major) - outer.major.basic,
        check=_check(male, female, outcome, (basic, tight, loose)),
    )


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


def _turns(state: State) -> float:
    return round(state.turns, 1)


def _check(
    male: Thread, female: Thread, outcome: Outcome, states: tuple[State, State, State]
) -> FitCheck:
    basic, tight, loose = states
    pair = {"male": male.designation, "female": female.designation}
    verdict: Verdict = "stop"
    limit = None
    if outcome == "goes":
        verdict = "good"
        why = message("thread_fit.why_face_seal")
        number = _length(basic.clearance)
    elif outcome == "goes with seal":
        verdict = "caution" if basic.runs_out or loose.runs_out else "good"
        why = message(
            "thread_fit.why_runs_out" if verdict == "caution" else "thread_fit.why_compound",
            least=_turns(tight),
            most=_turns(loose),
        )
        number, limit = _length(basic.depth), _length(needed_turns(male, female) * female.pitch)
    elif outcome == "strips":
        share = SiValue(min(each.overlap for each in states), Kind.FRACTION)
        why = message("thread_fit.why_strips", share=share)
        number, limit = share, SiValue(LEAST_OVERLAP, Kind.FRACTION)
    elif outcome == "does not start":
        why = message("thread_fit.why_not_start", over=_length(_interference(male, female)))
        number, limit = _length(-_interference(male, female)), _length(0.0)
    else:
        # Sound at basic size, too tight at its limits: to be tried by hand, not refused.
        verdict = "caution" if basic.outcome.startswith("goes") else "stop"
        why = _why_binds(male, female, states)
        number, limit = _length(tight.depth), _length(needed_turns(male, female) * female.pitch)
    key = "may_bind" if outcome == "binds" and verdict == "caution" else _KEYS[outcome]
    if outcome == "strips" and basic.outcome == "binds":
        key = "may_strip"
    says = message(f"thread_fit.{key}", turns=_turns(basic), **pair)
    basis = COMMON if outcome == "strips" else COMPUTED
    return FitCheck("thread", verdict, says, why, number, limit, basis, "thread")


_KEYS: dict[Outcome, str] = {
    "goes": "goes",
    "goes with seal": "goes_sealed",
    "binds": "binds",
    "strips": "strips",
    "does not start": "not_start",
}


def _interference(male: Thread, female: Thread) -> float:
    """Return by how much the male is too thick to start, at basic size [m]."""
    at = _sized(male, female, ("basic", "basic"))
    return max(-at.flank, -at.crest, -at.root)


def _why_binds(male: Thread, female: Thread, states: tuple[State, State, State]) -> Message:
    _, tight, loose = states
    least, most = _turns(tight), _turns(loose)
    if not same_pitch(male, female):
        drift = _length(COMPARED_TURNS * abs(male.pitch - female.pitch))
        return message("thread_fit.why_pitch", drift=drift, least=least, most=most)
    if male.form.flank_angle != female.form.flank_angle:
        return message(
            "thread_fit.why_angle",
            male=SiValue(male.form.flank_angle, Kind.ANGLE),
            female=SiValue(female.form.flank_angle, Kind.ANGLE),
            least=least,
            most=most,
        )
    if states[0].outcome.startswith("goes"):
        return message("thread_fit.why_may_bind", least=least)
    return message("thread_fit.why_short", least=least, most=most)
