"""The gauge as its signal terminal is seen, and what a resistor network there makes it show.

The closed form of the one node for the search of trims; ``retrofit.movements`` solves the whole
network and both agree to 1e-9. Knows no dial and no list of resistors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    VoltageInput,
)
from catalog.quantities.kinds import Kind
from retrofit.terminals import coils_of, measured_source


@dataclass(frozen=True)
class SignalNode:
    """A gauge between its supply, its signal terminal and earth, and the way back to ohms.

    With the sender's path P and a pull-up of conductance g at the terminal its voltage is,
    by Millman's theorem,

        V = (Voc·G + Vs·g)/(G + g + 1/P),   G = 1/Rth

    and the apparent resistance, which would put the needle in the same place with no trim at
    the supply for which the dial was marked, is (α·V + β)/(δ − V): the inverse of the movement's
    law. So it is (A·P + B)/(C·P + D) with A and C linear in g.

    Attributes
    ----------
    open_volts : float
        Voc, open-circuit voltage at the terminal [V], > 0.
    ohm : float
        Rth, source resistance behind it [Ω], > 0.
    supply : float
        Vs, where a pull-up goes [V], > 0.
    alpha : float
        α of the way back [Ω].
    beta : float
        β of the way back [V·Ω]; 0 where the needle does not follow the supply.
    delta : float
        δ of the way back [V]: the voltage at which the apparent resistance is infinite.
    pull_up : bool
        Whether the source is known, so that a pull-up can be judged.

    Examples
    --------
    A two-coil ratio gauge (90 Ω and 110 Ω) with 49.5 Ω from its terminal to 12 V:

    >>> node = SignalNode.plain_source(12.0 * 110.0 / 200.0, 49.5, 12.0)
    >>> node.apparent(np.array([10.0]), np.array(1.0 / 49.5)).round(2)
    array([33.76])
    """

    open_volts: float
    ohm: float
    supply: float
    alpha: float
    beta: float
    delta: float
    pull_up: bool = True

    @staticmethod
    def path_only() -> SignalNode:
        """Return a gauge of which nothing is known: the sender's path alone can be judged."""
        return SignalNode(1.0, 1.0, 1.0, 1.0, 0.0, 1.0, pull_up=False)

    @staticmethod
    def plain_source(open_volts: float, ohm: float, supply: float) -> SignalNode:
        """Return a gauge whose dial depends on V/Voc alone: R = Rth·V/(Voc − V)."""
        return SignalNode(open_volts, ohm, supply, ohm, 0.0, open_volts)

    @staticmethod
    def winding(ohm: float, feed: float, supply: float) -> SignalNode:
        """Return a heater or coil of `ohm` [Ω], marked at `feed` [V]: R = F·Rg/(Vs − V) − Rg."""
        return SignalNode(supply, ohm, supply, ohm, ohm * (feed - supply), supply)

    @property
    def law(self) -> tuple[float, float, float, float, float, float]:
        """A0, A1, B, C0, C1, D of the apparent resistance, A = A0 + A1·g and C = C0 + C1·g."""
        own = 1.0 / self.ohm
        return (
            self.alpha * self.open_volts * own + self.beta * own,
            self.alpha * self.supply + self.beta,
            self.beta,
            (self.delta - self.open_volts) * own,
            self.delta - self.supply,
            self.delta,
        )

    def apparent(self, path: Array, pull: Array) -> Array:
        """Return what the dial sees of a path from the signal terminal to earth.

        Parameters
        ----------
        path : array, shape (..., N)
            Ohms of the path [Ω], 0 to +inf.
        pull : array, shape (...) or broadcasting against `path`
            Conductance of the pull-up [S], 0 where there is none.

        Returns
        -------
        array, shape (..., N)
            Apparent ohms [Ω]; +inf where the needle is at or past the place of an open lead.
        """
        a0, a1, b, c0, c1, d = self.law
        share, rest = np.minimum(path, 1.0), 1.0 / np.maximum(path, 1.0)
        numerator = (a0 + a1 * pull) * share + b * rest
        denominator = (c0 + c1 * pull) * share + d * rest
        past = denominator <= 0.0
        return np.where(past, np.inf, numerator / np.where(past, 1.0, denominator))


def signal_node(gauge: Gauge, volts: float) -> SignalNode | Message:
    """Return a gauge as its signal terminal is seen.

    Parameters
    ----------
    gauge : Gauge
        Its movement, and its terminal readings where the user has them.
    volts : float
        Volts at its supply terminal [V], heat-equivalent for a heater, > 0.

    Returns
    -------
    SignalNode or Message
        `SignalNode.path_only` where the elements are not known; a message for an input that
        reads volts or amperes, which no trim resistor mends.
    """
    movement = gauge.movement
    if isinstance(movement, VoltageInput | LoopInput):
        return message("movement.trim_on_signal")
    if isinstance(movement, HeaterMovement | CoilMovement):
        figure = movement.heater if isinstance(movement, HeaterMovement) else movement.coil
        if figure is None:
            return SignalNode.path_only()
        feed = volts if movement.feed is None else movement.feed.si(Kind.VOLTAGE)
        return SignalNode.winding(figure.si(Kind.RESISTANCE), feed, volts)
    if isinstance(movement, ElectronicMovement):
        return _electronic(movement, volts)
    return _ratio(gauge, volts)


def _ratio(gauge: Gauge, volts: float) -> SignalNode:
    coils = coils_of(gauge)
    if coils is not None:
        both = coils.supply + coils.earth
        return SignalNode.plain_source(
            volts * coils.earth / both, coils.supply * coils.earth / both, volts
        )
    source = measured_source(gauge)
    if source is None:
        return SignalNode.path_only()
    return SignalNode.plain_source(source.share * volts, source.ohm, volts)


def _electronic(movement: ElectronicMovement, volts: float) -> SignalNode:
    if movement.pull_up is None or movement.rail == "unknown":
        return SignalNode.path_only()
    ohm = movement.pull_up.si(Kind.RESISTANCE)
    if movement.rail == "reference":
        if movement.reference is None:
            return SignalNode.path_only()
        return SignalNode.plain_source(movement.reference.si(Kind.VOLTAGE), ohm, volts)
    feed = volts if movement.feed is None else movement.feed.si(Kind.VOLTAGE)
    return SignalNode(volts, ohm, volts, ohm, 0.0, feed)
