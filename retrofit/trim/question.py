"""The question a trim answers: which needle error is allowed where, and what a network shows.

Plain numbers of one pairing at one supply, in the closed form of the one node; the search asks
nothing else. Knows no list of resistors.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.errors import UserError
from catalog.message import Message, message
from retrofit.trim.signal_node import SignalNode

TIE = 1e-9
"""Two objectives are the same if they differ by less: a share of them, or of the allowed error."""


@dataclass(frozen=True, eq=False)
class Flattery:
    """How far the needle may err to the side that hides danger.

    Attributes
    ----------
    side : array, shape (N,)
        +1 where reading too high hides it, −1 where reading too low does, 0 where neither.
    limit : array, shape (N,)
        Largest error to that side [SI difference], 0 or more.
    """

    side: Array
    limit: Array


@dataclass(frozen=True, eq=False)
class Question:
    """What a trim has to achieve.

    The objective is the worst of |eᵢ|/aᵢ over the points, e = shown − true on the continued
    scale; it is infinite where the needle leaves every scale or flatters beyond its limit.

    Attributes
    ----------
    x : array, shape (N,)
        True values [SI], two points or more.
    ohms : array, shape (N,)
        Ohms of the sender there [Ω], finite, 0 or more.
    allowed : array, shape (N,)
        Allowed error [SI difference], > 0.
    dial : Characteristic
        Value shown at an apparent resistance, stops ignored.
    node : SignalNode
        The gauge as its signal terminal is seen.
    earth : float
        Ohms in the sender's earth path [Ω].
    flattery : Flattery or None
        None: an error to either side counts alike.
    """

    x: Array
    ohms: Array
    allowed: Array
    dial: Characteristic
    node: SignalNode
    earth: float = 0.0
    flattery: Flattery | None = None

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the question."""
        problems = list(_problems(self))
        if problems:
            raise UserError(problems)

    @cached_property
    def limits(self) -> tuple[Array, Array]:
        """Largest error to the high and to the low side, shape (N,) [allowed errors], or +inf."""
        free = np.full_like(self.x, np.inf)
        if self.flattery is None:
            return free, free
        most = self.flattery.limit / self.allowed + TIE
        side = self.flattery.side
        return np.where(side > 0.0, most, free), np.where(side < 0.0, most, free)


def _problems(question: Question) -> list[Message]:
    points = len(question.x)
    found = []
    if points < 2:
        found.append(message("trim.too_few_points", points=points))
    if not np.all(np.isfinite(question.ohms) & (question.ohms >= 0.0)):
        found.append(message("trim.sender_unknown"))
    if not np.all(np.isfinite(question.allowed) & (question.allowed > 0.0)):
        found.append(message("trim.nothing_allowed"))
    return found


def shown(question: Question, p: Array, s1: Array, q: Array, s2: Array, u: Array) -> Array:
    """Return what the needle shows with resistors in the five places.

    P = (((R∥p) + e + s1) ∥ q) + s2, the pull-up u from the signal terminal to the supply.

    Parameters
    ----------
    question : Question
        Sender, gauge and dial, N points.
    p, s1, q, s2, u : array, shape (...)
        Ohms [Ω] across the sender, in series at the sender, from signal to earth, in series at
        the gauge, and of the pull-up; +inf is no resistor across or pulling up, 0 none in series.

    Returns
    -------
    array, shape (..., N)
        Shown values [SI] on the continued scale; ±inf off every scale.

    Notes
    -----
    Agrees with ``retrofit.movements`` and the dial to 1e-9: ``tests/trim/test_question.py``.
    """
    places = (np.asarray(each, dtype=np.float64)[..., None] for each in (p, s1, q, s2, u))
    across, at_sender, to_earth, at_gauge, pull = places
    with np.errstate(divide="ignore", over="ignore"):
        sender = 1.0 / (1.0 / question.ohms + 1.0 / across)
        inner = sender + (question.earth + at_sender)
        path = 1.0 / (1.0 / inner + 1.0 / to_earth) + at_gauge
        ohms = question.node.apparent(path, 1.0 / pull)
    return np.reshape(question.dial.value(np.ravel(ohms)), ohms.shape)


def strains(question: Question, values: Array) -> tuple[Array, Array]:
    """Return how far shown values err to the high and to the low side, in allowed errors.

    Parameters
    ----------
    question : Question
        True values, allowed errors and limits, N points.
    values : array, shape (..., N)
        Shown values [SI].

    Returns
    -------
    tuple of two arrays, shape (..., N)
        e/a and −e/a [1]; +inf where the limit to that side is passed.
    """
    high = (values - question.x) / question.allowed
    most_high, most_low = question.limits
    return (
        np.where(high > most_high, np.inf, high),
        np.where(-high > most_low, np.inf, -high),
    )


def sides(question: Question, values: Array) -> tuple[Array, Array]:
    """Return the worst strain on each side, the one that falls as ohms rise first.

    Parameters
    ----------
    question : Question
        The question, N points.
    values : array, shape (..., N)
        Shown values [SI].

    Returns
    -------
    tuple of two arrays, shape (...)
        Worst strain of too few ohms and of too many [1]; the objective is the larger.
    """
    high, low = strains(question, values)
    worst_high, worst_low = np.max(high, axis=-1), np.max(low, axis=-1)
    return (worst_low, worst_high) if question.dial.rising else (worst_high, worst_low)


def objective(question: Question, p: Array, s1: Array, q: Array, s2: Array, u: Array) -> Array:
    """Return the worst |e|/a of resistors in the five places, shape (...) [Ω] → (...) [1].

    +inf where the needle leaves every scale or flatters beyond its limit at some point.
    """
    short, long = sides(question, shown(question, p, s1, q, s2, u))
    return np.maximum(short, long)
