"""Copper as wire is made of it: its resistivity, and how it grows with heat."""

from __future__ import annotations

from catalog.provenance import Basis, BasisKind

COLD = 20.0
"""Temperature at which wires are tabled [°C]."""

COPPER_RESISTIVITY = 1e-6 / 58.0
"""Resistivity of annealed copper at 20 °C [Ω·m] (IEC 60028:1925, IACS)."""

COPPER_PER_KELVIN = 0.00393
"""Temperature coefficient of annealed copper at 20 °C [1/K]; quoted everywhere with IACS."""

PER_KELVIN_BASIS = Basis(BasisKind.MEMORY, "IEC 60028: its clause was recalled, not seen")


def heat_factor(temperature: float) -> float:
    """Return R(T)/R(20 °C) of copper: 1 + α·(T − 20 °C), α of IACS.

    Parameters
    ----------
    temperature : float
        [°C]; in the range of wiring, −60 to 250. IEC 60228 prints factors that differ by up to
        half a per cent.

    Examples
    --------
    >>> round(heat_factor(85.0), 5), round(heat_factor(-40.0), 5)
    (1.25545, 0.7642)
    """
    return 1.0 + COPPER_PER_KELVIN * (temperature - COLD)
