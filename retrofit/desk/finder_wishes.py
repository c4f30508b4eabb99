"""What a user wants of the parts that the finder tries: chips, and what each asks for. No Qt."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import cast

from catalog.message import Message, message
from catalog.parts.fitting import Medium
from catalog.quantities.kinds import Kind
from retrofit.finder.filters import (
    PartFilter,
    by_medium,
    by_return,
    by_stations,
    by_supply,
    by_switch,
    by_thread,
)
from retrofit.finder.rows import Way
from retrofit.plan.document import Plan
from retrofit.plan.pull_off import of_system

_SYSTEMS = ("6 V", "12 V", "24 V")

_STATED_AS = {"fresh water": "water"}
"""Media of a duty that senders are stated for by another name."""


@dataclass(frozen=True)
class Chip:
    """One wish that can be checked.

    Attributes
    ----------
    key : str
        Its name, "one gauge".
    text : Message
        What stands on it.
    group : str
        Of one group at most one is checked.
    made : callable
        Makes the filter.
    """

    key: str
    text: Message
    group: str
    made: Callable[[], PartFilter]


def chips_for(plan: Plan, label: str, way: Way) -> tuple[Chip, ...]:
    """Return the wishes that make sense for what is looked for.

    Parameters
    ----------
    plan : Plan
        Port, medium and supply are its.
    label : str
        The pairing.
    way : str
        What is looked for.
    """
    found: list[Chip] = []
    if way != "gauges":
        found += _of_senders(plan, label)
    if way != "senders":
        volts = plan.pairing(label).installation.supply.nominal.si(Kind.VOLTAGE)
        found += [
            Chip("supply", message("finder.chip.supply", system=name), "supply", _supplied(name))
            for name in _SYSTEMS
            if of_system(name, volts)
        ]
    return tuple(found)


def filters_of(chips: Collection[Chip], checked: Collection[str]) -> tuple[PartFilter, ...]:
    """Return the filters of the chips that are checked."""
    return tuple(chip.made() for chip in chips if chip.key in checked)


def _of_senders(plan: Plan, label: str) -> list[Chip]:
    found = [
        Chip("one gauge", message("finder.chip.one"), "stations", lambda: by_stations(1)),
        Chip("two gauges", message("finder.chip.two"), "stations", lambda: by_stations(2)),
        Chip("body", message("finder.chip.body"), "return", lambda: by_return("body")),
        Chip(
            "insulated", message("finder.chip.insulated"), "return", lambda: by_return("insulated")
        ),
        Chip("switch", message("finder.chip.switch"), "switch", by_switch),
    ]
    medium = plan.duty.medium
    if medium not in ("unknown", "other"):
        stated = cast(Medium, _STATED_AS.get(medium, medium))
        named = message(f"medium.named.{stated.replace(' ', '_')}")
        text = message("finder.chip.medium", medium=named)
        found.append(Chip("medium", text, "medium", lambda: by_medium(stated)))
    fit = plan.pairing(label).fit
    port = None if fit is None else fit.port.thread
    if port is not None:
        text = message("finder.chip.thread", thread=port)
        found.append(Chip("thread", text, "thread", lambda: by_thread(port)))
    return found


def _supplied(system: str) -> Callable[[], PartFilter]:
    return lambda: by_supply(system)
