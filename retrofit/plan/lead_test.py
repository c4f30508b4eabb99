"""What stands for the sender where its lead must not be laid on earth: which ohms, which watts."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.loads import loads_of
from retrofit.plan.memo import staged
from retrofit.plan.stages import highest_supply


@dataclass(frozen=True)
class LeadTest:
    """The resistor to put from a sender's lead to earth instead of a plain wire.

    Attributes
    ----------
    ohms : float
        The lowest that the sender's class gives [Ω].
    watts : float
        What it takes there at most [W].
    volts : float
        The highest supply, or the nominal one where nobody told it [V].
    bound : bool
        Whether the watts are those of the whole supply across it, since nobody knows what the
        gauge has inside.
    """

    ohms: float
    watts: float
    volts: float
    bound: bool

    @property
    def says(self) -> Message:
        """The limits of laying the lead on earth, and what to use instead."""
        return message(
            "caution.earthing.bound" if self.bound else "caution.earthing.known",
            ohms=SiValue(self.ohms, Kind.RESISTANCE),
            watts=SiValue(self.watts, Kind.POWER),
            volts=SiValue(self.volts, Kind.VOLTAGE),
        )


@staged
def lead_test_of(pairing: Pairing, duty: Duty) -> LeadTest | None:
    """Return the resistor that stands for the sender at its lowest ohms.

    Its watts are I²·R with I = Voc/(Voc/Isc + R) of the sender's terminals at the highest supply
    where the gauge is known, else U²/R with the whole supply across it, which no gauge exceeds.

    Parameters
    ----------
    pairing : Pairing
        Gauge, sender and what they hang on.
    duty : Duty
        Its range.

    Returns
    -------
    LeadTest or None
        None where the sender gives no ohms or goes down to none at all.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_lead_test.py``.
    """
    curve = pairing.sender.curve
    if curve is None or pairing.sender.signal is not Kind.RESISTANCE:
        return None
    ohms = float(np.nanmin(curve.output(np.array([curve.low, curve.high]))))
    if not 0.0 < ohms < math.inf:
        return None
    supply = pairing.installation.supply
    high = highest_supply(supply)
    volts = supply.nominal.si(Kind.VOLTAGE) if high is None else high
    loads = loads_of(pairing, duty)
    if isinstance(loads, Message):
        return LeadTest(ohms, volts**2 / ohms, volts, bound=True)
    seen = loads.terminals if loads.stuck is None else loads.stuck
    if not seen.short_amps > 0.0:
        return LeadTest(ohms, 0.0, volts, bound=False)
    amps = seen.open_volts / (seen.open_volts / seen.short_amps + ohms)
    return LeadTest(ohms, amps**2 * ohms, volts, bound=False)


def earthing_says(pairing: Pairing, duty: Duty) -> Message:
    """Return the limits of laying a sender's lead on earth, and what to use instead."""
    found = lead_test_of(pairing, duty)
    return message("caution.earthing") if found is None else found.says
