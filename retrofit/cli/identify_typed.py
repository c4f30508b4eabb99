"""What is typed behind ``retrofit identify``: readings of a sender, places of a needle."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from functools import partial
from pathlib import Path

from catalog.errors import UserError, user_error
from catalog.json_file import read_text
from catalog.message import Message, message
from catalog.parts.fields import QUANTITY_KIND, SIGNAL_KINDS, QuantityName
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference, unit_named
from catalog.quantities.numerals import shown
from catalog.quantities.parse import parse
from catalog.tables import Wanted, read_table
from retrofit.cli.typed import Typed, gathered
from retrofit.finder.seen import (
    CHEAP_METER,
    DigitalMeter,
    GaugeSeen,
    SeenNeedle,
    SeenPoint,
    SenderSeen,
)

_ENDS = {"low": -math.inf, "high": math.inf}
_OF_GAUGES = ("open", "scale", "supply_signal", "signal_earth")
_OF_SENDERS = ("table", "rest", "ambient", "direction", "tolerance")


def seen_sender(options: argparse.Namespace, typed: Typed) -> SenderSeen:
    """Return what was typed of a sender.

    Raises
    ------
    UserError
        With every problem, each with the option it stands behind.
    """
    _refuse(options, _OF_GAUGES, "sender")
    quantity: QuantityName | None = options.quantity
    if (options.point or options.table) and quantity is None:
        raise user_error("identify.no_quantity")
    points = gathered(
        [partial(_sender_point, text, quantity or "level", typed) for text in options.point]
    )
    points += _from_table(options.table, quantity or "level", typed)
    signals = {signal for _, signal in points}
    if len(signals) > 1:
        raise user_error("cli.identify.volts", text=", ".join(shown(one) for one in options.point))
    rest = typed.amount("--rest", options.rest, Kind.RESISTANCE)
    ambient = typed.amount("--ambient", options.ambient, Kind.TEMPERATURE)
    return SenderSeen(
        quantity,
        tuple(point for point, _ in points),
        None if rest is None else rest.si(Kind.RESISTANCE),
        20.0 if ambient is None else ambient.si(Kind.TEMPERATURE),
        rising=None if options.direction is None else options.direction == "rising",
        signal=signals.pop() if signals else Kind.RESISTANCE,
        meter=_meter(options, typed),
    )


def seen_gauge(options: argparse.Namespace, typed: Typed) -> GaugeSeen:
    """Return what was typed of a gauge.

    Raises
    ------
    UserError
        With every problem, each with the option it stands behind.
    """
    _refuse(options, _OF_SENDERS, "gauge")
    quantity: QuantityName | None = options.quantity
    readers: list[Callable[[], SeenNeedle]] = []
    if options.open is not None:
        readers.append(partial(_open_lead, options.open, quantity, typed))
    readers += [partial(_needle, text, quantity, typed) for text in options.point]
    return GaugeSeen(
        quantity,
        tuple(gathered(readers)),
        _scale(options.scale, quantity, typed),
        _terminal("--supply-signal", options.supply_signal, typed),
        _terminal("--signal-earth", options.signal_earth, typed),
        meter=_meter(options, typed),
    )


def _refuse(options: argparse.Namespace, names: tuple[str, ...], part: str) -> None:
    problems = [
        message("cli.identify.only", option=f"--{name.replace('_', '-')}", part=part)
        for name in names
        if getattr(options, name) is not None
    ]
    if problems:
        raise UserError(problems)


def _meter(options: argparse.Namespace, typed: Typed) -> DigitalMeter:
    share = typed.amount("--meter-error", options.meter_error, Kind.FRACTION)
    return DigitalMeter(
        CHEAP_METER.share if share is None else share.si(Kind.FRACTION),
        CHEAP_METER.digits if options.meter_digits is None else float(options.meter_digits),
        CHEAP_METER.counts if options.meter_counts is None else options.meter_counts,
    )


def _behind(option: str, text: str, problem: UserError) -> UserError:
    where = f'{option} "{shown(text)}"'
    return UserError([message("cli.option", option=where, problem=one) for one in problem.messages])


def _sides(text: str, form: str) -> tuple[str, str]:
    left, sign, right = text.partition("=")
    if not sign or not left.strip() or not right.strip():
        raise user_error("cli.identify.no_equals", text=shown(text), form=form)
    return left.strip(), right.strip()


# --- senders ------------------------------------------------------------------------------------


def _sender_point(text: str, quantity: QuantityName, typed: Typed) -> tuple[SeenPoint, Kind]:
    """Return ``VALUE=READING`` or ``VALUE=READING:within=ERROR``, and what was read."""
    kind = QUANTITY_KIND[quantity]
    try:
        left, right = _sides(text, "VALUE=OHMS")
        reading, _, detail = right.partition(":")
        within = None
        if detail:
            name, _, error = detail.partition("=")
            if name.strip() != "within":
                raise user_error("cli.new.no_such_detail", text=shown(detail), known="within")
            within = parse(error, difference(kind), decimal=typed.decimal).si(difference(kind))
        gives, signal = _reading(reading, typed)
        at = parse(left, kind, decimal=typed.decimal).si(kind)
        return SeenPoint(at, gives.si(signal), within), signal
    except UserError as problem:
        raise _behind("--point", text, problem) from None


def _reading(text: str, typed: Typed) -> tuple[Amount, Kind]:
    """Return a reading in ohms, volts or amperes; a bare number is ohms."""
    first: UserError | None = None
    for signal in SIGNAL_KINDS:
        try:
            amount = parse(text, signal, decimal=typed.decimal)
        except UserError as problem:
            first = first or problem
            continue
        if unit_named(signal, amount.unit) is not None:
            return amount, signal
    assert first is not None
    raise first


def _from_table(
    path: str | None, quantity: QuantityName, typed: Typed
) -> list[tuple[SeenPoint, Kind]]:
    if path is None:
        return []
    wanted = Wanted(quantity, decimal=typed.decimal, curve=False)
    table = read_table(read_text(Path(path)), wanted, path)
    if table.problems:
        raise UserError(table.problems)
    kind, found = QUANTITY_KIND[quantity], []
    for point in table.points:
        signal = next(one for one in SIGNAL_KINDS if unit_named(one, point.gives.unit))
        found.append((SeenPoint(point.at.si(kind), point.gives.si(signal)), signal))
    return found


# --- gauges -------------------------------------------------------------------------------------


def _open_lead(text: str, quantity: QuantityName | None, typed: Typed) -> SeenNeedle:
    try:
        shown_at, of_scale = _place(text, quantity, typed)
    except UserError as problem:
        raise _behind("--open", text, problem) from None
    return SeenNeedle(math.inf, shown_at, of_scale)


def _needle(text: str, quantity: QuantityName | None, typed: Typed) -> SeenNeedle:
    """Return ``OHMS=SHOWN``."""
    try:
        left, right = _sides(text, "OHMS=SHOWN")
        ohm = parse(left, Kind.RESISTANCE, decimal=typed.decimal).si(Kind.RESISTANCE)
        return SeenNeedle(ohm, *_place(right, quantity, typed))
    except UserError as problem:
        raise _behind("--point", text, problem) from None


def _place(text: str, quantity: QuantityName | None, typed: Typed) -> tuple[float, bool]:
    """Return where a needle stands, and whether that is a share of the scale."""
    if text.strip().casefold() in _ENDS:
        return _ENDS[text.strip().casefold()], True
    if text.rstrip().endswith("%") or "/" in text:
        return parse(text, Kind.LEVEL, decimal=typed.decimal).si(Kind.LEVEL), True
    if quantity is None or quantity == "level":
        raise user_error("cli.identify.place", text=shown(text))
    kind = QUANTITY_KIND[quantity]
    return parse(text, kind, decimal=typed.decimal).si(kind), False


def _scale(
    text: str | None, quantity: QuantityName | None, typed: Typed
) -> tuple[float, float] | None:
    if text is None:
        return None
    if quantity is None:
        raise user_error("identify.no_quantity")
    low, dots, high = text.partition("..")
    kind = QUANTITY_KIND[quantity]
    try:
        if not dots:
            raise user_error("cli.identify.scale", text=shown(text))
        end = parse(high, kind, decimal=typed.decimal)
        # "0..10 bar" names the unit once.
        begin = parse(low, kind, default=end.unit, decimal=typed.decimal)
    except UserError as problem:
        raise _behind("--scale", text, problem) from None
    return begin.si(kind), end.si(kind)


def _terminal(option: str, text: str | None, typed: Typed) -> float | None:
    if text is None:
        return None
    if text.strip().casefold() == "open":
        return math.inf
    found = typed.amount(option, text, Kind.RESISTANCE)
    assert found is not None
    return found.si(Kind.RESISTANCE)


def typed_tolerance(options: argparse.Namespace, typed: Typed) -> float | None:
    """Return how far a part may be off where its class does not say [1]; None: not given."""
    found = typed.amount("--tolerance", options.tolerance, Kind.FRACTION)
    if found is None:
        return None
    share = found.si(Kind.FRACTION)
    if not 0.0 < share < 1.0:
        problem: Message = message("identify.tolerance")
        raise UserError(message("cli.option", option="--tolerance", problem=problem))
    return share
