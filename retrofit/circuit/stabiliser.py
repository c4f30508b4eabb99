"""Stabilised supplies: what a regulated or chopped feed is to a meter and to a heater.

A chopping stabiliser joins its output to the supply for a share of the time, the duty. A meter
shows the mean, a heater feels the root of the mean square, its heat-equivalent voltage:

    mean = duty·V,   heat-equivalent = √duty·V = √(mean·V)

with V the supply. Which of the two a stabiliser holds constant has to be known or asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from catalog.arrays import Array
from catalog.errors import BugError


class Held(Enum):
    """What a stabiliser keeps constant while its supply varies."""

    STEADY = "steady"
    """The output itself: an electronic regulator that does not chop."""

    MEAN = "mean"
    """The mean of a chopped output, as a meter shows it."""

    HEAT = "heat-equivalent"
    """The root mean square of a chopped output: a bimetal that heats itself."""


@dataclass(frozen=True, eq=False)
class Output:
    """The output of a stabiliser at each supply.

    Attributes
    ----------
    duty : array, shape (B,)
        Share of the time for which the output is on [1], 0…1; 1 for a steady output.
    mean : array, shape (B,)
        Mean voltage [V]: what a moving-coil or electronic instrument goes by.
    heat_equivalent : array, shape (B,)
        Root mean square voltage [V], never below the mean: what a heater gauge goes by.
    """

    duty: Array
    mean: Array
    heat_equivalent: Array


def chopped(supply: Array, duty: Array) -> Output:
    """Return a chopped supply at a known duty.

    Parameters
    ----------
    supply : array, shape (B,)
        Supply voltage V [V], 0 or more.
    duty : array, shape (B,)
        Share of the time for which it is on [1], 0…1; 1 is a stabiliser stuck on.

    Returns
    -------
    Output
        Each of shape (B,): mean = duty·V and heat-equivalent = √duty·V [V].

    Raises
    ------
    BugError
        For a negative supply or a duty outside 0…1.

    Notes
    -----
    Switching is taken as sudden and without loss.

    Examples
    --------
    >>> output = chopped(np.array([14.0]), np.array([0.5]))
    >>> output.mean, output.heat_equivalent.round(2)
    (array([7.]), array([9.9]))
    """
    supply, duty = np.broadcast_arrays(
        np.asarray(supply, dtype=np.float64), np.asarray(duty, dtype=np.float64)
    )
    if np.any(supply < 0.0) or np.any((duty < 0.0) | (duty > 1.0)):
        raise BugError(f"no chopped supply: {supply} V at a duty of {duty}")
    return Output(duty.copy(), duty * supply, np.sqrt(duty) * supply)


def stabilised(supply: Array, volt: Array, held: Held) -> Output:
    """Return the output of a stabiliser that holds `volt`.

    Parameters
    ----------
    supply : array, shape (B,)
        Supply voltage V [V], 0 or more.
    volt : array, shape (B,)
        Held voltage [V], above 0.
    held : Held
        Which voltage it is that is held.

    Returns
    -------
    Output
        Each of shape (B,). Mean held: duty = volt/V, heat-equivalent √(volt·V), which rises
        with the supply. Heat-equivalent held: duty = (volt/V)², mean volt²/V, which falls.
        Where the supply is below `volt` the output is the supply itself, duty 1.

    Raises
    ------
    BugError
        For a negative supply or a held voltage that is not above 0.

    Notes
    -----
    No drop-out voltage is taken off: a stabiliser on too low a supply passes it on whole.
    Checked against published duties in ``tests/circuit/test_stabiliser.py``.

    Examples
    --------
    >>> stabilised(np.array([14.0]), np.array([10.0]), Held.HEAT).mean.round(3)
    array([7.143])
    """
    supply, volt = np.broadcast_arrays(
        np.asarray(supply, dtype=np.float64), np.asarray(volt, dtype=np.float64)
    )
    if np.any(supply < 0.0) or np.any(volt <= 0.0):
        raise BugError(f"no stabiliser: {volt} V out of {supply} V")
    if held is Held.STEADY:
        out = np.minimum(volt, supply)
        return Output(np.ones_like(out), out, out.copy())
    share = volt / np.maximum(supply, volt)
    return chopped(supply, share if held is Held.MEAN else share**2)
