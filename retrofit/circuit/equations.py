"""The linear equations of a circuit, set up and solved for a block of corners at once.

Modified nodal analysis (Ho, Ruehli and Brennan, IEEE Trans. Circuits and Systems 22(6), 1975;
from memory): one equation a node, current leaving it = current injected, and one more unknown,
its own current, for each element that has no finite conductance (a voltage source, a resistor
that is or may be close to 0 Ω).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.errors import BugError, user_error
from retrofit.circuit.connections import Connections, Link, Loop, connections

SMALL_OHM = 1.0
"""Below this a conductance would cost digits: the element's current becomes an unknown."""

_SAME_VOLT = 1e-12
_BLOCK = 4096  # corners solved at once: keeps the matrices in tens of megabytes

Parts = NDArray[np.int16]
Mask = NDArray[np.bool_]


class ElementKind(Enum):
    """What an element is."""

    RESISTOR = "resistor"
    VOLTAGE_SOURCE = "voltage source"
    CURRENT_SOURCE = "current source"


@dataclass(frozen=True, eq=False)
class Element:
    """One element between two nodes.

    Attributes
    ----------
    name : str
        Its name in messages and results.
    kind : ElementKind
        What it is.
    a, b : int
        Numbers of its nodes; a resistor's and a current source's current counts from a to b,
        a voltage source's volts from b to a.
    value : array, shape (B,) or (1,)
        Resistance [Ω] (0 … +inf), voltage [V] or current [A], one for each corner.
    driven : bool
        Whether it is the element whose unit drive makes the second set of solutions.
    """

    name: str
    kind: ElementKind
    a: int
    b: int
    value: Array
    driven: bool = False

    @property
    def current_is_unknown(self) -> bool:
        """Whether its current is an unknown of the equations, not a conductance's result."""
        if self.kind is ElementKind.VOLTAGE_SOURCE:
            return True
        small = self.kind is ElementKind.RESISTOR and bool(np.any(self.value < SMALL_OHM))
        return small or self.driven

    def corners(self, block: slice) -> Element:
        """Return the same element for some of the corners only."""
        return self if self.value.size == 1 else replace(self, value=self.value[block])


@dataclass(frozen=True, eq=False)
class Solved:
    """Solutions of the equations; the second axis of length K counts them.

    Attributes
    ----------
    potentials : array, shape (B, nodes, K)
        Node voltages [V]; in a part cut off from earth, against that part's lowest node.
    currents : array, shape (B, elements, K)
        Current through each element from a to b [A]; NaN where a loop of ideal elements
        leaves it undetermined.
    parts : array, shape (B, nodes)
        Separate part that each node belongs to, 0 for the earth's.
    """

    potentials: Array
    currents: Array
    parts: Parts


def solve(elements: Sequence[Element], nodes: int, width: int) -> Solved:
    """Solve a circuit at every corner.

    Parameters
    ----------
    elements : sequence of Element
        At most one of them driven.
    nodes : int
        Number of nodes, the earth (node 0) included.
    width : int
        Number of corners B.

    Returns
    -------
    Solved
        K = 1: the circuit as it is. With a driven element K = 2: the second solution has all
        sources at zero and the driven element's unit drive instead, 1 A through it from a to b
        where it is open, a 1 V above b where it is 0 Ω.

    Raises
    ------
    UserError
        ``circuit.contradiction``, naming a loop of ideal elements whose voltages do not add up.
    """
    blocks = []
    for start in range(0, width, _BLOCK):
        block = slice(start, min(start + _BLOCK, width))
        here = [element.corners(block) for element in elements]
        blocks.append(_Block(here, nodes, block.stop - start).solved())
    if len(blocks) == 1:
        return blocks[0]
    return Solved(
        np.concatenate([b.potentials for b in blocks]),
        np.concatenate([b.currents for b in blocks]),
        np.concatenate([b.parts for b in blocks]),
    )


def parts_of(elements: Sequence[Element], nodes: int, width: int) -> Parts:
    """Return the separate part of each node, shape (B, nodes) [1], 0 for the earth's."""
    found = np.zeros((width, nodes), dtype=np.int16)
    for corners, graph in _graphs(elements, nodes, width):
        found[corners] = graph.parts
    return found


def _links(element: Element) -> NDArray[np.int8]:
    if element.kind is ElementKind.VOLTAGE_SOURCE:
        return np.array([Link.IDEAL], dtype=np.int8)
    if element.kind is ElementKind.CURRENT_SOURCE:
        return np.array([Link.OPEN], dtype=np.int8)
    ohm = element.value
    found = np.where(ohm == 0.0, Link.IDEAL, np.where(ohm == np.inf, Link.OPEN, Link.RESISTIVE))
    return found.astype(np.int8)


def _graphs(
    elements: Sequence[Element], nodes: int, width: int
) -> Iterator[tuple[slice | Mask, Connections]]:
    """Yield the circuit's graph for each group of corners that share one."""
    ends = [(element.a, element.b) for element in elements]
    links = [_links(element) for element in elements]
    varied = [n for n, found in enumerate(links) if np.any(found != found[0])]
    if not varied:
        yield slice(None), connections(nodes, ends, [Link(int(found[0])) for found in links])
        return
    states = np.stack([links[n] for n in varied], axis=1)
    patterns, group = np.unique(states, axis=0, return_inverse=True)
    group = group.reshape(width)
    for number, pattern in enumerate(patterns):
        here = [Link(int(found[0])) for found in links]
        for n, state in zip(varied, pattern, strict=True):
            here[n] = Link(int(state))
        yield group == number, connections(nodes, ends, here)


