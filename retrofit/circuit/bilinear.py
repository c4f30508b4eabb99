"""The law (a·R + b)/(c·R + d): what any quantity of a linear circuit is in one resistance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array

_CELLS = 1 << 20  # numbers in a chunk of `in_chunks`: 8 MB


@dataclass(frozen=True, eq=False)
class Bilinear:
    """A bilinear (Möbius) function of a resistance, one for each corner.

    value(R) = (a·R + b)/(c·R + d); every voltage, current and ratio of such is one in any
    single resistance of a linear circuit (Bode, Network Analysis, 1945; from memory).

    Attributes
    ----------
    a, b, c, d : array, shape (B,)
        Coefficients; a/c and b/d in the unit of the value, d/c in [Ω]. Their common factor is
        free. NaN where the value is undetermined.

    Examples
    --------
    >>> divider = Bilinear.of(1.0, 0.0, 1.0, 110.0)
    >>> divider(np.array([0.0, 90.0, np.inf]))
    array([[0.  , 0.45, 1.  ]])
    """

    a: Array
    b: Array
    c: Array
    d: Array

    @staticmethod
    def of(a: float | Array, b: float | Array, c: float | Array, d: float | Array) -> Bilinear:
        """Make a law of four coefficients, numbers or arrays of shape (B,) [any unit]."""
        given = [np.atleast_1d(np.asarray(x, dtype=np.float64)) for x in (a, b, c, d)]
        return Bilinear(*np.broadcast_arrays(*given))

    @staticmethod
    def in_series(ohm: float | Array) -> Bilinear:
        """Make the law of R with a resistor in series, shape (B,) [Ω], finite."""
        return Bilinear.of(1.0, ohm, 0.0, 1.0)

    @staticmethod
    def across(ohm: float | Array) -> Bilinear:
        """Make the law of R with a resistor across it, shape (B,) [Ω], above 0 to +inf."""
        return Bilinear.of(1.0, 0.0, 1.0 / np.asarray(ohm, np.float64), 1.0)

    def __call__(self, ohm: Array) -> Array:
        """Return the value at each resistance for each corner.

        Parameters
        ----------
        ohm : array, shape (N,)
            Resistance R [Ω], 0 to +inf; R = 0 gives b/d and R = +inf gives a/c without a limit
            being taken.

        Returns
        -------
        array, shape (B, N)
            Value, in the unit of a/c. At the pole c·R + d = 0 it is ±inf with the sign of the
            numerator. A value that is the same at every R (a = c = 0) is so at +inf as well.
            NaN where R or a coefficient is, or where numerator and denominator are both 0.
        """
        ohm = np.asarray(ohm, dtype=np.float64)
        # Both parts divided by R where it is large: +inf then needs no case of its own.
        share = np.minimum(ohm, 1.0)
        rest = 1.0 / np.maximum(ohm, 1.0)
        flat = (self.a == 0.0) & (self.c == 0.0)
        if np.any(flat):
            rest = np.where(flat[:, None] & (rest == 0.0), 1.0, rest)
        return self._ratio(share, rest)

    def _ratio(self, share: Array, rest: Array) -> Array:
        numerator = self.a[:, None] * share + self.b[:, None] * rest
        denominator = self.c[:, None] * share + self.d[:, None] * rest
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            value = numerator / denominator
        # −0 and +0 are one pole: the numerator alone decides the sign.
        pole = (denominator == 0.0) & (numerator != 0.0) & ~np.isnan(numerator)
        return np.where(pole, np.copysign(np.inf, numerator), value)

    def in_chunks(self, ohm: Array, cells: int = _CELLS) -> Iterator[tuple[slice, Array]]:
        """Yield the values at a few resistances at a time, always for all corners.

        The cut runs across resistances, so each chunk holds every corner or draw of its points
        and quantiles over the draws are exact while memory stays flat.

        Parameters
        ----------
        ohm : array, shape (N,)
            Resistance [Ω].
        cells : int
            Largest number of values in a chunk [1]; a chunk has at least one point.

        Yields
        ------
        (slice, array of shape (B, n))
            Which of the resistances, and the values there as from a call.
        """
        step = max(1, cells // self.a.size)
        for start in range(0, ohm.size, step):
            part = slice(start, min(start + step, ohm.size))
            yield part, self(ohm[part])

    def after(self, inner: Bilinear) -> Bilinear:
        """Return the law of this one applied to another's value: self(inner(R)).

        Examples
        --------
        >>> apparent = Bilinear.in_series(10.0).after(Bilinear.across(90.0))
        >>> apparent(np.array([90.0]))
        array([[55.]])
        """
        return Bilinear(
            self.a * inner.a + self.b * inner.c,
            self.a * inner.b + self.b * inner.d,
            self.c * inner.a + self.d * inner.c,
            self.c * inner.b + self.d * inner.d,
        )

    def inverse(self) -> Bilinear:
        """Return the law that gives the resistance back: inverse()(self(R)) = R.

        Where the value does not depend on R there is none; evaluated, it then gives ±inf
        or NaN.
        """
        return Bilinear(self.d, -self.b, -self.c, self.a)
