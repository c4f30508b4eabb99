"""What many senders give at the same true values, before one dial.

The same curves as in an assessment (``retrofit.plan.stages.needle_of``), those of one kind and
as many points all at once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.curves.family import EndsOnly
from catalog.curves.interpolated import Interpolated
from catalog.curves.stacked import StackedCubics
from retrofit.dial import MarkedDial, like_dial

_Kind = tuple[str, int, bool]  # how they are drawn, number of points, rising
_Drawn = Callable[[list[Interpolated], Array], Array]


def known_ohms(curves: Sequence[Characteristic], dial: Characteristic, x: Array) -> Array:
    """Return what senders give at true values.

    Parameters
    ----------
    curves : sequence of Characteristic
        Curves of C senders.
    dial : Characteristic
        The dial, by whose law senders are drawn where their own shape is not known.
    x : array, shape (N,)
        True values [SI].

    Returns
    -------
    array, shape (C, N)
        [Ω]; NaN where a curve is not known.

    Notes
    -----
    Equal to one curve after the other to 1e-12: ``tests/finder/test_sender_ohms.py``.

    Examples
    --------
    >>> straight = Interpolated(((0.0, 240.0), (1.0, 33.0)), straight=True, known=True)
    >>> known_ohms([straight], straight, np.array([0.0, 0.5, 2.0]))
    array([[240. , 136.5,   nan]])
    """
    found = np.full((len(curves), len(x)), np.nan)
    alike: dict[_Kind, list[int]] = defaultdict(list)
    ends: list[int] = []
    by_dial = isinstance(dial, MarkedDial)
    for n, curve in enumerate(curves):
        if isinstance(curve, Interpolated):
            way_of = _drawn_how(curve, by_dial=by_dial and curve != dial)
            alike[way_of, len(curve.points), curve.rising].append(n)
        elif isinstance(curve, EndsOnly):
            ends.append(n)
        else:
            drawn = curve if curve == dial else like_dial(curve, dial)
            found[n] = drawn.output(x)
    for (how, _, _), which in alike.items():
        some = [curve for n in which if isinstance(curve := curves[n], Interpolated)]
        found[which] = _DRAWN[how](some, x)
    if ends:
        found[ends] = _by_ends([curve for n in ends if isinstance(curve := curves[n], EndsOnly)], x)
    low, high = np.array([(curve.low, curve.high) for curve in curves]).reshape(-1, 2).T
    known = (x >= low[:, None]) & (x <= high[:, None])
    return np.where(known, found, np.nan)


def _drawn_how(curve: Interpolated, *, by_dial: bool) -> str:
    if by_dial and not curve.known:
        return "dial"
    shape = "straight" if curve.straight else "cubic"
    return f"{shape} log" if curve.log else shape


def _points(curves: list[Interpolated]) -> tuple[Array, Array]:
    """Return values and outputs at the points, shape (C, n) each."""
    points = np.array([curve.points for curve in curves])
    return points[:, :, 0], points[:, :, 1]


def _cubic(curves: list[Interpolated], x: Array) -> Array:
    at, gives = _points(curves)
    return np.maximum(StackedCubics(at, gives).at(x), np.minimum(0.0, gives[:, :1]))


def _cubic_log(curves: list[Interpolated], x: Array) -> Array:
    at, gives = _points(curves)
    return np.asarray(np.exp(StackedCubics(at, np.log(gives)).at(x)))


def _straight(curves: list[Interpolated], x: Array) -> Array:
    at, gives = _points(curves)
    return np.maximum(_lines(at, gives, x), np.minimum(0.0, gives[:, :1]))


def _straight_log(curves: list[Interpolated], x: Array) -> Array:
    at, gives = _points(curves)
    return np.asarray(np.exp(_lines(at, np.log(gives), x)))


def _lines(at: Array, gives: Array, x: Array) -> Array:
    """Return straight lines between points, shape (C, n), (C, n), (N,) → (C, N)."""
    piece = np.zeros((len(at), len(x)), dtype=np.intp)
    for inner in range(1, at.shape[1] - 1):
        piece += x >= at[:, inner : inner + 1]
    x0, y0 = (np.take_along_axis(each, piece, axis=1) for each in (at, gives))
    x1, y1 = (np.take_along_axis(each, piece + 1, axis=1) for each in (at, gives))
    return np.asarray(y0 + (y1 - y0) / (x1 - x0) * (x - x0))


def _by_dial(curves: list[Interpolated], x: Array) -> Array:
    """Return curves drawn by the law of dials through their own points, as `MarkedDial`."""
    at, gives = _points(curves)
    first, last = gives[:, :1], gives[:, -1:]
    s = (gives - first) / (last - first)
    f = (at - at[:, :1]) / (at[:, -1:] - at[:, :1])
    q = _fitted(s[:, 1:-1], f[:, 1:-1])
    fractions = q * s / (1.0 + (q - 1.0) * s)  # between the ends, where the law has no pole
    share = _way(StackedCubics(fractions, at).inverse(x), q)
    return np.asarray(first + share * (last - first))


def _fitted(s: Array, f: Array) -> Array:
    """Return the q of the dial's law for each sender, shape (C, n − 2) → (C, 1): `fit_q`."""
    if not s.shape[1]:
        return np.ones((len(s), 1))
    weight = 4.0 * f * (1.0 - f)
    logs = np.log(f * (1.0 - s) / (s * (1.0 - f)))
    mean = np.sum(weight * logs, axis=1, keepdims=True) / np.sum(weight, axis=1, keepdims=True)
    return np.asarray(np.exp(mean))


def _by_ends(curves: list[EndsOnly], x: Array) -> Array:
    fields = [(one.low, one.high, one.at_low, one.at_high, one.q) for one in curves]
    low, high, at_low, at_high, q = (each[:, None] for each in np.array(fields).T)
    s = _way((x - low) / (high - low), q)
    return np.asarray(at_low + s * (at_high - at_low))


def _way(f: Array, q: Array) -> Array:
    """Return the way between the end marks, each row with its own q: `family.way`."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(f / (f + q * (1.0 - f)))


_DRAWN: dict[str, _Drawn] = {
    "cubic": _cubic,
    "cubic log": _cubic_log,
    "straight": _straight,
    "straight log": _straight_log,
    "dial": _by_dial,
}
