"""The shipped catalogue on its way into the store, at the first start and after an upgrade.

Shipped parts get new revisions. What the user made or edited is never touched: where the
program ships something else for such a part, it is only recorded as available. A part that is
no longer shipped is retired, not deleted.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources

from sqlalchemy import select
from sqlalchemy.orm import Session

from catalog.codec import Part, content_hash
from catalog.library import Library, load_generic
from catalog.store.documents import DOCUMENTS
from catalog.store.revisions import add_revision, first_place, hash_of, make_current, new_row
from catalog.store.tables import PartRow, ShipmentRow


@dataclass(frozen=True)
class Shipment:
    """A shipped catalogue.

    Attributes
    ----------
    fingerprint : str
        Tells one state of the catalogue from another, without decoding any part.
    load : callable
        Returns its parts.
    """

    fingerprint: str
    load: Callable[[], Library]


def generic_shipment() -> Shipment:
    """Return the catalogue that comes with this program.

    Examples
    --------
    >>> len(generic_shipment().fingerprint)
    64
    """
    digest = hashlib.sha256(f"documents {DOCUMENTS}".encode())
    folder = resources.files("catalog.generic")
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        if file.name.endswith(".json"):
            digest.update(b"\0" + file.name.encode() + b"\0" + file.read_bytes())
    return Shipment(digest.hexdigest(), load_generic)


def taken_in(session: Session, shipment: Shipment) -> bool:
    """Whether the store has taken this state of the catalogue in, now or at any time before."""
    return session.get(ShipmentRow, shipment.fingerprint) is not None


def take_in(session: Session, shipment: Shipment, now: str) -> None:
    """Bring the shipped parts of the store to the state of a shipment."""
    library = shipment.load()
    rows = {row.key: row for row in session.scalars(select(PartRow))}
    parts: tuple[Part, ...] = (*library.senders, *library.gauges)
    for number, part in enumerate(parts):
        _take_part(session, rows.get(part.key), part, first_place(part) + number, now)
    shipped = {part.key for part in parts}
    for row in rows.values():
        if row.key not in shipped and row.shipped_revision is not None:
            _withdraw(row)
    session.add(ShipmentRow(fingerprint=shipment.fingerprint, taken_at=now))
    session.flush()


def _take_part(session: Session, row: PartRow | None, part: Part, place: int, now: str) -> None:
    if row is None:
        row = new_row(session, part, place, own=False)
    elif hash_of(session, part.key, row.shipped_revision) == content_hash(part):
        if not row.own:
            row.place = place
        return
    number = add_revision(session, part, "shipped", "", now)
    row.shipped_revision = number
    if not row.own:
        row.place = place
        make_current(row, part, number, own=False)
        if row.retired_by == "shipped":
            row.retired_by = None


def _withdraw(row: PartRow) -> None:
    """Note that a part is no longer shipped; plans that know it still find it."""
    row.shipped_revision = None
    if not row.own and row.retired_by is None:
        row.retired_by = "shipped"
