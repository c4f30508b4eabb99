"""The small print of a sheet: the formula behind each number, and the inputs it rests on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

import numpy as np

from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge
from catalog.parts.laws import TableLaw
from catalog.parts.sender import Sender
from catalog.provenance import Basis
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.bands.causes import Lies
from retrofit.installation import Load
from retrofit.plan.assess import Assessment
from retrofit.plan.causes import cause_says
from retrofit.plan.stages import stabilised_volts, supply_range
from retrofit.plan.sums import sums_at
from retrofit.plan.trim_words import ohms_by_place, trim_formula
from retrofit.sheet.blocks import Bullets, Facts, Section
from retrofit.sheet.wording import Wording
from retrofit.wired import inside_of

Row = tuple[str, str]


def small_print(found: Assessment, words: Wording) -> Section:
    """Return how each kind of number on the sheet was made, and from what."""
    marks, resistors = tuple(_marks(found, words)), tuple(_trim(found, words))
    told = [words.say("sum.marks", marks="; ".join(marks))] if marks else []
    if len(found.marks) > _MOST_MARKS:
        told.append(words.say("sum.more", count=len(found.marks) - _MOST_MARKS))
    told += [words.say("sum.trims", resistors="; ".join(resistors))] if resistors else []
    told.append(" ".join(_inputs(found, words)))
    blocks = (Facts(tuple(_formulas(found, words))), Bullets(tuple(told)))
    return Section("sums", words.say("title.sums"), blocks, small=True)


def _formulas(found: Assessment, words: Wording) -> Iterator[Row]:
    pairing = found.pairing
    law = type(pairing.sender.law).__name__
    yield words.say("sum.sender"), words.say(f"sum.law.{law}")
    yield words.say("sum.seen"), _seen(found, words)
    yield words.say("sum.shown"), words.say("sum.dial")
    yield words.say("sum.error"), words.say("sum.error_is")
    yield words.say("sum.worst"), words.say("sum.worst_is")
    yield words.say("sum.likely"), words.say("sum.likely_is")
    if added := _added(found, words):
        yield words.say("sum.added"), added
    yield words.say("sum.side"), words.say("sum.side_is")
    if pairing.trim:
        yield words.say("sum.power"), words.say("sum.power_is")
    if found.lead_open is not None:
        yield words.say("sum.lead"), words.say("sum.lead_is")


def _added(found: Assessment, words: Wording) -> str:
    """Return what was added to the bands as it is, of what somebody stated."""
    if found.spread is None or found.band is None or found.reading is None:
        return ""
    left_out = {one.key for one in found.spread.unstated}
    named = []
    if np.nanmax(found.band.high - found.band.low, initial=0.0) > 0.0:
        named.append("shape")
    named += [one for one in ("friction", "needle") if f"unstated.{one}" not in left_out]
    return ", ".join(words.say(f"sum.added.{one}") for one in named)


_MOST_MARKS = 8
"""Marks whose numbers are told one by one."""


def _marks(found: Assessment, words: Wording) -> Iterator[str]:
    """Give the numbers at each mark, step by step."""
    for mark in found.marks[:_MOST_MARKS]:
        chain = {one.symbol: one for one in sums_at(found, mark.at)}
        if "s" not in chain:
            continue
        steps = {
            name: words.value(chain[symbol].result.value, chain[symbol].result.kind)
            for name, symbol in (("ohms", "R"), ("seen", "S"))
        }
        yield words.say(
            "sum.mark",
            mark=mark.mark.name,
            true=words.value(mark.at, found.plan.duty.kind),
            **steps,
        )


def _trim(found: Assessment, words: Wording) -> Iterator[str]:
    loads = found.loads
    if isinstance(loads, Message):
        return
    for resistor, load in loads.resistors:
        yield words.say(
            "sum.trim",
            place=message(f"place.{resistor.place}"),
            amps=words.value(load.amps, Kind.CURRENT),
            ohm=words.amount(resistor.value, Kind.RESISTANCE),
            watts=words.value(load.watts, Kind.POWER),
        )


def _seen(found: Assessment, words: Wording) -> str:
    pairing = found.pairing
    chain = {one.symbol: one for one in sums_at(found, found.marks[0].at)} if found.marks else {}
    if inside_of(pairing.gauge) is not None or "S" not in chain:
        formula = words.text(trim_formula(ohms_by_place(pairing.trim)))
        return words.say("sum.network", formula=formula)
    path = chain["S"]
    defined = "".join(
        words.say(
            "sum.path_with",
            symbol=one.symbol,
            what=one.name,
            value=words.value(one.value.value, one.value.kind),
        )
        for one in path.inputs
        if isinstance(one.value, SiValue) and one.symbol not in ("", "R")
    )
    return words.say("sum.path", formula=path.formula, defined=defined)


def _inputs(found: Assessment, words: Wording) -> Iterator[str]:
    """Give each input with where it comes from."""
    pairing = found.pairing
    installation = pairing.installation
    between = supply_range(installation.supply)
    nominal = words.amount(installation.supply.nominal, Kind.VOLTAGE)
    yield words.say("input.supply", nominal=nominal)
    if between is None:
        yield words.say("input.no_range")
    held = stabilised_volts(pairing.gauge, installation)
    if held is not None:
        holds = words.say(f"holds.{installation.stabiliser.holds}")
        yield words.say("input.stabiliser", volts=words.value(held, Kind.VOLTAGE), holds=holds)
    yield from _sender_inputs(pairing.sender, words)
    yield from _gauge_inputs(pairing.gauge, words)
    if installation.loads:
        told = [f"{words.name(load.name)} {_load(load, words)}" for load in installation.loads]
        yield words.say("input.loads", loads="; ".join(told))
    for lies in get_args(Lies):
        causes = [] if found.spread is None else found.spread.causes
        alike = [words.text(cause_says(one.name)) for one in causes if one.lies == lies]
        if alike:
            yield words.say("input.causes", causes=", ".join(alike), lies=words.say(f"lies.{lies}"))


def _load(load: Load, words: Wording) -> str:
    if load.watts is not None:
        return words.amount(load.watts, Kind.POWER)
    return words.figure(load.amperes, Kind.CURRENT)


def _sender_inputs(sender: Sender, words: Wording) -> Iterator[str]:
    law, kind = sender.law, sender.quantity_kind
    points = law.points if isinstance(law, TableLaw) else ()
    told = [(point.at, point.basis) for point in points if point.basis is not None]
    yield from _by_basis("input.point", told, kind, words)


def _by_basis(
    key: str, told: list[tuple[Amount, Basis]], kind: Kind, words: Wording
) -> Iterator[str]:
    """Give points with where they come from, those of one origin together."""
    for basis in dict.fromkeys(basis for _, basis in told):
        at = ", ".join(words.amount(where, kind) for where, other in told if other == basis)
        yield words.say(key, at=at, basis=words.basis(basis))


def _gauge_inputs(gauge: Gauge, words: Wording) -> Iterator[str]:
    if gauge.terminals is not None:
        readings = gauge.terminals
        yield words.say(
            "input.terminals",
            supply_earth=words.amount(readings.supply_earth),
            supply_signal=words.amount(readings.supply_signal),
            signal_earth=words.amount(readings.signal_earth),
        )
    if gauge.source is not None:
        test = gauge.source
        yield words.say(
            "input.source",
            first=words.amount(test.first),
            first_volts=words.amount(test.first_volts),
            second=words.amount(test.second),
            second_volts=words.amount(test.second_volts),
            supply=words.amount(test.supply),
        )
    told = [(mark.at, mark.basis) for mark in gauge.marks if mark.basis is not None]
    yield from _by_basis("input.mark", told, gauge.quantity_kind, words)
