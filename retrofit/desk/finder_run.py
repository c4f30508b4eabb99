"""One run of the finder over all parts on offer: a plain function for a job, its rows on the way.

Parts come out of a large catalogue a portion at a time. The few first ones are tried at once, so
that somebody sees rows while the others are still read.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from time import monotonic

from catalog.codec import content_hash
from catalog.errors import user_error
from catalog.library import PartKind
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from retrofit.desk.jobs import CancelledError, Progress
from retrofit.desk.stock import Stock, Stocked
from retrofit.finder.notes import Note, Search, notes
from retrofit.finder.rank import Arrived, FindWishes, find
from retrofit.finder.rows import Candidate, Excluded, Row, Way, candidates
from retrofit.plan.document import Origin, Plan
from retrofit.trim import search

MOST_PAIRS = 200_000
"""Pairs that are tried; more take minutes and hundreds of megabytes."""

KNOCK = 0.1
"""Seconds between two looks at what has arrived: more often nobody can read."""


@dataclass(frozen=True)
class Asked:
    """What is looked for, of which plan.

    Attributes
    ----------
    plan, label : Plan, str
        The pairing whose parts are replaced.
    way : str
        "senders", "gauges" or "pairs".
    wishes : FindWishes
        Resistors and filters.
    """

    plan: Plan
    label: str
    way: Way
    wishes: FindWishes


@dataclass
class Basket:
    """What a run has found and nobody has looked at yet; shared by two threads.

    Attributes
    ----------
    arrived : deque of Arrived
        Put in by the run, taken out by who looks.
    stocked : dict
        Every part that was tried, by its key, with its revision.
    notes : tuple of Note
        What stands in the way of the search as a whole; empty before its end.
    """

    arrived: deque[Arrived] = field(default_factory=deque)
    notes: tuple[Note, ...] = ()
    stocked: dict[str, Stocked] = field(default_factory=dict)

    def take(self) -> Iterator[Arrived]:
        """Take out all that is there."""
        while self.arrived:
            yield self.arrived.popleft()

    def origins(self, row: Row) -> dict[str, Origin]:
        """Return where the parts of a row were taken from; one that is only in the plan lacks."""
        found = {}
        for part in (row.candidate.gauge, row.candidate.sender):
            one = self.stocked.get(part.key)
            if one is not None and one.part is part:
                found[part.key] = Origin(part.key, one.revision, content_hash(part))
        return found


def run(
    asked: Asked, stock: Stock, basket: Basket, progress: Progress, knock: Callable[[], None]
) -> None:
    """Try every part on offer and put what is found into the basket; runs in a thread.

    Parameters
    ----------
    asked : Asked
        What is looked for.
    stock : Stock
        The parts on offer.
    basket : Basket
        Where the rows go.
    progress : Progress
        How far it is, and whether to stop.
    knock : callable
        Called at the first rows, and then when there are more, every `KNOCK` seconds at most.

    Raises
    ------
    UserError
        For a catalogue that cannot be read, more pairs than `MOST_PAIRS`, or as ``find`` does.
    CancelledError
        When the user has stopped it.
    """
    done, last, seen = 0, 0.0, False
    rows: list[Row] = []
    excluded: list[Excluded] = []

    def tell(here: int, of: int) -> None:
        del of
        progress.step(done + here, total)

    total, groups = _groups(asked, stock, basket, progress)
    watch = search.Watch(tell, lambda: progress.cancelled)
    for group, more in groups:
        progress.step(done, total)
        try:
            for arrived in find(asked.plan, asked.label, asked.way, group, asked.wishes, watch):
                # What is still unread has no bound, so nothing is proven before the last group.
                bounded = None if more else arrived.bounded
                basket.arrived.append(
                    replace(arrived, bounded=bounded, done=done + arrived.done, total=total)
                )
                rows += arrived.rows
                excluded += arrived.excluded
                first = bool(arrived.rows) and not seen
                seen = seen or first
                if first or monotonic() - last >= KNOCK:
                    last = monotonic()
                    knock()
        except search.CancelledError:
            raise CancelledError from None
        done += len(group)
    found = Search(asked.plan, asked.label, asked.way, asked.wishes, excluded, rows)
    try:
        basket.notes = notes(found, watch)
    except search.CancelledError:
        raise CancelledError from None


def _groups(
    asked: Asked, stock: Stock, basket: Basket, progress: Progress
) -> tuple[int, Iterator[tuple[tuple[Candidate, ...], bool]]]:
    """Return how many candidates there are, and all in two groups: the first few, the rest."""
    quantity = asked.plan.duty.quantity
    pairing = asked.plan.pairing(asked.label)
    # The part in the plan is tried as it stands there, whatever the catalogue says of its key.
    present = pairing.gauge if asked.way == "gauges" else pairing.sender
    pairs = asked.way == "pairs"
    kind: PartKind = "gauge" if asked.way == "gauges" else "sender"
    count, portions = stock.every(quantity, kind)
    across = _gauges(asked, stock, basket) if pairs else ()
    total = count * len(across) if pairs else count + 1
    if pairs and total > MOST_PAIRS:
        raise user_error("finder.too_many", count=total, most=MOST_PAIRS)

    def made(some: list[Stocked]) -> tuple[Candidate, ...]:
        basket.stocked.update((one.part.key, one) for one in some)
        parts = [one.part for one in some if pairs or one.part.key != present.key]
        senders = [part for part in parts if isinstance(part, Sender)]
        gauges = across if pairs else [part for part in parts if isinstance(part, Gauge)]
        return candidates(pairing, asked.way, senders, gauges)

    def groups() -> Iterator[tuple[tuple[Candidate, ...], bool]]:
        own = () if pairs else (Candidate(present.key, pairing.gauge, pairing.sender),)
        yield (*own, *made(next(portions, []))), True
        rest: list[Stocked] = []
        for portion in portions:
            progress.step(0, max(total, 1))
            rest += portion
        yield made(rest), False

    return total, groups()


def _gauges(asked: Asked, stock: Stock, basket: Basket) -> tuple[Gauge, ...]:
    _, portions = stock.every(asked.plan.duty.quantity, "gauge")
    found = [one for portion in portions for one in portion]
    basket.stocked.update((one.part.key, one) for one in found)
    return tuple(one.part for one in found if isinstance(one.part, Gauge))
