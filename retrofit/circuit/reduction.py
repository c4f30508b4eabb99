"""A circuit reduced to its sender: every quantity as a bilinear law of the sender's ohms.

The circuit is solved twice with one factorisation, as it is with the sender's place open and
with a unit current through that place; the sender comes in by Thevenin's theorem. So a corner
or draw costs one solution, however many resistances are asked for.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.errors import BugError
from retrofit.circuit.bilinear import Bilinear
from retrofit.circuit.equations import Element, ElementKind, parts_of, solve
from retrofit.circuit.network import EARTH_NODE, Network

__all__ = ["Bilinear", "Current", "Quantity", "Ratio", "Reduction", "Source", "Voltage"]

SENDER = "sender"
"""Name under which the sender's own current is asked for."""

_ROUNDING = 1e-13


@dataclass(frozen=True)
class Voltage:
    """The voltage [V] of a node against another one."""

    node: str
    against: str = EARTH_NODE


@dataclass(frozen=True)
class Current:
    """The current [A] of an element, or of the sender (`SENDER`) from its first node on."""

    element: str


@dataclass(frozen=True)
class Ratio:
    """One voltage or current over another [1, Ω or S]."""

    over: Voltage | Current
    under: Voltage | Current


Quantity = Voltage | Current | Ratio


@dataclass(frozen=True, eq=False)
class Source:
    """What a circuit is, seen from two of its nodes: a voltage behind a resistance.

    Attributes
    ----------
    volt : array, shape (B,)
        Open-circuit voltage [V]; NaN where nothing joins the two nodes.
    ohm : array, shape (B,)
        Source resistance [Ω], 0 or more; +inf where nothing joins the two nodes.
    """

    volt: Array
    ohm: Array


