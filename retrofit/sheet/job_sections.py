"""Sections of a sheet about the job: what has to be read, with which parts, and where from."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.message import message
from catalog.parts.gauge import (
    CoilMovement,
    ElectronicMovement,
    Gauge,
    HeaterMovement,
    LoopInput,
    RatioMovement,
)
from catalog.parts.laws import (
    BetaLaw,
    PlatinumLaw,
    SteinhartHartLaw,
    SwitchLaw,
    TableLaw,
    TransmitterLaw,
    signal_kind,
)
from catalog.parts.sender import Sender
from catalog.quantities.kinds import Kind, difference
from retrofit.drawing.diagram_gauge import movement_words
from retrofit.plan.assess import Assessment
from retrofit.plan.document import Duty, Origin, Plan
from retrofit.plan.fit_said import returns_of
from retrofit.plan.stages import supply_range
from retrofit.sheet.blocks import Block, Facts, Grid, Prose, Section, Side
from retrofit.sheet.wording import Wording

Row = tuple[str, str]


def duty_section(found: Assessment, words: Wording) -> Section:
    """Return what has to be read, on which supply, and what the user wrote of it."""
    plan, duty = found.plan, found.plan.duty
    kind = duty.kind
    rows: list[Row] = [
        (words.say("duty.reads"), _reads(duty, words)),
        (words.say("duty.range"), _between(words, *(words.value(x, kind) for x in duty.span))),
        (words.say("duty.allowed"), _allowed(duty, words)),
        (words.say("duty.supply"), _supply(found, words)),
        (words.say("duty.controller"), words.say(f"duty.controller.{duty.controller_shares}")),
    ]
    if duty.capacity is not None:
        rows.append((words.say("duty.capacity"), words.amount(duty.capacity, Kind.VOLUME)))
    rows.append((words.say("duty.mends"), words.say(f"duty.mends.{plan.mends}")))
    rows += list(_tests(plan, words))
    blocks: list[Block] = [Facts(tuple(rows))]
    blocks += [Prose(one) for one in plan.notes.splitlines() if one.strip()]
    return Section("duty", words.say("title.duty"), tuple(blocks), whole=True)


def _reads(duty: Duty, words: Wording) -> str:
    quantity = words.text(message(f"quantity.{duty.quantity}"))
    return f"{quantity}, {words.say(f'medium.{duty.medium}')}"


def _between(words: Wording, low: str, high: str) -> str:
    return words.say("between", low=low, high=high)


def _allowed(duty: Duty, words: Wording) -> str:
    allowed = duty.allowed_at(None)
    if allowed is None:
        return words.unknown
    told = words.value(allowed, difference(duty.kind))
    return f"± {words.say('of.full', share=told) if duty.kind is Kind.LEVEL else told}"


def _supply(found: Assessment, words: Wording) -> str:
    supply = found.pairing.installation.supply
    nominal = words.amount(supply.nominal, Kind.VOLTAGE)
    between = supply_range(supply)
    if between is None:
        return words.say("supply.unknown", nominal=nominal)
    typed = supply.low, supply.high
    low, high = (
        words.value(volts, Kind.VOLTAGE) if end is None else words.amount(end, Kind.VOLTAGE)
        for volts, end in zip(between, typed, strict=True)
    )
    return words.say("supply.known", nominal=nominal, low=low, high=high)


def _tests(plan: Plan, words: Wording) -> Iterator[Row]:
    for test in plan.tests:
        name = words.say(f"test.{test.kind}")
        if test.done:
            yield name, f"{test.done_on}: {test.reading}"
        else:
            yield name, words.say("test.left_out", reason=test.overridden)


# --- parts --------------------------------------------------------------------------------------


def parts_section(found: Assessment, words: Wording) -> Section:
    """Return the parts with their characteristics and where each number comes from."""
    pairing = found.pairing
    blocks: list[Block] = [
        Facts(
            tuple(_gauge(pairing.gauge, pairing.gauge_origin, words.say("part.gauge"), words)),
            headed=True,
        ),
        *_dial(pairing.gauge, words),
    ]
    second = pairing.installation.second
    if second is not None:
        name = words.say("part.second")
        blocks.append(Facts(tuple(_gauge(second.gauge, None, name, words)), headed=True))
        blocks += _dial(second.gauge, words)
    blocks.append(Facts(tuple(_sender(pairing.sender, pairing.sender_origin, words)), headed=True))
    blocks += _sender_points(pairing.sender, words)
    return Section("parts", words.say("title.parts"), tuple(blocks))


def _origin(origin: Origin | None, words: Wording) -> str:
    if origin is None:
        return words.say("part.own")
    return words.say("part.origin", name=origin.key, revision=origin.revision)


def _gauge(gauge: Gauge, origin: Origin | None, title: str, words: Wording) -> Iterator[Row]:
    kind = gauge.quantity_kind
    yield title, words.name(gauge.name)
    ends = (words.amount(end, kind) for end in (gauge.low, gauge.high))
    scale = _between(words, *ends)
    yield words.say("part.movement"), words.text(message(movement_words(gauge.movement)))
    yield words.say("part.scale"), scale
    yield from _movement(gauge, words)
    if gauge.system:
        yield words.say("part.system"), ", ".join(gauge.system)
    yield words.say("part.dial_error"), words.figure(gauge.dial_error, Kind.FRACTION, "scale")
    if gauge.scaled_for is not None:
        yield words.say("part.scaled_for"), words.name(gauge.scaled_for.name)
    yield words.say("part.from"), f"{_origin(origin, words)}; {words.basis(gauge.basis)}"
    if gauge.notes:
        yield words.say("part.notes"), gauge.notes


def _movement(gauge: Gauge, words: Wording) -> Iterator[Row]:
    movement, ohm = gauge.movement, Kind.RESISTANCE
    if isinstance(movement, RatioMovement):
        yield words.say("part.supply_coil"), words.figure(movement.supply_coil, ohm)
        yield words.say("part.earth_coil"), words.figure(movement.earth_coil, ohm)
        yield words.say("part.pull_off"), words.figure(movement.pull_off, Kind.FRACTION, "scale")
    elif isinstance(movement, HeaterMovement):
        yield words.say("part.heater"), words.figure(movement.heater, ohm)
        yield words.say("part.feed"), words.figure(movement.feed, Kind.VOLTAGE)
    elif isinstance(movement, CoilMovement):
        yield words.say("part.coil"), words.figure(movement.coil, ohm)
        yield words.say("part.feed"), words.figure(movement.feed, Kind.VOLTAGE)
    elif isinstance(movement, ElectronicMovement):
        yield words.say("part.pull_up"), words.figure(movement.pull_up, ohm)
        yield words.say("part.reference"), words.figure(movement.reference, Kind.VOLTAGE)
    elif isinstance(movement, LoopInput):
        yield words.say("part.burden"), words.figure(movement.burden, ohm)


def _dial(gauge: Gauge, words: Wording) -> list[Block]:
    kind = gauge.quantity_kind
    points = [
        (
            words.reading(mark.at, kind),
            words.signal(mark.needs, gauge.signal, mark.basis or gauge.basis),
        )
        for mark in gauge.marks
    ]
    law = None if gauge.scaled_for is None else gauge.scaled_for.law
    if not points and isinstance(law, TableLaw):
        points = _table(law, kind, words)
    return _points(
        words.say("part.dial_points"), points, (words.say("part.at_mark"), words.say("part.needs"))
    )


def _sender(sender: Sender, origin: Origin | None, words: Wording) -> Iterator[Row]:
    law = sender.law
    yield words.say("part.sender"), words.name(sender.name)
    yield words.say("part.law"), words.say(f"law.{type(law).__name__}")
    yield from _law(sender, words)
    if not isinstance(law, PlatinumLaw | BetaLaw):
        yield words.say("part.tolerance"), _tolerance(sender, words)
    yield words.say("part.return"), words.say(f"return.{returns_of(sender)}")
    if sender.stations == 2:
        yield words.say("part.stations"), words.say("part.dual")
    basis = getattr(law, "basis", None)
    told = _origin(origin, words)
    yield words.say("part.from"), told if basis is None else f"{told}; {words.basis(basis)}"
    if sender.notes:
        yield words.say("part.notes"), sender.notes


def _tolerance(sender: Sender, words: Wording) -> str:
    return words.tolerance(getattr(sender.law, "tolerance", None), "output")


def _law(sender: Sender, words: Wording) -> Iterator[Row]:
    law = sender.law
    if isinstance(law, TableLaw):
        yield words.say("part.shape"), words.say(f"shape.{law.shape}")
    elif isinstance(law, BetaLaw):
        yield words.say("part.resistance"), words.figure(law.resistance, Kind.RESISTANCE)
        yield words.say("part.reference_at"), words.figure(law.reference, Kind.TEMPERATURE)
        yield words.say("part.beta"), words.figure(law.beta, Kind.THERMISTOR_BETA)
        yield words.say("part.tolerance"), words.tolerance(law.tolerance, "output")
    elif isinstance(law, SteinhartHartLaw):
        yield words.say("part.abc"), f"{law.a:.8g}, {law.b:.8g}, {law.c:.8g} 1/K"
    elif isinstance(law, PlatinumLaw):
        yield words.say("part.at_zero"), words.figure(law.resistance, Kind.RESISTANCE)
        yield words.say("part.tolerance"), words.tolerance(law.tolerance, "output")
    elif isinstance(law, SwitchLaw):
        kind = sender.quantity_kind
        yield words.say("part.operates"), words.amount(law.operates, kind)
        yield words.say("part.resets"), words.amount(law.resets, kind)
    elif isinstance(law, TransmitterLaw):
        yield words.say("part.follows"), words.say(f"follows.{law.follows_supply}")
        yield words.say("part.own_supply"), words.figure(law.supply, Kind.VOLTAGE)


def _sender_points(sender: Sender, words: Wording) -> list[Block]:
    law, kind = sender.law, sender.quantity_kind
    points: list[Row] = []
    if isinstance(law, TableLaw):
        points = _table(law, kind, words)
    elif isinstance(law, TransmitterLaw):
        points = [
            (words.reading(one.at, kind), words.amount(one.gives, signal_kind(one)))
            for one in (law.low, law.high)
        ]
    return _points(
        words.say("part.sender_points"),
        points,
        (words.say("part.at_value"), words.say("part.gives")),
    )


def _table(law: TableLaw, kind: Kind, words: Wording) -> list[Row]:
    return [
        (
            words.reading(one.at, kind),
            words.signal(one.gives, signal_kind(one), one.basis or law.basis),
        )
        for one in law.points
    ]


_WIDE, _LETTER, _BETWEEN = 168.0, 1.75, 2.6
"""Room for the points of a line, width of a letter, and what lies between two columns [mm]."""


def _points(caption: str, points: list[Row], names: Row) -> list[Block]:
    """Return a table of points that runs across the sheet, in several if there are many."""
    grids: list[Block] = []
    longest = max((len(one) for point in points for one in point), default=0)
    most = max(1, int(_WIDE / (_LETTER * longest + _BETWEEN)))
    lines = -(-len(points) // most)
    across = -(-len(points) // max(lines, 1))
    for first in range(0, len(points), max(across, 1)):
        some = points[first : first + across]
        heads = (names[0], *(value for value, _ in some))
        row = (names[1], *(gives for _, gives in some))
        numbers: list[Side] = ["right"] * len(some)
        grids.append(
            Grid(caption, heads, (row,), ("left", *numbers), shares=(0, *(1 for _ in some)))
        )
    return grids
