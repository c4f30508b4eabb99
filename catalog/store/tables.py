"""The tables of the store: what is current of each part, and every revision it ever had.

A part's document stands once for each revision; ``parts`` holds only columns derived from the
current one, so that a search reads a narrow table. Plain SQL types throughout: the same tables
serve SQLite and PostgreSQL.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import JSON, Float, ForeignKey, Index, Integer, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

Document = dict[str, Any]


class Base(DeclarativeBase):
    """Root of the tables."""

    type_annotation_map = {Document: JSON, float: Float(53)}  # noqa: RUF012  SQLAlchemy's own name


class PartRow(Base):
    """What is current of one part.

    Attributes
    ----------
    key, kind, name, quantity : str
        As in the part; `kind` is "sender" or "gauge".
    search : str
        The folded text in which words are looked for.
    ohms_low, ohms_high : float or None
        Resistance at the two ends [Ω]; None for volts and amperes, and where unknown.
    rising, stations, signal, movement
        Derived from the part; None where it has no such thing.
    revision : int
        Number of the current revision.
    own : bool
        Whether the current revision is the user's and not the shipped one.
    shipped_revision : int or None
        Revision that holds what the program ships now; None where it ships no such part.
    edited_from : int or None
        Shipped revision that the user's edits began with.
    retired_by : str or None
        "user", or "shipped" where the program no longer ships the part; None while listed.
    place : int
        Order in lists: senders before gauges, within a kind the shipped parts as shipped and
        the user's after them. One number, so that one index gives the first of a long list.
    """

    __tablename__ = "parts"
    __table_args__ = (Index("parts_in_order", "place"),)

    key: Mapped[str] = mapped_column(String(200), primary_key=True)
    kind: Mapped[str] = mapped_column(String(20))
    name: Mapped[str] = mapped_column(Text)
    quantity: Mapped[str] = mapped_column(String(20))
    search: Mapped[str] = mapped_column(Text)
    ohms_low: Mapped[float | None]
    ohms_high: Mapped[float | None]
    rising: Mapped[bool | None]
    stations: Mapped[int | None]
    signal: Mapped[str | None] = mapped_column(String(40))
    movement: Mapped[str | None] = mapped_column(String(40))
    revision: Mapped[int]
    own: Mapped[bool]
    shipped_revision: Mapped[int | None]
    edited_from: Mapped[int | None]
    retired_by: Mapped[str | None] = mapped_column(String(20))
    place: Mapped[int]


class RevisionRow(Base):
    """One revision of a part; written once, and touched again only by a document migration.

    Attributes
    ----------
    key, number : str, int
        Which part, and which revision of it, from 1.
    document : dict
        The codec's dict form of the whole part.
    content_hash : str
        ``catalog.codec.content_hash`` of it.
    made_at : str
        When, in UTC, ISO 8601.
    label : str
        Who or why, in the user's words; empty for shipped ones.
    origin : str
        "shipped" or "user".
    """

    __tablename__ = "revisions"

    key: Mapped[str] = mapped_column(String(200), ForeignKey("parts.key"), primary_key=True)
    number: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    document: Mapped[Document]
    content_hash: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[str] = mapped_column(String(40))
    label: Mapped[str] = mapped_column(Text)
    origin: Mapped[str] = mapped_column(String(20))


class ShipmentRow(Base):
    """A state of the shipped catalogue that this store has taken in.

    All of them are kept: an older program that opens the store finds its own among them and
    does not put its parts back over the newer ones.
    """

    __tablename__ = "shipments"

    fingerprint: Mapped[str] = mapped_column(String(64), primary_key=True)
    taken_at: Mapped[str] = mapped_column(String(40))


class StampRow(Base):
    """A number that says in which form something is stored: "documents", "index"."""

    __tablename__ = "stamps"

    name: Mapped[str] = mapped_column(String(20), primary_key=True)
    number: Mapped[int]


class VersionRow(Base):
    """The table in which Alembic looks for the revision of the tables."""

    __tablename__ = "alembic_version"

    version_num: Mapped[str] = mapped_column(String(32), primary_key=True)
