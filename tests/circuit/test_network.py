"""The network against closed forms, and what it does where a circuit is odd."""

from __future__ import annotations

import numpy as np
import pytest

from catalog.errors import BugError, UserError
from retrofit.circuit.network import Network


def gauge(volt: float = 13.5, upper: float = 90.0, lower: float = 110.0) -> Network:
    network = Network()
    network.voltage_source("battery", "supply", "earth", volt)
    network.resistor("upper coil", "supply", "signal", upper)
    network.resistor("lower coil", "signal", "gauge earth", lower)
    return network


# --- directions and shapes ----------------------------------------------------------------------


def test_that_currents_count_in_the_direction_stated_for_each_kind() -> None:
    network = Network()
    network.voltage_source("battery", "supply", "earth", 12.0)
    network.resistor("down", "supply", "n", 100.0)
    network.resistor("up", "earth", "n", 100.0)
    network.current_source("load", "n", "earth", 0.03)
    solution = network.solve()
    # Ohm and Kirchhoff: (12 − v)/100 + (0 − v)/100 = 0.03
    assert solution.voltage("n") == pytest.approx([4.5], rel=1e-12)
    assert solution.current("down") == pytest.approx([0.075], rel=1e-12)
    assert solution.current("up") == pytest.approx([-0.045], rel=1e-12)
    assert solution.current("load") == pytest.approx([0.03], rel=1e-12)
    assert solution.current("battery") == pytest.approx([0.075], rel=1e-12)
    assert solution.voltage("supply", "n") == pytest.approx([7.5], rel=1e-12)


def test_that_a_batch_of_corners_gives_each_corner_s_own_answer() -> None:
    rng = np.random.default_rng(5)
    upper, lower, volt = rng.uniform(1.0, 300.0, (3, 5000))  # more than one block of the solver
    network = Network()
    network.voltage_source("battery", "supply", "earth", volt)
    network.resistor("upper coil", "supply", "signal", upper)
    network.resistor("lower coil", "signal", "earth", lower)
    network.resistor("sender", "signal", "earth", 45.0)
    solution = network.solve()
    pair = 1.0 / (1.0 / lower + 1.0 / 45.0)
    assert solution.voltage("signal") == pytest.approx(volt * pair / (pair + upper), rel=1e-12)
    assert solution.voltage("supply").shape == solution.current("sender").shape == (5000,)
    alone = gauge(float(volt[4321]), float(upper[4321]), float(lower[4321]))
    alone.resistor("joint", "gauge earth", "earth", 0.0)
    alone.resistor("sender", "signal", "earth", 45.0)
    assert alone.solve().voltage("signal") == pytest.approx(
        [solution.voltage("signal")[4321]], rel=1e-12
    )


# --- zero and infinite resistances --------------------------------------------------------------


@pytest.mark.parametrize("ohm", [0.0, 1e-12, 1e-6, 0.002, 0.999, 1.001])
def test_that_a_small_resistance_keeps_its_current_to_nine_digits(ohm: float) -> None:
    network = Network()
    network.voltage_source("battery", "supply", "earth", 13.5)
    network.resistor("wire", "supply", "far", ohm)
    network.resistor("coil", "far", "earth", 200.0)
    solution = network.solve()
    assert solution.current("wire") == pytest.approx([13.5 / (200.0 + ohm)], rel=1e-9)
    assert solution.voltage("far") == pytest.approx([13.5 * 200.0 / (200.0 + ohm)], rel=1e-12)


def test_that_one_batch_may_hold_a_resistor_shorted_sound_and_open() -> None:
    network = gauge()
    network.resistor("joint", "gauge earth", "earth", np.array([0.0, 0.0, 0.0, np.inf]))
    network.resistor("sender", "signal", "earth", np.array([0.0, 45.0, np.inf, 45.0]))
    solution = network.solve()
    pair = 110.0 * 45.0 / 155.0
    expected = [0.0, 13.5 * pair / (90.0 + pair), 13.5 * 0.55, 13.5 / 3.0]
    assert solution.voltage("signal") == pytest.approx(expected, rel=1e-12)
    assert solution.current("lower coil")[3] == 0.0


def test_that_a_node_cut_off_by_opens_has_no_voltage_and_the_rest_has() -> None:
    network = gauge()
    network.resistor("joint", "gauge earth", "earth", np.array([0.0, 0.0]))
    network.resistor("sender wire", "signal", "sender terminal", np.array([0.1, np.inf]))
    network.resistor("sender joint", "sender terminal", "sender", 0.2)
    solution = network.solve()
    for node in ("sender terminal", "sender"):
        assert np.isnan(solution.voltage(node)).tolist() == [False, True]
    assert solution.voltage("signal") == pytest.approx([7.425, 7.425], rel=1e-12)
    assert solution.current("sender joint") == pytest.approx([0.0, 0.0], abs=1e-15)


