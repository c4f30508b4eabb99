"""What a user wants of a part besides a true reading: each a named question with a reason."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Literal

from catalog.message import Message, message
from catalog.parts.fitting import Medium
from catalog.threads.designation import parse_thread
from retrofit.finder.rows import Candidate
from retrofit.fit.thread_fit import thread_fit


@dataclass(frozen=True)
class PartFilter:
    """A wish that a candidate keeps or does not.

    Attributes
    ----------
    name : str
        Which wish: "stations", "return", "supply", …
    refuses : callable
        Why a candidate does not keep it, None where it does.
    """

    name: str
    refuses: Callable[[Candidate], Message | None]


def by_stations(stations: Literal[1, 2]) -> PartFilter:
    """Return the wish for senders made for one gauge, or for two."""

    def refuses(candidate: Candidate) -> Message | None:
        if candidate.sender.stations == stations:
            return None
        return message("find.filter.stations", stations=candidate.sender.stations)

    return PartFilter("stations", refuses)


def by_return(wanted: Literal["body", "insulated"]) -> PartFilter:
    """Return the wish for senders with their earth through the body, or insulated from it."""

    def refuses(candidate: Candidate) -> Message | None:
        there = candidate.sender.earth_return
        if there in (wanted, "either"):
            return None
        return message(f"find.filter.return_{there}")

    return PartFilter("return", refuses)


def by_supply(system: str) -> PartFilter:
    """Return the wish for gauges made for a supply system, as "12 V"."""

    def refuses(candidate: Candidate) -> Message | None:
        systems = candidate.gauge.system
        if system in systems:
            return None
        if not systems:
            return message("find.filter.supply_unknown")
        return message("find.filter.supply", systems=", ".join(systems))

    return PartFilter("supply", refuses)


def by_switch() -> PartFilter:
    """Return the wish for senders with a warning switch in their body."""

    def refuses(candidate: Candidate) -> Message | None:
        fitting = candidate.sender.fitting
        if fitting is None:
            return message("find.filter.switch_unknown")
        return None if fitting.switch is not None else message("find.filter.no_switch")

    return PartFilter("switch", refuses)


def by_medium(medium: Medium) -> PartFilter:
    """Return the wish for senders that are stated for a medium."""

    def refuses(candidate: Candidate) -> Message | None:
        fitting = candidate.sender.fitting
        if fitting is None or not fitting.media:
            return message("find.filter.medium_unknown")
        return None if medium in fitting.media else message("find.filter.medium")

    return PartFilter("medium", refuses)


def by_thread(port: str) -> PartFilter:
    """Return the wish for senders whose thread goes into a port without an adapter.

    Parameters
    ----------
    port : str
        Designation of the port's female thread.
    """
    female = parse_thread(port, "female")

    @cache
    def goes(male: str) -> bool:
        return thread_fit(parse_thread(male, "male"), female).goes

    def refuses(candidate: Candidate) -> Message | None:
        fitting = candidate.sender.fitting
        if fitting is None or fitting.thread is None:
            return message("find.filter.thread_unknown")
        if goes(fitting.thread):
            return None
        return message("find.filter.thread", thread=fitting.thread, port=port)

    return PartFilter("thread", refuses)
