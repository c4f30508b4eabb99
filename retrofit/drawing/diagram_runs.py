"""What is written at a wire of a wiring diagram: its name, and what the user gave of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from catalog.quantities.kinds import Kind
from catalog.quantities.show import show_amount
from retrofit.drawing.diagram_draft import Draft, Words
from retrofit.drawing.schematic import State
from retrofit.installation import Installation, Path, Run
from retrofit.installation.path_ohms import path_ohms


@dataclass(frozen=True)
class Advice:
    """What is proposed where the user gave nothing.

    Attributes
    ----------
    sizes : mapping
        Wire sizes by run.
    fuse : str
        The fuse of the feed.
    """

    sizes: Mapping[Run, str] = field(default_factory=dict)
    fuse: str = ""


def run_state(installation: Installation, run: Run) -> State:
    """Return whether a run counts in the network: one of no known ohms is a plain joint."""
    return "counted" if path_ohms(installation.path(run), run).ohm > 0.0 else "joint"


def run_lines(draft: Draft, path: Path, run: Run, advice: Advice, room: float) -> list[Words]:
    """Return what is written at a run: name, size and length, colour, measured ohms.

    Where the user gave no size the proposed one is written, said to be proposed.
    """
    lines = [Words(draft.words(f"run.{run}"), bold=True)]
    style = draft.look.renderer.style
    if path.wire is not None:
        length = show_amount(path.wire.length, style, Kind.LENGTH)
        told = [path.wire.size, length]
        colour = path.wire.colour.strip()
        joined = ", ".join([*told, colour] if colour else told)
        if draft.fits(joined, room):
            lines.append(Words(joined))
        else:
            lines.append(Words(", ".join(told)))
            lines += [Words(colour)] if colour else []
    elif run in advice.sizes:
        lines.append(Words(draft.words("proposed", size=advice.sizes[run]), muted=True))
    else:
        lines.append(Words(draft.words("no_size"), muted=True))
    return [*lines, *_ohms(draft, path)]


def _ohms(draft: Draft, path: Path) -> list[Words]:
    style = draft.look.renderer.style
    if path.measured is not None:
        ohm = show_amount(path.measured.amount, style, Kind.RESISTANCE)
        return [Words(draft.words("measured", ohm=ohm))]
    if path.contacts is not None:
        ohm = show_amount(path.contacts.amount, style, Kind.RESISTANCE)
        return [Words(draft.words("joints", ohm=ohm))]
    return []
