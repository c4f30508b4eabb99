"""What stands in the way of a search as a whole, said once, with where the plan is mended."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from catalog.message import Message, SiValue, Value, message
from catalog.quantities.kinds import Kind
from retrofit.finder.rank import FindWishes, find
from retrofit.finder.ranking import Ranking
from retrofit.finder.rows import Excluded, Row, Way
from retrofit.plan.document import Plan
from retrofit.plan.draft import usual_supply
from retrofit.plan.stages import supplies_of
from retrofit.trim.search import Watch
from retrofit.trim.signal_node import signal_node

NoteKind = Literal["allowed", "marks", "side", "range", "supply", "pull_up"]

EXAMPLE = {"level": "5 %", "pressure": "0.3 bar", "temperature": "3 °C"}
"""An allowed error as somebody might type it."""

EXAMPLE_MARK = {
    "level": "reserve=12 %:flatters=high",
    "pressure": "idle=1 bar:flatters=high",
    "temperature": "alarm=98 °C:flatters=low",
}
"""A mark that says which side hides danger, as the prompt takes it."""

_REFUSALS: dict[str, NoteKind] = {
    "trims.nothing_allowed": "allowed",
    "trims.no_marks": "marks",
    "trims.no_side": "side",
}
"""What is missing in the duty, so that no part at all can be tried."""

_NAMED, _TRIED = 3, 40
"""Gauges that are named as fitting but for the supply, and tried for that: some tens of
milliseconds each, so that a catalogue with thousands of them is not all looked through."""


@dataclass(frozen=True)
class Note:
    """One thing to know of a search, and where the plan is mended.

    Attributes
    ----------
    kind : str
        What it is about.
    says : Message
        The note in a sentence, in the words of the window.
    step, field : str
        Where the plan is mended.
    """

    kind: NoteKind
    says: Message
    step: str
    field: str

    @property
    def at_the_prompt(self) -> Message:
        """The note with the names of options in place of fields."""
        if self.kind == "pull_up":
            return self.says
        return Message(f"cli.{self.says.key}", self.says.values)


@dataclass(frozen=True, eq=False)
class Search:
    """What was asked, and what came of it.

    Attributes
    ----------
    plan, label, way, wishes
        What was asked.
    excluded : sequence of Excluded
        What was left out.
    rows : sequence of Row
        What was found, in any order.
    """

    plan: Plan
    label: str
    way: Way
    wishes: FindWishes
    excluded: Sequence[Excluded]
    rows: Sequence[Row]


def notes(search: Search, watch: Watch | None = None) -> tuple[Note, ...]:
    """Return what stands in the way of a search, the most hindering first.

    Parameters
    ----------
    search : Search
        What was asked, and what came of it.
    watch : Watch, optional
        How the caller stops it.

    Notes
    -----
    Some tens of milliseconds for each gauge that is left out for its supply: not for the thread
    of a window.
    """
    said = [*_missing(search), *_short(search), *_supply(search, watch), *_pull_up(search)]
    return tuple(said)


def _missing(search: Search) -> Iterator[Note]:
    """Give what the duty lacks, so that nothing can be judged."""
    why = next((out.why for out in search.excluded if out.why.key in _REFUSALS), None)
    if why is None:
        return
    kind = _REFUSALS[why.key]
    examples = EXAMPLE if kind == "allowed" else EXAMPLE_MARK
    values = {**dict(why.values), "such": examples[search.plan.duty.quantity]}
    field = "allowed" if kind == "allowed" else "marks"
    yield Note(kind, message(f"find.note.{kind}", **values), "duty", field)


def _short(search: Search) -> Iterator[Note]:
    """Give over which range parts could be tried, where that of the plan leaves none or few."""
    short = [out for out in search.excluded if out.why.key == "find.out.range"]
    if not short or (search.rows and search.way != "gauges"):
        return
    low, high = search.plan.duty.span
    ends: dict[str, Value | Message] = {"count": len(short)}
    key = "find.note.range"
    curve = short[0].candidate.sender.curve
    if search.way == "gauges" and curve is not None and max(low, curve.low) < min(high, curve.high):
        key = "find.note.range_sender"
        kind = search.plan.duty.kind
        ends |= {
            "low": SiValue(max(low, curve.low), kind),
            "high": SiValue(min(high, curve.high), kind),
        }
    yield Note("range", message(key, **ends), "duty", "high")


def _supply(search: Search, watch: Watch | None) -> Iterator[Note]:
    """Give the gauges that would fit but for the supply of the plan."""
    plan, label, wishes = search.plan, search.label, search.wishes
    if search.way != "gauges" or not any(out.kind == "supply" for out in search.excluded):
        return
    fitting = fitting_elsewhere(search, watch)
    asked = any(each.name == "supply" for each in wishes.filters)
    if not fitting and not (asked and not search.rows):
        return
    supply = plan.pairing(label).installation.supply
    values: dict[str, Value | Message] = {
        "volts": SiValue(supply.nominal.si(Kind.VOLTAGE), Kind.VOLTAGE),
        "assumed": message("find.note.assumed" if _assumed(plan, label) else "find.note.said"),
    }
    key = "find.note.supply"
    if fitting:
        key = "find.note.supply_fits"
        values["gauges"] = ", ".join(
            f"{row.key} ({', '.join(row.candidate.gauge.system)})" for row in fitting[:_NAMED]
        )
        values["other"] = str(usual_supply(fitting[0].candidate.gauge).nominal)
    yield Note("supply", message(key, **values), "wiring", "supply")


def _assumed(plan: Plan, label: str) -> bool:
    """Return whether the supply may be the usual one, which nobody said."""
    pairing = plan.pairing(label)
    supply = pairing.installation.supply
    return supply == usual_supply(pairing.gauge)


def fitting_elsewhere(search: Search, watch: Watch | None = None) -> list[Row]:
    """Return gauges left out for the supply that would be good enough on their own.

    Parameters
    ----------
    search : Search
        What was asked, and what was left out; the first few of them are tried.
    watch : Watch, optional
        How the caller stops it.

    Returns
    -------
    list of Row
        Those whose best trim keeps within what is allowed at the usual supply of their system,
        best first.
    """
    plan, label, wishes = search.plan, search.label, search.wishes
    others = [out.candidate for out in search.excluded if out.kind == "supply"]
    quiet = None if watch is None else Watch(cancelled=watch.cancelled)
    pairing, ranking = plan.pairing(label), Ranking()
    kept = replace(wishes, filters=tuple(each for each in wishes.filters if each.name != "supply"))
    for one in others[:_TRIED]:
        supply = usual_supply(one.gauge)
        there = replace(pairing, installation=replace(pairing.installation, supply=supply))
        other = replace(plan, pairings=(there,))
        for arrived in find(other, label, "gauges", (one,), kept, quiet):
            ranking.take(arrived)
    return [row for row in ranking.rows if row.best.worst <= 1.0]


def _pull_up(search: Search) -> Iterator[Note]:
    """Give that a pull-up was asked for and could not be looked at."""
    if not search.wishes.trim.pull_up or not search.rows:
        return
    installation = search.plan.pairing(search.label).installation
    gauges = {id(row.candidate.gauge): row.candidate.gauge for row in search.rows}
    without = 0
    for gauge in gauges.values():
        node = signal_node(gauge, float(supplies_of(gauge, installation).volts[0]))
        without += isinstance(node, Message) or not node.pull_up
    if without:
        why = message("power.measure_source")
        key = "find.note.pull_up" if len(gauges) == 1 else "find.note.pull_up_some"
        says = message(key, count=without, total=len(gauges), why=why)
        yield Note("pull_up", says, "gauge", "source")
