"""Makes ngspice_installations.json: node voltages of generated installations from ngspice.

Run from the top of the checkout: python -m tests.published.make_ngspice_installations
"""

from __future__ import annotations

import json
from pathlib import Path

from tests.circuit.netlist import simulate, version
from tests.published.installation_netlist import circuit, generated

SEED, COUNT = 11, 60
STORED = Path(__file__).with_name("ngspice_installations.json")


def main() -> None:
    plans = generated(SEED, COUNT)
    answers = simulate([circuit(plan, ohm, lit) for plan, ohm, lit in plans])
    head = {
        "made by": "python -m tests.published.make_ngspice_installations",
        "simulator": version(),
        "seed": SEED,
    }
    cases = ",\n".join(
        "  "
        + json.dumps({"plan": plan, "ohm": ohm, "lit": lit, "volts": volts}, ensure_ascii=False)
        for (plan, ohm, lit), volts in zip(plans, answers, strict=True)
    )
    opening = json.dumps(head, indent=1).removesuffix("\n}")
    STORED.write_text(f'{opening},\n "cases": [\n{cases}\n ]\n}}\n', encoding="utf-8")
    print(f"{COUNT} installations from {version()}")


if __name__ == "__main__":
    main()
