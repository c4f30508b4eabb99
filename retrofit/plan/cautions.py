"""The usual cautions of the trade, chosen by the facts of a plan (common practice, no source)."""

from __future__ import annotations

from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.plan.document import Duty, Pairing

_MEDIUM = {
    "coolant": "caution.coolant",
    "oil": "caution.oil",
    "petrol": "caution.fuel",
    "diesel": "caution.fuel",
    "fresh water": "caution.water",
    "waste water": "caution.waste",
}


def cautions_for(duty: Duty, pairing: Pairing) -> tuple[Message, ...]:
    """Return what can hurt someone at this work, the nearest danger first.

    Parameters
    ----------
    duty : Duty
        Its medium and quantity decide.
    pairing : Pairing
        Its trim decides.
    """
    found = []
    if duty.medium in _MEDIUM:
        found.append(message(_MEDIUM[duty.medium]))
    elif duty.quantity == "level":
        found.append(message("caution.unknown_tank"))
    elif duty.quantity == "temperature":
        found.append(message("caution.hot"))
    elif duty.medium == "air":
        found.append(message("caution.air"))
    else:
        found.append(message("caution.pressure"))
    found.append(message("caution.battery"))
    if pairing.trim:
        found.append(message("caution.hot_resistor"))
    if pairing.trim and duty.quantity == "level":
        found.append(message("caution.no_resistor_at_tank"))
    if pairing.gauge.signal is Kind.RESISTANCE:
        found.append(message("caution.earthing"))
    found.append(message("caution.no_safety_device"))
    return tuple(found)
