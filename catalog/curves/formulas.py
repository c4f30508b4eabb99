"""Characteristics that a formula gives: thermistors and platinum."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic

ZERO_CELSIUS = 273.15

PLATINUM_A = 3.9083e-3
PLATINUM_B = -5.775e-7
PLATINUM_C = -4.183e-12


@dataclass(frozen=True)
class Beta:
    """A thermistor after R(T) = Rref·exp(β·(1/T − 1/Tref)).

    Parameters
    ----------
    low, high : float
        Range over which the formula is trusted [°C].
    resistance : float
        Rref [Ω], > 0.
    beta : float
        β [K], > 0 for a falling thermistor.
    reference : float
        Tref [°C].

    Examples
    --------
    >>> Beta(-40.0, 120.0, 10000.0, 3950.0).output(np.array([100.0])).round(2)
    array([697.52])
    """

    low: float
    high: float
    resistance: float
    beta: float
    reference: float = 25.0

    @property
    def rising(self) -> bool:
        """Whether the resistance rises with temperature."""
        return self.beta < 0.0

    @property
    def knots(self) -> Array:
        """Ends of the range, shape (2,) [°C]."""
        return np.array([self.low, self.high])

    def output(self, x: Array) -> Array:
        """Return the resistance at `x`, shape (N,) [°C] → shape (N,) [Ω]."""
        inverse = 1.0 / (x + ZERO_CELSIUS) - 1.0 / (self.reference + ZERO_CELSIUS)
        return np.asarray(self.resistance * np.exp(self.beta * inverse))

    def value(self, output: Array) -> Array:
        """Return the temperature at `output`, shape (N,) [Ω] → shape (N,) [°C]; ±inf if none."""
        with np.errstate(divide="ignore", invalid="ignore"):
            log = np.log(np.maximum(output, 0.0) / self.resistance)
            inverse = 1.0 / (self.reference + ZERO_CELSIUS) + log / self.beta
            return np.where(inverse > 0.0, 1.0 / inverse - ZERO_CELSIUS, np.inf)

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return nothing: the formula states the shape."""
        return ()


def beta_through(first: tuple[float, float], last: tuple[float, float]) -> Beta:
    """Return the beta formula through two points (temperature [°C], resistance [Ω]).

    Examples
    --------
    >>> round(beta_through((37.7778, 3300.0), (93.3333, 710.0)).beta)
    3151
    """
    (t0, r0), (t1, r1) = first, last
    beta = math.log(r0 / r1) / (1.0 / (t0 + ZERO_CELSIUS) - 1.0 / (t1 + ZERO_CELSIUS))
    return Beta(t0, t1, r0, beta, t0)


@dataclass(frozen=True)
class SteinhartHart:
    """A thermistor after 1/T = A + B·ln R + C·(ln R)³, T in kelvin.

    Parameters
    ----------
    low, high : float
        Range over which the coefficients are trusted [°C].
    a, b, c : float
        Coefficients [1/K], all > 0.

    Examples
    --------
    >>> SteinhartHart(-40.0, 120.0, 0.001129148, 0.000234125, 8.76741e-8).value(
    ...     np.array([10000.0])).round(4)
    array([24.9997])
    """

    low: float
    high: float
    a: float
    b: float
    c: float

    @property
    def rising(self) -> bool:
        """Whether the resistance rises with temperature: never."""
        return False

    def output(self, x: Array) -> Array:
        """Return the resistance at `x`, shape (N,) [°C] → shape (N,) [Ω], in closed form."""
        half = (self.a - 1.0 / (x + ZERO_CELSIUS)) / (2.0 * self.c)
        root = np.sqrt((self.b / (3.0 * self.c)) ** 3 + half**2)
        return np.asarray(np.exp(np.cbrt(root - half) - np.cbrt(root + half)))

    def value(self, output: Array) -> Array:
        """Return the temperature at `output`, shape (N,) [Ω] → shape (N,) [°C]; ±inf if none."""
        with np.errstate(divide="ignore", invalid="ignore"):
            log = np.log(np.maximum(output, 0.0))
            inverse = self.a + self.b * log + self.c * log**3
            return np.where(inverse > 0.0, 1.0 / inverse - ZERO_CELSIUS, np.inf)

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return nothing: the formula states the shape."""
        return ()


@dataclass(frozen=True)
class Platinum:
    """A platinum thermometer after IEC 60751 (Callendar–Van Dusen).

    R(t) = R0·[1 + A·t + B·t² + C·(t − 100)·t³], the last term below 0 °C only.

    Parameters
    ----------
    low, high : float
        Range over which it is used [°C], within −200…850.
    resistance : float
        R0 at 0 °C [Ω], > 0.

    Examples
    --------
    >>> Platinum(-50.0, 250.0, 100.0).output(np.array([-50.0, 100.0])).round(4)
    array([ 80.3063, 138.5055])
    """

    low: float
    high: float
    resistance: float

    @property
    def rising(self) -> bool:
        """Whether the resistance rises with temperature: always."""
        return True

    def output(self, x: Array) -> Array:
        """Return the resistance at `x`, shape (N,) [°C] → shape (N,) [Ω]."""
        cold = np.where(x < 0.0, PLATINUM_C * (x - 100.0) * x**3, 0.0)
        return np.asarray(self.resistance * (1.0 + PLATINUM_A * x + PLATINUM_B * x**2 + cold))

    def value(self, output: Array) -> Array:
        """Return the temperature at `output`, shape (N,) [Ω] → shape (N,) [°C].

        Closed form above 0 °C, Newton's method below. Beyond 850 °C it is +inf, below
        −200 °C it is −inf: the standard's formula ends there.
        """
        ratio = output / self.resistance
        with np.errstate(invalid="ignore"):
            root = np.sqrt(PLATINUM_A**2 - 4.0 * PLATINUM_B * (1.0 - ratio))
        t = (-PLATINUM_A + root) / (2.0 * PLATINUM_B)
        cold = ratio < 1.0
        if np.any(cold):
            guess = np.where(cold, np.maximum(t, -250.0), 0.0)
            for _ in range(12):
                miss = self.output(guess) / self.resistance - ratio
                slope = PLATINUM_A + 2.0 * PLATINUM_B * guess
                slope = slope + PLATINUM_C * (4.0 * guess**3 - 300.0 * guess**2)
                guess = np.where(cold, guess - miss / slope, 0.0)
            t = np.where(cold, guess, t)
        limits = self.output(np.array([-200.0, 850.0]))
        t = np.where(output < limits[0], -np.inf, t)
        return np.asarray(np.where(output > limits[1], np.inf, t))

    def alternatives(self) -> tuple[Characteristic, ...]:
        """Return nothing: the standard states the shape."""
        return ()
