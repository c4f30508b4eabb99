"""A circuit of resistors and sources with named nodes, solved at many corners at once.

Every value may be one number or one for each corner; the answers come for all corners. The
sender is left out here: `retrofit.circuit.reduction` brings it in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.errors import BugError
from retrofit.circuit.connections import EARTH
from retrofit.circuit.equations import Element, ElementKind, Parts, Solved, solve

EARTH_NODE = "earth"
"""Name of the node that voltages are counted from."""

PerCorner = float | Array
"""One number for all corners, or an array of shape (B,) with one for each."""


class Network:
    """A circuit, built element by element; nodes come into being as they are named.

    Notes
    -----
    ``"earth"`` is the reference node. Checked against an independent circuit simulator in
    ``tests/circuit/test_simulator.py``.

    Examples
    --------
    >>> network = Network()
    >>> network.voltage_source("battery", "supply", "earth", 13.5)
    >>> network.resistor("upper coil", "supply", "signal", 90.0)
    >>> network.resistor("lower coil", "signal", "earth", np.array([110.0, 90.0]))
    >>> network.solve().voltage("signal")
    array([7.425, 6.75 ])
    """

    def __init__(self) -> None:
        self._nodes: dict[str, int] = {EARTH_NODE: EARTH}
        self._elements: dict[str, Element] = {}
        self._width = 1

    @property
    def width(self) -> int:
        """Number of corners B; 1 while every value is one number."""
        return self._width

    @property
    def nodes(self) -> Mapping[str, int]:
        """Number of each node by its name."""
        return self._nodes

    @property
    def elements(self) -> Mapping[str, Element]:
        """Elements by name, in the order in which they were added."""
        return self._elements

    def resistor(self, name: str, a: str, b: str, ohm: PerCorner) -> None:
        """Add a resistor; its current counts from `a` to `b`.

        Parameters
        ----------
        name : str
            Name, the only one of its kind in the network.
        a, b : str
            Nodes, different.
        ohm : float or array, shape (B,)
            Resistance [Ω], 0 (a perfect joint) to +inf (open).

        Raises
        ------
        BugError
            For a resistance that is negative or not a number, and for what `Network` refuses
            of any element: a name used twice, two equal nodes, another number of corners.
        """
        if not np.all(np.asarray(ohm) >= 0.0):
            raise BugError(f"resistor {name}: {ohm} Ω is no resistance")
        self._add(name, ElementKind.RESISTOR, (a, b), ohm)

    def voltage_source(self, name: str, plus: str, minus: str, volt: PerCorner) -> None:
        """Add an ideal voltage source; its current counts out of `plus` into the circuit.

        Parameters
        ----------
        name : str
            Name, the only one of its kind in the network.
        plus, minus : str
            Nodes, different.
        volt : float or array, shape (B,)
            Voltage of `plus` over `minus` [V], of either sign, finite.

        Raises
        ------
        BugError
            For a voltage that is not finite, and as for a resistor.
        """
        if not np.all(np.isfinite(volt)):
            raise BugError(f"voltage source {name}: {volt} V is no voltage")
        self._add(name, ElementKind.VOLTAGE_SOURCE, (plus, minus), volt)

    def current_source(self, name: str, from_: str, to: str, ampere: PerCorner) -> None:
        """Add a fixed current that is taken out of one node and put into another.

        Where its two nodes lie in parts of the circuit that nothing else joins, the current
        has no way back and none flows: a load behind a blown fuse is dead.

        Parameters
        ----------
        name : str
            Name, the only one of its kind in the network.
        from_, to : str
            Nodes, different.
        ampere : float or array, shape (B,)
            Current [A], of either sign, finite.

        Raises
        ------
        BugError
            For a current that is not finite, and as for a resistor.
        """
        if not np.all(np.isfinite(ampere)):
            raise BugError(f"current source {name}: {ampere} A is no current")
        self._add(name, ElementKind.CURRENT_SOURCE, (from_, to), ampere)

    def node(self, name: str) -> int:
        """Return the number of a node; raises BugError for a name that no element uses."""
        if name not in self._nodes:
            raise BugError(f"no node {name!r}; there are {', '.join(self._nodes)}")
        return self._nodes[name]

    def solve(self) -> Solution:
        """Solve the circuit at every corner.

        Returns
        -------
        Solution
            Voltages and currents.

        Raises
        ------
        UserError
            ``circuit.contradiction``, naming elements that form a loop without resistance
            whose voltages do not add up: unequal sources in parallel, a short across one.
        """
        return Solution(self, solve(tuple(self._elements.values()), len(self._nodes), self._width))

    def _add(self, name: str, kind: ElementKind, ends: tuple[str, str], value: PerCorner) -> None:
        values = np.atleast_1d(np.asarray(value, dtype=np.float64))
        if name in self._elements:
            raise BugError(f"two elements are called {name!r}")
        if ends[0] == ends[1]:
            raise BugError(f"{kind.value} {name}: both ends are at {ends[0]!r}")
        fits = values.size == 1 or self._width in (1, values.size)
        if values.ndim != 1 or not fits:
            raise BugError(f"{kind.value} {name}: {values.shape} values, {self._width} corners")
        self._width = max(self._width, values.size)
        a, b = (self._nodes.setdefault(end, len(self._nodes)) for end in ends)
        self._elements[name] = Element(name, kind, a, b, values)


@dataclass(frozen=True, eq=False)
class Solution:
    """Voltages and currents of a solved network."""

    _network: Network
    _solved: Solved

    def voltage(self, node: str, against: str = EARTH_NODE) -> Array:
        """Return the voltage of a node.

        Parameters
        ----------
        node, against : str
            The node and the one that it is counted from, as a meter's two leads.

        Returns
        -------
        array, shape (B,)
            Voltage [V]; NaN where nothing joins the two nodes, so that the voltage is
            anybody's guess.

        Raises
        ------
        BugError
            For a node that the network does not have.
        """
        a, b = self._network.node(node), self._network.node(against)
        volts = self._solved.potentials[:, a, 0] - self._solved.potentials[:, b, 0]
        parts: Parts = self._solved.parts
        return np.where(parts[:, a] == parts[:, b], volts, np.nan)

    def current(self, element: str) -> Array:
        """Return the current of an element, in the direction stated where it was added.

        Parameters
        ----------
        element : str
            Name of the element.

        Returns
        -------
        array, shape (B,)
            Current [A]; NaN where the element lies in a loop of ideal elements, which share a
            current in no particular way.

        Raises
        ------
        BugError
            For an element that the network does not have.
        """
        names = list(self._network.elements)
        if element not in names:
            raise BugError(f"no element {element!r}; there are {', '.join(names)}")
        amps = self._solved.currents[:, names.index(element), 0]
        out = self._network.elements[element].kind is ElementKind.VOLTAGE_SOURCE
        return -amps if out else amps.copy()
