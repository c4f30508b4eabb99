"""The warning switch of a sender against the duty, its lamp, and the charge lamp beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from catalog.parts.fitting import WarningSwitch
from catalog.quantities.kinds import Kind, difference
from retrofit.fit.lamp import bulb_current, contact_rating_check, excitation, glow_check
from retrofit.fit.switch import (
    Lights,
    SwitchPoint,
    WarningPoint,
    bench_check,
    broken_wire_check,
    contact_check,
    switch_point_check,
)
from retrofit.fit.verdict import FitCheck
from retrofit.plan.document import Duty
from retrofit.plan.fit_document import Warn
from retrofit.plan.fit_said import Said, si
from retrofit.plan.stages import highest_supply

FORWARD = 2.0
"""Forward voltage of an indicator diode [V] (assumed)."""


def switch_checks(said: Said) -> Iterator[FitCheck]:
    """Give the checks of the switch, where there is one, and of the charge lamp."""
    switch, lamp = said.fitting.switch, said.pairing.installation.lamp
    earthed_by_it = lamp is not None and lamp.circuit == "switch in sender"
    if switch is not None or (earthed_by_it and said.begun):
        yield switch_point_check(_point(switch, said.duty), _warning(said.duty))
    if switch is not None:
        lights = _lights(said)
        warn = said.duty.warning
        side = "unknown" if warn is None else warn.side
        if side != "unknown":
            yield contact_check(switch.below, side, lights)
        yield broken_wire_check(lights, _proves(said, switch, lights))
        yield from _rated(said, switch)
        yield from _tried(said, switch)
    yield from _charge(said)


def _width(switch: WarningSwitch, duty: Duty) -> float | None:
    tolerance = switch.tolerance
    if tolerance is None:
        return None
    return tolerance.si(switch.operates.si(duty.kind), difference(duty.kind))


def _point(switch: WarningSwitch | None, duty: Duty) -> SwitchPoint | None:
    if switch is None:
        return None
    warn = duty.warning
    doubt = None if warn is None else si(warn.tolerance, difference(duty.kind))
    return SwitchPoint(
        switch.operates.si(duty.kind),
        si(switch.hysteresis, difference(duty.kind)),
        _width(switch, duty),
        doubt or 0.0,
    )


def _warning(duty: Duty) -> WarningPoint | None:
    warn: Warn | None = duty.warning
    if warn is None or warn.side == "unknown":
        return None
    return WarningPoint(warn.at.si(duty.kind), warn.side, duty.kind, si(warn.normal, duty.kind))


def _lights(said: Said) -> Lights:
    """Return when the lamp is lit; one that the sender earths is lit when its switch closes."""
    lamp = said.pairing.installation.lamp
    if said.fit.lamp_lights != "unknown" or lamp is None:
        return said.fit.lamp_lights
    return "switch closes" if lamp.circuit == "switch in sender" else "unknown"


def _proves(said: Said, switch: WarningSwitch, lights: Lights) -> bool:
    """Return whether each start shows that the wire is whole.

    An oil pressure lamp is lit by its switch before the engine runs; others only by a test.
    """
    warn = said.duty.warning
    low = warn is not None and warn.side == "low"
    at_rest = said.duty.quantity == "pressure" and low and switch.below == "closed"
    return said.fit.lamp_tested == "yes" or (at_rest and lights == "switch closes")


def _rated(said: Said, switch: WarningSwitch) -> Iterator[FitCheck]:
    lamp, supply = said.pairing.installation.lamp, said.pairing.installation.supply
    nominal = supply.nominal.si(Kind.VOLTAGE)
    highest = highest_supply(supply) or nominal
    watts = None if lamp is None else si(lamp.watts, Kind.POWER)
    filament = lamp is None or lamp.lit_by != "LED"
    amps = None
    if watts is not None and watts > 0.0 and nominal > 0.0:
        amps = bulb_current(watts, nominal, highest) if filament else watts / nominal
    yield contact_rating_check(si(switch.contact_rating, Kind.CURRENT), amps, filament)
    if lamp is not None and lamp.lit_by == "LED":
        in_series = 0.0 if not amps else max(nominal - FORWARD, 0.0) / amps
        yield glow_check(highest, FORWARD, si(switch.leak, Kind.RESISTANCE), in_series)


def _tried(said: Said, switch: WarningSwitch) -> Iterator[FitCheck]:
    trial, width, kind = said.fit.trial, _width(switch, said.duty), said.duty.kind
    if trial is None or width is None:
        return
    operates = switch.operates.si(kind)
    error = abs(si(trial.error, difference(kind)) or 0.0)
    yield bench_check(trial.at.si(kind), error, (operates - width, operates + width), kind)


def _charge(said: Said) -> Iterator[FitCheck]:
    lamp, supply = said.fit.charge_lamp, said.pairing.installation.supply
    if lamp is None:
        return
    nominal = supply.nominal.si(Kind.VOLTAGE)
    ohms = si(lamp.resistor, Kind.RESISTANCE)
    found = excitation(
        lamp.bulb.si(Kind.POWER),
        nominal,
        math.inf if ohms is None else ohms,
        highest_supply(supply) or nominal,
        si(lamp.rated, Kind.POWER),
    )
    yield found.check