class _Block:
    """The equations of one block of corners: rows and columns first, corners last."""

    def __init__(self, elements: Sequence[Element], nodes: int, width: int) -> None:
        self.elements, self.nodes, self.width = elements, nodes, width
        self.own = [n for n, element in enumerate(elements) if element.current_is_unknown]
        self.row = {n: nodes + k for k, n in enumerate(self.own)}
        driven = any(element.driven for element in elements)
        size = nodes + len(self.own)
        self.matrix = np.zeros((size, size, width))
        self.right = np.zeros((size, 2 if driven else 1, width))
        self.parts: Parts = np.zeros((width, nodes), dtype=np.int16)
        self.taken = np.zeros((width, len(elements)), dtype=bool)  # closes a loop: not needed
        self.undetermined = np.zeros((width, len(elements)), dtype=bool)

    def solved(self) -> Solved:
        self._look_at_graphs()
        for n, element in enumerate(self.elements):
            if n in self.row:
                self._own_current(n, element)
            elif element.kind is ElementKind.RESISTOR:
                self._conductance(element)
            else:
                self._injection(element)
        self._tie_cut_off_parts()
        # Node 0 is the reference: its row says nothing new, its column is multiplied by 0 V.
        matrix = np.ascontiguousarray(np.moveaxis(self.matrix[1:, 1:], -1, 0))
        right = np.ascontiguousarray(np.moveaxis(self.right[1:], -1, 0))
        try:
            unknown: Array = np.linalg.solve(matrix, right).astype(np.float64, copy=False)
        except np.linalg.LinAlgError as problem:
            names = ", ".join(element.name for element in self.elements)
            raise BugError(f"a circuit without a solution was not noticed: {names}") from problem
        return self._read(unknown)

    # --- the graph ------------------------------------------------------------------------------

    def _look_at_graphs(self) -> None:
        for corners, graph in _graphs(self.elements, self.nodes, self.width):
            self.parts[corners] = graph.parts
            for loop in graph.loops:
                self._check(loop, corners)
                self.taken[corners, loop.closing] = True
                for n, _ in loop.steps:
                    self.undetermined[corners, n] = True

    def _check(self, loop: Loop, corners: slice | Mask) -> None:
        total = np.zeros(self.width)
        largest = np.zeros(self.width)
        for n, sign in loop.steps:
            if self.elements[n].kind is ElementKind.VOLTAGE_SOURCE:
                total = total + sign * self.elements[n].value
                largest = np.maximum(largest, np.abs(self.elements[n].value))
        if np.any(np.abs(total[corners]) > _SAME_VOLT * largest[corners]):
            names = ", ".join(self.elements[n].name for n, _ in loop.steps)
            raise user_error("circuit.contradiction", elements=names)

    # --- the equations --------------------------------------------------------------------------

    def _conductance(self, element: Element) -> None:
        a, b = element.a, element.b
        siemens = 1.0 / element.value
        self.matrix[a, a] += siemens
        self.matrix[b, b] += siemens
        self.matrix[a, b] -= siemens
        self.matrix[b, a] -= siemens

    def _injection(self, element: Element) -> None:
        ampere = self._flowing(element)
        self.right[element.a, 0] -= ampere
        self.right[element.b, 0] += ampere

    def _flowing(self, element: Element) -> Array:
        # Between separate parts a current has no way back: a load that is cut off draws none.
        joined = self.parts[:, element.a] == self.parts[:, element.b]
        return np.where(joined, element.value, 0.0)

    def _own_current(self, n: int, element: Element) -> None:
        row, a, b = self.row[n], element.a, element.b
        self.matrix[a, row] += 1.0
        self.matrix[b, row] -= 1.0
        # volts·(va − vb) − amps·i = right: scaled so that neither 0 Ω nor +inf overflows.
        if element.kind is ElementKind.VOLTAGE_SOURCE:
            volts, amps = np.ones(1), np.zeros(1)
        else:
            ohm = element.value
            volts = 1.0 / np.maximum(ohm, 1.0)
            amps = np.minimum(ohm, 1.0)
        taken = self.taken[:, n]
        volts = np.where(taken, 0.0, volts)
        self.matrix[row, a] += volts
        self.matrix[row, b] -= volts
        self.matrix[row, row] -= np.where(taken, 1.0, amps)
        if element.kind is ElementKind.VOLTAGE_SOURCE:
            self.right[row, 0] += volts * element.value
        if element.driven:
            self.right[row, 1] += np.where(element.value == np.inf, -1.0, 1.0)

    def _tie_cut_off_parts(self) -> None:
        # What flows into a cut-off part sums to nothing, so a tie to earth carries no current.
        for part in range(1, int(self.parts.max(initial=0)) + 1):
            inside = self.parts == part
            lowest = np.argmax(inside, axis=1)
            for node in np.unique(lowest[inside.any(axis=1)]):
                self.matrix[node, node] += inside.any(axis=1) & (lowest == node)

    # --- the answers ----------------------------------------------------------------------------

    def _read(self, unknown: Array) -> Solved:
        known = unknown.shape[2]
        volts = np.zeros((self.width, self.nodes, known))
        volts[:, 1:] = unknown[:, : self.nodes - 1]
        amps = np.zeros((self.width, len(self.elements), known))
        for n, element in enumerate(self.elements):
            if n in self.row:
                amps[:, n] = unknown[:, self.row[n] - 1]
            elif element.kind is ElementKind.RESISTOR:
                amps[:, n] = (volts[:, element.a] - volts[:, element.b]) / element.value[:, None]
            else:
                amps[:, n, 0] = self._flowing(element)
        amps[self.undetermined] = np.nan
        return Solved(volts, amps, self.parts)
