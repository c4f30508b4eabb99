"""The answer to a trim question: the best with none to three resistors, and which to lead with."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import numpy as np

from catalog.arrays import Array
from retrofit.installation import PLACES, Place
from retrofit.trim.boxes import Space
from retrofit.trim.question import TIE, Question, objective, shown
from retrofit.trim.search import Best, Watch, best
from retrofit.trim.ties import Filter, filtered, no_worse, settled
from retrofit.trim.topologies import SERIES, Part, Shelf, Topology, topologies

MOST_ALTERNATIVES = 8

WELL_WITHIN = 1.0 / 3.0
"""Share of the allowed error below which another resistor buys nothing worth a joint (assumed)."""


@dataclass(frozen=True)
class Trim:
    """Resistors in the five places.

    Attributes
    ----------
    ohms : tuple of five floats
        In the order of `PLACES` [Ω]; 0 where none is in series, +inf where none is across or
        pulling up.

    Examples
    --------
    >>> Trim((82.0, 0.0, float("inf"), 0.0, float("inf"))).resistors
    (('across sender', 82.0),)
    """

    ohms: tuple[float, float, float, float, float]

    @property
    def resistors(self) -> tuple[tuple[Place, float], ...]:
        """The resistors that there are, with their ohms [Ω]."""
        held = (0.0 if c in SERIES else np.inf for c in range(5))
        pairs = zip(PLACES, self.ohms, held, strict=True)
        return tuple((place, ohm) for place, ohm, none in pairs if ohm != none)

    @property
    def places(self) -> tuple[Place, ...]:
        """Where they sit."""
        return tuple(place for place, _ in self.resistors)

    def arrays(self) -> tuple[Array, Array, Array, Array, Array]:
        """Return the ohms as five arrays of shape () [Ω]."""
        p, s1, q, s2, u = (np.array(ohm) for ohm in self.ohms)
        return p, s1, q, s2, u


@dataclass(frozen=True, eq=False)
class Found:
    """A trim with what it shows.

    Attributes
    ----------
    trim : Trim
        The resistors.
    worst : float
        Worst |e|/a over the points [1].
    shown : array, shape (N,)
        Shown values [SI], stops ignored.
    with_own, with_1, with_5 : float
        Worst |e|/a [1] with each resistor anywhere within its own tolerance, 1 % and 5 %.
    """

    trim: Trim
    worst: float
    shown: Array
    with_own: float
    with_1: float
    with_5: float

    @property
    def noise(self) -> float:
        """How far the objective can grow because of its parts' own tolerance [1]."""
        return self.with_own - self.worst


@dataclass(frozen=True)
class Wishes:
    """What trims are wanted.

    Attributes
    ----------
    most : int
        Largest number of resistors [1]: two unless three are asked for.
    pull_up : bool
        Whether a pull-up may be proposed; it is only where the gauge's source is known.
    tolerance : float
        Of the resistors, as a share of their ohms [1], 0 … below 1.
    allowed : callable or None
        Whether trims are allowed (watts, currents), from their ohms at the five places.
    """

    most: int = 2
    pull_up: bool = True
    tolerance: float = 0.05
    allowed: Filter | None = None


@dataclass(frozen=True, eq=False)
class Answer:
    """The best trims there are.

    Attributes
    ----------
    by_count : tuple of Found or None
        The best with exactly 0, 1, 2 … resistors; None where none keeps the needle on its scale
        and within the limits of flattery.
    lead : Found or None
        The fewest resistors that are no worse than the best of all with its parts anywhere
        within their tolerance, or err less than `WELL_WITHIN`; None where no trim does.
    alternatives : tuple of Found
        At most eight others, best first: each of another topology, with one resistor fewer, or
        with a value that differs by more than its tolerance. None holds a resistor that buys
        nothing.
    """

    by_count: tuple[Found | None, ...]
    lead: Found | None
    alternatives: tuple[Found, ...] = field(default=())

    @property
    def best(self) -> Found | None:
        """The best of all, with the fewest resistors where several tie."""
        return _first([each for each in self.by_count if each is not None])


