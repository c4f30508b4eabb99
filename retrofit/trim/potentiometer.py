"""A trim with one resistor made adjustable: its setting, and what a worn wiper does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from retrofit.installation import PLACES, Place
from retrofit.trim.answer import Found, Trim
from retrofit.trim.question import Question, objective, shown, sides

TRACKS = (
    *(10.0, 22.0, 47.0, 100.0, 220.0, 470.0, 1000.0),
    *(2200.0, 4700.0, 10_000.0, 22_000.0, 47_000.0, 100_000.0),
)
"""Tracks that potentiometers come in [Ω] (common practice, no source)."""

_USED = 0.9  # share of the track that a setting may need, so that it can be moved either way
_HALVINGS = 60
_PULL_UP = PLACES.index("pull-up")


@dataclass(frozen=True, eq=False)
class Potentiometer:
    """A trim with one resistor made adjustable.

    Attributes
    ----------
    place : str
        Which one.
    trim : Trim
        All resistors, the adjustable one at its best setting.
    worst : float
        Worst |e|/a at that setting [1].
    track : float or None
        Ohms of the potentiometer [Ω]; None where none of `TRACKS` is large enough.
    open_shown, shorted_shown : array, shape (N,)
        What the needle shows [SI], stops ignored, with its wiper open, and with it shorted.
    open_safe : bool or None
        Whether the open wiper errs to the safe side; None where nobody said which that is.
    """

    place: Place
    trim: Trim
    worst: float
    track: float | None
    open_shown: Array
    shorted_shown: Array
    open_safe: bool | None

    @property
    def setting(self) -> float:
        """Ohms that it has to be set to [Ω]."""
        return self.trim.ohms[PLACES.index(self.place)]


def potentiometers(question: Question, values: Array, found: Found) -> tuple[Potentiometer, ...]:
    """Return each resistor of a trim made adjustable, best first.

    The setting is exact: the crossing of the two sides in the adjustable ohms. With one other
    resistor all values of that are tried, with more they stay as they are.

    Parameters
    ----------
    question : Question
        The question.
    values : array, shape (n,)
        Ohms that the other resistors come in [Ω].
    found : Found
        The trim.
    """
    columns = [PLACES.index(place) for place in found.trim.places]
    if question.node.supply < question.node.open_volts:
        # A pull-up to less than the open voltage raises some points and lowers others.
        columns = [c for c in columns if c != _PULL_UP]
    made = (_adjusted(question, values, found.trim, column) for column in columns)
    kept = [each for each in made if each is not None]
    return tuple(sorted(kept, key=lambda each: each.worst))


def _adjusted(question: Question, values: Array, trim: Trim, column: int) -> Potentiometer | None:
    others = _others(values, trim, column)
    ohms = _crossing(question, others, column, float(values[0]), float(values[-1]))
    others[:, column] = ohms
    worst = objective(question, *others.T)
    row = int(np.argmin(worst))
    if not np.isfinite(worst[row]):
        return None
    p, s1, q, s2, u = others[row].tolist()
    setting = float(ohms[row])
    track = next((each for each in TRACKS if setting <= _USED * each), None)
    opened, shorted = others[row].copy(), others[row].copy()
    opened[column], shorted[column] = np.inf, 0.0
    open_shown = shown(question, *opened)
    return Potentiometer(
        PLACES[column],
        Trim((p, s1, q, s2, u)),
        float(worst[row]),
        track,
        open_shown,
        shown(question, *shorted),
        _safe(question, open_shown),
    )


def _others(values: Array, trim: Trim, column: int) -> Array:
    """Return what the other resistors may be, shape (M, 5) [Ω]."""
    rest = [PLACES.index(place) for place in trim.places if PLACES.index(place) != column]
    rows = np.tile(np.array(trim.ohms), (len(values) if len(rest) == 1 else 1, 1))
    if len(rest) == 1:
        rows[:, rest[0]] = values
    return rows


def _crossing(question: Question, others: Array, column: int, low: float, high: float) -> Array:
    """Return the best ohms at a place for each row of the others, shape (M,) [Ω]."""
    first = np.full(len(others), np.log(low))
    last = np.full(len(others), np.log(high))
    rows = others.copy()
    for _ in range(_HALVINGS):
        middle = 0.5 * (first + last)
        rows[:, column] = np.exp(middle)
        short, long = sides(question, shown(question, *rows.T))
        down = (short >= long) if column == _PULL_UP else (long >= short)
        first, last = np.where(down, first, middle), np.where(down, middle, last)
    return np.asarray(np.exp(0.5 * (first + last)))


def _safe(question: Question, values: Array) -> bool | None:
    """Return whether readings err to the safe side wherever that is known."""
    flattery = question.flattery
    if flattery is None or not np.any(flattery.side):
        return None
    return bool(np.all(flattery.side * (values - question.x) <= flattery.limit))
