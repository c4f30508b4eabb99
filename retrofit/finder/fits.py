"""From what a needle shows to a row: its error curve, and where it hides danger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from retrofit.dial import Stops
from retrofit.finder.rows import CURVE_POINTS, Fit
from retrofit.plan.checks.check import SMALL
from retrofit.plan.document import Duty
from retrofit.trim.answer import Trim
from retrofit.trim.question import Question


@dataclass(frozen=True)
class _Side:
    """A mark that says which side hides danger: its column among the points, its sign."""

    name: str
    column: int
    sign: float
    allowed: float


class Fitting:
    """Makes fits of one gauge.

    Parameters
    ----------
    duty : Duty
        The range, and the marks with the side that hides danger.
    question : Question
        What is asked: its points are those of the shown values.
    stops : Stops
        Where the needle is held.
    """

    def __init__(self, duty: Duty, question: Question, stops: Stops) -> None:
        self._question, self._stops = question, stops
        self._range = np.linspace(*duty.span, CURVE_POINTS)
        self._whole = duty.allowed_at(None) is not None
        self._sides = _sides(duty, CURVE_POINTS if self._whole else 0)

    def fits(self, trims: Sequence[Trim], worst: Array, shown: Array) -> list[Fit]:
        """Return the fits of some trims.

        Parameters
        ----------
        trims : sequence of Trim
            M trims.
        worst : array, shape (M,)
            Worst |e|/a of each [1].
        shown : array, shape (M, N)
            What the needle shows at the points of the question [SI], stops ignored.
        """
        flags = self._flattering(shown)
        errors = self._errors(shown)
        plain = zip(trims, worst.tolist(), errors, flags, strict=True)
        return [Fit(*each) for each in plain]

    def _errors(self, shown: Array) -> Array:
        """Return the error over the range, shape (M, CURVE_POINTS) [SI difference]."""
        if not self._whole:
            # Only the marks were asked for; the whole curve comes from the assessment.
            return np.full((len(shown), CURVE_POINTS), np.nan)
        held = np.clip(shown[:, :CURVE_POINTS], self._stops.low, self._stops.high)
        return np.asarray(held - self._range)

    def _flattering(self, shown: Array) -> list[tuple[str, ...]]:
        """Return the names of the marks at which each hides danger."""
        found: list[tuple[str, ...]] = [()] * len(shown)
        if not self._sides:
            return found
        columns = [side.column for side in self._sides]
        held = np.clip(shown[:, columns], self._stops.low, self._stops.high)
        sign = np.array([side.sign for side in self._sides])
        limit = np.array([SMALL * side.allowed for side in self._sides])
        hides: NDArray[np.bool_] = (held - self._question.x[columns]) * sign > limit
        for n in np.flatnonzero(np.any(hides, axis=1)):
            found[n] = tuple(
                side.name for side, bad in zip(self._sides, hides[n], strict=True) if bad
            )
        return found


def _sides(duty: Duty, before: int) -> list[_Side]:
    """Return the sides of the marks, whose columns follow those of the range."""
    found, column = [], before
    for mark in duty.marks:
        allowed = duty.allowed_at(mark)
        if allowed is None:
            continue
        if mark.flatters != "unknown":
            sign = 1.0 if mark.flatters == "high" else -1.0
            found.append(_Side(mark.name, column, sign, allowed))
        column += 1
    return found
