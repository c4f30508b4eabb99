"""Where a warning lamp may be lit that a switch in the sender earths: it loads the sender there."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.quantities.kinds import Kind, difference
from retrofit.plan.document import Pairing


def may_be_lit(pairing: Pairing, kind: Kind, x: Array) -> NDArray[np.bool_]:
    """Return where the contact that earths the lamp may be closed.

    Parameters
    ----------
    pairing : Pairing
        Its sender's switch.
    kind : Kind
        What is read.
    x : array, shape (N,)
        True values [SI].

    Returns
    -------
    array of bool, shape (N,)
        False only where the switch is open for certain, tolerance and hysteresis counted [1];
        where nobody knows the switch so well it may be closed anywhere.
    """
    fitting = pairing.sender.fitting
    switch = None if fitting is None else fitting.switch
    anywhere = np.ones(len(x), dtype=np.bool_)
    if switch is None or switch.tolerance is None or switch.below == "unknown":
        return anywhere
    at = switch.operates.si(kind)
    off = switch.tolerance.si(at, difference(kind))
    if switch.below == "closed":
        return np.asarray(x <= at + off)
    if switch.hysteresis is None:
        return anywhere
    return np.asarray(x >= at - switch.hysteresis.si(difference(kind)) - off)
