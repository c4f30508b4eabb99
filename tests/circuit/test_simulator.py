"""Our network against the ngspice circuit simulator, stored and live."""

from __future__ import annotations

import ast
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from retrofit.circuit.reduction import Reduction, Voltage
from tests.circuit import netlist
from tests.circuit.circuits import Circuit, network_of, nodes_of, number, text
from tests.circuit.exact import exact
from tests.circuit.generated import FIRST_NODE, SECOND_NODE, generated
from tests.published.make_ngspice_networks import COUNT, SEED, STORED

# 1e-9 of the voltage. The floor is for earth nodes at microvolts beside a 12 V source, where the
# simulator itself is off by up to 4e-14 V (against exact fractions; ours by less than 1e-15 V).
RELATIVE, FLOOR = 1e-9, 1e-13
WANTED = (
    *("charger", "logger reference", "stabiliser", "second gauge supply coil"),
    *("gauge signal leg", "gauge third coil", "earth current", "steady load"),
    *("series trim", "trim across sender", "trim signal to earth", "pull-up"),
)


def stored() -> dict[str, Any]:
    found = json.loads(STORED.read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


def compare(circuit: Circuit, volts: dict[str, float]) -> None:
    solution = network_of(circuit).solve()
    assert sorted(volts) == nodes_of(circuit)
    ours = {node: float(solution.voltage(node)[0]) for node in volts}
    assert ours == pytest.approx(volts, rel=RELATIVE, abs=FLOOR)


def test_that_every_node_of_forty_two_source_circuits_agrees_with_the_stored_simulator() -> None:
    for case in stored()["circuits"]:
        compare(case["elements"], case["volts"])


def test_that_the_senders_laws_agree_with_the_stored_simulator() -> None:
    for case in stored()["circuits"]:
        network = network_of(case["elements"], without=("sender",))
        (sender,) = [e for e in case["elements"] if e["name"] == "sender"]
        reduced = Reduction(network, FIRST_NODE, SECOND_NODE)
        for node, volts in case["volts"].items():
            ours = reduced.law(Voltage(node))(np.array([sender["ohm"]]))
            assert float(ours[0, 0]) == pytest.approx(volts, rel=RELATIVE, abs=FLOOR)


@pytest.mark.skipif(netlist.SIMULATOR is None, reason=netlist.WITHOUT)
def test_that_the_simulator_run_now_agrees_with_what_is_stored_and_with_ours() -> None:
    cases = stored()["circuits"]
    now = netlist.simulate([case["elements"] for case in cases])
    for case, volts in zip(cases, now, strict=True):
        assert volts == pytest.approx(case["volts"], rel=RELATIVE, abs=FLOOR)
        compare(case["elements"], volts)


def test_that_every_node_agrees_with_exact_fractions_microvolts_included() -> None:
    for circuit in generated(SEED, COUNT):
        solution = network_of(circuit).solve()
        for node, volts in exact(circuit).items():
            ours = float(solution.voltage(node)[0])
            assert ours == pytest.approx(float(volts), rel=RELATIVE, abs=1e-14)


def test_that_the_stored_circuits_are_those_of_the_generator() -> None:
    found = stored()
    assert found["seed"] == SEED
    assert [case["elements"] for case in found["circuits"]] == generated(SEED, COUNT)


def test_that_the_stored_circuits_hold_what_they_are_meant_to_try() -> None:
    circuits = [case["elements"] for case in stored()["circuits"]]
    names = [{text(e, "name") for e in circuit} for circuit in circuits]
    for wanted in WANTED:
        assert sum(wanted in found for found in names) >= 3, wanted
    for circuit in circuits:
        assert sum(e["kind"] == "voltage source" for e in circuit) >= 2
    batteries = [number(circuit[0], "volt") for circuit in circuits]
    assert min(batteries) < 0.0 < max(batteries)
    senders = [number(e, "ohm") for circuit in circuits for e in circuit if e["name"] == "sender"]
    assert 0.0 in senders
    assert np.inf in senders


def test_that_the_netlist_writer_knows_nothing_of_our_network() -> None:
    tree = ast.parse(Path(netlist.__file__).read_text(encoding="utf-8"))
    imported = [
        name
        for node in ast.walk(tree)
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    ]
    assert imported != []
    assert [
        name for name in imported if name.split(".")[0] in ("retrofit", "catalog", "tests")
    ] == []


def test_that_the_netlist_spells_zero_ohms_and_open_so_that_the_simulator_means_the_same() -> None:
    written, _ = netlist.netlist(
        [
            [
                {"kind": "voltage source", "name": "v", "plus": "a", "minus": "earth", "volt": 5.0},
                {"kind": "resistor", "name": "joint", "from": "a", "to": "b", "ohm": 0.0},
                {"kind": "resistor", "name": "open", "from": "b", "to": "earth", "ohm": np.inf},
                {"kind": "resistor", "name": "load", "from": "b", "to": "earth", "ohm": 50.0},
            ]
        ]
    )
    assert written.splitlines()[1:4] == [
        "V0x0 c0n1 0 DC 5.0",
        "V0x1 c0n1 c0n2 DC 0.0",
        "R0x3 c0n2 0 50.0",
    ]
