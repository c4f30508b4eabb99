"""What the store hands out beside parts: frozen records, free of the database."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from catalog.codec import Part
from catalog.library import PartKind
from catalog.parts.fields import QuantityName

Origin = Literal["shipped", "user"]


@dataclass(frozen=True)
class PartRecord:
    """One part as a list shows it, without its document.

    Attributes
    ----------
    key, kind, name, quantity : str
        As in the part; `kind` is "sender" or "gauge".
    revision : int
        Current revision; an edit that is saved names the one that it began with.
    content_hash : str
        Hash of the current content, as plans keep it.
    own : bool
        Whether the content is the user's and not what the program ships.
    retired : bool
        Whether it is kept for old plans only.
    available : int or None
        Revision that holds what the program ships now, where that came after the user's edit
        (or the user's own part has the key of a part that came later).
    ohms_low, ohms_high : float or None
        Resistance at the low and the high end [Ω]; None for other signals and where unknown.
    rising : bool or None
        Whether the signal rises with the value; None where unknown.
    stations : int or None
        Gauges that a sender is made to feed; None for a gauge.
    signal : str or None
        ``Kind.value`` of what a sender gives or a gauge wants; None where there is no curve.
    movement : str or None
        What turns a gauge's pointer, by its name in files; None for a sender.
    """

    key: str
    kind: PartKind
    name: str
    quantity: QuantityName
    revision: int
    content_hash: str
    own: bool
    retired: bool
    available: int | None
    ohms_low: float | None
    ohms_high: float | None
    rising: bool | None
    stations: int | None
    signal: str | None
    movement: str | None


@dataclass(frozen=True)
class RevisionRecord:
    """One revision in the history of a part.

    Attributes
    ----------
    key, number : str, int
        Which part and which revision.
    content_hash : str
        Hash of its content.
    made_at : str
        When, in UTC, ISO 8601.
    label : str
        Who or why, as it was saved; empty for shipped ones.
    origin : str
        "shipped" or "user".
    current : bool
        Whether it is the one in use.
    """

    key: str
    number: int
    content_hash: str
    made_at: str
    label: str
    origin: Origin
    current: bool


@dataclass(frozen=True)
class Found:
    """What a search found.

    Attributes
    ----------
    records : tuple of PartRecord
        Senders first; within a kind the shipped ones in their order, then the user's own.
    more : bool
        Whether there are more than were asked for.
    """

    records: tuple[PartRecord, ...]
    more: bool


@dataclass(frozen=True)
class Change:
    """A part to be saved together with others.

    Attributes
    ----------
    part : Sender or Gauge
        The part as it should be.
    revision : int or None
        Revision that the change began with; None for a new part.
    """

    part: Part
    revision: int | None = None


class NamedPart(NamedTuple):
    """The least that a list needs of a part, for a search at each key press.

    Attributes
    ----------
    key, name : str
        As in the part.
    revision : int
        Current revision.
    own : bool
        Whether the content is the user's and not what the program ships.
    """

    key: str
    name: str
    revision: int
    own: bool
