"""A male thread in a female one at one size within their limits: how deep it goes by hand.

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
from catalog.threads.thread import Diameters, Size, Thread

Outcome = Literal[
    "goes", "goes with seal", "binds", "strips", "drops through", "does not start"
]  # fmt: skip
Limit = Literal["nothing", "pitch", "taper", "diameter", "crest", "root"]

LEAST_OVERLAP = 0.5
"""Share of the flanks' depth that must overlap (common practice, no source): tapping drills leave
60 to 75 %; the standards' own loosest pairs still share 57 %."""

LEAST_TURNS = 5.0
"""Engaged turns of a sound parallel joint (common practice, no source)."""

WRENCH_TURNS = (1.5, 3.0)
"""Least and most turns with a wrench beyond hand-tight of a taper joint: ASME B1.20.1 gives 3 for
L3, ISO 7-1 a wrenching allowance of 1.5 (from memory)."""

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
        Share of the flanks' depth in which both overlap at the face, as deep as the male goes; 0
        where it drops through.
    passes : float
        Diameter of the female's crests less that of the male's, as deep as it goes [m]; above 0
        the male drops through without a turn.
    runs_out : bool
        A taper male reaches its last full thread before it is tight with a wrench.
    """

    outcome: Outcome
    depth: float
    turns: float
    limited_by: Limit
    clearance: float
    overlap: float
    passes: float
    runs_out: bool = False


def parts(male: Thread, female: Thread) -> tuple[Diameters, Diameters]:
    """Return the diameters of a pair.

    Raises
    ------
    UserError
        Where the standard has no such male or female (a female R, a male Rc).
    """
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
    """Diametral clearances of flanks, crests and roots at the start [m]."""

    flank: float
    crest: float
    root: float


def angle_allowance(male: Thread, female: Thread, size: tuple[Size, Size]) -> float:
    """Return the diametral clearance that unlike flank angles take [m].

    Parameters
    ----------
    male, female : Thread
        The pair.
    size : pair of str
        Size of the male and of the female: "low", "middle", "basic" or "high".
    """
    inner, outer = parts(male, female)
    mine, other = male.form.half_tangent, female.form.half_tangent
    if mine >= other:  # the female's crest meets the male's flank, inside the pitch line
        reach = (outer.pitch.at(size[1]) - outer.minor.at(size[1])) / 2.0
    else:  # the male's crest meets the female's flank, outside the pitch line
        reach = (inner.major.at(size[0]) - inner.pitch.at(size[0])) / 2.0
    return 2.0 * reach * abs(mine - other) / max(mine, other)


def _sized(male: Thread, female: Thread, size: tuple[Size, Size]) -> _Sized:
    inner, outer = parts(male, female)
    one, two = size
    return _Sized(
        flank=outer.pitch.at(two) - inner.pitch.at(one) - angle_allowance(male, female, size),
        crest=outer.major.at(two) - inner.major.at(one),
        root=outer.minor.at(two) - inner.minor.at(one),
    )


def interference(male: Thread, female: Thread, size: tuple[Size, Size]) -> float:
    """Return by how much a male is too thick to start [m]; negative: it starts."""
    at = _sized(male, female, size)
    return max(-at.flank, -at.crest, -at.root)


def _passes(male: Thread, female: Thread, size: tuple[Size, Size], depth: float) -> float:
    """Return the female's crests less the male's at the face, the male `depth` deep [m]."""
    inner, outer = parts(male, female)
    reach = 0.0
    if male.taper:
        # Its threads grow into the female, up to its last full one.
        reach = min(max(depth, 0.0), male.useful_length or math.inf)
    crest = inner.major.at(size[0]) + male.taper * reach
    return outer.minor.at(size[1]) - crest


def _overlap(male: Thread, female: Thread, passes: float) -> float:
    depth = min(male.form.depth * male.pitch, female.form.depth * female.pitch)
    return max(-passes / 2.0 / depth, 0.0)


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
    """Return the turns by hand that a sound pair must reach.

    A taper male must reach its gauge length less the turns by which both standards let the gauge
    plane lie short; a parallel pair the `LEAST_TURNS` of common practice.
    """
    if not (male.taper or female.taper):
        return LEAST_TURNS
    length = male.gauge_length or female.gauge_length or 0.0
    return length / female.pitch - male.tolerance_turns - female.tolerance_turns


def useful_length(male: Thread, size: Size) -> float:
    """Return the full threads of a male at a size [m]; inf of a parallel one.

    The useful length belongs to the basic gauge length: where the gauge plane lies turns further,
    the full threads reach as much further (ISO 7-1 tables it so, from memory).
    """
    if male.useful_length is None:
        return math.inf
    turns = {"low": male.tolerance_turns, "high": -male.tolerance_turns}.get(size, 0.0)
    return male.useful_length + turns * male.pitch


def state_at(male: Thread, female: Thread, size: tuple[Size, Size]) -> State:
    """Return what becomes of a pair at one size.

    Parameters
    ----------
    male, female : Thread
        The pair.
    size : pair of str
        Size of the male and of the female within their limits.

    Returns
    -------
    State
        Lengths [m].

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> state_at(thread("m12x1.5"), thread("m14x1.5"), ("middle", "middle")).outcome
    'drops through'
    """
    at = _sized(male, female, size)
    depth, limit = _greatest_depth(male, female, at)
    passes = _passes(male, female, size, depth)
    overlap = _overlap(male, female, passes)
    if depth < 0.0:
        return State("does not start", 0.0, 0.0, limit, at.flank, overlap, passes)
    if passes >= 0.0:
        return State("drops through", math.inf, math.inf, "nothing", at.flank, 0.0, passes)
    turns, full = depth / female.pitch, useful_length(male, size[0])
    tight = depth + WRENCH_TURNS[0] * female.pitch
    # A taper male wedges before its full threads end, however shallow its flanks; a parallel one
    # that takes the turns of a sound joint feels as if it fitted.
    fools = depth > full if male.taper else turns >= LEAST_TURNS
    outcome: Outcome
    if (overlap < LEAST_OVERLAP and fools) or (math.isinf(turns) and not like_flanks(male, female)):
        outcome = "strips"  # flanks that never meet on their whole face carry on an edge only
    elif not like_flanks(male, female) or turns < needed_turns(male, female) - PRINTED:
        outcome = "binds"
    else:
        outcome = "goes with seal" if male.taper else "goes"
    return State(outcome, depth, turns, limit, at.flank, overlap, passes, tight > full + _TINY)
