"""What each run of an installation carries at worst: from the network, or from what is told."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.circuit.reduction import Current, Reduction
from retrofit.installation import RUNS, Installation, Load, Run
from retrofit.installation.path_ohms import path_ohms
from retrofit.plan.document import Pairing
from retrofit.plan.stages import highest_supply
from retrofit.wired import Supplies, lamp_ohms, load_amperes, load_name, load_ohms, wired

ASSUMED_GAUGE = 0.5
"""Current of a gauge that nobody knows [A], which is more than they take (assumed)."""


@dataclass(frozen=True)
class RunCurrents:
    """What the runs carry.

    Attributes
    ----------
    amperes : dict
        Largest current by run [A], everything on that can be on at a reading, the sender at any
        ohms, its lead on earth or off; the stabiliser stuck on where there is one.
    assumed : bool
        Whether the gauge's own current is assumed, since nobody knows its elements.
    untold : tuple of Message
        Consumers whose current nobody told; what they share is not known.
    """

    amperes: dict[Run, float]
    assumed: bool
    untold: tuple[Message, ...]


def run_currents(pairing: Pairing) -> RunCurrents:
    """Return what each run of a pairing carries at worst.

    Parameters
    ----------
    pairing : Pairing
        Parts, trim and installation. What flows while charging or cranking is left out: it goes
        through the engine's own strap, which is the maker's.
    """
    installation = pairing.installation
    loads = [one for one in installation.loads if one.when in ("always", "at times")]
    untold = [
        message("check.offset.load", load=one.name)
        for one in loads
        if load_ohms(one, installation) is None and load_amperes(one) is None
    ]
    lamp = installation.lamp
    if lamp is not None and lamp.circuit == "switch in sender" and lamp_ohms(installation) is None:
        untold.append(message("cause.lamp"))
    found = _solved(pairing)
    amperes = _summed(installation, loads) if found is None else found
    return RunCurrents(amperes, found is None, tuple(untold))


def _volts(installation: Installation) -> float:
    high = highest_supply(installation.supply)
    return installation.supply.nominal.si(Kind.VOLTAGE) if high is None else high


def _solved(pairing: Pairing) -> dict[Run, float] | None:
    """Return the currents of the network with every run in it, None where it is not known."""
    installation = pairing.installation
    kept = tuple(one for one in installation.loads if one.when in ("always", "at times"))
    installation = replace(installation, loads=kept)
    names = {run: "signal wire" if run == "signal" else run for run in RUNS}
    at: dict[str, float] = {
        name: path_ohms(installation.path(run), run).ohm for run, name in names.items()
    }
    at |= {load_name(one): 1.0 for one in kept}
    lamp = installation.lamp
    if lamp is not None and lamp.circuit == "switch in sender":
        at["lamp"] = 1.0
    volts = np.array([_volts(installation)])
    circuit = wired(pairing.gauge, installation, pairing.trim, Supplies(volts), at)
    if circuit is None:
        return None
    reduced = Reduction(circuit.network, circuit.first, circuit.second)
    ends = np.array([0.0, np.inf])
    # Every current is a law of the sender's ohms that runs one way: its largest is at an end.
    return {
        run: float(np.nanmax(np.abs(reduced.law(Current(name))(ends)), initial=0.0))
        for run, name in names.items()
    }


def _summed(installation: Installation, loads: list[Load]) -> dict[Run, float]:
    """Return the currents with an assumed one for the gauge."""
    share = _volts(installation) / installation.supply.nominal.si(Kind.VOLTAGE)
    nominal = installation.supply.nominal.si(Kind.VOLTAGE)

    def taken(load: Load) -> float:
        ohm, amps = load_ohms(load, installation), load_amperes(load)
        return nominal * share / ohm if ohm is not None else abs(amps or 0.0)

    lamp = lamp_ohms(installation)
    lit = 0.0 if lamp is None else nominal * share / lamp
    feeding = sum(taken(one) for one in loads if one.on_feed == "yes")
    back = {
        earth: sum(taken(one) for one in loads if one.returns == earth)
        for earth in ("engine earth", "gauge earth")
    }
    return {
        "shared feed": ASSUMED_GAUGE + feeding + lit,
        "feed": ASSUMED_GAUGE,
        "signal": ASSUMED_GAUGE,
        "engine earth": ASSUMED_GAUGE + back["engine earth"] + lit,
        "gauge earth": ASSUMED_GAUGE + back["gauge earth"],
    }
