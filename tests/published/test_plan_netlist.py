"""Plans against the ngspice circuit simulator, stored and live: node volts and what a dial sees.

The netlists come from the plan's JSON through ``plan_netlist``, which shares nothing with our
network; ours goes through the codec, the installation and the movements.
"""

from __future__ import annotations

import ast
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from catalog.codec import decode
from retrofit.circuit.reduction import Current, Reduction, Voltage
from retrofit.plan.document import Plan
from retrofit.plan.stages import needle_of, supplies_of
from retrofit.reading import Needle
from retrofit.wired import SIGNAL_NODE, SUPPLY_NODE, wired
from tests.circuit import netlist
from tests.published import plan_netlist
from tests.published.make_ngspice_plans import COUNT, SEED, STORED
from tests.published.plan_netlist import PLACES, apparent, circuit, generated, si

# As for the generated circuits: 1e-9 of the number, and the simulator's own 4e-14 V at nothing.
RELATIVE, FLOOR = 1e-9, 1e-13


def stored() -> list[dict[str, Any]]:
    found = json.loads(STORED.read_text(encoding="utf-8"))
    assert found["seed"] == SEED
    cases: list[dict[str, Any]] = found["cases"]
    return cases


def compare(raw: dict[str, Any], ohm: float, volts: dict[str, float]) -> None:
    pair = decode(raw, Plan, "test").pairings[0]
    around = wired(
        pair.gauge, pair.installation, pair.trim, supplies_of(pair.gauge, pair.installation)
    )
    assert around is not None
    reduced = Reduction(around.network, around.first, around.second)
    at = np.array([ohm])
    for ours, theirs in ((SUPPLY_NODE, "supply"), (SIGNAL_NODE, "signal")):
        assert float(reduced.law(Voltage(ours))(at)[0, 0]) == pytest.approx(
            volts[theirs], rel=RELATIVE, abs=FLOOR
        )
    for name, ampere in currents(raw, volts).items():
        # A difference of two voltages: the simulator's last digits count against them.
        assert float(reduced.law(Current(name))(at)[0, 0]) == pytest.approx(
            ampere, rel=RELATIVE, abs=1e-14
        )
    needle = needle_of(pair)
    assert isinstance(needle, Needle)
    seen = float(needle.apparent.of(at)[0, 0])
    expected = apparent(raw, volts)
    if expected > 1e6:  # open: the last digit of the simulator's voltage decides
        assert seen > 1e6
    else:
        assert seen == pytest.approx(expected, rel=RELATIVE, abs=1e-9)


def currents(raw: dict[str, Any], volts: dict[str, float]) -> dict[str, float]:
    movement = raw["pairings"][0]["gauge"]["movement"]
    drop = volts["supply"] - volts["signal"]
    if movement["kind"] == "ratio":
        return {
            "supply coil": drop / si(movement["supply_coil"]),
            "earth coil": volts["signal"] / si(movement["earth_coil"]),
        }
    if movement["kind"] == "electronic":
        return {}
    return {movement["kind"]: drop / si(movement[movement["kind"]])}


def test_that_generated_plans_agree_with_the_stored_simulator() -> None:
    for case in stored():
        compare(case["plan"], case["ohm"], case["volts"])


@pytest.mark.skipif(netlist.SIMULATOR is None, reason=netlist.WITHOUT)
def test_that_the_simulator_run_now_agrees_with_what_is_stored() -> None:
    cases = stored()
    now = netlist.simulate([circuit(case["plan"], case["ohm"]) for case in cases])
    for case, volts in zip(cases, now, strict=True):
        assert volts == pytest.approx(case["volts"], rel=RELATIVE, abs=FLOOR)


def test_that_the_stored_plans_are_the_generators_and_try_what_they_should() -> None:
    cases = stored()
    assert [(case["plan"], case["ohm"]) for case in cases] == generated(SEED, COUNT)
    pairings = [case["plan"]["pairings"][0] for case in cases]
    places = [{one["place"] for one in pairing["trim"]} for pairing in pairings]
    for place in PLACES:
        assert sum(place in found for found in places) >= 10
    kinds = [
        (one["gauge"]["movement"]["kind"], one["gauge"]["movement"].get("rail")) for one in pairings
    ]
    assert {*kinds} == {
        ("ratio", None),
        ("heater", None),
        ("coil", None),
        ("electronic", "reference"),
        ("electronic", "supply"),
    }
    seen = [apparent(case["plan"], case["volts"]) for case in cases]
    assert sum(math.isinf(one) for one in seen) >= 2  # past open
    assert any("sender_earth" in one["installation"] for one in pairings)
    assert {0.0, math.inf} <= {case["ohm"] for case in cases}


def test_that_the_netlists_of_plans_know_nothing_of_our_program() -> None:
    tree = ast.parse(Path(plan_netlist.__file__).read_text(encoding="utf-8"))
    imported = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert not [name for name in imported if name.split(".")[0] in ("retrofit", "catalog")]
