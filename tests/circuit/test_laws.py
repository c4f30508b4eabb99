"""Laws of resistor networks as property tests: what any circuit of this kind must obey."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.arrays import Array
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.network import Network
from retrofit.circuit.reduction import Reduction, Voltage, source

# All ten resistors between five nodes: any smaller network is one of these with some open.
NODES = ("earth", "a", "b", "c", "d")
PAIRS = tuple(itertools.combinations(NODES, 2))
ohm = st.floats(0.1, 1e4)  # five decades: trims, coils and their wires
some_ohm = ohm | st.just(math.inf)
volt = st.floats(-30.0, 30.0)
mesh = st.tuples(*[ohm] * 4, *[some_ohm] * 6)  # the four to earth keep every node joined
FOUR = st.lists(st.floats(1.0, 2000.0), min_size=4, max_size=4).filter(
    lambda r: min(abs(p - q) / max(p, q) for p, q in itertools.combinations(r, 2)) > 0.05
)


def resistors(ohms: tuple[float, ...]) -> Network:
    network = Network()
    for (start, end), value in zip(PAIRS, ohms, strict=True):
        network.resistor(f"{start}-{end}", start, end, value)
    return network


def driving_point(ohms: tuple[float, ...], left_out: int) -> Bilinear:
    """Resistance a–earth of the mesh, as the law of one of its resistors."""
    network = Network()
    for number, ((start, end), value) in enumerate(zip(PAIRS, ohms, strict=True)):
        if number != left_out:
            network.resistor(f"{start}-{end}", start, end, value)
    network.current_source("test ampere", "earth", "a", 1.0)
    return Reduction(network, *PAIRS[left_out]).law(Voltage("a"))


def cross_ratio(r: Array) -> float:
    return float((r[0] - r[2]) * (r[1] - r[3]) / ((r[0] - r[3]) * (r[1] - r[2])))


@given(mesh, volt, volt, st.floats(-5.0, 5.0))
def test_that_the_voltages_of_several_sources_superpose(
    ohms: tuple[float, ...], first: float, second: float, amps: float
) -> None:
    def voltages(*strengths: float) -> Array:
        network = resistors(ohms)
        network.voltage_source("first", "live", "earth", strengths[0])
        network.resistor("first's own", "live", "a", 0.02)
        network.voltage_source("second", "other live", "b", strengths[1])
        network.resistor("second's own", "other live", "c", 0.5)
        network.current_source("third", "d", "a", strengths[2])
        solution = network.solve()
        return np.array([solution.voltage(node)[0] for node in network.nodes])

    alone = [voltages(first, 0.0, 0.0), voltages(0.0, second, 0.0), voltages(0.0, 0.0, amps)]
    largest = float(np.max(np.abs(alone)))
    together = voltages(first, second, amps)
    assert together == pytest.approx(np.sum(alone, axis=0), rel=1e-9, abs=1e-10 * largest)


@given(mesh)
def test_that_the_transfer_resistance_is_the_same_both_ways(ohms: tuple[float, ...]) -> None:
    forth, back = resistors(ohms), resistors(ohms)
    forth.current_source("ampere", "earth", "a", 1.0)
    back.current_source("ampere", "earth", "c", 1.0)
    there, here = forth.solve().voltage("c"), back.solve().voltage("a")
    assert there == pytest.approx(here, rel=1e-8, abs=1e-9)


@given(mesh, st.integers(0, 9), st.lists(ohm, min_size=2, max_size=8))
def test_that_a_network_rises_with_each_of_its_resistors(
    ohms: tuple[float, ...], varied: int, values: list[float]
) -> None:
    # Rayleigh's monotonicity law (Random Walks and Electric Networks, MAA 1984).
    path = np.array([0.0, *sorted(values), math.inf])
    seen = driving_point(ohms, varied)(path)[0]
    if not np.isnan(seen).any():  # else that resistor alone held the mesh to earth
        assert np.all(np.diff(seen) >= -1e-9 * np.max(seen[:-1]))


@given(mesh, st.floats(1e-3, 1e3))
def test_that_scaling_every_resistance_scales_the_resistance_seen(
    ohms: tuple[float, ...], factor: float
) -> None:
    plain = source(resistors(ohms), "a", "c").ohm
    scaled = source(resistors(tuple(factor * one for one in ohms)), "a", "c").ohm
    assert scaled == pytest.approx(factor * plain, rel=1e-8)


@given(st.lists(ohm, min_size=1, max_size=6))
def test_that_series_resistances_add_and_parallel_conductances_add(values: list[float]) -> None:
    chain, fan = Network(), Network()
    for number, value in enumerate(values):
        chain.resistor(f"r{number}", f"n{number}", f"n{number + 1}", value)
        fan.resistor(f"r{number}", "n", "earth", value)
    chain.resistor("foot", f"n{len(values)}", "earth", 0.0)
    assert source(chain, "n0", "earth").ohm == pytest.approx([sum(values)], rel=1e-9)
    assert source(fan, "n", "earth").ohm == pytest.approx(
        [1.0 / sum(1.0 / v for v in values)], rel=1e-9
    )


@given(mesh, st.integers(4, 9), FOUR)
def test_that_four_senders_keep_their_cross_ratio(
    ohms: tuple[float, ...], varied: int, four: list[float]
) -> None:
    seen = driving_point(ohms, varied)(np.array(four))[0]
    spread = np.min(np.abs(np.subtract.outer(seen, seen))[~np.eye(4, dtype=bool)])
    if spread > 1e-5 * np.max(seen):  # else four nearly equal numbers, whose ratio is rounding
        assert cross_ratio(seen) == pytest.approx(cross_ratio(np.array(four)), rel=1e-6)


# --- the same laws with figures -----------------------------------------------------------------


def bridge() -> Bilinear:
    """Ra 70, Rb 33, Rc 120, Rd = r, Re 47: resistance seen across the bridge."""
    network = Network()
    network.resistor("ra", "top", "left", 70.0)
    network.resistor("rb", "left", "earth", 33.0)
    network.resistor("rc", "top", "right", 120.0)
    network.resistor("re", "left", "right", 47.0)
    network.current_source("test ampere", "earth", "top", 1.0)
    return Reduction(network, "right", "earth").law(Voltage("top"))


def test_that_a_bridge_is_the_bilinear_law_found_by_exact_algebra() -> None:
    law = bridge()
    # Exact algebra (sympy 1.14) and ngspice 39: (19511 r + 858120)/(237 r + 16751).
    ohms = np.array([0.0, 10.0, 90.0, 240.0, 1000.0, math.inf])
    seen = [51.227986389, 55.082370169, 68.646043959, 75.250370089, 80.272077746, 82.324894515]
    assert law(ohms)[0] == pytest.approx(seen, rel=1e-10)
    assert law.a / law.c == pytest.approx([19511.0 / 237.0], rel=1e-12)
    assert law.b / law.c == pytest.approx([858120.0 / 237.0], rel=1e-12)
    assert law.d / law.c == pytest.approx([16751.0 / 237.0], rel=1e-12)


def test_that_the_bridge_keeps_the_cross_ratio_of_four_senders() -> None:
    four = np.array([10.0, 90.0, 240.0, 1000.0])
    # Computed from the exact law: 1.409427609 for the senders and for what is seen of them.
    assert cross_ratio(four) == pytest.approx(1.409427609, rel=1e-9)
    assert cross_ratio(bridge()(four)[0]) == pytest.approx(1.409427609, rel=1e-9)


@pytest.mark.parametrize(
    ("sender", "target", "series", "shunt", "middle"),
    [
        ((10, 180), (10, 120), 0.272062582, 357.562489350, 75.330065151),
        ((33, 240), (40, 160), 9.494175061, 403.617307613, 111.497502325),
        ((0, 90), (5, 70), 5.000000000, 234.000000000, 42.741935484),
    ],
)
def test_that_a_resistor_across_and_one_in_series_move_two_senders_where_they_should(
    sender: tuple[float, float],
    target: tuple[float, float],
    series: float,
    shunt: float,
    middle: float,
) -> None:
    # Series and shunt solved from Rser + R·Rsh/(R + Rsh) at two points; arbitrary round ranges.
    trimmed = Bilinear.in_series(series).after(Bilinear.across(shunt))
    ohms = np.array([*sender, sum(sender) / 2.0])
    assert trimmed(ohms)[0] == pytest.approx([*target, middle], rel=1e-9)
    network = Network()
    network.resistor("series", "terminal", "sender", series)
    network.resistor("across", "sender", "earth", shunt)
    network.current_source("test ampere", "earth", "terminal", 1.0)
    seen = Reduction(network, "sender", "earth").law(Voltage("terminal"))
    assert seen(ohms)[0] == pytest.approx([*target, middle], rel=1e-9)
