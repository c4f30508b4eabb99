"""Works a printed formula out, as somebody with a calculator would."""

from __future__ import annotations

import math
from collections.abc import Mapping

_SIGNS = {"−": "-", "·": "*", "^": "**"}
_KNOWN = {
    "exp": math.exp, "ln": math.log, "sqrt": math.sqrt, "cbrt": math.cbrt, "min": min, "max": max,
}  # fmt: skip


def worked_out(formula: str, numbers: Mapping[str, float]) -> float:
    """Return the value of the last step of a formula."""
    for sign, typed in _SIGNS.items():
        formula = formula.replace(sign, typed)
    names: dict[str, object] = {**_KNOWN, **numbers}
    *steps, last = formula.split(";")
    for step in steps:
        name, term = step.split("=", 1)
        names[name.strip()] = eval(term.strip(), {"__builtins__": {}}, names)
    return float(eval(last.strip(), {"__builtins__": {}}, names))
