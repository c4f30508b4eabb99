"""Which candidates can be tried before one gauge, and why the others can't.

What decides is told of the part alone: its quantity, signal, direction, range. Nothing is
judged here by how large its error is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from catalog.arrays import Array
from catalog.curves.characteristic import Characteristic
from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge
from catalog.parts.laws import ActiveLaw, Point, PulsedLaw, SwitchLaw, TableLaw, UnknownLaw
from catalog.parts.sender import Sender
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.finder.filters import PartFilter
from retrofit.finder.rows import Candidate, Excluded, ReasonKind, Way
from retrofit.finder.sender_ohms import known_ohms
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.pull_off import of_system
from retrofit.plan.trim_question import Beyond, question_of
from retrofit.trim.question import Question

Reason = tuple[ReasonKind, Message]

_NO_CURVE: dict[type, str] = {
    SwitchLaw: "check.signal.switch",
    PulsedLaw: "check.signal.pulsed",
    ActiveLaw: "check.signal.active",
    UnknownLaw: "check.signal.unknown_why",
}


@dataclass(frozen=True, eq=False)
class Tried:
    """Candidates that can be tried with resistors.

    Attributes
    ----------
    candidates : tuple of Candidate
        C of them, one or more, all with one gauge.
    question : Question
        What is asked of each; its own sender does not matter.
    ohms : array, shape (C, N)
        What their senders give at its points [Ω].
    """

    candidates: tuple[Candidate, ...]
    question: Question
    ohms: Array


@dataclass(frozen=True, eq=False)
class Screened:
    """The candidates of one gauge, told apart.

    Attributes
    ----------
    tried : Tried or None
        Those that can be tried with resistors; None where none can.
    bare : tuple of Candidate
        Those that can be tried only as they are, without resistors.
    excluded : tuple of Excluded
        The others.
    """

    tried: Tried | None
    bare: tuple[Candidate, ...]
    excluded: tuple[Excluded, ...]


class Wanted(NamedTuple):
    """What is looked for, of which pairing, and what else a part has to keep."""

    pairing: Pairing
    duty: Duty
    way: Way
    beyond: Beyond | None
    filters: tuple[PartFilter, ...]


def screened(wanted: Wanted, gauge: Gauge, group: Sequence[Candidate]) -> Screened:
    """Tell the candidates of one gauge apart.

    Parameters
    ----------
    wanted : Wanted
        What is looked for.
    gauge : Gauge
        The gauge that they share.
    group : sequence of Candidate
        The candidates.
    """
    out: list[Excluded] = []
    left = list[Candidate]()
    of_gauge = _gauge_reason(wanted, gauge)
    for one in group:
        reason = of_gauge or _part_reason(wanted, one)
        if reason is None:
            left.append(one)
        else:
            out.append(Excluded(one, *reason))
    if not left:
        return Screened(None, (), tuple(out))
    asked = _asked(wanted, gauge)
    if isinstance(asked, Message):
        if asked.key in ("movement.trim_on_signal", "trims.second_gauge"):
            return Screened(None, tuple(left), tuple(out))
        out += [Excluded(one, "unjudged", asked) for one in left]
        return Screened(None, (), tuple(out))
    return _covering(wanted, asked, left, out)


def _asked(wanted: Wanted, gauge: Gauge) -> Question | Message:
    """Return what is asked of any sender before a gauge."""
    duty = wanted.duty
    law = TableLaw(
        (Point(duty.low, Amount(100.0, "Ω")), Point(duty.high, Amount(10.0, "Ω"))), "straight"
    )
    stand_in = Sender("stand-in", "stand-in", duty.quantity, law)
    pairing = replace(wanted.pairing, gauge=gauge, sender=stand_in, trim=())
    return question_of(pairing, duty, wanted.beyond)


def _covering(
    wanted: Wanted, asked: Question, left: list[Candidate], out: list[Excluded]
) -> Screened:
    """Return the candidates that run the right way and are known at every point."""
    curves = [_curve(one) for one in left]
    right = np.array([curve.rising == asked.dial.rising for curve in curves], dtype=np.bool_)
    ohms = np.full((len(left), len(asked.x)), np.nan)
    there = np.flatnonzero(right)
    ohms[there] = known_ohms([curves[n] for n in there], asked.dial, asked.x)
    covered = np.all(np.isfinite(ohms) & (ohms >= 0.0), axis=1)
    backwards = message("find.out.direction")
    out += [Excluded(left[n], "direction", backwards) for n in np.flatnonzero(~right)]
    out += [
        Excluded(left[n], "range", _range_reason(wanted, curves[n]))
        for n in np.flatnonzero(right & ~covered)
    ]
    keep: NDArray[np.intp] = np.flatnonzero(right & covered)
    tried = Tried(tuple(left[n] for n in keep), asked, ohms[keep]) if keep.size else None
    return Screened(tried, (), tuple(out))


def _curve(one: Candidate) -> Characteristic:
    assert one.sender.curve is not None
    return one.sender.curve


def _range_reason(wanted: Wanted, curve: Characteristic) -> Message:
    kind = wanted.duty.kind
    low, high = wanted.duty.span
    return message(
        "find.out.range",
        known_low=SiValue(curve.low, kind),
        known_high=SiValue(curve.high, kind),
        low=SiValue(low, kind),
        high=SiValue(high, kind),
    )


def _gauge_reason(wanted: Wanted, gauge: Gauge) -> Reason | None:
    """Return why a gauge is out for every sender; the plan's own gauge stays."""
    if wanted.way == "senders":
        return None
    if gauge.quantity != wanted.duty.quantity:
        return "quantity", _other_quantity(wanted, gauge.quantity)
    volts = wanted.pairing.installation.supply.nominal.si(Kind.VOLTAGE)
    if gauge.system and not any(of_system(name, volts) for name in gauge.system):
        why = message(
            "find.out.supply",
            systems=", ".join(gauge.system),
            volts=SiValue(volts, Kind.VOLTAGE),
        )
        return "supply", why
    return _scale_reason(wanted, gauge)


def _scale_reason(wanted: Wanted, gauge: Gauge) -> Reason | None:
    """Return that a mark that matters is not on the scale of a gauge, where that is so."""
    kind = wanted.duty.kind
    low, high = gauge.low.si(kind), gauge.high.si(kind)
    slack = 1e-9 * (high - low)
    for mark in wanted.duty.marks:
        at = mark.at.si(kind)
        if not low - slack <= at <= high + slack:
            why = message(
                "find.out.scale",
                mark=mark.name,
                at=SiValue(at, kind),
                low=SiValue(low, kind),
                high=SiValue(high, kind),
            )
            return "scale", why
    return None


def _part_reason(wanted: Wanted, one: Candidate) -> Reason | None:
    sender = one.sender
    if sender.quantity != wanted.duty.quantity:
        return "quantity", _other_quantity(wanted, sender.quantity)
    for each in wanted.filters:
        why = each.refuses(one)
        if why is not None:
            return "filter", why
    if type(sender.law) in _NO_CURVE:
        return "curve", message(_NO_CURVE[type(sender.law)])
    if sender.signal is not one.gauge.signal:
        kinds = {
            "sender": message(f"signal.{(sender.signal or Kind.RESISTANCE).value}"),
            "gauge": message(f"signal.{one.gauge.signal.value}"),
        }
        return "signal", message("find.out.signal", **kinds)
    return None


def _other_quantity(wanted: Wanted, quantity: str) -> Message:
    return message("find.out.quantity", part_quantity=quantity, quantity=wanted.duty.quantity)
