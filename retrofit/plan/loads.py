"""The stage that works out watts and currents of a pairing, with its trim and without."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from catalog.arrays import Array
from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.stages import POINTS, at_terminal, highest_supply, stabilised_volts
from retrofit.trim.power import Feeds, Loads, loads


@staged
def loads_of(pairing: Pairing, duty: Duty) -> Loads | Message:
    """Return what the elements of a pairing take at worst, at its highest supply.

    Where nobody said the highest supply the nominal one stands for it; the check of the power
    says so.
    """
    supply = pairing.installation.supply
    high = highest_supply(supply)
    return _at(pairing, duty, supply.nominal.si(Kind.VOLTAGE) if high is None else high)


@staged
def bare_loads_of(pairing: Pairing, duty: Duty) -> Loads | Message:
    """Return the same for the pairing without its trim."""
    return loads_of(replace(pairing, trim=()), duty)


@staged
def compared_loads_of(pairing: Pairing, duty: Duty) -> Loads | Message:
    """Return the loads at the supply at which the original's limits were read."""
    if duty.original is None or duty.original.supply is None:
        return loads_of(pairing, duty)
    return _at(pairing, duty, duty.original.supply.si(Kind.VOLTAGE))


def _at(pairing: Pairing, duty: Duty, volts: float) -> Loads | Message:
    gauge, installation = pairing.gauge, pairing.installation
    if pairing.sender.curve is None or pairing.sender.signal is not Kind.RESISTANCE:
        return message("power.no_range")
    fed = float(at_terminal(gauge, installation, np.array([volts])).volts[0])
    stuck = None if stabilised_volts(gauge, installation) is None else volts
    return loads(gauge, installation, pairing.trim, _ohms(pairing, duty), Feeds(fed, stuck))


def _ohms(pairing: Pairing, duty: Duty) -> Array:
    """Return the sender's ohms over the range of the duty, shape (POINTS,) [Ω]."""
    curve = pairing.sender.curve
    assert curve is not None
    x = np.linspace(*duty.span, POINTS)
    return curve.output(np.where((x >= curve.low) & (x <= curve.high), x, np.nan))
