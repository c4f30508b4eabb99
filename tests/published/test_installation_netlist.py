"""Whole installations against the ngspice circuit simulator, stored and live.

The netlists come from the plan's JSON through ``installation_netlist``, which shares nothing
with our network; ours goes through the codec and ``retrofit.wired``.
"""

from __future__ import annotations

import ast
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from catalog.codec import decode
from retrofit.circuit.reduction import Reduction, Voltage
from retrofit.plan.document import Plan
from retrofit.plan.stages import supplies_of
from retrofit.wired import load_name, wired
from tests.circuit import netlist
from tests.published import installation_netlist
from tests.published.installation_netlist import RUNS, circuit, generated
from tests.published.make_ngspice_installations import COUNT, SEED, STORED

# As for the other circuits: 1e-9 of the number, and the simulator's own last digits at nothing.
RELATIVE, FLOOR = 1e-9, 2e-13

THEIRS = {
    "supply": "supply",
    "signal": "signal",
    "panel": "panel",
    "engine": "engine",
    "sender body": "body",
    "gauge earth": "gauge earth",
    "trim": "middle",
    "lead": "lead",
    "sender": "terminal",
    "second supply": "second supply",
    "second signal": "second signal",
}
"""Nodes of ours that have another name, or the same one, in the independent netlist."""


def stored() -> list[dict[str, Any]]:
    found = json.loads(STORED.read_text(encoding="utf-8"))
    assert found["seed"] == SEED
    cases: list[dict[str, Any]] = found["cases"]
    return cases


def compare(case: dict[str, Any], volts: dict[str, float]) -> int:
    """Compare every node that both have; return how many."""
    pair = decode(case["plan"], Plan, "test").pairings[0]
    on = {load_name(load): 1.0 for load in pair.installation.loads}
    around = wired(
        pair.gauge,
        pair.installation,
        pair.trim,
        supplies_of(pair.gauge, pair.installation),
        {**on, "lamp": 1.0 if case["lit"] else 0.0},
    )
    assert around is not None
    reduced = Reduction(around.network, around.first, around.second)
    at = np.array([case["ohm"]])
    compared = 0
    for ours, theirs in THEIRS.items():
        if ours not in around.network.nodes or theirs not in volts:
            continue
        found = float(reduced.law(Voltage(ours))(at)[0, 0])
        assert found == pytest.approx(volts[theirs], rel=RELATIVE, abs=FLOOR), ours
        compared += 1
    return compared


def test_that_sixty_installations_agree_with_the_stored_simulator_at_every_node() -> None:
    cases = stored()
    assert len(cases) == COUNT == 60
    counts = [compare(case, case["volts"]) for case in cases]
    assert min(counts) >= 2
    assert sum(counts) >= 300


@pytest.mark.skipif(netlist.SIMULATOR is None, reason=netlist.WITHOUT)
def test_that_the_simulator_run_now_agrees_with_what_is_stored_and_with_ours() -> None:
    cases = stored()
    now = netlist.simulate([circuit(case["plan"], case["ohm"], case["lit"]) for case in cases])
    for case, volts in zip(cases, now, strict=True):
        assert volts == pytest.approx(case["volts"], rel=RELATIVE, abs=FLOOR)
        compare(case, volts)


def test_that_the_stored_installations_are_the_generators_and_try_what_they_should() -> None:
    cases = stored()
    assert [(case["plan"], case["ohm"], case["lit"]) for case in cases] == generated(SEED, COUNT)
    wirings = [case["plan"]["pairings"][0]["installation"] for case in cases]
    for run in RUNS:
        assert sum(run in wiring for wiring in wirings) >= 20
    loads = [load for wiring in wirings for load in wiring["loads"]]
    assert sum("watts" in load for load in loads) >= 15
    assert sum("amperes" in load for load in loads) >= 15
    assert sum(load["when"] == "charging" for load in loads) >= 10
    assert sum(case["lit"] for case in cases) >= 10
    powered = [wiring["second"]["powered"] for wiring in wirings if "second" in wiring]
    assert powered.count("yes") >= 10
    assert powered.count("no") >= 5


def test_that_the_netlists_of_installations_know_nothing_of_our_program() -> None:
    tree = ast.parse(Path(installation_netlist.__file__).read_text(encoding="utf-8"))
    imported = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert not [name for name in imported if name.split(".")[0] in ("retrofit", "catalog")]
