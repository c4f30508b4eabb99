"""The likely band: Monte Carlo after JCGM 101:2008, with its adaptive stop.

Blocks of draws are made until the mean, the standard uncertainty and both ends of the coverage
interval are stable to the numerical tolerance of the stated digits (clause 7.9). The random
generator's seed is kept with the result, so a result can be made again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.errors import BugError
from retrofit.bands.causes import Cause
from retrofit.bands.reading_model import ReadingModel
from retrofit.bands.tails import ordered_at
from retrofit.circuit.bilinear import Bilinear

BLOCK = 10_000
"""Draws in a block (JCGM 101:2008, 7.9.4 b)."""

COVERAGE = 0.95
"""Coverage probability of the likely band."""

_THREADS = 2


@dataclass(frozen=True)
class Plan:
    """How to draw.

    Attributes
    ----------
    seed : int
        Of the random generator.
    digits : int
        Significant digits of the standard uncertainty that have to be stable, 1 or 2.
    most : int
        Draws at which to give up.
    """

    seed: int = 1
    digits: int = 1
    most: int = 200_000


@dataclass(frozen=True)
class Summary:
    """What draws of one number say.

    Attributes
    ----------
    mean, u : float
        Mean and standard uncertainty.
    low, high : float
        Probabilistically symmetric 95 % coverage interval.
    short_low, short_high : float
        Shortest 95 % coverage interval.
    """

    mean: float
    u: float
    low: float
    high: float
    short_low: float
    short_high: float


@dataclass(frozen=True)
class Convergence:
    """How stable a result is.

    Attributes
    ----------
    draws, blocks : int
        Draws in all, and blocks of them.
    seed : int
        Of the random generator.
    tolerance : float
        Numerical tolerance that was asked for, the smallest of all numbers followed.
    spread : float
        Largest of 2·s over tolerance at the end [1]; 1 or less is reached.
    reached : bool
        Whether every number is stable to the tolerance.
    """

    draws: int
    blocks: int
    seed: int
    tolerance: float
    spread: float
    reached: bool


@dataclass(frozen=True)
class LikelyBand:
    """The likely band of a reading curve.

    Attributes
    ----------
    low, high : array, shape (N,)
        Ends of the 95 % interval [SI]; NaN where the sender is not known.
    convergence : Convergence
        How stable they are.
    """

    low: Array
    high: Array
    convergence: Convergence


def summarise(draws: Array) -> Summary:
    """Return mean, standard uncertainty and 95 % intervals of draws (JCGM 101:2008, 7.6, 7.7).

    Parameters
    ----------
    draws : array, shape (M,)
        Draws of one number [any unit].

    Returns
    -------
    Summary
        In the unit of the draws.

    Examples
    --------
    >>> found = summarise(np.linspace(0.0, 1.0, 10_001))
    >>> round(found.mean, 3), round(found.low, 3), round(found.high, 3)
    (0.5, 0.025, 0.975)
    """
    ordered = np.sort(draws)
    count = len(ordered)
    inside = round(COVERAGE * count)
    first = (count - inside) // 2
    widths = ordered[inside:] - ordered[: count - inside]
    short = int(np.argmin(widths)) if len(widths) else 0
    return Summary(
        float(ordered.mean()),
        float(ordered.std(ddof=1)),
        float(ordered[first]),
        float(ordered[min(first + inside, count - 1)]),
        float(ordered[short]),
        float(ordered[min(short + inside, count - 1)]),
    )


def numerical_tolerance(u: float, digits: int) -> float:
    """Return δ = ½·10^l of u written as c·10^l with `digits` digits (JCGM 101:2008, 7.9.2).

    Examples
    --------
    >>> numerical_tolerance(0.35, 2), numerical_tolerance(0.083, 1)
    (0.005, 0.005)
    """
    if not u > 0.0:  # nothing moves, or nothing is known
        return 0.0
    return float(f"{0.5 * 10.0 ** (math.floor(math.log10(u)) - digits + 1):.6g}")


class _Watch:
    """Follows block after block whether the numbers are stable (JCGM 101:2008, 7.9.4)."""

    def __init__(self, digits: int) -> None:
        self._digits = digits
        self._blocks: list[Array] = []

    def add(self, numbers: Array) -> None:
        """Take a block's numbers, shape (Q, 4): mean, u, low, high of each quantity."""
        self._blocks.append(numbers)

    def state(self) -> tuple[float, float]:
        """Return the smallest tolerance, and the largest 2·s over tolerance."""
        taken = np.array(self._blocks)
        if len(taken) < 2:
            return math.nan, math.inf
        s = taken.std(axis=0, ddof=1) / math.sqrt(len(taken))
        u = taken[:, :, 1].mean(axis=0)
        if np.all(np.isnan(u)):
            return math.nan, math.inf
        tolerance = np.array([numerical_tolerance(float(one), self._digits) for one in u])
        known = tolerance > 0.0
        if not np.any(known):
            return 0.0, 0.0
        worst = 2.0 * s[known].max(axis=1) / tolerance[known]
        return float(tolerance[known].min()), float(worst.max())


