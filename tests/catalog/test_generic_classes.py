"""The shipped classes: enough of them, apart from each other, and honest about what is known.

What they hold is common practice, no source, where a basis says so; the published ones are
held against their sources in ``tests/published``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib import resources
from itertools import combinations

import numpy as np
import pytest

from catalog.arrays import Array
from catalog.codec import Part
from catalog.curves.characteristic import Characteristic
from catalog.curves.family import EndsOnly
from catalog.curves.interpolated import Interpolated
from catalog.library import load_generic
from catalog.parts.fields import QUANTITY_KIND
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    RatioMovement,
    VoltageInput,
)
from catalog.parts.laws import (
    ActiveLaw,
    BetaLaw,
    PlatinumLaw,
    PulsedLaw,
    SteinhartHartLaw,
    SwitchLaw,
    TableLaw,
    TransmitterLaw,
    UnknownLaw,
)
from catalog.parts.sender import Sender
from catalog.provenance import Basis, BasisKind, Figure
from catalog.quantities.kinds import Kind

LIBRARY = load_generic()
SENDERS, GAUGES = LIBRARY.senders, LIBRARY.gauges
PARTS: tuple[Part, ...] = (*SENDERS, *GAUGES)
APART = 0.03
SOURCES = ("IEC 60751", "TM 5-3805-262-20", "TM 5-6115-593-12", "coefficient set in wide use")


def named(part: Part) -> str:
    return part.key


def bases(sender: Sender) -> Iterator[Basis]:
    """Every basis of a law: its own, its points' and its figures'."""
    law = sender.law
    if isinstance(law, TableLaw):
        yield law.basis
        yield from (point.basis for point in law.points if point.basis is not None)
    elif isinstance(law, PlatinumLaw):
        yield law.resistance.basis
    elif isinstance(law, BetaLaw):
        yield from (law.resistance.basis, law.beta.basis, law.reference.basis)
    elif not isinstance(law, UnknownLaw):
        yield law.basis


# --- how many, and of what ----------------------------------------------------------------------


def test_that_there_are_enough_classes_of_both_kinds() -> None:
    assert len([sender for sender in SENDERS if sender.curve is not None]) >= 36
    assert len(GAUGES) >= 30


@pytest.mark.parametrize("quantity", ["level", "pressure", "temperature"])
def test_that_every_quantity_rises_and_falls(quantity: str) -> None:
    curves = [s.curve for s in SENDERS if s.quantity == quantity and s.curve is not None]
    assert {curve.rising for curve in curves} == {True, False}


@pytest.mark.parametrize("quantity", ["level", "pressure", "temperature"])
def test_that_every_quantity_has_dual_station_senders_at_half_the_ohms(quantity: str) -> None:
    duals = [s for s in SENDERS if s.quantity == quantity and s.stations == 2]
    assert duals
    for dual in duals:
        assert dual.curve is not None
        ends = np.array([dual.curve.low, dual.curve.high])
        halves = [
            single
            for single in SENDERS
            if single.quantity == quantity
            and single.stations == 1
            and single.curve is not None
            and np.allclose(single.curve.output(ends), 2.0 * dual.curve.output(ends), rtol=1e-9)
        ]
        assert halves, dual.key


@pytest.mark.parametrize("quantity", ["level", "pressure", "temperature"])
def test_that_every_quantity_has_gauges_for_12_and_24_volts(quantity: str) -> None:
    systems = {volts for g in GAUGES if g.quantity == quantity for volts in g.system}
    assert systems >= {"12 V", "24 V"}


def test_that_every_movement_is_there() -> None:
    found = {type(gauge.movement) for gauge in GAUGES}
    assert found == {
        RatioMovement, HeaterMovement, CoilMovement, ElectronicMovement, VoltageInput, LoopInput
    }  # fmt: skip


def test_that_the_heater_families_come_with_their_stabiliser() -> None:
    feeds = {
        gauge.movement.feed.si(Kind.VOLTAGE)
        for gauge in GAUGES
        if isinstance(gauge.movement, HeaterMovement) and gauge.movement.feed is not None
    }
    assert feeds >= {5.0, 10.0}


def test_that_every_law_is_there_but_the_unknown_one() -> None:
    found = {type(sender.law) for sender in SENDERS}
    assert found == {
        TableLaw, BetaLaw, SteinhartHartLaw, PlatinumLaw,
        TransmitterLaw, SwitchLaw, PulsedLaw, ActiveLaw,
    }  # fmt: skip


def test_that_platinum_transmitters_and_switches_are_there() -> None:
    platinum = {
        s.law.resistance.si(Kind.RESISTANCE) for s in SENDERS if isinstance(s.law, PlatinumLaw)
    }
    assert platinum == {100.0, 1000.0}
    spans = {
        (str(s.law.low.gives), str(s.law.high.gives))
        for s in SENDERS
        if isinstance(s.law, TransmitterLaw)
    }
    assert spans == {("0.5 V", "4.5 V"), ("4 mA", "20 mA")}
    assert {s.quantity for s in SENDERS if isinstance(s.law, SwitchLaw)} == set(QUANTITY_KIND)


# --- what is known, and how ---------------------------------------------------------------------


@pytest.mark.parametrize("sender", SENDERS, ids=named)
def test_that_every_law_says_where_it_comes_from(sender: Sender) -> None:
    kinds = {basis.kind for basis in bases(sender)}
    assert kinds
    assert BasisKind.UNSTATED not in kinds


@pytest.mark.parametrize("gauge", GAUGES, ids=named)
def test_that_every_gauge_says_where_its_dial_and_its_figures_come_from(gauge: Gauge) -> None:
    figures = [value for value in vars(gauge.movement).values() if isinstance(value, Figure)]
    assert gauge.basis.kind is not BasisKind.UNSTATED
    assert BasisKind.UNSTATED not in {figure.basis.kind for figure in figures}


@pytest.mark.parametrize("sender", SENDERS, ids=named)
def test_that_only_known_sources_are_called_published(sender: Sender) -> None:
    for basis in bases(sender):
        published = basis.kind is BasisKind.PUBLISHED
        assert published == basis.source.startswith(SOURCES), basis
        assert "memory" not in basis.source


def test_that_the_points_from_memory_say_so() -> None:
    part = LIBRARY.part("pressure-10bar-10-184")
    assert isinstance(part, Sender)
    assert isinstance(part.law, TableLaw)
    kinds = {
        point.at.number: (point.basis or part.law.basis).kind.value for point in part.law.points
    }
    sourced = {bar for bar, kind in kinds.items() if kind == "common practice"}
    assert sourced == {0.0, 5.0, 10.0}
    assert set(kinds.values()) == {"common practice", "from memory"}


@pytest.mark.parametrize("sender", [s for s in SENDERS if isinstance(s.law, TableLaw)], ids=named)
def test_that_a_table_has_three_points_or_is_marked_ends_only(sender: Sender) -> None:
    assert isinstance(sender.law, TableLaw)
    assert sender.ends_only == (len(sender.law.points) == 2)
    if sender.ends_only:
        assert "nothing is known between the ends" in sender.notes.casefold()
        assert sender.curve is not None
        assert sender.curve.alternatives() != ()
    else:
        assert len(sender.law.points) >= 3


@pytest.mark.parametrize(
    "sender",
    [s for s in SENDERS if isinstance(s.law, TableLaw) and s.law.shape == "straight"],
    ids=named,
)
def test_that_a_straight_law_says_why_and_is_one(sender: Sender) -> None:
    assert "straight lines join" in sender.notes
    assert isinstance(sender.curve, Interpolated)
    x, y = np.array(sender.curve.points).T
    line = y[0] + (y[-1] - y[0]) * (x - x[0]) / (x[-1] - x[0])
    assert np.max(np.abs(y - line)) <= 0.01 * abs(y[-1] - y[0])


@pytest.mark.parametrize("gauge", GAUGES, ids=named)
def test_that_a_dial_covers_its_class_and_only_that(gauge: Gauge) -> None:
    kind = QUANTITY_KIND[gauge.quantity]
    low, high = gauge.low.si(kind), gauge.high.si(kind)
    if gauge.scaled_for is None:
        assert (gauge.marks[0].at, gauge.marks[-1].at) == (gauge.low, gauge.high)
        return
    assert gauge.scaled_for.key in {sender.key for sender in SENDERS}
    assert gauge.own_class is not None
    assert gauge.own_class.low <= low
    assert high <= gauge.own_class.high


def test_that_no_generic_class_claims_to_know_its_coils() -> None:
    for gauge in GAUGES:
        if isinstance(gauge.movement, RatioMovement):
            assert gauge.movement.supply_coil is None
            assert gauge.movement.earth_coil is None


# --- apart from each other ----------------------------------------------------------------------


def band(curve: Characteristic, at: Array) -> tuple[Array, Array]:
    """Lowest and highest output that a class can have at each value, its shape not being known."""
    outputs = np.array([kin.output(at) for kin in (curve, *curve.alternatives())])
    return outputs.min(axis=0), outputs.max(axis=0)


def furthest_apart(
    a: Characteristic, b: Characteristic, low: float = -np.inf, high: float = np.inf
) -> float:
    """Largest |Ra − Rb|/max(Ra, Rb) over the common range; inf where there is none.

    Between known points any curve is a guess, so two classes are told apart only where no
    plausible curve of the one meets one of the other: classes known at their ends alone do
    not become two by a curve that somebody drew between them.
    """
    low, high = max(a.low, b.low, low), min(a.high, b.high, high)
    if low >= high:
        return np.inf
    at = np.linspace(low, high, 401)
    (a_least, a_most), (b_least, b_most) = band(a, at), band(b, at)
    gap = np.maximum(np.maximum(a_least - b_most, b_least - a_most), 0.0)
    larger = np.maximum(a_most, b_most)
    return float(np.max(gap / np.where(larger == 0.0, 1.0, larger)))


def test_that_no_two_senders_lie_within_3_per_cent_of_each_other() -> None:
    close = [
        (a.key, b.key)
        for a, b in combinations([s for s in SENDERS if s.curve is not None], 2)
        if a.quantity == b.quantity and a.signal is b.signal
        and a.curve is not None and b.curve is not None
        and furthest_apart(a.curve, b.curve) <= APART
    ]  # fmt: skip
    assert close == []


def dial(gauge: Gauge) -> tuple[Characteristic, float, float]:
    """What the dial needs, and the ends of its scale [SI]."""
    kind = QUANTITY_KIND[gauge.quantity]
    low, high = gauge.low.si(kind), gauge.high.si(kind)
    if gauge.own_class is not None:
        return gauge.own_class, low, high
    marks = tuple((mark.at.si(kind), mark.needs.si(gauge.signal)) for mark in gauge.marks)
    if len(marks) == 2:
        return EndsOnly(low, high, marks[0][1], marks[1][1]), low, high
    return Interpolated(marks), low, high


def dials_apart(a: Gauge, b: Gauge) -> float:
    (curve, low, high), (other, other_low, other_high) = dial(a), dial(b)
    return furthest_apart(curve, other, max(low, other_low), min(high, other_high))


def test_that_no_two_gauges_of_one_movement_and_system_lie_within_3_per_cent() -> None:
    close = [
        (a.key, b.key)
        for a, b in combinations(GAUGES, 2)
        if a.quantity == b.quantity and a.signal is b.signal
        and type(a.movement) is type(b.movement) and set(a.system) & set(b.system)
        and dials_apart(a, b) <= APART
    ]  # fmt: skip
    assert close == []


def test_that_no_two_switches_for_one_quantity_change_over_within_3_per_cent() -> None:
    switches = [(s.quantity, s.law) for s in SENDERS if isinstance(s.law, SwitchLaw)]
    for (quantity, a), (other, b) in combinations(switches, 2):
        if quantity == other:
            at = [law.operates.si(QUANTITY_KIND[quantity]) for law in (a, b)]
            assert max(at) - min(at) > APART * max(at)


def test_that_two_equal_classes_would_be_found() -> None:
    # The measure itself: ends known to 2.7 % are one class, whatever is drawn between them.
    part = LIBRARY.part("level-73-10-mid-23")
    assert isinstance(part, Sender)
    assert part.curve is not None
    assert furthest_apart(part.curve, part.curve) == 0.0
    assert furthest_apart(part.curve, EndsOnly(0.0, 1.0, 75.0, 10.0)) <= APART
    assert furthest_apart(part.curve, EndsOnly(0.0, 1.0, 76.0, 10.0)) > APART


# --- names and form -----------------------------------------------------------------------------


@pytest.mark.parametrize("part", PARTS, ids=named)
def test_that_keys_are_words_joined_by_hyphens_and_begin_with_what_they_are(part: Part) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", part.key)
    start = f"gauge-{part.quantity}-" if isinstance(part, Gauge) else f"{part.quantity}-"
    assert part.key.startswith(start)
    assert part.name
    assert part.notes.endswith(".")


def test_that_the_files_are_readable_by_hand() -> None:
    files = [f for f in resources.files("catalog.generic").iterdir() if f.name.endswith(".json")]
    assert len(files) == 7
    for found in files:
        text = found.read_text(encoding="utf-8")
        document = json.loads(text)
        assert list(document) == ["format", "version", "parts"]
        points = text.count('"at": ')
        lines = [line for line in text.splitlines() if '"at": ' in line]
        assert len(lines) == points
        longest = max((line for line in text.splitlines() if '"notes": ' not in line), key=len)
        assert len(longest) <= 200, longest
