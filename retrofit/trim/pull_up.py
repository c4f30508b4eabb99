"""What a pull-up from signal to supply does to the ohms that a gauge sees, and what it costs.

With the gauge a source of σ·V behind Rth at its signal terminal, κ = 1 + Rth/(σ·Rpu) and
D = (1 − σ)/Rth,

    1/Rapp = (1/R − (κ − 1)·D)/κ.

A heater, coil or electronic gauge has σ = 1 and D = 0: the ohms are multiplied by κ. A plain
ratio gauge has κ = 1 + Ra/Rpu and D = 1/Rb: they are multiplied and bent, and beyond
R = Rb/(κ − 1) the needle is past the place of an open lead. (From Thevenin's theorem.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import BugError
from retrofit.circuit.bilinear import Bilinear
from retrofit.terminals import CoilOhms, SourceOhms


def source_of_coils(coils: CoilOhms) -> SourceOhms:
    """Return the source that a plain two-coil divider is: V·Rb/(Ra + Rb) behind Ra∥Rb.

    Examples
    --------
    >>> source_of_coils(CoilOhms(90.0, 110.0))
    SourceOhms(share=0.55, ohm=49.5)
    """
    both = coils.supply + coils.earth
    return SourceOhms(coils.earth / both, coils.supply * coils.earth / both)


@dataclass(frozen=True)
class PullUp:
    """A pull-up, with or without a resistor in series at the sender.

    Attributes
    ----------
    source : SourceOhms
        The gauge at its signal terminal.
    kappa : float
        Factor κ [1], above 1.
    series : float
        Resistor in series at the sender [Ω], 0: none.
    """

    source: SourceOhms
    kappa: float
    series: float = 0.0

    @property
    def ohm(self) -> float:
        """The pull-up itself [Ω]: Rth/(σ·(κ − 1))."""
        return self.source.ohm / (self.source.share * (self.kappa - 1.0))

    @property
    def open_beyond(self) -> float:
        """Ohms of the sender beyond which the needle is past 'open' [Ω]; +inf: none."""
        draw = _draw(self.source) * (self.kappa - 1.0)
        return math.inf if draw == 0.0 else 1.0 / draw - self.series

    @property
    def law(self) -> Bilinear:
        """Apparent ohms [Ω] of the sender's, B = 1; past 'open' they are negative."""
        draw = _draw(self.source) * (self.kappa - 1.0)
        bent = Bilinear.of(self.kappa, 0.0, -draw, 1.0)
        return bent.after(Bilinear.in_series(self.series))

    def sender_amps(self, ohm: float, volts: float) -> float:
        """Return the current through the sender at `ohm` [Ω] of it and a supply of `volts` [V]."""
        ths, ups = 1.0 / self.source.ohm, 1.0 / self.ohm
        open_volts = volts * (self.source.share * ths + ups) / (ths + ups)
        return open_volts / (1.0 / (ths + ups) + self.series + ohm)


def _draw(source: SourceOhms) -> float:
    """Return D [S]: what the gauge itself takes to earth at its signal terminal."""
    return (1.0 - source.share) / source.ohm


def pull_up_for(
    source: SourceOhms, sender: tuple[float, float], target: tuple[float, float]
) -> PullUp | None:
    """Return the pull-up that widens two values of a sender to two targets.

    The resistor in series is the s for which the κ of both values is one; with y = R₁ + s,
    H = 1/T + D and Δ = R₂ − R₁ it solves D·(H₁−H₂)·y² + (H₁−H₂)·(1 + D·Δ)·y = H₂·Δ. Where
    it would be negative there is none, and κ is that of the higher ohms. (Worked out from the
    law above.)

    Parameters
    ----------
    source : SourceOhms
        The gauge at its signal terminal.
    sender, target : (float, float)
        Ohms R₁ < R₂ of the sender and T₁ < T₂ wanted [Ω], R₂ and T₂ finite.

    Returns
    -------
    PullUp or None
        None where the pull-up would have to take away (κ ≤ 1). Whether the lower value meets
        its target where there is no series resistor is for the caller to see.

    Examples
    --------
    >>> heater = SourceOhms(1.0, 100.0)
    >>> found = pull_up_for(heater, (0.0, 70.0), (3.5, 107.5))
    >>> round(found.kappa, 3), round(found.series, 2), round(found.ohm / heater.ohm, 2)
    (1.486, 2.36, 2.06)
    """
    (r1, r2), (t1, t2) = sender, target
    if not (r1 < r2 < math.inf and 0.0 <= t1 < t2 < math.inf):
        raise BugError(f"no pull-up is asked for {sender} to {target} Ω")
    draw, apart = _draw(source), r2 - r1
    high = 1.0 / t2 + draw
    series = 0.0
    if t1 > 0.0:
        fall = 1.0 / t1 - 1.0 / t2
        a, b, c = draw * fall, fall * (1.0 + draw * apart), -high * apart
        # The form of the root that loses no digits where D is next to nothing.
        y = -2.0 * c / (b + math.sqrt(b * b - 4.0 * a * c))
        series = max(0.0, y - r1)
    kappa = (1.0 / (r2 + series) + draw) / high
    return PullUp(source, kappa, series) if kappa > 1.0 else None