def monte_carlo(
    function: Callable[[Array], Array], causes: tuple[Cause, ...], plan: Plan | None = None
) -> tuple[Summary, Convergence]:
    """Return what a plain function of the causes says.

    Parameters
    ----------
    function : callable
        From values, shape (M, P) [SI], to numbers, shape (M,) [any unit].
    causes : tuple of Cause
        P causes.
    plan : Plan, optional
        How to draw.

    Returns
    -------
    Summary, Convergence
        In the unit of the numbers; and how stable they are.

    Raises
    ------
    BugError
        For a number that is not finite.

    Notes
    -----
    Tests: ``tests/published/test_uncertainty.py``, the examples of JCGM 101:2008, 9.
    """
    plan = plan or Plan()
    rng = np.random.default_rng(plan.seed)
    watch, kept = _Watch(plan.digits), list[Array]()
    tolerance, spread = math.nan, math.inf
    while len(kept) * BLOCK < plan.most:
        values = _drawn(causes, rng, BLOCK)
        numbers = np.asarray(function(values))
        if not np.all(np.isfinite(numbers)):
            raise BugError("a Monte Carlo function has to be finite")
        kept.append(numbers)
        one = summarise(numbers)
        watch.add(np.array([[one.mean, one.u, one.low, one.high]]))
        tolerance, spread = watch.state()
        if spread <= 1.0:
            break
    convergence = Convergence(
        len(kept) * BLOCK, len(kept), plan.seed, tolerance, spread, spread <= 1.0
    )
    return summarise(np.concatenate(kept)), convergence


def _drawn(causes: tuple[Cause, ...], rng: np.random.Generator, count: int) -> Array:
    return np.stack([cause.draw(rng, count) for cause in causes], axis=1)


@dataclass(frozen=True)
class _Draws:
    """Draws reduced to laws, with what is added, B of them."""

    placed: Bilinear
    flat: Array
    shift: Array

    @staticmethod
    def together(parts: list[_Draws]) -> _Draws:
        """Return all draws of blocks."""
        laws = [np.concatenate([getattr(part.placed, name) for part in parts]) for name in "abcd"]
        flat = np.concatenate([part.flat for part in parts])
        return _Draws(Bilinear(*laws), flat, np.concatenate([part.shift for part in parts]))


