"""Where the resistors of a trim may sit, and the space of trims that a list of values spans.

A trim is five indices, one a place, into the list of values with 'none' put at the end that is
no resistor: below the smallest for resistors in series (0 Ω), above the largest for those across
and for the pull-up (+inf). So the order of the indices is the order of the ohms at every place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.errors import user_error
from retrofit.installation import PLACES, Place

Index = NDArray[np.intp]

SERIES = (1, 3)
"""Columns of the places in series, where 'none' is 0 Ω; at the others it is +inf."""

ORDER = (0, 2, 4, 3, 1)
"""Columns in the order in which ties are settled: p, q, u, s2, s1."""


@dataclass(frozen=True)
class Topology:
    """Which places hold a resistor.

    Attributes
    ----------
    places : tuple of str
        In the order of `PLACES`.
    """

    places: tuple[Place, ...]

    @property
    def count(self) -> int:
        """Number of resistors."""
        return len(self.places)

    @property
    def columns(self) -> tuple[int, ...]:
        """Their columns among the five places."""
        return tuple(PLACES.index(place) for place in self.places)


_IN_PATH: tuple[tuple[Place, ...], ...] = (
    (),
    ("series at sender",),
    ("across sender",),
    ("across sender", "series at sender"),
    ("series at sender", "signal to earth"),
    ("across sender", "series at sender", "signal to earth"),
    ("series at sender", "signal to earth", "series at gauge"),
)


def topologies(most: int, *, pull_up: bool) -> tuple[Topology, ...]:
    """Return the topologies that are searched, fewest resistors first.

    R+s; R∥p; (R∥p)+s; (R+s)∥q; ((R∥p)+s)∥q; ((R+s1)∥q)+s2; each also with a pull-up u, and u
    alone. A resistor in series is the same at the sender and at the gauge where nothing lies
    between, so it is counted at the sender.

    Parameters
    ----------
    most : int
        Largest number of resistors [1].
    pull_up : bool
        Whether a pull-up can be judged and is wanted.

    Examples
    --------
    >>> [each.places for each in topologies(1, pull_up=True)]
    [(), ('series at sender',), ('across sender',), ('pull-up',)]
    """
    found = list(_IN_PATH)
    if pull_up:
        found += [(*places, "pull-up") for places in _IN_PATH]
    kept = [Topology(places) for places in found if len(places) <= most]
    return tuple(sorted(kept, key=lambda each: each.count))


@dataclass(frozen=True, eq=False)
class Shelf:
    """The values that resistors come in.

    Parameters
    ----------
    values : array, shape (n,)
        Ohms [Ω], finite, > 0, strictly increasing, n ≥ 1.

    Raises
    ------
    UserError
        ``trim.no_values`` or ``trim.bad_values``.
    """

    values: Array

    def __post_init__(self) -> None:
        """Refuse an empty or unsorted list."""
        if self.values.size == 0:
            raise user_error("trim.no_values")
        sound = np.all(np.isfinite(self.values)) and np.all(self.values > 0.0)
        if not (sound and np.all(np.diff(self.values) > 0.0)):
            raise user_error("trim.bad_values")

    @property
    def none(self) -> Index:
        """Index of no resistor at each place, shape (5,)."""
        return np.array([0 if c in SERIES else self.values.size for c in range(5)])

    @property
    def first(self) -> Index:
        """Index of the smallest value at each place, shape (5,)."""
        return np.array([1 if c in SERIES else 0 for c in range(5)])

    @property
    def last(self) -> Index:
        """Index of the largest value at each place, shape (5,)."""
        return self.first + self.values.size - 1

    def ohms(self, index: Index) -> tuple[Array, ...]:
        """Return the ohms of trims, shape (..., 5) → five arrays of shape (...) [Ω]."""
        series = np.concatenate([[0.0], self.values])
        others = np.concatenate([self.values, [np.inf]])
        return tuple((series if c in SERIES else others)[index[..., c]] for c in range(5))


@dataclass(frozen=True, eq=False)
class Part:
    """A part of the space: one topology, and a range of values at each of its places.

    Attributes
    ----------
    topology : Topology
        Which places hold a resistor.
    low, high : array, shape (5,)
        First and last index at each place; both 'none' where there is no resistor.
    """

    topology: Topology
    low: Index
    high: Index

    @staticmethod
    def whole(topology: Topology, shelf: Shelf) -> Part:
        """Return all trims of a topology."""
        held = [c in topology.columns for c in range(5)]
        return Part(
            topology,
            np.where(held, shelf.first, shelf.none),
            np.where(held, shelf.last, shelf.none),
        )

    @property
    def size(self) -> int:
        """Number of trims in it."""
        return int(np.prod(np.maximum(self.high - self.low + 1, 0), dtype=np.int64))


def preferred(index: Index) -> tuple[Index, ...]:
    """Return sort keys, least first, of trims that tie: those nearest to no resistor at all.

    Parameters
    ----------
    index : array, shape (..., 5)
        Trims of one topology.

    Returns
    -------
    tuple of arrays, shape (...)
        Negated indices across, from signal to earth and of the pull-up (the largest ohms
        first), then those in series at the gauge and at the sender (the smallest first).
    """
    return tuple(index[..., c] if c in SERIES else -index[..., c] for c in ORDER)
