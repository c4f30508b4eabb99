"""Every candidate with its best trim, the first ranks proven before the rest is exact.

Cheap proven bounds stand in for exact answers until those are there, so that nobody waits: the
rows arrive as they are found, and `Ranking` puts them in order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from catalog.parts.gauge import Gauge
from retrofit.dial import stops
from retrofit.finder.all_at_once import AllAtOnce
from retrofit.finder.as_they_are import AsTheyAre
from retrofit.finder.filters import PartFilter
from retrofit.finder.fits import Fitting
from retrofit.finder.one_by_one import OneByOne
from retrofit.finder.proven import RANKS
from retrofit.finder.rows import Bounded, Candidate, Excluded, Row, Solution, Way
from retrofit.finder.screening import Screened, Wanted, screened
from retrofit.plan.document import Pairing, Plan
from retrofit.plan.trim_question import refusal_of
from retrofit.plan.trim_wishes import TrimWishes, in_stock
from retrofit.trim.search import Watch

_AT_FIRST, _AT_ONCE = 1000, 25_000  # candidates of one gauge that are looked at together


@dataclass(frozen=True)
class FindWishes:
    """What is looked for.

    Attributes
    ----------
    trim : TrimWishes
        From which resistors, and how many.
    filters : tuple of PartFilter
        What a part has to keep besides.
    ranks : int
        How many ranks are proven first [1].
    """

    trim: TrimWishes = field(default_factory=TrimWishes)
    filters: tuple[PartFilter, ...] = ()
    ranks: int = RANKS


@dataclass(frozen=True, eq=False)
class Arrived:
    """What was found since the last time.

    Attributes
    ----------
    rows : tuple of Row
        Candidates with their trims, exact.
    excluded : tuple of Excluded
        Candidates that are left out.
    bounded : tuple of Bounded or None
        Where the first ranks are proven, all that are not solved yet; else None.
    done, total : int
        How many candidates are exact or left out, and how many there are [1].
    """

    rows: tuple[Row, ...]
    excluded: tuple[Excluded, ...]
    bounded: tuple[Bounded, ...] | None
    done: int
    total: int


class Solver(Protocol):
    """Finds the best trim of each of some candidates."""

    def first(self, wanted: int, watch: Watch) -> Iterator[list[Solution]]:
        """Give at least so many of the best, or all; `bounded` then tells of the others."""

    def bounded(self) -> list[Bounded]:
        """Return those that are not solved yet, with what none of their trims can beat."""

    def rest(self, watch: Watch) -> Iterator[list[Solution]]:
        """Give all others."""


def find(
    plan: Plan,
    label: str,
    way: Way,
    tried: Sequence[Candidate],
    wishes: FindWishes | None = None,
    watch: Watch | None = None,
) -> Iterator[Arrived]:
    """Find the best trim of every candidate, exact; the first ranks before the rest.

    Parameters
    ----------
    plan : Plan
        The plan; it is not changed.
    label : str
        The pairing whose parts are replaced.
    way : str
        What is looked for: "senders", "gauges" or "pairs".
    tried : sequence of Candidate
        What is tried (``retrofit.finder.rows.candidates``).
    wishes : FindWishes, optional
        What is looked for.
    watch : Watch, optional
        How the caller follows the search.

    Yields
    ------
    Arrived
        First whatever is left out; then the first ranks, after which `bounded` bounds all
        others from below; then the others.

    Raises
    ------
    UserError
        When no pairing has that label; for an empty stock or a range that holds no value.
    CancelledError
        When the caller wished the search to end.

    Notes
    -----
    The same trims and values as one search a candidate: ``tests/finder/test_rank.py``.
    """
    wishes, watch, total = wishes or FindWishes(), watch or Watch(), len(tried)
    pairing = plan.pairing(label)
    refused = refusal_of(plan, label)
    if refused is not None:
        kind = "controller" if plan.duty.controller_shares == "yes" else "tests"
        out = tuple(Excluded(one, kind, refused) for one in tried)  # type: ignore[arg-type]
        yield Arrived((), out, (), total, total)
        return
    done, solvers = 0, list[Solver]()
    asked = Wanted(pairing, plan.duty, way, wishes.trim.beyond, wishes.filters)
    for gauge, group in _by_gauge(tried):
        watch.step(done, total)
        found = screened(asked, gauge, group)
        done += len(found.excluded)
        if found.excluded:
            yield Arrived((), found.excluded, None, done, total)
        for solver in _solvers(plan, pairing, found, wishes.trim):
            for solutions in solver.first(wishes.ranks, watch):
                done += len(solutions)
                yield _arrived(solutions, None, done, total)
                watch.step(done, total)
            solvers.append(solver)
    left = tuple(one for solver in solvers for one in solver.bounded())
    yield Arrived((), (), left, done, total)
    for solver in solvers:
        for solutions in solver.rest(watch):
            done += len(solutions)
            yield _arrived(solutions, None, done, total)
            watch.step(done, total)


def _arrived(
    solutions: list[Solution], left: tuple[Bounded, ...] | None, done: int, total: int
) -> Arrived:
    rows = tuple(one for one in solutions if isinstance(one, Row))
    out = tuple(one for one in solutions if isinstance(one, Excluded))
    return Arrived(rows, out, left, done, total)


def _by_gauge(tried: Sequence[Candidate]) -> Iterator[tuple[Gauge, list[Candidate]]]:
    """Give the candidates of each gauge, of many a few first: rows are there sooner."""
    groups: dict[int, list[Candidate]] = defaultdict(list)
    for one in tried:
        groups[id(one.gauge)].append(one)
    for group in groups.values():
        yield group[0].gauge, group[:_AT_FIRST]
        for start in range(_AT_FIRST, len(group), _AT_ONCE):
            yield group[0].gauge, group[start : start + _AT_ONCE]


def _solvers(plan: Plan, pairing: Pairing, found: Screened, wishes: TrimWishes) -> list[Solver]:
    made: list[Solver] = []
    if found.bare:
        made.append(AsTheyAre(plan, pairing, found.bare))
    if found.tried is None:
        return made
    fitting = Fitting(plan.duty, found.tried.question, stops(found.tried.candidates[0].gauge))
    limited = plan.duty.original is not None or in_stock(wishes) is not None
    if limited or wishes.most > 2 or len(found.tried.candidates) == 1:
        made.append(OneByOne(found.tried, fitting, wishes, pairing, plan.duty))
    else:
        made.append(AllAtOnce(found.tried, fitting, wishes))
    return made
