"""The laws of resistors around a sender: which changes of its ohms they can make at all.

Whatever network of resistors stands between a gauge's signal terminal, earth and the sender,
the terminals see T(R) = t + (R + s)∥q with s, t ≥ 0 and q > 0 (every two-port of resistors is
as good as a T of three). So, between any two values of the sender R₁ < R₂,

* *direction*: T₁ ≤ T₂ (Rayleigh's law: raising one resistance never lowers another);
* *span*: T₂ − T₁ ≤ R₂ − R₁;
* *conductance*: 1/T₁ − 1/T₂ ≤ 1/R₁ − 1/R₂;

and where all three hold (R∥Rp) + Rs does it. The product of the last two is the law of
steepness, 0 ≤ d ln T / d ln R ≤ 1: equally steep but shifted has no cure. A pull-up stands
outside these laws, since it moves the source as well.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.errors import BugError

_ROUNDING = 1e-9
"""Relative excess over a limit that is rounding and no excess."""


class Law(Enum):
    """Which of the three laws forbids a pair of targets."""

    DIRECTION = "direction"
    SPAN = "span"
    CONDUCTANCE = "conductance"


@dataclass(frozen=True)
class TwoPoint:
    """The two resistors that bring two values of a sender to two targets.

    Attributes
    ----------
    parallel : float
        Resistor across [Ω]; +inf: none; NaN or below 0 where resistors cannot do it.
    series : float
        Resistor in series [Ω]; 0: none; NaN or below 0 where resistors cannot do it.
    """

    parallel: float
    series: float

    @property
    def possible(self) -> bool:
        """Whether both are resistors."""
        return self.series >= 0.0 and self.parallel >= 0.0


def across_then_series(sender: tuple[float, float], target: tuple[float, float]) -> TwoPoint:
    """Return Rp and Rs of (R∥Rp) + Rs that bring R₁ to T₁ and R₂ to T₂.

    With k = (T₂ − T₁)/(R₂ − R₁), Rp solves (1 − k)·Rp² − k·(R₁ + R₂)·Rp − k·R₁·R₂ = 0, and
    Rs = T₁ − R₁∥Rp. (Worked out from the two equations.)

    Parameters
    ----------
    sender : (float, float)
        Ohms of the sender R₁, R₂ [Ω], different, 0 or more, finite.
    target : (float, float)
        Ohms T₁, T₂ wanted [Ω], in the same order.

    Returns
    -------
    TwoPoint
        `possible` if and only if all three laws hold, but for rounding.

    Notes
    -----
    Tests: ``tests/trim/test_laws.py``.

    Examples
    --------
    >>> found = across_then_series((88.0, 8.0), (73.0, 10.0))
    >>> round(found.parallel), round(found.series, 2)
    (363, 2.17)
    """
    (r1, r2), (t1, t2) = sender, target
    if r1 == r2:
        raise BugError(f"one value of the sender, {r1} Ω, is no pair")
    k = (t2 - t1) / (r2 - r1)
    if not 0.0 <= k <= 1.0:
        return TwoPoint(math.nan, math.nan)
    if k == 1.0:
        return TwoPoint(math.inf, t1 - r1)
    b, c = k * (r1 + r2), k * r1 * r2
    parallel = (b + math.sqrt(b * b + 4.0 * (1.0 - k) * c)) / (2.0 * (1.0 - k))
    low = r1 * parallel / (r1 + parallel) if parallel > 0.0 else 0.0
    return TwoPoint(parallel, t1 - low)


def series_then_across(sender: tuple[float, float], target: tuple[float, float]) -> TwoPoint:
    """Return Rs and Rp of (R + Rs)∥Rp that bring R₁ to T₁ and R₂ to T₂.

    It is `across_then_series` with conductances in the place of resistances.

    Parameters
    ----------
    sender, target : (float, float)
        As for `across_then_series`; all above 0.

    Examples
    --------
    >>> found = series_then_across((88.0, 8.0), (73.0, 10.0))
    >>> round(found.parallel), round(found.series, 2)
    (382, 2.27)
    """
    dual = across_then_series(_inverted(sender), _inverted(target))
    # In conductances "across" is what "in series" is in resistances, and the other way round.
    with np.errstate(divide="ignore"):
        inverse = 1.0 / np.array([dual.series, dual.parallel])
    return TwoPoint(parallel=float(inverse[0]), series=float(inverse[1]))


def _inverted(pair: tuple[float, float]) -> tuple[float, float]:
    if min(pair) <= 0.0:
        raise BugError(f"{pair} Ω have no conductances")
    return 1.0 / pair[0], 1.0 / pair[1]


@dataclass(frozen=True, eq=False)
class Targets:
    """What the dial takes as right at each of some values, and what the sender gives there.

    Attributes
    ----------
    at : array, shape (N,)
        True values [SI].
    ohms : array, shape (N,)
        Sender [Ω], 0 to +inf (a contact that opens).
    wants : array, shape (N,)
        Ohms at the gauge's terminals that show just the true value [Ω]; NaN where none do.
    low, high : array, shape (N,)
        Ohms there between which the error is allowed [Ω], 0 ≤ low ≤ high ≤ +inf.
    least, most : array, shape (N,), or None
        Between which ohms the sender may be for all that is known of its shape [Ω], in the order
        of `ohms`; None: it is known.
    guessed : bool
        Whether the shape of either curve is not known between its points.
    """

    at: Array
    ohms: Array
    wants: Array
    low: Array
    high: Array
    least: Array | None = None
    most: Array | None = None
    guessed: bool = False

    @property
    def lowest(self) -> Array:
        """Fewest ohms that the sender may give, shape (N,) [Ω]."""
        return self.ohms if self.least is None else self.least

    @property
    def highest(self) -> Array:
        """Most ohms that the sender may give, shape (N,) [Ω]."""
        return self.ohms if self.most is None else self.most

    def unsure(self, n: int) -> bool:
        """Whether the ohms of the sender at value `n` hang on a shape that nobody knows."""
        low, high = float(self.lowest[n]), float(self.highest[n])
        return high > low * (1.0 + _ROUNDING)

    def ratios(self) -> tuple[float, float]:
        """Return the least and the largest ratio of the sender's ohms to the wanted ones [1].

        The nearer they are to each other, the more the two curves are equally steep and
        shifted. Values where either is 0 or endless do not count; NaN where none is left.
        """
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = self.ohms / self.wants
        found = ratio[(ratio > 0.0) & np.isfinite(ratio)]
        if not found.size:
            return math.nan, math.nan
        return float(np.min(found)), float(np.max(found))


@dataclass(frozen=True)
class Refusal:
    """A pair of values that no resistors can bring within the allowed errors together.

    Attributes
    ----------
    law : Law
        What forbids it.
    first, second : int
        Which of the targets; the sender has the lower ohms at `first`.
    needs : float
        Least change between the two that the dial takes: [Ω], for `Law.CONDUCTANCE` [S]. For
        `Law.DIRECTION` by how many ohms it would have to turn round.
    gives : float
        Change that the sender gives [Ω or S], at most where its shape is not known.
    edge : float
        For `Law.CONDUCTANCE` the lowest ohms that resistors leave at `first` where the dial
        gets what it takes at `second` [Ω]; else NaN.
    """

    law: Law
    first: int
    second: int
    needs: float
    gives: float
    edge: float = math.nan


def refusal(targets: Targets) -> Refusal | None:
    """Return the pair that shows best that no resistors can do it, None where no pair does.

    For each pair, with R₁ ≤ R₂ and boxes [a₁, b₁], [a₂, b₂], the decision is exact: the least
    T₁ that goes with a T₂ is max(T₂ − ΔR, T₂/(1 + ΔG·T₂)), which rises with T₂, so it is enough
    to try the least T₂ = max(a₁, a₂): some pair of targets in the boxes is reachable if and
    only if T₂ ≤ b₂ and that least T₁ ≤ b₁. It falls with R₂ and rises with R₁, so where the
    sender's shape is not known the fewest ohms at the one and the most at the other decide.

    Parameters
    ----------
    targets : Targets
        N values.

    Returns
    -------
    Refusal or None
        A pair that would have to turn round before any other, else the one that falls short
        by the largest factor. None does not prove that resistors can do it: three and more
        values may forbid together what each two allow.

    Notes
    -----
    A sender shorted by 0 Ω counts as a network, so equal targets are always reachable. Tests:
    ``tests/trim/test_laws.py``, with networks of any form.

    Examples
    --------
    >>> ohms = np.array([75.0, 10.0]), np.array([240.0, 33.0])
    >>> found = refusal(Targets(np.array([0.0, 1.0]), ohms[0], *(ohms[1],) * 3))
    >>> found.law.value, found.needs, found.gives
    ('span', 207.0, 65.0)
    """
    pairs = _Pairs.of(targets)
    if pairs is None:
        return None
    turned = pairs.turned()
    if np.any(turned > 0.0):
        n = int(np.argmax(turned))
        return pairs.refused(n, Law.DIRECTION, turned, pairs.span)
    spans, conductances = pairs.span_needs(), pairs.conductance_needs()
    with np.errstate(divide="ignore", over="ignore"):
        of_ohms, of_siemens = pairs.least_two, 1.0 / pairs.high_one
    by_span = _excess(spans, pairs.span, of_ohms)
    by_conductance = _excess(conductances, pairs.drop, of_siemens)
    shortage = np.maximum(by_span, by_conductance)
    n = int(np.argmax(shortage))
    if shortage[n] == 0.0:
        return None
    if by_span[n] >= by_conductance[n]:
        return pairs.refused(n, Law.SPAN, spans, pairs.span)
    return pairs.refused(n, Law.CONDUCTANCE, conductances, pairs.drop)


@dataclass(frozen=True, eq=False)
class _Pairs:
    """All pairs of targets, the one with the lower ohms of the sender first."""

    one: NDArray[np.intp]
    two: NDArray[np.intp]
    same: NDArray[np.bool_]
    span: Array
    drop: Array
    low_one: Array
    high_one: Array
    low_two: Array
    high_two: Array

    @staticmethod
    def of(targets: Targets) -> _Pairs | None:
        order = np.argsort(targets.ohms, kind="stable")
        first, second = np.triu_indices(len(order), 1)
        if not first.size:
            return None
        one, two = order[first], order[second]
        same = targets.ohms[one] == targets.ohms[two]
        r1, r2 = targets.lowest[one], targets.highest[two]
        # Alike as far as one can tell, but not known to be: which is the larger is open.
        alike = same & (r1 != r2)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            span = np.where(alike, np.inf, np.where(same, 0.0, r2 - r1))
            drop = np.where(alike, np.inf, np.where(same, 0.0, 1.0 / r1 - 1.0 / r2))
        low, high = targets.low, targets.high
        return _Pairs(one, two, same, span, drop, low[one], high[one], low[two], high[two])

    def turned(self) -> Array:
        """Return by how many ohms a pair is wanted in the other order, 0 where it is not."""
        gap = self.low_one - self.high_two
        return np.where(~self.same & (gap > _ROUNDING * self.low_one), gap, 0.0)

    def span_needs(self) -> Array:
        """Return the least change of ohms that a pair takes; either way on equal ohms."""
        needs = self.low_two - self.high_one
        other = np.where(self.same, self.low_one - self.high_two, -np.inf)
        return np.maximum(needs, other)

    @property
    def least_two(self) -> Array:
        """The least target at the second of a pair that keeps the order."""
        return np.maximum(self.low_one, self.low_two)

    def conductance_needs(self) -> Array:
        """Return the least change of conductance that a pair takes."""
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            needs = 1.0 / self.high_one - 1.0 / self.least_two
        return np.where(self.same, 0.0, needs)

    def refused(self, n: int, law: Law, needs: Array, gives: Array) -> Refusal:
        """Return the refusal of pair `n`."""
        edge = math.nan
        if law is Law.CONDUCTANCE:
            edge = 1.0 / (float(self.drop[n]) + 1.0 / float(self.least_two[n]))
        return Refusal(
            law, int(self.one[n]), int(self.two[n]), float(needs[n]), float(gives[n]), edge
        )


def _excess(needs: Array, gives: Array, size: Array) -> Array:
    """Return how many times more is needed than given, 0 where no more is needed.

    `size` is that of the numbers of which `needs` is the difference: what is beyond by no more
    than their rounding is not beyond.
    """
    slack = np.where(np.isfinite(size), _ROUNDING * size, 0.0)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        # An endless change is always enough, also for another endless one.
        return np.where((needs - gives > slack) & ~np.isinf(gives), needs / gives, 0.0)