class Reduction:
    """A network seen from the place of its sender, solved once for every corner.

    Parameters
    ----------
    network : Network
        The circuit without the sender. None of its elements is called ``"sender"``.
    first, second : str
        The nodes between which the sender sits; its current counts from first to second.

    Raises
    ------
    UserError
        ``circuit.contradiction``, as for `Network.solve`.
    BugError
        For a node that the network does not have, or an element with the sender's name.

    Notes
    -----
    Where the sender alone joins a part of the circuit to the rest (an open earth return), the
    laws hold for every finite resistance, and at +inf they give the limit.

    Examples
    --------
    >>> network = Network()
    >>> network.voltage_source("battery", "supply", "earth", 13.5)
    >>> network.resistor("upper coil", "supply", "signal", 90.0)
    >>> network.resistor("lower coil", "signal", "earth", 110.0)
    >>> reduced = Reduction(network, "signal", "earth")
    >>> ratio = reduced.law(Ratio(Current("lower coil"), Current("upper coil")))
    >>> ratio(np.array([0.0, 90.0, np.inf]))
    array([[0.  , 0.45, 1.  ]])
    """

    def __init__(self, network: Network, first: str, second: str) -> None:
        if SENDER in network.elements:
            raise BugError(f"an element of the network is called {SENDER!r}")
        self._network = network
        elements, nodes = tuple(network.elements.values()), len(network.nodes)
        a, b = network.node(first), network.node(second)
        parts = parts_of(elements, nodes, network.width)
        self._cut_off = parts[:, a] != parts[:, b]
        # Open where the circuit hangs together without the sender, else closed by 0 Ω.
        ohm = np.where(self._cut_off, 0.0, np.inf) if np.any(self._cut_off) else np.array([np.inf])
        place = Element(SENDER, ElementKind.RESISTOR, a, b, ohm, driven=True)
        self._solved = solve((*elements, place), nodes, network.width)
        self._order = {name: n for n, name in enumerate((*network.elements, SENDER))}
        across = self._solved.potentials[:, a] - self._solved.potentials[:, b]
        self._open_volt = across[:, 0]
        self._source_ohm = np.maximum(-across[:, 1], 0.0)  # rounding may leave −1e-17

    def source(self) -> Source:
        """Return the voltage and the resistance that the sender sees, each shape (B,) [V, Ω]."""
        return Source(
            np.where(self._cut_off, np.nan, self._open_volt),
            np.where(self._cut_off, np.inf, self._source_ohm),
        )

    def law(self, quantity: Quantity) -> Bilinear:
        """Return a quantity as a law of the sender's resistance.

        Parameters
        ----------
        quantity : Voltage, Current or Ratio
            What is wanted.

        Returns
        -------
        Bilinear
            Coefficients of shape (B,), value [V, A or their ratio]; NaN where the quantity is
            undetermined (a node cut off even with the sender there, a loop of ideal elements).

        Raises
        ------
        BugError
            For a node or an element that the network does not have.
        """
        if isinstance(quantity, Ratio):
            over, under = self.law(quantity.over), self.law(quantity.under)
            # The two denominators are the same c·R + d: they cancel.
            return Bilinear(over.a, over.b, under.a, under.b)
        base, unit = self._answers(quantity)
        volt, ohm = self._open_volt, self._source_ohm
        alone, together = base * ohm, unit * volt
        at_zero = alone + together
        # What is left of two equal terms is rounding: a shorted sender's own voltage is 0.
        rounding = np.abs(at_zero) <= _ROUNDING * (np.abs(alone) + np.abs(together))
        law = Bilinear(base, np.where(rounding, 0.0, at_zero), np.ones_like(base), ohm)
        return self._past_the_cut(law, base, unit) if np.any(self._cut_off) else law

    def _answers(self, quantity: Voltage | Current) -> tuple[Array, Array]:
        """Return the quantity without the sender's part in it, and per unit of that part."""
        if isinstance(quantity, Voltage):
            a, b = self._network.node(quantity.node), self._network.node(quantity.against)
            both = self._solved.potentials[:, a] - self._solved.potentials[:, b]
            joined = self._solved.parts[:, a] == self._solved.parts[:, b]
            both = np.where(joined[:, None], both, np.nan)
        else:
            if quantity.element not in self._order:
                raise BugError(f"no element {quantity.element!r}; there are {list(self._order)}")
            both = self._solved.currents[:, self._order[quantity.element]]
            if quantity.element != SENDER:
                kind = self._network.elements[quantity.element].kind
                both = -both if kind is ElementKind.VOLTAGE_SOURCE else both
        return both[:, 0], both[:, 1]

    def _past_the_cut(self, law: Bilinear, base: Array, unit: Array) -> Bilinear:
        """Put in the laws of the corners where only the sender joins its two nodes.

        No loop leads through the sender there: its current i is what fixed currents drive
        through it, whatever its resistance, and value = base + unit·i·R.
        """
        ampere = self._solved.currents[:, self._order[SENDER], 0]
        fixed = sum(
            np.abs(element.value)
            for element in self._network.elements.values()
            if element.kind is ElementKind.CURRENT_SOURCE
        )
        ampere = np.where(np.abs(ampere) > _ROUNDING * fixed, ampere, 0.0)
        slope = np.round(unit) * ampere  # a shift by the whole drop, or by nothing
        cut = self._cut_off
        return Bilinear(
            np.where(cut, slope, law.a),
            np.where(cut, base, law.b),
            np.where(cut, 0.0, law.c),
            np.where(cut, 1.0, law.d),
        )


def source(network: Network, first: str, second: str) -> Source:
    """Return what a network is seen from two of its nodes (Thevenin's theorem).

    Parameters
    ----------
    network : Network
        The circuit.
    first, second : str
        The two nodes; the voltage counts from first to second.

    Returns
    -------
    Source
        Open-circuit voltage [V] and source resistance [Ω], each of shape (B,).

    Raises
    ------
    UserError, BugError
        As for `Reduction`.

    Examples
    --------
    >>> network = Network()
    >>> network.voltage_source("battery", "supply", "earth", 12.0)
    >>> network.resistor("pull-up", "supply", "signal", 300.0)
    >>> network.resistor("load", "signal", "earth", 100.0)
    >>> found = source(network, "signal", "earth")
    >>> found.volt, found.ohm
    (array([3.]), array([75.]))
    """
    return Reduction(network, first, second).source()
