"""How well a part answers typed words: text by text, ohms by nearness.

People type what they measured or what stands on the part, "290 22" for a class of 291 to 22
ohms. So a number finds every part that gives or wants about as many ohms at one of its known
points, nearest first, and never a part that merely has the digits in its temperature.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog.codec import Part
from catalog.curves.characteristic import Characteristic
from catalog.direction import DIRECTIONS, rising_of
from catalog.errors import UserError
from catalog.library import folded
from catalog.parts.gauge import Gauge
from catalog.parts.laws import TableLaw, signal_kind
from catalog.quantities.kinds import Kind
from catalog.quantities.parse import parse

NEAR = math.log(1.10)
"""Largest difference, as a logarithm of the ratio, at which ohms count as the ones typed."""

LEAST = 0.5
"""Ohms below which readings differ by contact resistance, so that 0 finds 0.5 [Ω]."""


@dataclass(frozen=True)
class Likeness:
    """How well a part answers.

    Attributes
    ----------
    far : float
        Sum of the logarithmic distances of the typed ohms [1]; 0 for words that match exactly.
    inner : tuple of (float, float)
        Known points inside the range that a typed number met: value [SI], ohms [Ω].
    """

    far: float
    inner: tuple[tuple[float, float], ...] = ()


Word = tuple[str, float | None]
"""A word of a search, and the ohms that it may mean [Ω]; None where it is no number."""

EXACT = Likeness(0.0)
"""Every word matched to the letter."""


def likeness(part: Part, words: str) -> Likeness | None:
    """Return how well a part answers the words, None where it does not.

    Parameters
    ----------
    part : Sender or Gauge
        The part.
    words : str
        Words and numbers, all of which have to match; an empty text matches every part.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> part = load_generic().part("temperature-291-22-120c")
    >>> likeness(part, "290 22") is not None, likeness(part, "300 psi") is None
    (True, True)
    """
    return likeness_of(searched_text(part), known_points(part), asked(words))


def searched_text(part: Part) -> str:
    """Return the folded text of a part in which words are looked for.

    Of the words for a direction it holds the one that the part runs, whatever its notes say of
    others.
    """
    text, rising = folded(f"{part.key} {part.name} {part.notes}"), rising_of(part)
    if rising is None:
        return text
    for word, way in DIRECTIONS.items():
        text = f"{text} {word}" if way is rising else text.replace(word, "")
    return text


def asked(words: str) -> tuple[Word, ...]:
    """Return each word of a search, and the ohms that it may mean.

    Examples
    --------
    >>> asked("fuel 240")
    (('fuel', None), ('240', 240.0))
    """
    return tuple((word, _ohms(word)) for word in folded(words).split())


def likeness_of(
    text: str, points: Sequence[tuple[float, float]], words: Sequence[Word]
) -> Likeness | None:
    """Return how well a part answers, from what was taken from it once; see `likeness`.

    Parameters
    ----------
    text : str
        Its `searched_text`.
    points : sequence of (float, float)
        Its `known_points`.
    words : sequence of Word
        What was `asked`.
    """
    far, inner = 0.0, []
    for word, ohms in words:
        if ohms is None:
            if word not in text:
                return None
            continue
        if not points:
            return None
        at = min(range(len(points)), key=lambda i: _distance(points[i][1], ohms))
        distance = _distance(points[at][1], ohms)
        if distance > NEAR:
            return None
        far += distance
        if 0 < at < len(points) - 1:
            inner.append(points[at])
    return Likeness(far, tuple(inner))


def _ohms(word: str) -> float | None:
    if not any(character.isdigit() for character in word) or (word[0].isalpha() and word[0] != "r"):
        return None
    try:
        return parse(word, Kind.RESISTANCE).si(Kind.RESISTANCE)
    except UserError:
        return None


def _distance(a: float, b: float) -> float:
    return abs(math.log(max(a, LEAST) / max(b, LEAST)))


def known_points(part: Part) -> list[tuple[float, float]]:
    """Return the points at which a part's ohms are known: value [SI], ohms [Ω]."""
    if isinstance(part, Gauge):
        law = None if part.scaled_for is None else part.scaled_for.law
        if law is None:
            kind = part.quantity_kind
            return [
                (mark.at.si(kind), mark.needs.si(Kind.RESISTANCE))
                for mark in part.marks
                if part.signal is Kind.RESISTANCE
            ]
        curve: Characteristic | None = part.own_class
    else:
        law, curve = part.law, part.curve
    if isinstance(law, TableLaw):
        if signal_kind(law.points[0]) is not Kind.RESISTANCE:
            return []
        kind = part.quantity_kind
        return [(p.at.si(kind), p.gives.si(Kind.RESISTANCE)) for p in law.points]
    if curve is None or (not isinstance(part, Gauge) and part.signal is not Kind.RESISTANCE):
        return []
    ends = np.array([curve.low, curve.high])
    return [(float(x), float(y)) for x, y in zip(ends, curve.output(ends), strict=True)]
