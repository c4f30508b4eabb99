"""A bench that measures classes in use with a cheap meter, with the slips that people make.

``classes_in_use.csv``: figures in use in the trade, gathered outside this program; their basis
stands in each row (common practice or from memory, no source). Litres and gallons of a full tank
are turned into per cent; two rows of states without a temperature are left out. `key` is the
class of the catalogue with those ohms, empty where the catalogue has none among its senders.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Literal, cast, get_args

import numpy as np

from catalog.arrays import Array
from catalog.library import load_generic
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.finder.identification import Identification
from retrofit.finder.identify import identify_sender
from retrofit.finder.seen import DigitalMeter, SeenPoint, SenderSeen

Variant = Literal["plain", "stuck", "swapped"]

SENDERS = load_generic().senders
METER = DigitalMeter(share=0.01, digits=2.0, counts=2000)


@dataclass(frozen=True)
class InUse:
    """A class in use: its values [SI], its ohms, its key in the catalogue or an empty text."""

    name: str
    quantity: QuantityName
    at: tuple[float, ...]
    ohm: tuple[float, ...]
    key: str


@cache
def classes_in_use() -> tuple[InUse, ...]:
    rows: dict[str, list[dict[str, str]]] = {}
    path = Path(__file__).with_name("classes_in_use.csv")
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            rows.setdefault(row["class"], []).append(row)
    return tuple(_class(name, some) for name, some in rows.items())


def _class(name: str, rows: list[dict[str, str]]) -> InUse:
    quantity = cast(QuantityName, rows[0]["quantity"])
    kind = QUANTITY_KIND[quantity]
    at = tuple(Amount(float(row["value"]), row["unit"]).si(kind) for row in rows)
    return InUse(name, quantity, at, tuple(float(row["ohm"]) for row in rows), rows[0]["key"])


def on_display(ohm: Array, random: np.random.Generator) -> Array:
    """What the meter shows: an error within its own limits, rounded to its display."""
    step = METER.resolution(ohm, Kind.RESISTANCE)
    off = random.uniform(-1.0, 1.0, len(ohm)) * METER.share * ohm
    off += random.uniform(-1.0, 1.0, len(ohm)) * METER.digits * step
    return np.asarray(np.maximum(np.round((ohm + off) / step) * step, 0.0))


def measured(one: InUse, variant: Variant, random: np.random.Generator) -> SenderSeen:
    """A table measured at all points of a class, with a slip or none."""
    shown = on_display(np.array(one.ohm), random)
    if variant == "stuck":
        row = int(random.integers(1, len(shown)))
        shown[row] = shown[row - 1]
    elif variant == "swapped":
        row = int(random.integers(1, len(shown)))
        shown[[row - 1, row]] = shown[[row, row - 1]]
    points = tuple(SeenPoint(at, float(ohm)) for at, ohm in zip(one.at, shown, strict=True))
    return SenderSeen(one.quantity, points, meter=METER)


def without(key: str) -> list[Sender]:
    """The catalogue without one class."""
    return [sender for sender in SENDERS if sender.key != key]


def count_as_one(one: InUse, key: str, part: float = 0.10) -> bool:
    """Whether a class of the catalogue is the same for a bench: its ohms, in one of its possible
    shapes, are within what two parts of one class may differ (twice 5 %, twice 1 % of the span,
    assumed) of all the figures of the class in use.
    """
    sender = next(each for each in SENDERS if each.key == key)
    curve = sender.curve
    assert curve is not None
    at, ohm = np.array(one.at), np.array(one.ohm)
    room = part * ohm + (0.02 * np.ptp(ohm) if one.quantity != "temperature" else 0.0)
    shapes = np.array([each.output(at) for each in (curve, *curve.alternatives())])
    low, high = shapes.min(axis=0) - room, shapes.max(axis=0) + room
    inside = (at >= curve.low - 1e-9) & (at <= curve.high + 1e-9)
    enough = int(np.sum(inside)) >= min(2, len(at))
    return bool(np.all((ohm >= low) & (ohm <= high) | ~inside) and enough)


@cache
def neighbours(one: InUse) -> tuple[str, ...]:
    """Keys of other classes of the catalogue that count as one with a class in use."""
    return tuple(
        sender.key
        for sender in SENDERS
        if sender.quantity == one.quantity
        and sender.signal is Kind.RESISTANCE
        and sender.key != one.key
        and count_as_one(one, sender.key)
    )


@dataclass(frozen=True)
class Score:
    """How often of how many tables.

    `wrong`: claims of a class that does not count as one with the true one; `beside`: claims of
    one that does. `lone`: tables of classes that count as one with no other of the catalogue,
    `lone_none` those of them that end in 'none of these'.
    """

    tables: int = 0
    first: int = 0
    top_three: int = 0
    identified: int = 0
    none: int = 0
    wrong: int = 0
    beside: int = 0
    lone: int = 0
    lone_none: int = 0

    def plus(self, one: InUse, found: Identification, *, listed: bool) -> Score:
        keys = [each.key for each in found.ranked]
        claims = found.found == "identified"
        alike = {key for key in found.leading if key == one.key or count_as_one(one, key)}
        right = one.key in found.leading if listed else False
        lone = not neighbours(one)
        return replace(
            self,
            tables=self.tables + 1,
            first=self.first + (listed and bool(keys) and one.key in (keys[0], *found.leading)),
            top_three=self.top_three + (listed and one.key in keys[:3]),
            identified=self.identified + (claims and right),
            none=self.none + (found.found == "none"),
            wrong=self.wrong + (claims and not right and not alike),
            beside=self.beside + bool(claims and not right and alike),
            lone=self.lone + lone,
            lone_none=self.lone_none + (lone and found.found == "none"),
        )


def score(variant: Variant, seeds: Sequence[int], *, listed: bool, fewest: int = 1) -> Score:
    """All classes with at least `fewest` points, measured once a seed, and identified."""
    total = Score()
    for seed in seeds:
        random = np.random.default_rng(seed)
        for one in classes_in_use():
            if len(one.at) < max(fewest, 1 if variant == "plain" else 2):
                continue
            if not one.key and listed:
                continue
            seen = measured(one, variant, random)
            senders = SENDERS if listed else without(one.key)
            total = total.plus(one, identify_sender(seen, senders), listed=listed)
    return total


def main() -> None:
    """Print the figures of many measured tables: ``python -m tests.finder.bench [SEEDS]``."""
    seeds = range(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
    for variant in get_args(Variant):
        for listed in (True, False):
            for fewest in (1, 3):
                found = score(variant, seeds, listed=listed, fewest=fewest)
                place = "in the catalogue" if listed else "left out of it"
                print(f"{variant}, {place}, {fewest} points or more: {found}")


if __name__ == "__main__":
    main()
