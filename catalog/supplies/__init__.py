"""Supplies of vehicles: the ranges and what they do besides, after ISO 16750-2."""

from catalog.supplies.codes import SIX_VOLTS, SUPPLY_CODES, SupplyRange, System, supply_code
from catalog.supplies.events import SupplyEvent, events, running_voltage, supply_events

__all__ = [
    "SIX_VOLTS",
    "SUPPLY_CODES",
    "SupplyEvent",
    "SupplyRange",
    "System",
    "events",
    "running_voltage",
    "supply_code",
    "supply_events",
]
