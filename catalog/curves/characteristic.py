"""What every characteristic can do: value → output, output → value, and its plausible kin.

A characteristic is strictly monotone. Between the points that somebody knows, nobody knows
the curve; `alternatives` are the other curves through the same points that a reasonable
engineer could draw. The gap between them becomes the band 'shape unknown'.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from catalog.arrays import Array


class Characteristic(Protocol):
    """A strictly monotone relation between a value x and an output (ohms, volts, amperes)."""

    @property
    def low(self) -> float:
        """Lowest known value [SI unit of the value]."""

    @property
    def high(self) -> float:
        """Highest known value [SI unit of the value]."""

    @property
    def rising(self) -> bool:
        """Whether the output rises with the value."""

    def output(self, x: Array) -> Array:
        """Return the output at `x`, shape (N,) [SI] → shape (N,) [SI], continued beyond."""

    def value(self, output: Array) -> Array:
        """Return the value that gives `output`, shape (N,) [SI] → [SI], ±inf where none."""

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return other plausible curves through the known points; none if it is known."""


class Knotted(Characteristic, Protocol):
    """A characteristic that knows at which values it is known."""

    @property
    def knots(self) -> Array:
        """Values at the known points, shape (n,) [SI], increasing."""


@dataclass(frozen=True)
class Guessed:
    """The likeliest curve where little is known, with the other ones that it could be.

    Parameters
    ----------
    likeliest : Characteristic
        The curve to use.
    kin : tuple of Characteristic
        What it could be as well.
    """

    likeliest: Characteristic
    kin: tuple[Characteristic, ...]

    @property
    def low(self) -> float:
        """Lowest known value [SI]."""
        return self.likeliest.low

    @property
    def high(self) -> float:
        """Highest known value [SI]."""
        return self.likeliest.high

    @property
    def rising(self) -> bool:
        """Whether the output rises with the value."""
        return self.likeliest.rising

    def output(self, x: Array) -> Array:
        """Return the output at `x`, shape (N,) [SI] → shape (N,) [SI]."""
        return self.likeliest.output(x)

    def value(self, output: Array) -> Array:
        """Return the value that gives `output`, shape (N,) [SI] → shape (N,) [SI], ±inf."""
        return self.likeliest.value(output)

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return the other curves."""
        return self.kin
