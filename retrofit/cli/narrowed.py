"""The range that is judged, where a command asks for another than the plan's."""

from __future__ import annotations

import argparse
from dataclasses import replace

from catalog.message import Message, SiValue, message
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.cli.typed import Typed
from retrofit.plan.document import Plan

_SLACK = 2e-3
"""Share of the range by which a typed end may miss where the sender's curve ends: what is told
of that is rounded (assumed)."""


def narrowed(plan: Plan, label: str, options: argparse.Namespace, typed: Typed) -> Plan:
    """Return the plan with the range of ``--from`` and ``--to``, the plan itself without them.

    Parameters
    ----------
    plan : Plan
        The plan; it is not changed.
    label : str
        The pairing, at whose sender's ends the range may stop.
    options : Namespace
        The options of the command.
    typed : Typed
        Reads them.

    Raises
    ------
    UserError
        For a range that holds nothing, or leaves a mark of the duty outside.
    """
    duty, kind = plan.duty, plan.duty.kind
    low = typed.amount("--from", options.range_low, kind)
    high = typed.amount("--to", options.range_high, kind)
    if low is None and high is None:
        return plan
    ends = []
    for end, before in ((low, duty.low), (high, duty.high)):
        ends.append(before if end is None else _at_the_sender(end, plan, label, kind))
    return replace(plan, duty=replace(duty, low=ends[0], high=ends[1]))


def range_said(plan: Plan, options: argparse.Namespace) -> list[Message]:
    """Return which range a plan that is written has now, where it was asked for."""
    if options.range_low is None and options.range_high is None:
        return []
    (low, high), kind = plan.duty.span, plan.duty.kind
    return [message("cli.range_said", low=SiValue(low, kind), high=SiValue(high, kind))]


def _at_the_sender(end: Amount, plan: Plan, label: str, kind: Kind) -> Amount:
    """Return an end of the range; where it is nearly the end of the sender's curve, that one."""
    curve = plan.pairing(label).sender.curve
    low, high = plan.duty.span
    if curve is None:
        return end
    for law in (curve.low, curve.high):
        if 0.0 < abs(end.si(kind) - law) <= _SLACK * (high - low):
            return _in_si(law, kind)
    return end


def _in_si(value: float, kind: Kind) -> Amount:
    if kind is Kind.LEVEL:
        return Amount(100.0 * value, "%")
    return Amount(value, "Pa" if kind is Kind.PRESSURE else "°C")
