"""Writing of revisions within an open transaction; users' edits and upgrades both do it so."""

from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from catalog.codec import Part, content_hash, encode
from catalog.parts.sender import Sender
from catalog.store.documents import Document
from catalog.store.index import fill
from catalog.store.records import Origin
from catalog.store.tables import PartRow, RevisionRow

USER_PLACES = 1_000_000
"""First place of the user's own parts of a kind: after all that the program may ship."""

GAUGE_PLACES = 1_000_000_000
"""First place of gauges: after all senders."""


def add_revision(session: Session, part: Part, origin: Origin, label: str, made_at: str) -> int:
    """Add the next revision of a part, without making it the current one; return its number."""
    newest = session.scalar(select(func.max(RevisionRow.number)).where(RevisionRow.key == part.key))
    number = (newest or 0) + 1
    row = RevisionRow(
        key=part.key,
        number=number,
        document=document_of(part),
        content_hash=content_hash(part),
        made_at=made_at,
        label=label,
        origin=origin,
    )
    session.add(row)
    session.flush()
    return number


def make_current(row: PartRow, part: Part, number: int, *, own: bool) -> None:
    """Let a part's row speak of another revision."""
    fill(row, part)
    row.revision = number
    row.own = own


def new_row(session: Session, part: Part, place: int, *, own: bool) -> PartRow:
    """Add the row of a part that was not there; its first revision is still to come."""
    row = PartRow(key=part.key, place=place)
    make_current(row, part, 1, own=own)
    session.add(row)
    session.flush()
    return row


def next_user_place(session: Session, part: Part) -> int:
    """Return the place after the last of the user's own parts of the same kind."""
    first = USER_PLACES + first_place(part)
    among = PartRow.place.between(first, first + GAUGE_PLACES - USER_PLACES - 1)
    last = session.scalar(select(func.max(PartRow.place)).where(among))
    return first if last is None else last + 1


def first_place(part: Part) -> int:
    """Return the first place of a part's kind."""
    return 0 if isinstance(part, Sender) else GAUGE_PLACES


def hash_of(session: Session, key: str, number: int | None) -> str | None:
    """Return the content hash of a revision; None where there is no such revision."""
    return session.scalar(
        select(RevisionRow.content_hash).where(RevisionRow.key == key, RevisionRow.number == number)
    )


def document_of(part: Part) -> Document:
    """Return the dict form of a part as it is stored."""
    document: Document = encode(part, Part)
    return document
