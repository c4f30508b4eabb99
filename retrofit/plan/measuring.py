"""What is not known of a pairing and how to measure it: a list of steps, from its assessment.

Each step names the instrument, the points between which it is put, whether the battery is on,
and what can hurt there. Where a check only needs an answer, the step is the check's own reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from catalog.message import Message, SiValue, message
from catalog.parts.gauge import RatioMovement
from catalog.quantities.kinds import Kind
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Check, Verdict
from retrofit.plan.document import Duty
from retrofit.plan.fit_said import returns_of
from retrofit.plan.lead_test import lead_test_of
from retrofit.plan.wire_currents import run_currents
from retrofit.terminals import coils_of

ASKED = "measuring.asked"
"""Key of the instrument of a step that is a question."""

Battery = Literal["off", "on", "running", "either"]


@dataclass(frozen=True)
class Measuring:
    """One step that would tell what is not known.

    Attributes
    ----------
    name : str
        Which one.
    what : Message
        What is measured.
    instrument : Message
        With what.
    where : Message
        Between which points, and how.
    battery : str
        "off" (isolated), "on", "running" (on, with the engine running) or "either".
    caution : Message or None
        What can hurt at this step.
    """

    name: str
    what: Message
    instrument: Message
    where: Message
    battery: Battery
    caution: Message | None = None


_BATTERY: dict[str, Battery] = {
    "sender": "off",
    "dial": "on",
    "needle": "either",
    "friction": "on",
    "earth": "off",
    "stray": "off",
    "supply": "running",
    "stabiliser": "running",
    "trim": "off",
    "coils": "off",
    "pull_off": "on",
    "pole": "either",
    "return": "off",
    "system": "off",
    "gauge_current": "on",
    "second_dial": "on",
    "second_earth": "off",
    "earth_volts": "running",
    "controller": "either",
    "original": "on",
    "threads": "either",
}

_OF_UNSTATED = {
    "unstated.sender": "sender",
    "unstated.dial": "dial",
    "unstated.needle": "needle",
    "unstated.friction": "friction",
    "unstated.earth": "earth",
    "unstated.supply": "supply",
    "unstated.stabiliser": "stabiliser",
    "unstated.trim": "trim",
    "unstated.second_dial": "second_dial",
    "unstated.second_earth": "second_earth",
}

_VOLTS = "check.offset.measure"
"""A reason that asks for a reading where a check is judged as well: it tells more than sums."""

_OF_REASON = {
    "check.supply.no_pull_off": "pull_off",
    "check.supply.no_range": "supply",
    "check.earth.each_ohm": "earth",
    "check.earth.no_reading": "earth",
    "check.earth.stray_why": "stray",
    "check.current.read_original": "original",
    "check.controller.unknown_why": "controller",
    "check.coils.unread": "coils",
    "check.copper.coils": "coils",
    "check.wires.coils": "coils",
    "check.offset.coils": "coils",
    _VOLTS: "earth_volts",
    "check.offset.no_path": "earth_volts",
    "fit.thread.measure": "threads",
    "return.sender_how": "return",
    "return.system_how": "system",
}
"""Step by the key of the reason of a check that is unknown."""

_SPREAD = "check.spread.unstated"
"""A reason that names several things, each of which has a step of its own."""


def measurings_of(found: Assessment) -> tuple[Measuring, ...]:
    """Return what would tell what is not known of a pairing, what the checks ask first.

    Parameters
    ----------
    found : Assessment
        Of the pairing; its unknown checks, and what nobody stated for its bands.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_measuring.py``.
    """
    steps: dict[str, Measuring] = {}
    for one in _all(found):
        steps.setdefault(one.name, one)
    return tuple(steps.values())


def _all(found: Assessment) -> Iterator[Measuring]:
    if found.reason is not None:
        yield _asked("reading", message("check.dial.unknown"), found.reason)
    for check in found.checks:
        if check.verdict is Verdict.UNKNOWN and check.why != found.reason:
            yield from _of_check(found, check)
        elif check.why.key == _VOLTS and check.verdict is not Verdict.GOOD:
            yield _step("earth_volts", found)
    # The gauge comes before its dial: what test resistors take there is known then.
    yield from _of_the_parts(found)
    for unstated in () if found.spread is None else found.spread.unstated:
        yield from _of_unstated(found, unstated)


def _of_check(found: Assessment, check: Check) -> Iterator[Measuring]:
    name = _OF_REASON.get(check.why.key)
    if name is not None:
        yield _step(name, found, check)
    elif check.why.key != _SPREAD:
        yield _asked(f"{check.mark} {check.says.key} {check.why.key}", check.says, check.why)


def _of_unstated(found: Assessment, unstated: Message) -> Iterator[Measuring]:
    name = _OF_UNSTATED.get(unstated.key)
    if name is not None:
        yield _step(name, found)
    else:
        yield _asked(unstated.key, message("check.wires.unknown"), unstated)


def _of_the_parts(found: Assessment) -> Iterator[Measuring]:
    """Give what no check asks and no band leaves out, but who wires it needs to know."""
    pairing = found.pairing
    gauge, installation = pairing.gauge, pairing.installation
    inside = coils_of(gauge) is not None or gauge.source is not None
    if isinstance(gauge.movement, RatioMovement) and not inside:
        yield _step("coils", found)
    if installation.supply.earthed == "unknown":
        yield _step("pole", found)
    ohms = pairing.sender.signal is Kind.RESISTANCE
    if ohms and returns_of(pairing.sender) == "unknown":
        yield _step("return", found)
    if run_currents(pairing).assumed:
        yield _step("gauge_current", found)


def _asked(name: str, what: Message, where: Message) -> Measuring:
    """Return a step that is a question: who knows the machine answers it."""
    return Measuring(name, what, message(ASKED), where, "either")


def _step(name: str, found: Assessment, check: Check | None = None) -> Measuring:
    duty = found.plan.duty
    if name == "sender":
        where = message(f"measuring.sender.where.{duty.quantity}")
    elif name == "earth" and check is not None and check.number is not None:
        where = message("measuring.earth.where.each_ohm", shift=check.number)
    else:
        where = message(f"measuring.{name}.where")
    return Measuring(
        name,
        message(f"measuring.{name}.what"),
        _with(name, found),
        where,
        _BATTERY[name],
        _caution(name, duty),
    )


def _with(name: str, found: Assessment) -> Message:
    """Return the instrument; resistors with the watts that the lowest of them takes."""
    if name not in ("dial", "friction", "pull_off"):
        return message(f"measuring.{name}.with")
    test = lead_test_of(found.pairing, found.plan.duty)
    if test is None:
        return message(f"measuring.{name}.with")
    return message(
        f"measuring.{name}.with.watts",
        ohms=SiValue(test.ohms, Kind.RESISTANCE),
        watts=SiValue(test.watts, Kind.POWER),
    )


_OUT_OF_THE_PORT = ("threads",)
_AT_THE_SENDER = ("earth", "stray", "return", "original", "sender")
_HOT_RESISTORS = ("dial", "friction", "pull_off", "second_dial")


def _caution(name: str, duty: Duty) -> Message | None:
    tank = duty.quantity == "level" and duty.fuel != "no"
    fuel = tank or duty.fuel == "yes"
    if name in _AT_THE_SENDER and fuel:
        return message("measuring.caution.fuel")
    if name in _OUT_OF_THE_PORT and fuel:
        return message("measuring.caution.open_tank")
    if name in (*_OUT_OF_THE_PORT, "sender"):
        return message(f"measuring.caution.{'tank' if duty.quantity == 'level' else 'cold'}")
    if name in _HOT_RESISTORS:
        return message("measuring.caution.hot_resistor")
    if _BATTERY[name] == "running":
        return message("measuring.caution.running")
    if name == "gauge_current":
        return message("measuring.caution.fused")
    if name == "controller":
        return message("measuring.caution.controller")
    return None
