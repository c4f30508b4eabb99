"""The laws of resistors around a sender: closed forms, published figures, networks of any form."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from retrofit.circuit.network import Network
from retrofit.trim.laws import (
    Law,
    Refusal,
    Targets,
    across_then_series,
    refusal,
    series_then_across,
)

OHMS = st.floats(0.5, 5000.0)


def plain(found: Refusal | None) -> tuple[object, ...]:
    """Return a refusal without its edge: NaN equals nothing, from Python 3.13 on in records too."""
    assert found is not None
    return found.law, found.first, found.second, found.needs, found.gives


def exact(sender: list[float], dial: list[float]) -> Targets:
    """Targets without any allowed error."""
    ohms, wants = np.array(sender), np.array(dial)
    return Targets(np.arange(len(ohms), dtype=float), ohms, wants, wants, wants)


def boxed(sender: list[float], low: list[float], high: list[float]) -> Targets:
    ohms, least, most = np.array(sender), np.array(low), np.array(high)
    return Targets(np.arange(len(ohms), dtype=float), ohms, (least + most) / 2.0, least, most)


# --- two-point solutions ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sender", "target", "series", "parallel", "midpoint"),
    [  # worked out with a stated formula for round numbers, from no product
        ((10.0, 180.0), (10.0, 120.0), 0.272062582, 357.562489350, 75.330065151),
        ((33.0, 240.0), (40.0, 160.0), 9.494175061, 403.617307613, 111.497502325),
        ((0.0, 90.0), (5.0, 70.0), 5.000000000, 234.000000000, 42.741935484),
    ],
)
def test_that_two_points_give_the_stored_resistors(
    sender: tuple[float, float],
    target: tuple[float, float],
    series: float,
    parallel: float,
    midpoint: float,
) -> None:
    found = across_then_series(sender, target)
    assert found.series == pytest.approx(series, abs=1e-8)
    assert found.parallel == pytest.approx(parallel, rel=1e-9)
    middle = sum(sender) / 2.0
    seen = middle * found.parallel / (middle + found.parallel) + found.series
    assert seen == pytest.approx(midpoint, rel=1e-9)


def test_that_c04_is_solved_in_both_topologies() -> None:
    """A measured 88–8 Ω sender on 73–10 Ω (worked case)."""
    one = across_then_series((88.0, 8.0), (73.0, 10.0))
    other = series_then_across((88.0, 8.0), (73.0, 10.0))
    assert one.parallel == pytest.approx(363, abs=0.5)
    assert one.series == pytest.approx(2.17, abs=0.005)
    assert other.parallel == pytest.approx(382, abs=0.5)
    assert other.series == pytest.approx(2.27, abs=0.005)
    half = 48.0
    one_half = half * one.parallel / (half + one.parallel) + one.series
    other_half = (half + other.series) * other.parallel / (half + other.series + other.parallel)
    assert other_half < 44.5 < one_half
    assert other_half == pytest.approx(one_half, abs=0.2)


@given(OHMS, OHMS, OHMS, OHMS)
def test_that_two_points_are_met_where_there_are_such_resistors(
    r1: float, r2: float, t1: float, t2: float
) -> None:
    assume(abs(r1 - r2) > 1e-3 and abs(t1 - t2) > 1e-3)
    one, two = across_then_series((r1, r2), (t1, t2)), series_then_across((r1, r2), (t1, t2))
    if one.possible and two.possible:
        for r, t in ((r1, t1), (r2, t2)):
            share = 0.0 if math.isinf(one.parallel) else r / one.parallel
            assert r / (1.0 + share) + one.series == pytest.approx(t, rel=1e-6)
            branch = r + two.series
            share = 0.0 if math.isinf(two.parallel) else branch / two.parallel
            assert branch / (1.0 + share) == pytest.approx(t, rel=1e-6)


@given(OHMS, OHMS, OHMS, OHMS)
def test_that_the_three_laws_tell_exactly_whether_there_are_such_resistors(
    r1: float, r2: float, t1: float, t2: float
) -> None:
    assume(abs(r1 - r2) > 1e-3)
    rs, ts = [Fraction(r1), Fraction(r2)], [Fraction(t1), Fraction(t2)]
    order = (rs[1] - rs[0]) * (ts[1] - ts[0]) >= 0
    span = abs(rs[1] - rs[0]) - abs(ts[1] - ts[0])
    drop = abs(1 / rs[1] - 1 / rs[0]) - abs(1 / ts[1] - 1 / ts[0])
    # Away from the very edge, where rounding decides.
    assume(abs(span) > 1e-6 * abs(rs[1] - rs[0]) and abs(drop) > 1e-6 * abs(1 / rs[1] - 1 / rs[0]))
    assume(abs(ts[1] - ts[0]) > 1e-6 * ts[0])
    reachable = order and span > 0 and drop > 0
    assert across_then_series((r1, r2), (t1, t2)).possible is reachable
    assert (refusal(exact([r1, r2], [t1, t2])) is None) is reachable


# --- reach --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sender", "dial", "parallel", "series"),
    [([88.0, 8.0], [73.0, 10.0], 363.0, 2.17), ([0.0, 190.0], [10.0, 180.0], 1615.0, 10.0)],
)
def test_that_what_is_within_reach_is_not_refused(
    sender: list[float], dial: list[float], parallel: float, series: float
) -> None:
    """88–8 → 73–10 (363, 2.17); 0–190 → 10–180 (1615, 10.0): worked out beforehand."""
    assert refusal(exact(sender, dial)) is None
    found = across_then_series((sender[0], sender[1]), (dial[0], dial[1]))
    assert found.parallel == pytest.approx(parallel, abs=0.5)
    assert found.series == pytest.approx(series, abs=0.005)


def test_that_75_to_10_never_spans_240_to_33() -> None:
    found = refusal(exact([75.0, 10.0], [240.0, 33.0]))
    assert plain(found) == (Law.SPAN, 1, 0, 207.0, 65.0)


def test_that_a_thermistor_is_refused_by_its_span_of_conductance() -> None:
    """481.53…36.51 Ω on 291.46…22.44 Ω: 0.041132 S wanted, 0.025313 S there."""
    found = refusal(exact([481.53, 36.51], [291.46, 22.44]))
    assert found is not None
    assert found.law is Law.CONDUCTANCE
    assert found.needs == pytest.approx(0.041132, abs=5e-7)
    assert found.gives == pytest.approx(0.025313, abs=5e-7)
    # The lowest that is left at the hot end where the cold end is right: 1/(ΔG + 1/291.46).
    assert found.edge == pytest.approx(1.0 / (1 / 36.51 - 1 / 481.53 + 1 / 291.46), rel=1e-12)


def test_that_c05_needs_an_endless_span_of_conductance() -> None:
    """Rising 40–250 Ω on rising 0–90 Ω: infinite against 0.0210 S."""
    found = refusal(exact([40.0, 250.0], [0.0, 90.0]))
    assert found is not None
    assert (found.law, found.needs) == (Law.CONDUCTANCE, math.inf)
    assert found.gives == pytest.approx(0.0210, abs=5e-5)


def test_that_c09_and_c11_are_refused_by_direction() -> None:
    """0–100 Ω where 450–100 Ω is wanted; a contact that opens for 10 Ω and closes for 90 Ω."""
    for sender, dial in (([0.0, 100.0], [450.0, 100.0]), ([math.inf, 0.0], [10.0, 90.0])):
        found = refusal(exact(sender, dial))
        assert found is not None
        assert found.law is Law.DIRECTION
    # A changeover contact can: it gives either resistor.
    assert refusal(exact([10.0, 90.0], [10.0, 90.0])) is None


def test_that_c13_is_refused_by_span_even_with_a_twentieth_allowed() -> None:
    """25 Ω at full where 30 Ω is meant: with 5 % of scale 27 Ω are wanted, 25 Ω there."""
    found = refusal(boxed([0.0, 25.0], [0.0, 28.5], [1.5, 31.5]))
    assert plain(found) == (Law.SPAN, 0, 1, 27.0, 25.0)
    assert refusal(boxed([0.0, 25.0], [0.0, 27.0], [3.0, 33.0])) is None


def test_that_equal_steepness_shifted_has_no_cure() -> None:
    """A sender of 1.6 times the ohms everywhere: the product of span and conductance forbids."""
    sender = np.geomspace(500.0, 30.0, 9)
    targets = exact(sender.tolist(), (sender / 1.6).tolist())
    found = refusal(targets)
    assert found is not None
    assert list(targets.ratios()) == pytest.approx([1.6, 1.6])


def test_that_a_sender_that_stands_still_cannot_move_a_needle() -> None:
    found = refusal(boxed([50.0, 50.0], [10.0, 30.0], [20.0, 40.0]))
    assert plain(found) == (Law.SPAN, 0, 1, 10.0, 0.0)
    assert refusal(boxed([50.0, 50.0], [10.0, 15.0], [20.0, 40.0])) is None


def test_that_one_value_and_open_boxes_are_never_refused() -> None:
    assert refusal(exact([50.0], [10.0])) is None
    assert refusal(boxed([50.0, 20.0], [0.0, 0.0], [math.inf, math.inf])) is None


def test_that_of_all_pairs_the_shortest_one_is_named() -> None:
    found = refusal(exact([10.0, 20.0, 30.0], [10.0, 30.0, 41.0]))
    assert found is not None
    assert (found.law, found.first, found.second) == (Law.SPAN, 0, 1)


# --- networks of any form -----------------------------------------------------------------------

EDGES = [(a, b) for a in range(5) for b in range(a)]


@st.composite
def networks(draw: st.DrawFn) -> tuple[list[tuple[str, str, float]], tuple[str, str]]:
    """Resistors between any of five nodes, and two nodes for the sender."""
    chosen = draw(st.lists(st.sampled_from(EDGES), min_size=2, max_size=7, unique=True))
    names = ["earth", "signal", "a", "b", "c"]
    wires = [(names[a], names[b], draw(st.floats(1.0, 1000.0))) for a, b in chosen]
    ends = draw(st.sampled_from(EDGES))
    return wires, (names[ends[0]], names[ends[1]])


def seen(
    wires: list[tuple[str, str, float]], ends: tuple[str, str], ohms: list[float]
) -> list[float]:
    """Ohms between signal and earth with the sender at each of its values: 1 A driven in."""
    network, given_ohms = Network(), np.array(ohms)
    for n, (a, b, ohm) in enumerate(wires):
        network.resistor(f"r{n}", a, b, np.full(len(ohms), ohm))
    network.resistor("the sender", *ends, given_ohms)
    network.resistor("so that signal and earth hang together", "signal", "earth", 1e4)
    network.current_source("test", "earth", "signal", np.ones(len(ohms)))
    return [float(volt) for volt in network.solve().voltage("signal")]


@given(networks(), st.lists(st.just(0.0) | st.floats(0.01, 2000.0), min_size=2, max_size=4))
def test_that_no_network_of_any_form_does_what_is_refused(
    network: tuple[list[tuple[str, str, float]], tuple[str, str]], ohms: list[float]
) -> None:
    wires, ends = network
    assert refusal(exact(ohms, seen(wires, ends, ohms))) is None


@given(
    networks(),
    st.lists(st.floats(1.0, 2000.0), min_size=2, max_size=4),
    st.lists(st.tuples(st.floats(0.0, 1500.0), st.floats(0.0, 200.0)), min_size=4, max_size=4),
)
def test_that_a_refused_box_holds_what_no_network_gives(
    network: tuple[list[tuple[str, str, float]], tuple[str, str]],
    ohms: list[float],
    boxes: list[tuple[float, float]],
) -> None:
    low = [a for a, _ in boxes[: len(ohms)]]
    high = [a + width for a, width in boxes[: len(ohms)]]
    if refusal(boxed(ohms, low, high)) is None:
        return
    given_there = seen(*network, ohms)
    inside = [a <= t <= b for a, t, b in zip(low, given_there, high, strict=True)]
    assert not all(inside)


@given(
    st.tuples(st.floats(1.0, 2000.0), st.floats(1.0, 2000.0)),
    st.tuples(st.floats(0.0, 800.0), st.floats(0.0, 800.0)),
    st.tuples(st.floats(0.0, 300.0), st.floats(0.0, 300.0)),
)
def test_that_a_pair_of_boxes_is_refused_only_if_a_fine_grid_finds_nothing(
    sender: tuple[float, float], low: tuple[float, float], width: tuple[float, float]
) -> None:
    """The exact decision against trying every pair of 60 by 60 targets in the boxes."""
    high = (low[0] + width[0], low[1] + width[1])
    found = refusal(boxed(list(sender), list(low), list(high)))
    one, two = np.meshgrid(*(np.linspace(a, b, 60) for a, b in zip(low, high, strict=True)))
    dr, dt = sender[1] - sender[0], two - one
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        dg, dh = 1.0 / sender[0] - 1.0 / sender[1], 1.0 / one - 1.0 / two
    slack = 1.0 - 1e-6
    inside = (dr * dt >= 0.0) & (abs(dt) <= slack * abs(dr)) & (abs(dh) <= slack * abs(dg))
    if np.any(inside & np.isfinite(dh)):
        assert found is None
