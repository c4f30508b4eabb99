"""Small parts and shipments for the tests of the store."""

from __future__ import annotations

from catalog.codec import Part, content_hash
from catalog.errors import UserError
from catalog.library import Library
from catalog.parts.gauge import Gauge, RatioMovement, ScaledFor
from catalog.parts.laws import Point, TableLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.show import NumberStyle
from catalog.store.shipment import Shipment
from retrofit.messages import Renderer


def sender(key: str = "level-9-1", *, empty: float = 9.0, notes: str = "") -> Sender:
    rows = (Point(Amount(0, "%"), Amount(empty, "Ω")), Point(Amount(100, "%"), Amount(1, "Ω")))
    name = f"Level, {empty:g} Ω empty to 1 Ω full"
    return Sender(key, name, "level", TableLaw(rows), notes=notes)


def gauge(key: str = "gauge-level-9-1", *, notes: str = "") -> Gauge:
    drawn_for = sender()
    return Gauge(
        key,
        "Level gauge, 9 Ω empty to 1 Ω full",
        "level",
        RatioMovement(),
        Amount(0, "%"),
        Amount(100, "%"),
        scaled_for=ScaledFor(drawn_for.key, drawn_for.name, drawn_for.law),
        notes=notes,
    )


def shipment(*parts: Part) -> Shipment:
    library = Library(
        tuple(part for part in parts if isinstance(part, Sender)),
        tuple(part for part in parts if isinstance(part, Gauge)),
    )
    return Shipment(" ".join(map(content_hash, parts))[-64:], lambda: library)


SMALL = shipment(sender(), gauge())


def sentences(error: UserError) -> list[str]:
    renderer = Renderer(NumberStyle())
    return [renderer.sentence(problem) for problem in error.messages]
