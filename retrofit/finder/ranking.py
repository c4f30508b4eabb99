"""All that has arrived, in order: what is proven, and what nothing else beats."""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter

from retrofit.finder.rank import Arrived
from retrofit.finder.rows import Bounded, Excluded, Row
from retrofit.trim.question import TIE


class Ranking:
    """Rows as they arrive, best first.

    Attributes
    ----------
    excluded : list of Excluded
        What is left out.
    done, total : int
        How many candidates are exact or left out, and how many there are.
    """

    def __init__(self) -> None:
        self._ordered: list[tuple[float, int, str, Row]] = []
        self._rows: list[Row] | None = []
        self._bounds: dict[str, Bounded] | None = None
        self.excluded: list[Excluded] = []
        self.done = self.total = 0

    def take(self, arrived: Arrived) -> None:
        """Take in what arrived."""
        if arrived.rows:
            self._ordered += [(*_order(row), row) for row in arrived.rows]
            self._rows = None
        self.excluded += arrived.excluded
        self.done, self.total = arrived.done, arrived.total
        if arrived.bounded is not None:
            self._bounds = {one.candidate.key: one for one in arrived.bounded}
        if self._bounds:
            solved = [row.candidate for row in arrived.rows]
            for one in (*solved, *(out.candidate for out in arrived.excluded)):
                self._bounds.pop(one.key, None)

    @property
    def rows(self) -> list[Row]:
        """The exact rows, best first: by worst error, then fewer parts, then key."""
        if self._rows is None:
            # Sorted when somebody looks: thousands arrive between two looks.
            self._ordered.sort(key=itemgetter(0, 1, 2))
            self._rows = [row for *_, row in self._ordered]
        return self._rows

    @property
    def bounded(self) -> list[Bounded]:
        """Those that are not solved yet, the most promising first."""
        left = () if self._bounds is None else self._bounds.values()
        return sorted(left, key=lambda one: (one.at_least, one.candidate.key))

    @property
    def proven(self) -> int:
        """How many of the first ranks are proven: nothing that is left can come before them."""
        if self._bounds is None:
            return 0
        least = min((one.at_least for one in self._bounds.values()), default=float("inf"))
        return sum(1 for row in self.rows if row.best.worst <= least)


def _order(row: Row) -> tuple[float, int, str]:
    return row.best.worst, row.best.parts, row.key


def unbeaten(rows: Sequence[Row]) -> frozenset[str]:
    """Return the keys of the rows that nothing else beats on error, parts and band.

    A row is beaten where another is no worse in all three, and better in one; errors that
    differ by rounding are the same. Bands count where all rows have one.

    Parameters
    ----------
    rows : sequence of Row
        The rows; what counts is the trim to fit (`lead`).
    """
    banded = all(row.band is not None for row in rows)
    points = sorted(
        (row.lead.worst, row.lead.parts, (row.band or 0.0) if banded else 0.0, row.key)
        for row in rows
    )
    kept: list[tuple[float, int, float, str]] = []
    for worst, parts, band, key in points:
        beaten = any(
            other[1] <= parts
            and other[2] <= band
            and (other[0] < worst - TIE or other[1] < parts or other[2] < band)
            for other in kept
        )
        if not beaten:
            kept.append((worst, parts, band, key))
    return frozenset(key for *_, key in kept)
