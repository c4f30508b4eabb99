"""A part that came in, and where in the files it stood."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.codec import Part
from catalog.exchange.problems import Place


@dataclass(frozen=True)
class Arrived:
    """A part that came in.

    Attributes
    ----------
    part : Sender or Gauge
        The part, whole.
    place : Place
        Where it stood.
    """

    part: Part
    place: Place