def best_trims(
    question: Question, values: Array, wishes: Wishes | None = None, watch: Watch | None = None
) -> Answer:
    """Return the best trims there are from a list of values, exact.

    Ties (objectives closer than `TIE`) go to the fewest resistors, then the earlier topology,
    then the values nearest to no resistor at all (``ties.settled``).

    Parameters
    ----------
    question : Question
        What a trim has to achieve.
    values : array, shape (n,)
        Ohms that resistors come in [Ω], > 0, strictly increasing.
    wishes : Wishes, optional
        What trims are wanted.
    watch : Watch, optional
        How the caller follows the search.

    Returns
    -------
    Answer
        The same on every machine.

    Raises
    ------
    UserError
        ``trim.no_values`` or ``trim.bad_values``.
    CancelledError
        When the caller wished the search to end.

    Notes
    -----
    Never beaten and never missed by a plain loop: ``tests/trim/test_search.py``.

    Examples
    --------
    A falling 88 to 8 Ω sender on a straight 73 to 10 Ω dial, 5 % of the scale allowed:

    >>> from catalog.curves.interpolated import Interpolated
    >>> from retrofit.trim.signal_node import SignalNode
    >>> dial, x = Interpolated(((0.0, 73.0), (1.0, 10.0))), np.linspace(0.0, 1.0, 21)
    >>> allowed, node = np.full(21, 0.05), SignalNode.path_only()
    >>> answer = best_trims(
    ...     Question(x, 88.0 - 80.0 * x, allowed, dial, node), np.array([1.0, 360.0, 430.0])
    ... )
    >>> [(each.trim.resistors, round(each.worst, 2)) for each in answer.by_count if each]
    [((), 4.76),
     ((('across sender', 430.0),), 0.68),
     ((('series at sender', 1.0), ('signal to earth', 360.0)), 0.52)]
    """
    wishes, watch, shelf = wishes or Wishes(), watch or Watch(), Shelf(values)
    pull_up = wishes.pull_up and question.node.pull_up
    kinds = topologies(wishes.most, pull_up=pull_up)
    search = _Search(question, shelf, wishes, watch)
    each = search.found(tuple(Part.whole(kind, shelf) for kind in kinds))
    counts = range(max(kind.count for kind in kinds) + 1)
    by_count = tuple(
        _first([f for f, kind in zip(each, kinds, strict=True) if f and kind.count == count])
        for count in counts
    )
    plain = Answer(by_count, None)
    if plain.best is None:
        return plain
    limit = max(plain.best.with_own + TIE, WELL_WITHIN)
    lead = next(f for f in by_count if f is not None and f.worst <= limit)
    others = [f for f in each if f is not None and f is not lead and not _idle(f, each)]
    variant = _first([f for f in search.found(_elsewhere(lead, shelf, wishes.tolerance)) if f])
    if variant is not None:
        others.append(variant)
    others.sort(key=lambda f: (f.worst, len(f.trim.resistors)))
    return Answer(by_count, lead, tuple(others[:MOST_ALTERNATIVES]))


@dataclass(frozen=True, eq=False)
class _Search:
    question: Question
    shelf: Shelf
    wishes: Wishes
    watch: Watch

    def found(self, parts: tuple[Part, ...]) -> list[Found | None]:
        """Return the best of each part, None where it has none."""
        if not parts:
            return []
        space = Space(self.question, self.shelf, parts)
        known = best(space, self.watch)
        if self.wishes.allowed is not None:
            known = filtered(space, known, self.wishes.allowed, self.watch)
        else:
            known = settled(space, known, self.watch)
        return [self._described(known, row) for row in range(len(parts))]

    def _described(self, known: Best, row: int) -> Found | None:
        worst = float(known.worst[row])
        if not np.isfinite(worst):
            return None
        p, s1, q, s2, u = (float(ohm) for ohm in self.shelf.ohms(known.index[row]))
        return described(self.question, Trim((p, s1, q, s2, u)), self.wishes.tolerance)


def described(question: Question, trim: Trim, tolerance: float) -> Found:
    """Return a trim with what it shows.

    Parameters
    ----------
    question : Question
        The question.
    trim : Trim
        The resistors.
    tolerance : float
        Their own tolerance, as a share of their ohms [1].
    """
    own, one, five = (spread(question, trim, share) for share in (tolerance, 0.01, 0.05))
    worst = float(objective(question, *trim.arrays()))
    return Found(trim, worst, shown(question, *trim.arrays()), own, one, five)


def spread(question: Question, trim: Trim, tolerance: float) -> float:
    """Return the worst objective with each resistor anywhere within its tolerance [1].

    At every point the reading is monotone in each resistor by itself, so the worst of each lies
    where all are at the end of their tolerance: max over corners of max over points of |e|/a.

    Parameters
    ----------
    question : Question
        The question.
    trim : Trim
        The resistors.
    tolerance : float
        As a share of their ohms [1], 0 … below 1.
    """
    ends = itertools.product(
        *((ohm * (1.0 - tolerance), ohm * (1.0 + tolerance)) for ohm in trim.ohms)
    )
    corners = np.array(sorted(set(ends))).T
    p, s1, q, s2, u = corners
    return float(np.max(objective(question, p, s1, q, s2, u)))


def _first(found: list[Found]) -> Found | None:
    """Return the best, the first of those that tie; None of none."""
    if not found:
        return None
    limit = no_worse(np.array([min(each.worst for each in found)]))[0]
    return next(each for each in found if each.worst <= limit)


def _idle(found: Found, others: list[Found | None]) -> bool:
    """Return whether a resistor of a trim buys nothing: fewer in the same places do as well."""
    places = set(found.trim.places)
    limit = no_worse(np.array([found.worst]))[0]
    return any(
        other is not None and set(other.trim.places) < places and other.worst <= limit
        for other in others
    )


def _elsewhere(lead: Found, shelf: Shelf, tolerance: float) -> tuple[Part, ...]:
    """Return the trims of the lead's topology with a value that differs by more than tolerance."""
    whole = Part.whole(Topology(lead.trim.places), shelf)
    parts = []
    for column in whole.topology.columns:
        ohm, shift = lead.trim.ohms[column], 1 if column in SERIES else 0
        below = np.searchsorted(shelf.values, ohm * (1.0 - tolerance), side="left")
        above = np.searchsorted(shelf.values, ohm * (1.0 + tolerance), side="right")
        for first, last in ((0, below - 1), (above, shelf.values.size - 1)):
            low, high = whole.low.copy(), whole.high.copy()
            low[column], high[column] = first + shift, last + shift
            if first <= last:
                parts.append(Part(whole.topology, low, high))
    return tuple(parts)
