"""The usual cautions of the trade, chosen by the facts of a plan (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.errors import UserError
from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from catalog.threads.designation import parse_thread
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.lead_test import earthing_says
from retrofit.plan.mark_readings import MarkReading

_MEDIUM = {
    "coolant": "caution.coolant",
    "oil": "caution.oil",
    "petrol": "caution.fuel",
    "diesel": "caution.fuel",
    "fresh water": "caution.water",
    "waste water": "caution.waste",
}


def cautions_for(
    duty: Duty, pairing: Pairing, marks: tuple[MarkReading, ...] = ()
) -> tuple[Message, ...]:
    """Return what can hurt someone or spoil a part at this work, the nearest danger first.

    Parameters
    ----------
    duty : Duty
        Its medium and quantity decide.
    pairing : Pairing
        Its trim, its threads and what its gauge takes decide.
    marks : tuple of MarkReading
        Readings at the marks: a needle that is wrong there tempts people to bend it.
    """
    return tuple(_found(duty, pairing, marks))


def _found(duty: Duty, pairing: Pairing, marks: tuple[MarkReading, ...]) -> Iterator[Message]:
    yield _medium(duty)
    yield from _threads(duty, pairing)
    yield message("caution.battery")
    if pairing.trim:
        yield message("caution.hot_resistor")
    if pairing.trim and duty.quantity == "level":
        yield message("caution.no_resistor_at_tank")
    if any(one.allowed is not None and abs(one.error) > one.allowed for one in marks):
        yield message("caution.needle")
    if pairing.gauge.signal is Kind.RESISTANCE:
        yield earthing_says(pairing, duty)
    yield message("caution.no_safety_device")


def _medium(duty: Duty) -> Message:
    """Return what comes out where the sender sits."""
    if duty.medium in _MEDIUM:
        return message(_MEDIUM[duty.medium])
    if duty.quantity == "level":
        return message("caution.unknown_tank")
    if duty.quantity == "temperature":
        return message("caution.hot")
    return message("caution.air" if duty.medium == "air" else "caution.pressure")


def _threads(duty: Duty, pairing: Pairing) -> Iterator[Message]:
    """Give the caution of a taper thread, or of one that nobody named; a flange has none."""
    fitting, port = pairing.sender.fitting, None if pairing.fit is None else pairing.fit.port
    named = [None if fitting is None else fitting.thread, None if port is None else port.thread]
    known = [name for name in named if name is not None]
    if any(_taper(name) for name in known):
        yield message("caution.taper")
    elif len(known) < len(named) and duty.quantity != "level":
        yield message("caution.maybe_taper")


def _taper(name: str) -> bool:
    try:
        return parse_thread(name).taper > 0.0
    except UserError:
        return False
