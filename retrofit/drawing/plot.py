"""The plane of a chart: places of values, and lines and bands cut to what the plane shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.drawing.svg import Point

Flags = NDArray[np.bool_]

Run = tuple[int, int]
"""First index of a run and the one after its last."""


@dataclass(frozen=True)
class Plot:
    """A rectangle [mm] that shows true values [SI] across and needle errors [SI] upwards.

    Attributes
    ----------
    left, top, right, bottom : float
        The rectangle [mm].
    x_low, x_high : float
        True values at its sides [SI].
    y_low, y_high : float
        Errors at its bottom and top [SI difference].
    """

    left: float
    top: float
    right: float
    bottom: float
    x_low: float
    x_high: float
    y_low: float
    y_high: float

    def x_of(self, value: float) -> float:
        """Return the place across of a true value [SI → mm]."""
        share = (value - self.x_low) / (self.x_high - self.x_low)
        return self.left + share * (self.right - self.left)

    def y_of(self, error: float) -> float:
        """Return the height of an error [SI difference → mm], beyond the rectangle if it is."""
        share = (error - self.y_low) / (self.y_high - self.y_low)
        return self.bottom - share * (self.bottom - self.top)

    def held_y(self, error: float) -> float:
        """Return the height of an error [mm], held within the rectangle."""
        return min(max(self.y_of(error), self.top), self.bottom)

    def value_of(self, x: float) -> float:
        """Return the true value at a place across [mm → SI], held within the range."""
        share = (x - self.left) / (self.right - self.left)
        return self.x_low + min(max(share, 0.0), 1.0) * (self.x_high - self.x_low)

    def places(self, x: Array, y: Array) -> list[Point]:
        """Return the places of points, each of shape (N,) [SI] → N places [mm]."""
        return [(self.x_of(float(a)), self.y_of(float(b))) for a, b in zip(x, y, strict=True)]

    def cut(self, x: Array, y: Array) -> list[list[Point]]:
        """Return the pieces of a line that lie within the errors shown.

        Parameters
        ----------
        x, y : array, shape (N,)
            True values [SI] and finite errors [SI difference].

        Returns
        -------
        list of list of (float, float)
            Pieces of two places or more [mm], cut where the line crosses top or bottom.
        """
        pieces: list[list[Point]] = [[]]
        for k in range(len(x) - 1):
            part = self._within(float(x[k]), float(y[k]), float(x[k + 1]), float(y[k + 1]))
            if part is None:
                continue
            start, end = part
            if pieces[-1] and pieces[-1][-1] != start:
                pieces.append([])
            if not pieces[-1]:
                pieces[-1].append(start)
            pieces[-1].append(end)
        return [piece for piece in pieces if len(piece) > 1]

    def _within(self, x1: float, y1: float, x2: float, y2: float) -> tuple[Point, Point] | None:
        """Cut one straight piece to the errors shown; None where it lies outside them."""
        enter, leave = 0.0, 1.0
        rise = y2 - y1
        for limit, sign in ((self.y_low, 1.0), (self.y_high, -1.0)):
            start, end = sign * (y1 - limit), sign * (y2 - limit)
            if start < 0.0 and end < 0.0:
                return None
            if start < 0.0:
                enter = max(enter, (limit - y1) / rise)
            elif end < 0.0:
                leave = min(leave, (limit - y1) / rise)
        if enter >= leave:
            return None
        ends = []
        for share in (enter, leave):
            x = x1 + share * (x2 - x1) if share < 1.0 else x2
            y = y1 + share * rise if share < 1.0 else y2
            ends.append((self.x_of(x), self.y_of(y)))
        return ends[0], ends[1]


def runs(flags: Flags) -> Iterator[Run]:
    """Give the runs of true flags.

    Parameters
    ----------
    flags : array of bool, shape (N,)
        Flags [1].

    Examples
    --------
    >>> list(runs(np.array([False, True, True, False, True])))
    [(1, 3), (4, 5)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False]))))
    for start, end in edges.reshape(-1, 2):
        yield int(start), int(end)
