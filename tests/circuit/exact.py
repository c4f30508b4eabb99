"""Node voltages of a circuit in exact fractions: slow, and free of rounding."""

from __future__ import annotations

import math
from fractions import Fraction

from tests.circuit.circuits import Circuit, nodes_of, number, text

Rows = list[list[Fraction]]


def exact(circuit: Circuit) -> dict[str, Fraction]:
    """Kirchhoff's and Ohm's laws, solved by elimination on fractions; no loop of ideal elements."""
    place = {node: n for n, node in enumerate(["earth", *nodes_of(circuit)])}
    ideal = [e for e in circuit if e["kind"] == "voltage source" or e.get("ohm") == 0.0]
    size = len(place) + len(ideal)
    rows: Rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for e in circuit:
        keys = ("plus", "minus") if e["kind"] == "voltage source" else ("from", "to")
        a, b = (place[text(e, key)] for key in keys)
        if e in ideal:
            own = len(place) + ideal.index(e)
            for node, sign in ((a, 1), (b, -1)):
                rows[node][own] += sign
                rows[own][node] += sign
            rows[own][-1] = Fraction(e.get("volt", 0.0))
        elif e["kind"] == "current source":
            rows[a][-1] -= Fraction(number(e, "ampere"))
            rows[b][-1] += Fraction(number(e, "ampere"))
        elif e["ohm"] != math.inf:
            siemens = 1 / Fraction(number(e, "ohm"))
            for row, column, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
                rows[row][column] += sign * siemens
    found = _solved([row[1:] for row in rows[1:]])
    return {node: found[n - 1] for node, n in place.items() if n > 0}


def _solved(rows: Rows) -> list[Fraction]:
    size = len(rows)
    for column in range(size):
        pivot = next(n for n in range(column, size) if rows[n][column] != 0)
        rows[column], rows[pivot] = rows[pivot], rows[column]
        top = [value / rows[column][column] for value in rows[column]]
        rows[column] = top
        for n in range(size):
            factor = rows[n][column]
            if n != column and factor != 0:
                rows[n] = [x - factor * y for x, y in zip(rows[n], top, strict=True)]
    return [row[-1] for row in rows]
