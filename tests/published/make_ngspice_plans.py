"""Makes ngspice_plans.json: node voltages of generated plans from the ngspice simulator.

Run from the top of the checkout: python -m tests.published.make_ngspice_plans
"""

from __future__ import annotations

import json
from pathlib import Path

from tests.circuit.netlist import simulate, version
from tests.published.plan_netlist import circuit, generated

SEED, COUNT = 5, 40
STORED = Path(__file__).with_name("ngspice_plans.json")


def main() -> None:
    plans = generated(SEED, COUNT)
    answers = simulate([circuit(plan, ohm) for plan, ohm in plans])
    head = {
        "made by": "python -m tests.published.make_ngspice_plans",
        "simulator": version(),
        "seed": SEED,
    }
    cases = ",\n".join(
        "  " + json.dumps({"plan": plan, "ohm": ohm, "volts": volts}, ensure_ascii=False)
        for (plan, ohm), volts in zip(plans, answers, strict=True)
    )
    opening = json.dumps(head, indent=1).removesuffix("\n}")
    STORED.write_text(f'{opening},\n "cases": [\n{cases}\n ]\n}}\n', encoding="utf-8")
    print(f"{COUNT} plans from {version()}")


if __name__ == "__main__":
    main()
