"""What a list of parts is filtered and sorted by, taken from each part once."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS, Part
from catalog.curves.characteristic import Characteristic
from catalog.library import PartKind
from catalog.likeness import known_points, searched_text
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.gauge import Gauge
from catalog.parts.laws import (
    BetaLaw,
    PlatinumLaw,
    Point,
    SenderLaw,
    SwitchLaw,
    TableLaw,
    characteristic,
    signal_kind,
)
from catalog.parts.sender import EarthReturn, Sender
from catalog.provenance import UNSTATED, Basis, BasisKind
from catalog.quantities.kinds import Kind

Pair = tuple[float, float]


@dataclass(frozen=True)
class PartFacts:
    """What is known of a part at a glance.

    Attributes
    ----------
    key, name : str
        As in the part.
    kind : str
        "sender" or "gauge".
    quantity : str
        What it is about.
    text : str
        Folded text in which words are looked for.
    points : tuple of (float, float)
        Known points in ohms: value [SI], ohms [Ω].
    span : pair of float or None
        Lowest and highest value of its curve or scale [SI].
    ends : pair of float or None
        What it gives or needs there [SI of the signal]; None where unknown.
    signal : Kind or None
        Ohms, volts or amperes; None where it has no curve.
    basis : BasisKind
        Where its numbers come from, unless a number says otherwise.
    stations : int or None
        Gauges that a sender feeds; None for a gauge.
    earth_return : str or None
        How a sender is earthed; None for a gauge.
    thread : str or None
        Thread of a sender as it is designated; None where nobody said.
    switch : bool
        Whether it is a switch, or is known to have one in its body.
    movement : str or None
        What turns a gauge's pointer, by its name in files; None for a sender.
    law : str or None
        What kind of law a sender follows, by its name in files; None for a gauge.
    """

    key: str
    name: str
    kind: PartKind
    quantity: QuantityName
    text: str
    points: tuple[Pair, ...]
    span: Pair | None
    ends: Pair | None
    signal: Kind | None
    basis: BasisKind
    stations: int | None = None
    earth_return: EarthReturn | None = None
    thread: str | None = None
    switch: bool = False
    movement: str | None = None
    law: str | None = None

    @property
    def rising(self) -> bool | None:
        """Whether the signal rises with the value; None where unknown."""
        return None if self.ends is None else self.ends[1] > self.ends[0]


def facts_of(part: Part) -> PartFacts:
    """Return the facts of a part.

    Examples
    --------
    >>> from catalog.library import load_generic
    >>> facts = facts_of(load_generic().part("level-0-190"))
    >>> facts.rising, facts.ends, facts.span
    (True, (0.0, 190.0), (0.0, 1.0))
    """
    curve, span = curve_of(part), _span(part)
    text, points = searched_text(part), tuple(known_points(part))
    ends = None if curve is None or span is None else _at(curve, span)
    signal = part.signal if curve is not None else None
    basis = main_basis(part).kind
    key, name = part.key, part.name
    if isinstance(part, Gauge):
        movement = MOVEMENT_TAGS[type(part.movement)]
        return PartFacts(
            key, name, "gauge", part.quantity, text, points, span, ends, signal, basis,
            movement=movement,
        )  # fmt: skip
    fitting = part.fitting
    switch = isinstance(part.law, SwitchLaw) or (fitting is not None and fitting.switch is not None)
    return PartFacts(
        key, name, "sender", part.quantity, text, points, span, ends, signal, basis,
        part.stations,
        part.earth_return,
        None if fitting is None else fitting.thread,
        switch,
        law=LAW_TAGS[type(part.law)],
    )  # fmt: skip


def curve_of(part: Part) -> Characteristic | None:
    """Return what a sender gives or a dial needs at each value; None where nobody knows.

    A dial that names its class and its marks is shown as its marks have it.
    """
    if isinstance(part, Sender):
        return part.curve
    if len(part.marks) >= 2:
        points = tuple(Point(mark.at, mark.needs) for mark in part.marks)
        return characteristic(TableLaw(points), part.quantity)
    return part.own_class


def known_pairs(part: Part) -> tuple[Pair, ...]:
    """Return the points that a part states: value and signal [SI]; empty for a formula."""
    kind = QUANTITY_KIND[part.quantity]
    if isinstance(part, Gauge) and part.marks:
        return tuple((mark.at.si(kind), mark.needs.si(part.signal)) for mark in part.marks)
    law = law_of(part)
    if not isinstance(law, TableLaw):
        return ()
    signal = signal_kind(law.points[0])
    return tuple((point.at.si(kind), point.gives.si(signal)) for point in law.points)


def law_of(part: Part) -> SenderLaw | None:
    """Return the law of a sender, or of the class for which a dial was drawn."""
    if isinstance(part, Sender):
        return part.law
    return None if part.scaled_for is None else part.scaled_for.law


def main_basis(part: Part) -> Basis:
    """Return where the numbers of a part come from, unless a number says otherwise."""
    if isinstance(part, Gauge) and part.basis != UNSTATED:
        return part.basis
    law = law_of(part)
    if isinstance(law, BetaLaw | PlatinumLaw):
        return law.resistance.basis
    return getattr(law, "basis", UNSTATED)


def value_at(part: Part, at: float) -> float:
    """Return what a part gives or needs at a value [SI]; NaN where nobody knows."""
    curve = curve_of(part)
    if curve is None or not curve.low <= at <= curve.high:
        return math.nan
    return float(curve.output(np.array([at]))[0])


def _span(part: Part) -> Pair | None:
    if isinstance(part, Gauge):
        kind = QUANTITY_KIND[part.quantity]
        return part.low.si(kind), part.high.si(kind)
    if part.curve is None:
        return None
    return float(part.curve.low), float(part.curve.high)


def _at(curve: Characteristic, span: Pair) -> Pair | None:
    low, high = max(span[0], curve.low), min(span[1], curve.high)
    given = curve.output(np.array([low, high], dtype=np.float64))
    if np.isnan(given).any():
        return None
    return float(given[0]), float(given[1])
