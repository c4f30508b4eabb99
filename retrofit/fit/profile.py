"""Axial sections of a male and a female thread, for the drawing: the diameters of the verdict.

Flanks are straight and crests flat, as in ``retrofit.fit.thread_states``; a Whitworth crest's
rounding lies inside them. x runs into the hole from the female's face.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.threads.thread import Size, Thread
from retrofit.fit.thread_fit import MIDDLE, ThreadFit
from retrofit.fit.thread_states import same_pitch


@dataclass(frozen=True)
class Section:
    """Both profiles, the male where it sits best.

    Attributes
    ----------
    male, female : array, shape (n, 2)
        Corners of the profile: x into the hole and radius [m].
    depth : float
        How deep the male's small end is [m].
    shift : float
        Axial place of the male's first ridge against the female's first groove [m].
    """

    male: Array
    female: Array
    depth: float
    shift: float

    def overlap(self) -> float:
        """Return how far the male's profile stands in the female's metal at the worst place [m].

        Zero or less: they are clear of each other.
        """
        corners = np.concatenate([self.male[:, 0], self.female[:, 0]])
        x = np.unique(corners[(corners >= 0.0) & (corners <= self.depth)])
        inner = np.interp(x, self.male[:, 0], self.male[:, 1])
        outer = np.interp(x, self.female[:, 0], self.female[:, 1])
        return float(np.max(inner - outer)) if x.size else 0.0


def _corners(
    thread: Thread, radii: tuple[float, float, float], turns: range, start: float
) -> Array:
    """Return corners of ridges (x, radius) [m], shape (n, 2), before the taper is added.

    `radii` are crest, pitch line and root of a ridge that points to growing radius.
    """
    crest, line, root = radii
    tangent, pitch = thread.form.half_tangent, thread.pitch
    top = pitch / 4.0 - (crest - line) * tangent
    foot = pitch / 4.0 + (line - root) * tangent
    rows = []
    for turn in turns:
        centre = start + turn * pitch
        rows += [
            (centre - foot, root),
            (centre - top, crest),
            (centre + top, crest),
            (centre + foot, root),
        ]
    return np.array(rows)


def best_shift(male: Thread, female: Thread, depth: float) -> float:
    """Return the axial shift of the male that leaves the most play at both ends [m].

    The drift ΔP·x/P_f runs from 0 at the face to its end at the depth; the play is wider where
    the tapers leave more clearance. With w(0) and w(s) the plays, the middle of what is allowed.
    """
    tangent = max(male.form.half_tangent, female.form.half_tangent)
    drift = 0.0 if same_pitch(male, female) else male.pitch - female.pitch
    end = drift * depth / female.pitch
    # c(0) loses the male's taper, c(s) the female's; what they share falls out of the middle.
    at_face, at_depth = -male.taper * depth * tangent / 2.0, -female.taper * depth * tangent / 2.0
    low = max(-at_face, -at_depth - end)
    high = min(at_face, at_depth - end)
    return (low + high) / 2.0


def section(
    male: Thread,
    female: Thread,
    depth: float,
    size: tuple[Size, Size] = MIDDLE,
    beyond: float = 2.0,
) -> Section:
    """Return the axial section of a pair with the male's small end at a depth.

    Parameters
    ----------
    male, female : Thread
        The pair; both parts must be there.
    depth : float
        Of the male's small end below the female's face [m], 0 or more.
    size : pair of str
        Sizes within the limits of the male and of the female; halfway between them when left out.
    beyond : float
        Turns that are drawn past either end.

    Returns
    -------
    Section
        Two polylines [m].

    Notes
    -----
    Tests: ``tests/retrofit/fit/test_profile.py``: at the depth of the verdict the profiles touch,
    a little deeper they overlap.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> shown = section(thread("npt-1-8"), thread("npt-1-8"), 4e-3)
    >>> shown.overlap() < 1e-6
    True
    """
    inner, outer = male.male, female.female
    if inner is None or outer is None:
        raise ValueError(f"no such pair: {male.key} in {female.key}")
    one, two = size
    shift = best_shift(male, female, depth)
    turns = math.ceil(depth / female.pitch + beyond)
    first = -math.ceil(beyond)
    mine = _corners(
        male,
        (inner.major.at(one) / 2.0, inner.pitch.at(one) / 2.0, inner.minor.at(one) / 2.0),
        range(first, turns + 1),
        shift,
    )
    other = _corners(
        female,
        (outer.major.at(two) / 2.0, outer.pitch.at(two) / 2.0, outer.minor.at(two) / 2.0),
        range(first, turns + 1),
        0.0,
    )
    mine[:, 1] += male.taper * (depth - mine[:, 0]) / 2.0
    other[:, 1] -= female.taper * other[:, 0] / 2.0
    return Section(mine, other, depth, shift)


START_TURNS = 3.0
"""Turns at which a male that does not start is drawn: enough to see what is in the way."""


def telling_depth(fit: ThreadFit) -> float:
    """Return the depth at which a section shows what the verdict says [m].

    Where the pair goes by hand: there, or at the turns that it needs. Where it binds: at the turns
    that a sound joint would have, so that what is in the way overlaps. Where it does not start:
    `START_TURNS` in.

    Examples
    --------
    >>> from catalog.threads.standards import thread
    >>> from retrofit.fit.thread_fit import thread_fit
    >>> round(telling_depth(thread_fit(thread("g-1-8"), thread("g-1-8"))) * 1e3, 2)
    4.54
    """
    pitch, depth = fit.female.pitch, fit.middle.depth
    if fit.outcome == "does not start":
        return START_TURNS * pitch
    needed = fit.needed_turns * pitch
    if math.isinf(depth) or fit.outcome == "binds":
        return max(needed, 0.0 if math.isinf(depth) else depth)
    return depth
