"""What the supply does to a ratio gauge after all: the magnet that pulls its needle off."""

from __future__ import annotations

from catalog.parts.gauge import Gauge, RatioMovement
from catalog.quantities.kinds import Kind
from retrofit.installation import Installation
from retrofit.plan.stages import supply_range

_PULL_OFF_LOW, _PULL_OFF_HIGH, _PULL_OFF_NOMINAL = 11.0, 14.4, 12.0
"""Supplies of a 12 V system between which a pull-off magnet's effect is stated [V]."""

_NOMINAL = {"6 V": 6.0, "12 V": 12.0, "24 V": 24.0}

_SYSTEMS = {"6 V": (4.5, 9.0), "12 V": (9.0, 18.0), "24 V": (18.0, 36.0)}
"""Supplies that count as a 6, 12 or 24 V system [V] (assumed)."""


def of_system(name: str, volts: float) -> bool:
    """Return whether a supply [V] is one of the system "6 V", "12 V" or "24 V"."""
    return _SYSTEMS[name][0] <= volts <= _SYSTEMS[name][1]


def pull_off_move(gauge: Gauge, installation: Installation, kind: Kind) -> float:
    """Return how far the pull-off magnet moves the needle over the supply range.

    A magnet's pull against coils falls as one over the supply; it is stated as the share of the
    scale that mid-scale moves from 11 to 14.4 V in a 12 V system.

    Parameters
    ----------
    gauge : Gauge
        Its movement and scale.
    installation : Installation
        Its supply.
    kind : Kind
        What the gauge reads.

    Returns
    -------
    float
        Move either way [SI difference], 0 or more; 0 for other movements, and where the magnet
        or the supply range is not known.
    """
    movement, ends = gauge.movement, supply_range(installation.supply)
    if not isinstance(movement, RatioMovement) or movement.pull_off is None or ends is None:
        return 0.0
    low, high = ends
    nominal = installation.supply.nominal.si(Kind.VOLTAGE)
    span = _system_volts(gauge, nominal) / _PULL_OFF_NOMINAL
    share = movement.pull_off.si(Kind.FRACTION) * span * (1.0 / low - 1.0 / high)
    share /= 1.0 / _PULL_OFF_LOW - 1.0 / _PULL_OFF_HIGH
    return share * (gauge.high.si(kind) - gauge.low.si(kind))


def _system_volts(gauge: Gauge, nominal: float) -> float:
    """Return the nominal volts of the system that a gauge hangs on [V]."""
    fits = [name for name in gauge.system or _SYSTEMS if of_system(name, nominal)]
    return _NOMINAL[fits[0]] if fits else nominal
