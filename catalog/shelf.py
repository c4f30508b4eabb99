"""The catalogue as it is looked through: every part with its facts, searched and sorted.

All of it is in memory, so that a key press over a hundred thousand parts is answered at once.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.codec import Part
from catalog.library import PartKind, folded
from catalog.likeness import LEAST, NEAR, asked
from catalog.parts.facts import PartFacts, facts_of, value_at
from catalog.parts.fields import QuantityName
from catalog.provenance import BasisKind
from catalog.quantities.kinds import Kind

Places = NDArray[np.intp]
Direction = Literal["rising", "falling"]
Whose = Literal["all", "own", "retired"]
Sort = Literal["catalogue", "name", "low", "high", "span", "basis"]
SORTS: tuple[Sort, ...] = ("catalogue", "name", "low", "high", "span", "basis")


@dataclass(frozen=True)
class Kept:
    """One part as the catalogue keeps it.

    Attributes
    ----------
    part : Sender or Gauge
        The part, whole.
    facts : PartFacts
        What lists show and filters ask.
    own : bool
        Whether its content is the user's and not what the program ships.
    retired : bool
        Whether it is kept for old plans only.
    revision : int
        Its current revision.
    available : int or None
        Revision that holds what the program ships now, where the user's differs.
    """

    part: Part
    facts: PartFacts
    own: bool = False
    retired: bool = False
    revision: int = 1
    available: int | None = None

    @property
    def key(self) -> str:
        """Key of the part."""
        return self.part.key


def kept(part: Part) -> Kept:
    """Return a part as the program ships it."""
    return Kept(part, facts_of(part))


@dataclass(frozen=True)
class Sieve:
    """What a part must be to be listed; each condition that is left out holds for every part.

    Attributes
    ----------
    words : str
        Words, and numbers that mean ohms.
    kind, quantity : str or None
        "sender" or "gauge"; what it is about.
    direction : str or None
        Whether the signal rises or falls with the value.
    at, ohms : float or None
        A value [SI] and the ohms there [Ω], met within 10 %; both or none.
    low, high : float or None
        Values [SI] that its curve or scale must reach.
    stations : int or None
        Gauges that a sender feeds.
    earth_return : str or None
        How a sender is earthed; one that takes either is found too.
    thread : str
        Part of the designation of a sender's thread.
    switch : bool
        Whether it has to be a switch or to have one.
    movement : str or None
        What turns a gauge's pointer.
    whose : str
        "all" that are not retired, the user's "own" of these, or the "retired" ones.
    """

    words: str = ""
    kind: PartKind | None = None
    quantity: QuantityName | None = None
    direction: Direction | None = None
    at: float | None = None
    ohms: float | None = None
    low: float | None = None
    high: float | None = None
    stations: int | None = None
    earth_return: str | None = None
    thread: str = ""
    switch: bool = False
    movement: str | None = None
    whose: Whose = "all"

    @property
    def count(self) -> int:
        """How many conditions there are besides the words."""
        plain = replace(self, words="", at=None if self.ohms is None else self.at)
        paired = 1 if plain.at is not None else 0
        names = [name for name in plain.__dataclass_fields__ if name not in ("at", "ohms")]
        empty = Sieve()
        return paired + sum(bool(getattr(plain, name) != getattr(empty, name)) for name in names)

    def tests(self) -> tuple[Callable[[Kept], bool], ...]:
        """Return a test for each condition besides the words, the quick ones first."""
        found: list[Callable[[Kept], bool]] = [_WHOSE[self.whose]]
        found += [_equal(name, getattr(self, name)) for name in _PLAIN if getattr(self, name)]
        if self.direction is not None:
            rising = self.direction == "rising"
            found.append(lambda one: one.facts.rising is rising)
        if self.earth_return is not None:
            wanted = (self.earth_return, "either")
            found.append(lambda one: one.facts.earth_return in wanted)
        if self.thread.strip():
            thread = _thread_text(self.thread)
            found.append(lambda one: thread in _thread_text(one.facts.thread or ""))
        for end, place, sign in ((self.low, 0, -1.0), (self.high, 1, 1.0)):
            if end is not None:
                found.append(_reaches(end, place, sign))
        if self.at is not None and self.ohms is not None:
            found.append(_gives(self.at, self.ohms))
        return tuple(found)


_PLAIN = ("kind", "quantity", "stations", "movement", "switch")

_WHOSE: Mapping[Whose, Callable[[Kept], bool]] = {
    "all": lambda one: not one.retired,
    "own": lambda one: one.own and not one.retired,
    "retired": lambda one: one.retired,
}


def _equal(name: str, wanted: object) -> Callable[[Kept], bool]:
    return lambda one: getattr(one.facts, name) == wanted


def _thread_text(text: str) -> str:
    return "".join(folded(text).replace("×", "x").split())


def _reaches(end: float, place: int, sign: float) -> Callable[[Kept], bool]:
    slack = 1e-9 * max(1.0, abs(end))

    def test(one: Kept) -> bool:
        span = one.facts.span
        return span is not None and sign * (span[place] - end) >= -slack

    return test


def _gives(at: float, ohms: float) -> Callable[[Kept], bool]:
    def test(one: Kept) -> bool:
        ends = one.facts.ends
        if one.facts.signal is not Kind.RESISTANCE or ends is None:
            return False
        if not min(ends) <= ohms * math.exp(NEAR) or not max(ends) >= ohms * math.exp(-NEAR):
            return False
        value = value_at(one.part, at)
        if math.isnan(value):
            return False
        return abs(math.log(max(value, LEAST) / max(ohms, LEAST))) <= NEAR

    return test


_TRUST = {kind: place for place, kind in enumerate(BasisKind)}


def _low(one: Kept) -> tuple[bool, float]:
    return one.facts.ends is None, 0.0 if one.facts.ends is None else one.facts.ends[0]


def _high(one: Kept) -> tuple[bool, float]:
    return one.facts.ends is None, 0.0 if one.facts.ends is None else one.facts.ends[1]


def _span(one: Kept) -> tuple[bool, float]:
    span = one.facts.span
    return span is None, 0.0 if span is None else span[1] - span[0]


_ORDER: Mapping[Sort, Callable[[Kept], Any]] = {
    "name": lambda one: (folded(one.part.name), one.key),
    "low": _low,
    "high": _high,
    "span": _span,
    "basis": lambda one: _TRUST[one.facts.basis],
}


class Shelf:
    """All parts of a catalogue.

    Parameters
    ----------
    parts : iterable of Kept
        In the order of the catalogue; keys differ.
    """

    def __init__(self, parts: Iterable[Kept] = ()) -> None:
        self._by_key = {one.key: one for one in parts}
        self._parts = tuple(self._by_key.values())
        self._texts = [one.facts.text for one in self._parts]
        self._orders: dict[Sort, Sequence[int]] = {}
        self._narrowed: tuple[object, Sequence[int]] | None = None

    def __len__(self) -> int:
        """Return how many parts there are, retired ones included."""
        return len(self._parts)

    def __iter__(self) -> Iterator[Kept]:
        """Go through the parts in the order of the catalogue."""
        return iter(self._parts)

    def get(self, key: str) -> Kept | None:
        """Return a part by its key, None where there is none."""
        return self._by_key.get(key)

    def with_parts(self, changed: Iterable[Kept]) -> Shelf:
        """Return the shelf with some parts as they are now; new ones come last."""
        return Shelf((self._by_key | {one.key: one for one in changed}).values())

    def prepared(self) -> Shelf:
        """Return the shelf, ready for the first key press in a search."""
        self._ohms  # noqa: B018
        return self

    def find(self, sieve: Sieve, sort: Sort = "catalogue") -> list[Kept]:
        """Return the parts that a sieve lets through.

        Parameters
        ----------
        sieve : Sieve
            What they must be.
        sort : str
            In which order; where numbers are typed the nearest ohms come first in the order
            of the catalogue.

        Notes
        -----
        Words and numbers find what ``catalog.likeness`` finds, part by part:
        ``tests/catalog/test_shelf.py``.

        Examples
        --------
        >>> from catalog.library import load_generic
        >>> shelf = Shelf(map(kept, load_generic().senders))
        >>> found = shelf.find(Sieve(quantity="level", at=0.5, ohms=103.0, direction="falling"))
        >>> found[0].key
        'level-240-33-mid-103'
        """
        words = asked(sieve.words)
        places, texts = self._narrow(replace(sieve, words=""), sort), self._texts
        for word, ohms in words:
            if ohms is None:
                places = [place for place in places if word in texts[place]]
        numbers = [ohms for _, ohms in words if ohms is not None]
        if numbers and self._parts:
            places = self._nearest(np.array(places, dtype=np.intp), numbers, sort)
        return [self._parts[place] for place in places]

    def _narrow(self, sieve: Sieve, sort: Sort) -> Sequence[int]:
        """Return the places of what the filters let through; kept while only words change."""
        asked_for = (sieve, sort)
        if self._narrowed is None or self._narrowed[0] != asked_for:
            places: Sequence[int] = self._in_order(sort)
            for test in sieve.tests():
                places = [place for place in places if test(self._parts[place])]
            self._narrowed = (asked_for, places)
        return self._narrowed[1]

    def _in_order(self, sort: Sort) -> Sequence[int]:
        if sort not in self._orders:
            places: Sequence[int] = range(len(self._parts))
            if sort != "catalogue":
                by = _ORDER[sort]
                places = sorted(places, key=lambda place: by(self._parts[place]))
            self._orders[sort] = places
        return self._orders[sort]

    @cached_property
    def _ohms(self) -> tuple[Array, Places]:
        """Logarithms of all known ohms, one part after the other, and where each part begins."""
        known = [one.facts.points or ((0.0, math.nan),) for one in self._parts]
        starts = np.concatenate(([0], np.cumsum([len(points) for points in known])[:-1]))
        ohms = np.array([ohm for points in known for _, ohm in points], dtype=np.float64)
        return np.log(np.maximum(ohms, LEAST)), starts.astype(np.intp)

    def _nearest(self, places: Places, numbers: Sequence[float], sort: Sort) -> Sequence[int]:
        logs, starts = self._ohms
        far = np.zeros(len(self._parts))
        for ohms in numbers:
            distance = np.abs(logs - math.log(max(ohms, LEAST)))
            distance = np.where(distance <= NEAR, distance, np.inf)  # NaN is beyond as well
            far += np.minimum.reduceat(distance, starts)
        found = places[np.isfinite(far[places])]
        if sort == "catalogue":
            found = found[np.argsort(far[found], kind="stable")]
        return [int(place) for place in found]
