"""A reading curve as a function of everything that may be off, exact and fast.

A corner or draw costs one law of the sender's ohms; the true value enters only there. Where
millions of readings are wanted the dial is looked up in a table whose place is bilinear in what
the dial sees too, so law and table need one division together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from retrofit.circuit.bilinear import Bilinear
from retrofit.dial import Stops
from retrofit.movements import Apparent

_CELLS = 1 << 14
_BELOW = 4.0  # times the largest output of the dial: as far below nothing as a table goes
_LEAST_BELOW = 0.02
_PAST_STOP = 0.25  # of the way between the stops: what is added may bring a needle back


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
        laws, added = self.table.place(self.laws(values)), self.additions(values)
        known = ~np.isnan(self.output)
        out = np.full((len(added.flat), len(self.output)), np.nan)
        columns = np.empty((int(known.sum()), len(added.flat)))
        self.table.look_up(laws, self.output[known][:, None], columns)
        out[:, known] = columns.T
        out += added.flat[:, None] + added.shift[:, None] * self.slope
        return out

    def along(self, values: Array) -> Array:
        """Return what is shown at each value with causes of its own, exactly.

        Parameters
        ----------
        values : array, shape (N, P)
            Values of the causes [SI], a row for each of the N values.

        Returns
        -------
        array, shape (N,)
            Shown values [SI], held by the stops.
        """
        laws, added = self.laws(values), self.additions(values)
        sees = np.diagonal(Apparent(laws).of(self.output))
        shown = self.dial.value(np.ascontiguousarray(sees))
        shown = shown + added.flat + added.shift * self.slope
        return np.clip(shown, self.stops.low, self.stops.high)

    @cached_property
    def table(self) -> DialTable:
        """The dial for looking up."""
        return DialTable.of(self.dial, self.stops)


@dataclass(frozen=True)
class DialTable:
    """A dial tabled over t = (R + below)/(R + below + Rm), for many readings at once.

    Attributes
    ----------
    below : float
        How far below nothing the table begins [Ω, V or A], where an earth offset may drive it.
    middle : float
        Rm [Ω, V or A], about the middle of what the dial sees.
    values, steps : array, shape (K + 1,)
        Shown value [SI] at the start of each cell, and how far it rises over it.
    low, high : float
        The stops [SI].

    Notes
    -----
    Good to 1e-6 of the scale; to about 1e-4 in the cell with a corner of a curve of straight lines.
    Tests: ``tests/bands/test_dial_table.py``.
    """

    below: float
    middle: float
    values: Array
    steps: Array
    low: float
    high: float

    @staticmethod
    def of(dial: Characteristic, stops: Stops) -> DialTable:
        """Table a dial, as far below nothing as its needle is on the way to a stop."""
        ends = np.abs(dial.output(np.array([dial.low, dial.high])))
        below = _below(dial, stops, float(ends.max()))
        middle = float(np.sqrt(np.prod(ends + below)))
        t = np.linspace(0.0, 1.0, _CELLS + 1)
        with np.errstate(divide="ignore", invalid="ignore"):
            value = dial.value(middle * t / (1.0 - t) - below)
        far = stops.high - stops.low
        value = np.clip(value, stops.low - far, stops.high + far)
        # Below nothing and past open a law may end: the last value it has stands there.
        known = np.flatnonzero(np.isfinite(value))
        value = np.interp(np.arange(len(value)), known, value[known])
        steps = np.append(np.diff(value), 0.0)
        return DialTable(below, middle, value, steps, stops.low, stops.high)

    def place(self, laws: Bilinear) -> Bilinear:
        """Return the laws that give the place in the table [cells] instead of what is seen."""
        placed = Bilinear.of(_CELLS, _CELLS * self.below, 1.0, self.below + self.middle)
        return placed.after(laws)

    def look_up(self, laws: Bilinear, output: float | Array, out: Array) -> None:
        """Write what is shown at outputs of the sender.

        Parameters
        ----------
        laws : Bilinear
            From `place`, B of them.
        output : float or array, shape (n, 1)
            What the sender gives [Ω, V or A], 0 to +inf.
        out : array, shape (B,) or (n, B)
            Takes the shown values [SI], not held by the stops; NaN where a law is.
        """
        share, rest = np.minimum(output, 1.0), 1.0 / np.maximum(output, 1.0)
        if np.any(np.isinf(output)):
            # A reading that does not hang on the sender is the same with its lead open.
            rest = np.where((rest == 0.0) & (laws.a == 0.0) & (laws.c == 0.0), 1.0, rest)
        under = laws.c * share
        under += laws.d * rest
        np.multiply(laws.a, share, out=out)
        out += laws.b * rest
        if np.min(under, initial=np.inf) > 0.0:
            out /= under
            np.clip(out, 0.0, float(_CELLS), out=out)
            self._interpolate(out)
            return
        unknown = np.isnan(under)
        _divide_turned(out, under)
        self._interpolate(out)
        out[unknown] = np.nan

    def _interpolate(self, out: Array) -> None:
        """Turn places, 0 to the number of cells, into shown values."""
        cell = out.astype(np.int32)
        out -= cell
        out *= self.steps.take(cell)
        out += self.values.take(cell)


def _divide_turned(out: Array, under: Array) -> None:
    """Divide places where some lie past their pole, or are not known and get any place.

    `under` is not above 0 far past the place of an open lead, where the denominator of what is
    seen has turned (R ≤ −below − Rm by its formula, and `out` is at least as much as it would be
    at +inf), and far below nothing: the two ends of the table.
    """
    turned = ~(under > 0.0)
    past_open = out >= _CELLS * under
    with np.errstate(divide="ignore", invalid="ignore"):
        out /= under
    np.clip(out, 0.0, float(_CELLS), out=out)
    out[turned] = np.where(past_open[turned], float(_CELLS), 0.0)


def _below(dial: Characteristic, stops: Stops, most: float) -> float:
    """Return how far below nothing the needle is not well past a stop yet [Ω, V or A]."""
    tried = -most * np.linspace(0.0, _BELOW, 201)
    with np.errstate(divide="ignore", invalid="ignore"):
        value = dial.value(tried)
    spare = _PAST_STOP * (stops.high - stops.low)
    on_the_way = (value > stops.low - spare) & (value < stops.high + spare)
    # The first that is not; past the pole of a law the values come round again.
    count = len(tried) if bool(np.all(on_the_way)) else int(np.argmin(on_the_way)) + 1
    return float(max(-tried[count - 1], _LEAST_BELOW * most))
