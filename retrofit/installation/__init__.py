"""What stands between the two parts: supply, stabiliser, wires, earths, trims, and sharers."""

from retrofit.installation.paths import RUNS, Path, Run, Wire
from retrofit.installation.sharing import Load, SecondGauge, WarningLamp
from retrofit.installation.supply import Stabiliser, Supply, YesNo
from retrofit.installation.trim_places import PLACES, Place, SenderLimits, TrimResistor
from retrofit.installation.whole import Installation

__all__ = [
    "PLACES",
    "RUNS",
    "Installation",
    "Load",
    "Path",
    "Place",
    "Run",
    "SecondGauge",
    "SenderLimits",
    "Stabiliser",
    "Supply",
    "TrimResistor",
    "WarningLamp",
    "Wire",
    "YesNo",
]
