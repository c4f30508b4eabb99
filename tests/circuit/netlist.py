"""Circuits given to the ngspice simulator: one file, one run, for any number of circuits.

Written from the plain lists of `tests.circuit.circuits`; it knows nothing of our network. Of
`retrofit` it imports nothing.
"""

from __future__ import annotations

import math
import re
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

SIMULATOR = shutil.which("ngspice")
WITHOUT = "ngspice is not installed"

Element = dict[str, str | float]
Circuit = list[Element]

_ANSWER = re.compile(r"^c(\d+)n(\d+) = (\S+)$", re.MULTILINE)
_VERSION = re.compile(r"ngspice-\d+(\.\d+)*")


def netlist(circuits: Sequence[Circuit]) -> tuple[str, list[list[str]]]:
    """Text of one netlist that holds all circuits, disjoint, and their nodes by number.

    The reference ``earth`` is the simulator's node 0. A resistance of 0 becomes a source of 0 V
    (the simulator would put 1 mΩ in its place), an infinite one is left out.
    """
    lines = ["disjoint circuits"]
    nodes: list[list[str]] = []
    for c, circuit in enumerate(circuits):
        numbers = {"earth": 0}
        for e, element in enumerate(circuit):
            lines += _line(element, f"{c}x{e}", c, numbers)
        nodes.append(list(numbers)[1:])
    return "\n".join([*lines, *_CONTROL]) + "\n", nodes


# Without numdgt the simulator prints six digits.
_CONTROL = (".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end")


def _line(element: Element, label: str, circuit: int, numbers: dict[str, int]) -> list[str]:
    kind = element["kind"]
    if kind == "resistor" and element["ohm"] == math.inf:
        return []
    keys = ("plus", "minus") if kind == "voltage source" else ("from", "to")
    ends = []
    for key in keys:
        number = numbers.setdefault(str(element[key]), len(numbers))
        ends.append(f"c{circuit}n{number}" if number else "0")
    if kind == "resistor" and element["ohm"] != 0.0:
        return [f"R{label} {ends[0]} {ends[1]} {element['ohm']!r}"]
    if kind == "current source":
        return [f"I{label} {ends[0]} {ends[1]} DC {element['ampere']!r}"]
    return [f"V{label} {ends[0]} {ends[1]} DC {element.get('volt', 0.0)!r}"]


def simulate(circuits: Sequence[Circuit]) -> list[dict[str, float]]:
    """Node voltages of each circuit, from a single run of the simulator."""
    written, nodes = netlist(circuits)
    found: list[dict[str, float]] = [{} for _ in circuits]
    for c, n, volts in _ANSWER.findall(run(written)):
        found[int(c)][nodes[int(c)][int(n) - 1]] = float(volts)
    for names, volts_of in zip(nodes, found, strict=True):
        assert set(names) == set(volts_of), "the simulator left nodes out"
    return found


def run(written: str) -> str:
    """Run the simulator on a netlist and return what it printed."""
    assert SIMULATOR is not None, WITHOUT
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "circuits.cir")
        file.write_text(written, encoding="ascii")
        done = subprocess.run(
            [SIMULATOR, "-b", str(file)], capture_output=True, text=True, check=True, cwd=folder
        )
    return done.stdout


def version() -> str:
    """Name and version that the simulator gives itself."""
    assert SIMULATOR is not None, WITHOUT
    done = subprocess.run([SIMULATOR, "--version"], capture_output=True, text=True, check=True)
    found = _VERSION.search(done.stdout)
    assert found is not None
    return found.group()
