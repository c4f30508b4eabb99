"""The wiring diagram of a pairing: supply, gauge, trims, sender, earths and what shares them."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.message import message
from catalog.quantities.kinds import Kind
from retrofit.drawing import diagram_places as place
from retrofit.drawing.diagram_draft import Draft
from retrofit.drawing.diagram_feed import (
    FEED_ROOM,
    Job,
    draw_feed,
    draw_gauge,
    draw_gauge_earth,
    draw_sharers,
)
from retrofit.drawing.diagram_gauge import has_earth
from retrofit.drawing.diagram_lead import draw_lead, draw_second, draw_sender, draw_tap
from retrofit.drawing.diagram_runs import Advice, run_lines
from retrofit.drawing.look import Drawing, Look
from retrofit.drawing.schematic import Schematic
from retrofit.drawing.svg import document
from retrofit.installation import Run
from retrofit.plan.document import Pairing
from retrofit.plan.fit_said import returns_of
from retrofit.plan.stages import stabilised_volts

_NOTHING = Advice()


@dataclass(frozen=True)
class DiagramDrawing(Drawing):
    """A wiring diagram with the places that it was drawn from.

    Attributes
    ----------
    schematic : Schematic
        Its parts, wires and flags, from which its netlist is read.
    """

    schematic: Schematic


def wiring_diagram(pairing: Pairing, look: Look, advice: Advice = _NOTHING) -> DiagramDrawing:
    """Draw how a pairing is wired.

    Parameters
    ----------
    pairing : Pairing
        Gauge, sender, trim and what they hang on.
    look : Look
        Colours, language, units.
    advice : Advice, optional
        Wire sizes and the fuse that are proposed where the user gave none.

    Returns
    -------
    DiagramDrawing
        `diagram_places.WIDE` wide, as high as it needs; what nobody gave is written as not
        given. The feed is the battery's pole that does not lie on earth.
    """
    installation = pairing.installation
    lamp = installation.lamp
    rows = len(installation.loads) + (lamp is not None and lamp.circuit == "switch in sender")
    stabilised = stabilised_volts(pairing.gauge, installation) is not None
    draft = Draft(look)
    feeds: tuple[Run, ...] = ("shared feed", "feed")
    above = max(
        len(run_lines(draft, installation.path(run), run, advice, FEED_ROOM[run])) for run in feeds
    )
    job = Job(draft, pairing, place.levels(rows, above, stabilised=stabilised), advice)
    draw_feed(job)
    draw_gauge(job)
    draw_gauge_earth(job, needed=_earth_used(pairing))
    draw_sharers(job)
    draw_lead(job)
    draw_sender(job)
    draw_second(job)
    draw_tap(job)
    bottom = _notes(job)
    title = look.say(message("drawing.wiring.title"))
    size = (place.WIDE, bottom)
    svg = document(size, title, draft.told, draft.drawn([one.place for one in pairing.trim]))
    return DiagramDrawing(svg, *size, title, draft.told, draft.schematic)


def _earth_used(pairing: Pairing) -> bool:
    """Return whether anything hangs on the gauge's way to earth, or the user told of it."""
    installation = pairing.installation
    lamp = installation.lamp
    return (
        has_earth(pairing.gauge)
        or not installation.gauge_earth.empty
        or any(one.place == "signal to earth" for one in pairing.trim)
        or any(load.returns == "gauge earth" for load in installation.loads)
        or (installation.second is not None and installation.second.earth == "gauge earth")
        or (lamp is not None and lamp.circuit == "tapped from signal")
    )


def _notes(job: Job) -> float:
    """Write what holds for the whole drawing; return its height [mm].

    In the empty corner below the lead where nothing is drawn there, else below all.
    """
    draft, said, below = job.draft, _said(job.pairing), job.at.bottom
    installation = job.pairing.installation
    lamp = installation.lamp
    taken = installation.second is not None
    taken = taken or (lamp is not None and lamp.circuit == "tapped from signal")
    left, top = (0.0, below + 3.0) if taken else (place.NOTES, job.at.lead + place.NOTES_BELOW)
    room = place.WIDE - left
    lines = [line for key in said for line in draft.wrapped(draft.words(key), room, 3, muted=True)]
    if lines:
        draft.say(lines, (left, top), room)
    foot = top - 1.5 + place.LINE * len(lines)
    return max(below, foot)


def _said(pairing: Pairing) -> list[str]:
    keys = {"unknown": ["note.unknown"], "positive": ["note.positive"], "negative": []}
    said = keys[pairing.installation.supply.earthed]
    if pairing.sender.signal in (Kind.VOLTAGE, Kind.CURRENT):
        said = [*said, "note.transmitter"]
    elif returns_of(pairing.sender) == "unknown":
        said = [*said, "note.return"]
    return [*said, "note.fuse"]


__all__ = ["Advice", "DiagramDrawing", "wiring_diagram"]
