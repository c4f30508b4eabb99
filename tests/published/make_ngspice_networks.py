"""Makes ngspice_networks.json: node voltages of generated circuits from the ngspice simulator.

Run from the top of the checkout: python -m tests.published.make_ngspice_networks
"""

from __future__ import annotations

import json
from pathlib import Path

from tests.circuit.circuits import Circuit
from tests.circuit.generated import generated
from tests.circuit.netlist import simulate, version

SEED, COUNT = 2, 40
STORED = Path(__file__).with_name("ngspice_networks.json")


def circuit_text(elements: Circuit, volts: dict[str, float]) -> str:
    """JSON of one circuit, one element a line; an open sender is Infinity."""
    lines = ",\n".join(f"   {json.dumps(element)}" for element in elements)
    return f'  {{"elements": [\n{lines}],\n   "volts": {json.dumps(volts)}}}'


def main() -> None:
    circuits = generated(SEED, COUNT)
    answers = simulate(circuits)
    head = {
        "made by": "python -m tests.published.make_ngspice_networks",
        "simulator": version(),
        "seed": SEED,
    }
    texts = [circuit_text(*pair) for pair in zip(circuits, answers, strict=True)]
    opening = json.dumps(head, indent=1).removesuffix("\n}")
    body = ",\n".join(texts)
    STORED.write_text(f'{opening},\n "circuits": [\n{body}\n ]\n}}\n', encoding="utf-8")
    print(f"{COUNT} circuits with {sum(map(len, answers))} node voltages from {version()}")


if __name__ == "__main__":
    main()
