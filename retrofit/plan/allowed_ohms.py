"""How many ohms in the sender's earth take all of the error that the duty allows."""

from __future__ import annotations

import numpy as np

from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.shifts import earth_moves, hardest_move

_LOOKS = 3
_LEAST, _MOST = 1e-4, 1e4


@staged
def allowed_ohms(pairing: Pairing, duty: Duty) -> float | None:
    """Return the ohms in the sender's earth that move the needle by what is allowed [Ω].

    The needle is asked, not a slope: from one ohm on, the secant through nothing is followed
    until it holds, so it is right to a few per cent where the law is bent.

    Parameters
    ----------
    pairing : Pairing
        Its own earth path does not count.
    duty : Duty
        Range, marks and allowed errors.

    Returns
    -------
    float or None
        [Ω], 1e-4 to 1e4; None where nobody can tell a reading or said what is allowed.
    """
    if pairing.sender.signal is not Kind.RESISTANCE:
        return None
    ohms = 1.0
    for _ in range(_LOOKS):
        moves = earth_moves(pairing, duty, Figure(Amount(ohms, "Ω"))).size
        worst = hardest_move(duty, moves)
        if worst is None or not np.isfinite(worst[0]):
            return None
        share = abs(worst[0]) / worst[1]
        if share == 0.0:
            return _MOST
        ohms = float(np.clip(ohms / share, _LEAST, _MOST))
    return ohms
