"""Sizes of wire and what each has in ohms and may carry; fuses that protect it."""

from catalog.wires.ampacity import INSULATIONS, Ampacity, ampacity
from catalog.wires.conductors import Conductor, awg, conductor, metric
from catalog.wires.copper import COPPER_PER_KELVIN, COPPER_RESISTIVITY, heat_factor
from catalog.wires.fuses import BladeFuse, blade_fuses

__all__ = [
    "COPPER_PER_KELVIN",
    "COPPER_RESISTIVITY",
    "INSULATIONS",
    "Ampacity",
    "BladeFuse",
    "Conductor",
    "ampacity",
    "awg",
    "blade_fuses",
    "conductor",
    "heat_factor",
    "metric",
]
