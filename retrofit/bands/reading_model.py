"""A reading curve as a function of everything that may be off, exact and fast.

A corner or draw costs one law of the sender's ohms; the true value enters only there. Where
millions of readings are wanted the dial is looked up in a table over t = R/(R + Rm), which is
bilinear in R too, so law and table need one division together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from retrofit.circuit.bilinear import Bilinear
from retrofit.dial import Stops
from retrofit.movements import Apparent

_CELLS = 1 << 14


@dataclass(frozen=True)
class Additions:
    """What adds to a reading whatever the network does.

    Attributes
    ----------
    flat : array, shape (B,)
        The same at every value [SI difference].
    shift : array, shape (B,)
        By how much the sender is off in its value [SI difference]; it counts with the local
        slope of the reading curve, to first order.
    """

    flat: Array
    shift: Array


@dataclass(frozen=True)
class ReadingModel:
    """What is shown at N true values for any values of P causes.

    Attributes
    ----------
    output : array, shape (N,)
        What the sender nominally gives there [Ω, V or A]; NaN where its curve is not known.
    laws : callable
        From values, shape (B, P) [SI], to what the dial sees of that output, as B laws.
    additions : callable
        From values, shape (B, P) [SI], to what is added.
    slope : array, shape (N,)
        Slope of the nominal reading curve there [1].
    dial : Characteristic
        Value shown at what the dial sees.
    stops : Stops
        Where the needle is held.
    """

    output: Array
    laws: Callable[[Array], Bilinear]
    additions: Callable[[Array], Additions]
    slope: Array
    dial: Characteristic
    stops: Stops

    def shown(self, values: Array) -> Array:
        """Return what is shown, exactly.

        Parameters
        ----------
        values : array, shape (B, P)
            Values of the causes [SI].

        Returns
        -------
        array, shape (B, N)
            Shown values [SI], held by the stops; NaN where the sender is not known.
        """
        sees = Apparent(self.laws(values)).of(self.output)
        added = self.additions(values)
        shown = self.dial.value(np.ravel(sees)).reshape(sees.shape)
        shown = shown + added.flat[:, None] + added.shift[:, None] * self.slope
        return np.clip(shown, self.stops.low, self.stops.high)

    def near(self, values: Array) -> Array:
        """Return what is shown, by the table: to 1e-6 of the scale, and not held by the stops.

        Parameters
        ----------
        values : array, shape (B, P)
            Values of the causes [SI].

        Returns
        -------
        array, shape (B, N)
            Shown values [SI]; NaN where the sender is not known.
        """
        laws, added, output = (
            self.table.place(self.laws(values)),
            self.additions(values),
            self.output,
        )
        known = np.isfinite(output)
        out = np.full((len(added.flat), len(output)), np.nan)
        columns = np.empty((int(known.sum()), len(added.flat)))
        self.table.look_up(laws, output[known][:, None], columns)
        out[:, known] = columns.T
        out += added.flat[:, None] + added.shift[:, None] * self.slope
        return out

    def at_rows(self, laws: Bilinear, added: Additions, rows: NDArray[np.intp]) -> Array:
        """Return what is shown at each value with the row of causes that belongs to it.

        Parameters
        ----------
        laws, added : Bilinear, Additions
            Of B rows.
        rows : array of int, shape (N,)
            Which row at which value.

        Returns
        -------
        array, shape (N,)
            Shown values [SI], exact.
        """
        picked = Bilinear(laws.a[rows], laws.b[rows], laws.c[rows], laws.d[rows])
        sees = np.diagonal(Apparent(picked).of(self.output))
        shown = self.dial.value(np.ascontiguousarray(sees))
        shown = shown + added.flat[rows] + added.shift[rows] * self.slope
        return np.clip(shown, self.stops.low, self.stops.high)

    @cached_property
    def table(self) -> DialTable:
        """The dial for looking up."""
        return DialTable.of(self.dial, self.stops)


@dataclass(frozen=True)
class DialTable:
    """A dial tabled over t = R/(R + Rm), for many readings at once.

    Attributes
    ----------
    middle : float
        Rm [Ω, V or A], about the middle of what the dial sees.
    start, scale : float
        t of the first cell [1], and cells per unit of t.
    values, steps : array, shape (K + 1,)
        Shown value [SI] at the start of each cell, and how far it rises over it.
    low, high : float
        The stops [SI].
    """

    middle: float
    start: float
    scale: float
    values: Array
    steps: Array
    low: float
    high: float

    @staticmethod
    def of(dial: Characteristic, stops: Stops) -> DialTable:
        """Table a dial; t runs a little below 0, where an earth offset may drive the needle."""
        ends = np.abs(dial.output(np.array([dial.low, dial.high])))
        middle = float(np.sqrt(max(ends[0], ends.max() * 1e-3) * max(ends[1], ends.max() * 1e-3)))
        start = -0.25
        t = np.linspace(start, 1.0, _CELLS + 1)
        with np.errstate(divide="ignore", invalid="ignore"):
            value = dial.value(middle * t / (1.0 - t))
        far = stops.high - stops.low
        value = np.clip(value, stops.low - far, stops.high + far)
        # Below nothing and past open a law may end: the last value it has stands there.
        known = np.flatnonzero(np.isfinite(value))
        value = np.interp(np.arange(len(value)), known, value[known])
        steps = np.append(np.diff(value), 0.0)
        scale = _CELLS / (1.0 - start)
        return DialTable(middle, start, scale, value, steps, stops.low, stops.high)

    def place(self, laws: Bilinear) -> Bilinear:
        """Return the laws that give the place in the table [cells] instead of what is seen."""
        placed = Bilinear.of(
            self.scale * (1.0 - self.start),
            -self.scale * self.start * self.middle,
            1.0,
            self.middle,
        )
        return placed.after(laws)

    def look_up(self, laws: Bilinear, output: float | Array, out: Array) -> None:
        """Write what is shown at one output of the sender, or at several.

        Parameters
        ----------
        laws : Bilinear
            From `place`, B of them.
        output : float, or array of shape (N, 1)
            What the sender gives [Ω, V or A].
        out : array, shape (B,) or (N, B)
            Takes the shown values [SI], not held by the stops.
        """
        under = laws.c * output
        under += laws.d
        np.multiply(laws.a, output, out=out)
        out += laws.b
        with np.errstate(divide="ignore", invalid="ignore"):
            out /= under
        # Past the place of an open lead the denominator of what is seen turns round; there t > 1.
        np.clip(out, 0.0, float(_CELLS), out=out)
        cell = out.astype(np.int32)
        out -= cell
        out *= self.steps.take(cell)
        out += self.values.take(cell)