def likely_band(
    model: ReadingModel,
    causes: tuple[Cause, ...],
    plan: Plan | None = None,
    progress: Callable[[int, int], None] = lambda _done, _total: None,
) -> LikelyBand:
    """Return the likely band of a reading curve.

    Parameters
    ----------
    model : ReadingModel
        What is shown, N values.
    causes : tuple of Cause
        P causes; none gives the nominal curve twice.
    plan : Plan, optional
        How to draw.
    progress : callable, optional
        Told after each block how many draws are made, and how many it may take at most; an
        error that it raises ends the work.

    Returns
    -------
    LikelyBand
        Ends of shape (N,) [SI].

    Notes
    -----
    Quantiles are of all draws at each value; only the dial is looked up in a table, to 1e-6 of
    its scale. Tests: ``tests/bands/test_monte_carlo.py``.
    """
    plan = plan or Plan()
    if not causes:
        nominal = model.shown(np.zeros((1, 0)))[0]
        still = Convergence(0, 0, plan.seed, 0.0, 0.0, reached=True)
        return LikelyBand(nominal, nominal.copy(), still)
    rng = np.random.default_rng(plan.seed)
    watch, parts = _Watch(plan.digits), list[_Draws]()
    followed = _followed(model)
    tolerance, spread = math.nan, math.inf
    blocks = _blocks(model, causes, rng)
    while followed and len(parts) * BLOCK < plan.most:
        parts.append(next(blocks))
        watch.add(np.array([_numbers(model, parts[-1], n) for n in followed]).reshape(-1, 4))
        tolerance, spread = watch.state()
        progress(len(parts) * BLOCK, plan.most)
        if spread <= 1.0:
            break
    if not parts:
        nowhere = np.full(len(model.output), np.nan)
        none = Convergence(0, 0, plan.seed, math.nan, math.inf, reached=False)
        return LikelyBand(nowhere, nowhere.copy(), none)
    low, high = _quantiles(model, _Draws.together(parts))
    count = len(parts)
    found = Convergence(count * BLOCK, count, plan.seed, tolerance, spread, spread <= 1.0)
    return LikelyBand(low, high, found)


def _blocks(
    model: ReadingModel, causes: tuple[Cause, ...], rng: np.random.Generator
) -> Iterator[_Draws]:
    """Give block after block, a few reduced side by side; the draws hang on the seed alone."""

    def reduced(values: Array) -> _Draws:
        added = model.additions(values)
        return _Draws(model.table.place(model.laws(values)), added.flat, added.shift)

    while True:
        drawn = [_drawn(causes, rng, BLOCK) for _ in range(_THREADS)]
        with ThreadPoolExecutor(_THREADS) as pool:
            together = list(pool.map(reduced, drawn))
        yield from together


def _followed(model: ReadingModel) -> list[int]:
    """Return the values whose numbers decide when to stop: a dozen over the curve."""
    known = np.flatnonzero(~np.isnan(model.output))
    return [int(n) for n in known[:: max(1, len(known) // 12)]]


def _readings(model: ReadingModel, draws: _Draws, n: int, out: Array) -> None:
    table = model.table
    table.look_up(draws.placed, float(model.output[n]), out)
    out += draws.flat
    if draws.shift.any():
        out += draws.shift * model.slope[n]
    np.clip(out, table.low, table.high, out=out)


def _numbers(model: ReadingModel, draws: _Draws, n: int) -> list[float]:
    out = np.empty(len(draws.flat))
    _readings(model, draws, n, out)
    one = summarise(out)
    return [one.mean, one.u, one.low, one.high]


def _quantiles(model: ReadingModel, draws: _Draws) -> tuple[Array, Array]:
    """Return both ends at every value, shape (N,) each, two threads side by side."""
    count = len(model.output)
    low, high = np.full(count, np.nan), np.full(count, np.nan)
    total = len(draws.flat)
    inside = round(COVERAGE * total)
    first = (total - inside) // 2
    last = min(first + inside, total - 1)

    def some(start: int) -> None:
        out = np.empty(total)
        for n in range(start, count, _THREADS):
            if np.isnan(model.output[n]):
                continue
            _readings(model, draws, n, out)
            if np.isnan(out.max()):
                continue  # a draw of which nobody knows what it shows: no share of all draws
            low[n], high[n] = ordered_at(out, first, last)

    with ThreadPoolExecutor(_THREADS) as pool:
        list(pool.map(some, range(_THREADS)))
    return low, high