def test_that_a_meter_across_a_cut_off_part_still_reads() -> None:
    network = Network()
    network.voltage_source("cell", "plus", "minus", 9.0)
    network.resistor("load", "plus", "minus", 90.0)
    network.resistor("strap", "minus", "earth", np.inf)
    solution = network.solve()
    assert np.isnan(solution.voltage("plus")).all()
    assert solution.voltage("plus", "minus") == pytest.approx([9.0], rel=1e-12)
    assert solution.current("load") == pytest.approx([0.1], rel=1e-12)


def test_that_a_fixed_load_behind_a_blown_fuse_draws_nothing() -> None:
    network = Network()
    network.voltage_source("battery", "supply", "earth", 12.0)
    network.resistor("fuse", "supply", "behind", np.array([0.01, np.inf]))
    network.current_source("load", "behind", "earth", 2.0)
    solution = network.solve()
    assert solution.current("load") == pytest.approx([2.0, 0.0])
    assert solution.current("battery") == pytest.approx([2.0, 0.0])
    assert solution.voltage("behind")[0] == pytest.approx(11.98, rel=1e-12)
    assert np.isnan(solution.voltage("behind")[1])


def test_that_equal_ideal_wires_side_by_side_share_a_current_nobody_knows() -> None:
    network = gauge()
    network.resistor("wire 1", "gauge earth", "earth", 0.0)
    network.resistor("wire 2", "gauge earth", "earth", np.array([0.0, 0.1]))
    solution = network.solve()
    assert solution.voltage("signal") == pytest.approx([7.425, 7.425], rel=1e-12)
    assert solution.current("lower coil") == pytest.approx([0.0675, 0.0675], rel=1e-12)
    assert np.isnan(solution.current("wire 1")).tolist() == [True, False]
    assert np.isnan(solution.current("wire 2")).tolist() == [True, False]


# --- refusals -----------------------------------------------------------------------------------


def contradiction(network: Network) -> set[str]:
    with pytest.raises(UserError) as caught:
        network.solve()
    (message,) = caught.value.messages
    assert message.key == "circuit.contradiction"
    return set(str(message.value("elements")).split(", "))


def test_that_two_unequal_sources_in_parallel_are_named() -> None:
    network = gauge()
    network.voltage_source("stabiliser", "supply", "earth", np.array([13.5, 10.0]))
    assert contradiction(network) == {"battery", "stabiliser"}


def test_that_equal_sources_in_parallel_are_no_contradiction() -> None:
    network = gauge()
    network.voltage_source("other battery", "supply", "earth", 13.5)
    network.resistor("joint", "gauge earth", "earth", 0.0)
    assert network.solve().voltage("signal") == pytest.approx([7.425], rel=1e-12)


def test_that_a_short_across_a_source_is_named_whatever_way_it_takes() -> None:
    network = gauge()
    network.resistor("frayed feed", "supply", "bracket", np.array([np.inf, 0.0]))
    network.resistor("bracket bolt", "earth", "bracket", 0.0)
    assert contradiction(network) == {"battery", "frayed feed", "bracket bolt"}


def test_that_a_loop_of_sources_that_add_up_is_solved() -> None:
    network = Network()
    network.voltage_source("lower half", "middle", "earth", 6.0)
    network.voltage_source("upper half", "live", "middle", 6.0)
    network.voltage_source("whole", "live", "earth", 12.0)
    network.resistor("load", "live", "earth", 120.0)
    solution = network.solve()
    assert solution.current("load") == pytest.approx([0.1], rel=1e-12)
    assert np.isnan(solution.current("whole")).all()


@pytest.mark.parametrize("ohm", [-1.0, np.nan, -np.inf])
def test_that_no_resistance_is_negative_or_unknown(ohm: float) -> None:
    with pytest.raises(BugError, match="resistor wire"):
        Network().resistor("wire", "a", "b", ohm)


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_that_sources_are_finite_numbers(value: float) -> None:
    with pytest.raises(BugError, match="battery"):
        Network().voltage_source("battery", "a", "b", value)
    with pytest.raises(BugError, match="load"):
        Network().current_source("load", "a", "b", value)


def test_that_names_ends_and_corners_must_fit_together() -> None:
    network = gauge()
    with pytest.raises(BugError, match="two elements are called 'battery'"):
        network.resistor("battery", "a", "b", 1.0)
    with pytest.raises(BugError, match="both ends"):
        network.resistor("loop", "a", "a", 1.0)
    network.resistor("wire", "a", "b", np.ones(3))
    with pytest.raises(BugError, match="3 corners"):
        network.resistor("other wire", "a", "b", np.ones(4))
    with pytest.raises(BugError, match="no node 'c'"):
        network.node("c")
    with pytest.raises(BugError, match="no element 'fuse'"):
        network.solve().current("fuse")
