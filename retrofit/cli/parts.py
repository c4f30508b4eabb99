"""``retrofit parts``: the catalogue as a list, or one part with all that is known of it."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import fields

import numpy as np

from catalog.codec import LAW_TAGS, MOVEMENT_TAGS, Part, basis_text
from catalog.errors import user_error
from catalog.library import Library, folded
from catalog.likeness import asked, known_points
from catalog.message import Message, message
from catalog.parts.facts import law_of, main_basis
from catalog.parts.fields import QUANTITY_KIND, SIGNAL_KINDS
from catalog.parts.gauge import Gauge
from catalog.parts.laws import (
    BetaLaw,
    PlatinumLaw,
    Point,
    SenderLaw,
    SteinhartHartLaw,
    TableLaw,
    TransmitterLaw,
)
from catalog.parts.sender import Sender
from catalog.provenance import Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import shown
from catalog.quantities.show import show_amount
from retrofit.cli.catalogue import Catalogue, read_catalogue
from retrofit.cli.layout import Side, facts, table, wrapped
from retrofit.cli.terminal import Terminal

_SIDES: tuple[Side, ...] = ("left", "left", "left")

_SAME_OHMS = 0.01
"""Share by which typed ohms may differ from those of a point: people round them (assumed)."""


def run(options: argparse.Namespace, terminal: Terminal) -> int:
    """List the parts that hold every word, or show the one whose key was given."""
    catalogue = read_catalogue(terminal)
    library = catalogue.library
    words = " ".join(options.words)
    if len(options.words) == 1:
        parts: tuple[Part, ...] = (*library.senders, *library.gauges)
        for part in parts:
            if part.key == words:
                terminal.say(_whole(part, catalogue, terminal))
                return 0
    found = _found(library, options)
    if not found:
        raise user_error("cli.parts.none", words=shown(words))
    terminal.say(_listed(found, catalogue, terminal))
    return 0


def _found(library: Library, options: argparse.Namespace) -> tuple[Part, ...]:
    """Return the parts that hold every word, a number also as ohms at a known point."""
    numbers = {word: ohms for word, ohms in asked(" ".join(options.words)) if ohms is not None}
    others = " ".join(word for word in options.words if folded(word) not in numbers)
    found = library.search(others, quantity=options.quantity, kind=options.kind)
    for word, ohms in numbers.items():
        written = {part.key for part in library.search(word)}
        found = tuple(part for part in found if part.key in written or _has(part, ohms))
    return found


def _has(part: Part, ohms: float) -> bool:
    """Return whether a part is known to give or need so many ohms somewhere."""
    return any(abs(known - ohms) <= _SAME_OHMS * ohms for _, known in known_points(part))


def _word(terminal: Terminal, key: str) -> str:
    return terminal.text(Message(key))


# --- the list -----------------------------------------------------------------------------------


def _listed(parts: Sequence[Part], catalogue: Catalogue, terminal: Terminal) -> list[str]:
    """Return key, ohms, basis of each part, and below it its name."""
    heads = [_word(terminal, f"cli.column.{name}") for name in ("key", "ends", "basis")]
    own = _word(terminal, "cli.parts.own")
    rows = [
        [
            part.key,
            _span(part, terminal),
            f"{_basis_word(part)}, {own}" if part.key in catalogue.own else _basis_word(part),
        ]
        for part in parts
    ]
    lines = table(heads, rows, _SIDES, "")
    named = []
    for line, part in zip(lines[1:], parts, strict=True):
        named += [line, *wrapped(part.name, terminal.width, "    ")]
    count = terminal.text(message("cli.parts.count", count=len(parts)))
    return [lines[0], *named, "", *wrapped(count, terminal.width)]


def _span(part: Part, terminal: Terminal) -> str:
    """Return what a part gives or wants at its two ends, short."""
    curve = part.curve if isinstance(part, Sender) else part.own_class
    signal = part.signal or Kind.RESISTANCE
    if isinstance(part, Gauge) and part.marks:
        ends = [mark.needs.si(signal) for mark in (part.marks[0], part.marks[-1])]
    elif curve is None:
        return "?"
    else:
        low, high = _ends(part, curve.low, curve.high)
        ends = [_at(part, low), _at(part, high)]
    return " … ".join(terminal.value(end, signal) for end in ends)


def _ends(part: Part, low: float, high: float) -> tuple[float, float]:
    """Return the ends of what is used: of a dial, its own scale within its class."""
    if isinstance(part, Sender):
        return low, high
    kind = QUANTITY_KIND[part.quantity]
    return max(low, part.low.si(kind)), min(high, part.high.si(kind))


def _at(part: Part, x: float) -> float:
    curve = part.curve if isinstance(part, Sender) else part.own_class
    assert curve is not None
    return float(curve.output(np.array([x]))[0])


def _basis_word(part: Part) -> str:
    return main_basis(part).kind.value


# --- one part -----------------------------------------------------------------------------------


def _whole(part: Part, catalogue: Catalogue, terminal: Terminal) -> list[str]:
    lines = wrapped(part.name, terminal.width)
    pairs = _about(part, terminal)
    if part.key in catalogue.own:
        whose = _word(terminal, "cli.parts.whose")
        yours = message("cli.parts.yours", revision=catalogue.revisions[part.key])
        pairs.append((whose, terminal.text(yours)))
    lines += facts(pairs, terminal.width)
    known = _table(part, terminal)
    if known:
        lines += ["", _word(terminal, "cli.parts.marks" if _is_dial(part) else "cli.parts.curve")]
        lines += known
    if part.notes:
        lines += ["", *wrapped(part.notes, terminal.width)]
    return lines


def _is_dial(part: Part) -> bool:
    return isinstance(part, Gauge) and bool(part.marks)


def _about(part: Part, terminal: Terminal) -> list[tuple[str, str]]:
    pairs = [
        (_word(terminal, "cli.parts.key"), part.key),
        (_word(terminal, "cli.parts.quantity"), part.quantity),
        *(_about_sender(part, terminal) if isinstance(part, Sender) else []),
        *(_about_gauge(part, terminal) if isinstance(part, Gauge) else []),
    ]
    pairs.append((_word(terminal, "cli.parts.basis"), basis_text(main_basis(part))))
    return pairs


def _about_sender(sender: Sender, terminal: Terminal) -> list[tuple[str, str]]:
    pairs = [(_word(terminal, "cli.parts.law"), LAW_TAGS[type(sender.law)])]
    if isinstance(sender.law, TableLaw):
        pairs.append((_word(terminal, "cli.parts.shape"), sender.law.shape))
    pairs += _figures(sender.law, terminal)
    pairs.append((_word(terminal, "cli.parts.tolerance"), _tolerance(sender.law, terminal)))
    pairs.append((_word(terminal, "cli.parts.stations"), str(sender.stations)))
    pairs.append((_word(terminal, "cli.parts.earth"), sender.earth_return))
    return pairs


def _about_gauge(gauge: Gauge, terminal: Terminal) -> list[tuple[str, str]]:
    style, kind = terminal.settings.number_style(), QUANTITY_KIND[gauge.quantity]
    scale = " … ".join(show_amount(end, style, kind) for end in (gauge.low, gauge.high))
    system = ", ".join(gauge.system) or terminal.text(message("value.unknown"))
    pairs = [
        (_word(terminal, "cli.parts.movement"), MOVEMENT_TAGS[type(gauge.movement)]),
        *_figures(gauge.movement, terminal),
        (_word(terminal, "cli.parts.scale"), scale),
        (_word(terminal, "cli.parts.system"), system),
    ]
    if gauge.scaled_for is not None:
        pairs.append((_word(terminal, "cli.parts.scaled_for"), gauge.scaled_for.key))
    return pairs


def _figures(holder: object, terminal: Terminal) -> list[tuple[str, str]]:
    """Return the numbers of a law or a movement by the names of its fields, unknown where so."""
    pairs = []
    assert hasattr(holder, "__dataclass_fields__")
    for field in fields(holder):  # type: ignore[arg-type]
        value = getattr(holder, field.name)
        name = field.name.replace("_", " ")
        if isinstance(value, Figure):
            pairs.append((name, _figure(value, terminal)))
        elif isinstance(value, Amount):
            pairs.append((name, show_amount(value, terminal.settings.number_style())))
        elif isinstance(value, float):
            pairs.append((name, repr(value)))
        elif value is None and field.name not in ("tolerance",):
            pairs.append((name, terminal.text(message("value.unknown"))))
    return pairs


def _figure(figure: Figure, terminal: Terminal) -> str:
    text = show_amount(figure.amount, terminal.settings.number_style())
    if figure.tolerance is not None:
        text += f" ± {_half_width(figure.tolerance, terminal)}"
    return f"{text} ({basis_text(figure.basis)})"


def _half_width(tolerance: Tolerance, terminal: Terminal) -> str:
    return show_amount(tolerance.half_width, terminal.settings.number_style())


def _tolerance(law: SenderLaw, terminal: Terminal) -> str:
    tolerance = getattr(law, "tolerance", None)
    if tolerance is None:
        return terminal.text(message("value.unknown"))
    return f"± {_half_width(tolerance, terminal)}"


def _table(part: Part, terminal: Terminal) -> list[str]:
    """Return the known points, or a formula's values, each with where it comes from."""
    style, kind = terminal.settings.number_style(), QUANTITY_KIND[part.quantity]
    if isinstance(part, Gauge) and part.marks:
        points = [Point(mark.at, mark.needs, mark.basis) for mark in part.marks]
    else:
        points = _points(law_of(part))
    heads = [_word(terminal, f"cli.column.{name}") for name in ("at", "gives", "basis")]
    rows = [
        [
            show_amount(point.at, style, kind),
            show_amount(point.gives, style),
            basis_text(point.basis or main_basis(part)),
        ]
        for point in points
    ]
    if not rows and isinstance(law_of(part), BetaLaw | SteinhartHartLaw | PlatinumLaw):
        rows = _computed(part, terminal)
    return table(heads, rows, ["right", "right", "left"]) if rows else []


def _points(law: SenderLaw | None) -> list[Point]:
    if isinstance(law, TableLaw):
        return list(law.points)
    return [law.low, law.high] if isinstance(law, TransmitterLaw) else []


def _computed(part: Part, terminal: Terminal) -> list[list[str]]:
    """Return a formula's values at seven places, said to be computed."""
    curve = part.curve if isinstance(part, Sender) else part.own_class
    assert curve is not None
    low, high = _ends(part, curve.low, curve.high)
    kind, word = QUANTITY_KIND[part.quantity], _word(terminal, "cli.parts.computed")
    places = [low + (high - low) * i / 6 for i in range(7)]
    return [
        [terminal.value(x, kind), terminal.value(_at(part, x), SIGNAL_KINDS[0]), word]
        for x in places
    ]
