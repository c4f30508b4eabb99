"""The sender's laws against full solutions with the sender put in, and their edges."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.network import Network
from retrofit.circuit.reduction import (
    SENDER,
    Current,
    Quantity,
    Ratio,
    Reduction,
    Voltage,
    source,
)
from tests.circuit.circuits import Circuit, network_of, resistor, text
from tests.circuit.generated import FIRST_NODE, SECOND_NODE, generated

OHMS = np.array([0.0, 1e-3, 0.5, 10.0, 33.0, 103.0, 240.0, 1e6, math.inf])
NEEDLE = Ratio(Current("lower coil"), Current("upper coil"))


def gauge(lower_joint: float = 0.0, sender_earth: float = 0.05) -> Network:
    network = Network()
    network.voltage_source("battery", "supply", "earth", 13.5)
    network.resistor("upper coil", "supply", "signal", 90.0)
    network.resistor("lower coil", "signal", "gauge earth", 110.0)
    network.resistor("gauge joint", "gauge earth", "earth", lower_joint)
    network.resistor("strap", "block", "earth", sender_earth)
    return network


# --- two ways to one number ---------------------------------------------------------------------


@given(seed=st.integers(0, 2**32 - 1), ohm=st.floats(1.0, 1000.0))
def test_that_a_law_and_a_full_solution_agree_to_nine_digits(seed: int, ohm: float) -> None:
    (circuit,) = generated(seed, 1)
    bare: Circuit = [e for e in circuit if e["name"] != "sender"]
    whole = network_of([*bare, resistor("sender", FIRST_NODE, SECOND_NODE, ohm)]).solve()
    network = network_of(bare)
    reduced = Reduction(network, FIRST_NODE, SECOND_NODE)
    here = np.array([ohm])
    for node in network.nodes:
        ours = reduced.law(Voltage(node))(here)[0]
        assert ours == pytest.approx(whole.voltage(node), rel=1e-9, abs=1e-12)
    for e in bare:
        ours = reduced.law(Current(text(e, "name")))(here)[0]
        assert ours == pytest.approx(whole.current(text(e, "name")), rel=1e-9, abs=1e-11)
    assert reduced.law(Current(SENDER))(here)[0] == pytest.approx(
        whole.current("sender"), rel=1e-9, abs=1e-12
    )


def test_that_shorted_and_open_are_exact() -> None:
    reduced = Reduction(gauge(sender_earth=0.0), "signal", "block")
    at_ends = reduced.law(NEEDLE)(np.array([0.0, math.inf]))[0]
    assert at_ends[0] == 0.0
    assert at_ends[1] == pytest.approx(1.0, rel=1e-14)
    assert reduced.law(Voltage("signal"))(np.array([0.0]))[0, 0] == 0.0
    assert reduced.law(Current(SENDER))(np.array([math.inf]))[0, 0] == 0.0
    # Ohm's law: the shorted sender carries what the upper coil lets through.
    assert reduced.law(Current(SENDER))(np.array([0.0])) == pytest.approx(
        np.array([[0.15]]), rel=1e-12
    )


def test_that_many_corners_and_resistances_give_a_table_of_both() -> None:
    volt, strap = np.array([11.0, 13.5, 16.0]), np.array([0.0, 0.1, 5.0])
    network = Network()
    network.voltage_source("battery", "supply", "earth", volt)
    network.resistor("upper coil", "supply", "signal", 90.0)
    network.resistor("lower coil", "signal", "earth", 110.0)
    network.resistor("strap", "block", "earth", strap)
    table = Reduction(network, "signal", "block").law(NEEDLE)(OHMS[:-1])
    path = OHMS[:-1] + strap[:, None]
    # A plain two-coil gauge shows R/(R + Rb) at any supply (closed form).
    assert table == pytest.approx(path / (path + 110.0), rel=1e-12, abs=1e-15)


# --- the sender alone joins a part --------------------------------------------------------------


def test_that_an_open_earth_return_makes_every_law_flat() -> None:
    network = gauge(sender_earth=math.inf)
    network.resistor("bracket", "block", "frame", 3.0)
    reduced = Reduction(network, "signal", "block")
    assert reduced.law(NEEDLE)(OHMS) == pytest.approx(np.ones((1, OHMS.size)), rel=1e-12)
    for node in ("signal", "block", "frame"):
        flat = np.full((1, OHMS.size), 7.425)
        assert reduced.law(Voltage(node))(OHMS) == pytest.approx(flat, rel=1e-12)
    assert reduced.law(Current(SENDER))(OHMS).tolist() == [[0.0] * OHMS.size]
    seen = reduced.source()
    assert np.isnan(seen.volt).all()
    assert seen.ohm.tolist() == [math.inf]


def test_that_a_fixed_current_into_a_cut_off_block_comes_back_through_the_sender() -> None:
    network = gauge(sender_earth=math.inf)
    network.current_source("stray", "earth", "block", 0.01)
    reduced = Reduction(network, "signal", "block")
    ohms = np.array([0.0, 45.0, 100.0])
    # 10 mA into the divider's 49.5 Ω, then the drop along the sender (Ohm's law).
    signal = 7.425 + 0.01 * 49.5
    assert reduced.law(Voltage("signal"))(ohms) == pytest.approx(np.full((1, 3), signal), rel=1e-12)
    assert reduced.law(Voltage("block"))(ohms)[0] == pytest.approx(signal + 0.01 * ohms, rel=1e-12)
    assert reduced.law(Current(SENDER))(ohms) == pytest.approx(np.full((1, 3), -0.01), rel=1e-12)
    assert reduced.law(Voltage("signal"))(np.array([math.inf]))[0, 0] == pytest.approx(signal)


def test_that_corners_with_and_without_an_earth_return_mix_in_one_batch() -> None:
    network = gauge(sender_earth=0.05)
    network.resistor("return", "far block", "block", np.array([0.0, math.inf]))
    table = Reduction(network, "signal", "far block").law(NEEDLE)(np.array([45.0]))
    assert table[:, 0] == pytest.approx([45.05 / 155.05, 1.0], rel=1e-12)


# --- sources ------------------------------------------------------------------------------------


def test_that_the_source_of_a_plain_divider_is_the_textbook_one() -> None:
    seen = source(gauge(), "signal", "earth")
    assert seen.volt == pytest.approx([13.5 * 110.0 / 200.0], rel=1e-12)
    assert seen.ohm == pytest.approx([90.0 * 110.0 / 200.0], rel=1e-12)


def test_that_a_source_straight_at_a_battery_has_no_resistance() -> None:
    seen = source(gauge(), "supply", "earth")
    assert (seen.volt.tolist(), seen.ohm.tolist()) == ([13.5], [0.0])


# --- what a law is ------------------------------------------------------------------------------


def test_that_a_pole_is_infinite_and_a_hole_is_no_number() -> None:
    a = np.array([1.0, -1.0, 1.0, np.nan])
    b = np.array([0.0, 0.0, -90.0, 1.0])
    law = Bilinear.of(a, b, 1.0, -90.0)
    at_pole = law(np.array([90.0]))[:, 0]
    assert at_pole[:2].tolist() == [math.inf, -math.inf]
    assert np.isnan(at_pole[2:]).all()
    assert np.isnan(law(np.array([np.nan]))).all()


@given(
    st.tuples(*[st.floats(0.1, 10.0)] * 4).filter(lambda k: abs(k[0] * k[3] - k[1] * k[2]) > 0.1),
    st.floats(0.0, 100.0),
)
def test_that_the_inverse_gives_the_resistance_back(
    k: tuple[float, float, float, float], ohm: float
) -> None:
    law = Bilinear.of(*k)
    back = law.inverse().after(law)
    assert back(np.array([ohm]))[0, 0] == pytest.approx(ohm, rel=1e-9, abs=1e-9)
    there = law(np.array([ohm]))[0]
    assert law.inverse()(there)[0, 0] == pytest.approx(ohm, rel=1e-6, abs=1e-6)


def test_that_chunks_cut_across_resistances_and_put_together_are_the_whole() -> None:
    corners = np.linspace(50.0, 150.0, 7)
    law = Bilinear.of(1.0, 0.0, 1.0, corners)
    ohms = np.linspace(0.0, 240.0, 201)
    chunks = list(law.in_chunks(ohms, cells=100))
    assert all(values.shape[0] == 7 and values.size <= 100 for _, values in chunks)
    assert np.concatenate([values for _, values in chunks], axis=1).tolist() == law(ohms).tolist()
    assert np.concatenate([ohms[part] for part, _ in chunks]).tolist() == ohms.tolist()
    assert len(list(law.in_chunks(ohms, cells=3))) == 201


def test_that_quantities_of_nodes_and_elements_that_are_not_there_are_refused() -> None:
    reduced = Reduction(gauge(), "signal", "block")
    wrong: list[tuple[Quantity, str]] = [(Voltage("nowhere"), "nowhere"), (Current("fuse"), "fuse")]
    for quantity, name in wrong:
        with pytest.raises(BugError, match=name):
            reduced.law(quantity)
    network = gauge()
    network.resistor(SENDER, "signal", "earth", 45.0)
    with pytest.raises(BugError, match="sender"):
        Reduction(network, "signal", "block")


def test_that_a_node_cut_off_from_all_has_no_law() -> None:
    network = gauge()
    network.resistor("lost lead", "lost", "nowhere", 1.0)
    law = Reduction(network, "signal", "block").law(Voltage("lost"))
    assert np.isnan(law(OHMS)).all()
