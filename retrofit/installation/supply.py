"""The supply of a gauge: its volts, its earthed pole, and the stabiliser before a heater."""

from dataclasses import dataclass
from typing import Literal

from catalog.parts.fields import VoltFigure, Volts

YesNo = Literal["yes", "no", "unknown"]

SupplyCode = Literal["A", "B", "C", "D", "E", "F", "G", "H", "none"]

Earthed = Literal["negative", "positive", "unknown"]


@dataclass(frozen=True)
class Supply:
    """The supply of the gauge.

    Attributes
    ----------
    nominal : Amount
        Volts at which readings are given.
    low, high : Amount or None
        Range over which the needle should stay true; None where nobody said, or `code` does.
    code : str
        Code of ISO 16750-2 for the range, "A" to "D" in 12 V systems and "E" to "H" in 24 V
        ones; what `low` and `high` say goes before it.
    earthed : str
        Pole of the battery that lies on earth.
    """

    nominal: Volts
    low: Volts | None = None
    high: Volts | None = None
    code: SupplyCode = "none"
    earthed: Earthed = "unknown"


@dataclass(frozen=True)
class Stabiliser:
    """The instrument stabiliser between the supply and a heater gauge.

    Attributes
    ----------
    fitted : str
        Whether there is one.
    holds : str
        Which of its output it keeps: the "heat-equivalent" (root mean square) or the "mean",
        which a meter shows; "unknown" otherwise.
    output : Figure or None
        Volts that it holds; None: what the gauge is made for.
    state : str
        "sound", or "stuck" where it no longer chops and passes the supply on whole.
    """

    fitted: YesNo = "unknown"
    holds: Literal["heat-equivalent", "mean", "unknown"] = "unknown"
    output: VoltFigure | None = None
    state: Literal["sound", "stuck"] = "sound"
