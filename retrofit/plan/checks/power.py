"""Checks of watts and currents of a trim: resistors, the gauge's winding, the sender in fuel."""

from __future__ import annotations

import numpy as np

from catalog.message import Message, SiValue, Value, message
from catalog.parts.gauge import CoilMovement, HeaterMovement
from catalog.quantities.kinds import Kind
from retrofit.installation import SenderLimits, TrimResistor
from retrofit.plan.checks.check import COMMON, ROUNDING, SEVERITY, Check, Facts, Step, Verdict
from retrofit.plan.loads import bare_loads_of, compared_loads_of, loads_of
from retrofit.plan.stages import highest_supply
from retrofit.trim.power import DERATING, Load, Loads, Terminals, needed_rating

_WINDING = 1.1
"""Times what it takes at the end of its dial that a winding may take: 5 % of current beyond,
where the stops are (assumed)."""

_OVERFED = 1.5
"""Times what it takes on the feed that it is made for: a tenth and more beyond the volts of a
charging system (assumed)."""


def check_power(facts: Facts) -> Check | None:
    """Return whether each resistor of the trim may take what it gets, None without a trim.

    Judged at the worst of the sender's range, of the faults and of the supply, against half
    the rating. A winding that trim or feed drive beyond its dial is said here too, with no trim
    as well.
    """
    found = loads_of(facts.pairing, facts.duty)
    if not _has_trim(facts):
        return None if isinstance(found, Message) else _winding(facts, found)
    if isinstance(found, Message):
        return _power(Verdict.UNKNOWN, message("check.power.unknown"), found)
    checks = [_resistor(facts, *each) for each in found.resistors]
    checks += [check for check in [_winding(facts, found)] if check is not None]
    return min(checks, key=lambda check: (SEVERITY[check.verdict], -_share(check)))


def _has_trim(facts: Facts) -> bool:
    ohms = facts.pairing.gauge.signal is Kind.RESISTANCE
    return bool(facts.pairing.trim) and ohms


def _share(check: Check) -> float:
    assert check.number is not None
    return check.number.value / (check.limit.value if check.limit is not None else 1.0)


def _power(
    verdict: Verdict,
    says: Message,
    why: Message,
    number: SiValue | None = None,
    limit: SiValue | None = None,
) -> Check:
    return Check("power", verdict, says, why, number, limit, COMMON, "trim", "rating")


def _watts(value: float) -> SiValue:
    return SiValue(value, Kind.POWER)


def _resistor(facts: Facts, resistor: TrimResistor, load: Load) -> Check:
    place = message(f"place.{resistor.place}")
    says = message("check.power.takes", place=place, watts=_watts(load.watts))
    number, strain = _watts(load.watts), _strain(resistor)
    rating = None if resistor.rating is None else resistor.rating.si(Kind.POWER)
    needed = needed_rating(load.watts * strain)
    enough = rating is not None and load.watts * strain <= DERATING * rating * ROUNDING
    if needed is None and not enough:
        return _power(Verdict.STOP, says, message("check.power.too_hot", state=load.state), number)
    told: dict[str, Value | Message] = {
        "needed": _watts(needed or load.watts * strain / DERATING),
        "state": load.state,
    }
    if rating is None:
        return _power(Verdict.UNKNOWN, says, message("check.power.unrated", **told), number)
    limit = _watts(DERATING * rating / strain)
    if load.watts * strain > rating * ROUNDING:
        return _power(Verdict.STOP, says, message("check.power.beyond", **told), number, limit)
    if not enough:
        return _power(Verdict.CAUTION, says, message("check.power.warm", **told), number, limit)
    if highest_supply(facts.pairing.installation.supply) is None:
        why = message("check.power.no_highest", **told)
        return _power(Verdict.UNKNOWN, says, why, number, limit)
    return _power(Verdict.GOOD, says, message("check.power.good", **told), number, limit)


def _strain(resistor: TrimResistor) -> float:
    """Return how many times more a resistor needs than it takes, for the part of it in use.

    The rating of a potentiometer is that of its whole track: a part of it may take that part.
    """
    if resistor.track is None:
        return 1.0
    return resistor.track.si(Kind.RESISTANCE) / resistor.value.si(Kind.RESISTANCE)


def _winding(facts: Facts, found: Loads) -> Check | None:
    """Return the check of a heater or coil that takes more than at the end of its dial."""
    load, movement = found.winding_in_order, facts.pairing.gauge.movement
    if load is None or isinstance(facts.needle, Message):
        return None
    figure = movement.heater if isinstance(movement, HeaterMovement) else None
    figure = movement.coil if isinstance(movement, CoilMovement) else figure
    if figure is None:
        return None
    gauge, kind = facts.pairing.gauge, facts.duty.kind
    ends = facts.needle.dial.output(np.array([gauge.low.si(kind), gauge.high.si(kind)]))
    winding, least = figure.si(Kind.RESISTANCE), max(float(np.nanmin(ends)), 0.0)
    # What it takes with the least ohms that its dial asks for: at this feed, and at its own.
    made_for = movement.feed if isinstance(movement, HeaterMovement | CoilMovement) else None
    own = found.volts if made_for is None else made_for.si(Kind.VOLTAGE)
    for volts, most in ((found.volts, _WINDING), (own, _OVERFED)):
        limit = winding * (volts / (winding + least)) ** 2
        if load.watts > most * limit:
            says = message("check.power.winding", watts=_watts(load.watts))
            why = message("check.power.winding_why", limit=_watts(limit), state=load.state)
            return _power(Verdict.CAUTION, says, why, _watts(load.watts), _watts(limit))
    return None


def check_current(facts: Facts) -> Check | None:
    """Return whether the sender gets more than it had, None where neither trim nor fuel is there.

    In fuel the original gauge's current, open-circuit volts and short-circuit current are the
    limits, with a trim or without; where nobody read them a trim is ``stop``, and a bare gauge,
    which may be the original, ``unknown``. A tank of nobody knows what may hold fuel: it is
    judged like one where those figures are known, and else is ``unknown``.
    """
    sender = facts.pairing.sender.signal is Kind.RESISTANCE
    fuel, maybe = facts.duty.fuel == "yes", facts.duty.fuel == "unknown"
    trimmed = _has_trim(facts)
    if not (trimmed or fuel or maybe) or not sender:
        return None
    limits = facts.duty.original
    if maybe and not _complete(limits):
        return _in_what(facts) if trimmed else _unsaid(message("check.current.medium_unsaid"))
    if fuel and not _complete(limits):
        verdict = Verdict.STOP if trimmed else Verdict.UNKNOWN
        says = message(f"check.current.{'original_unknown' if trimmed else 'fuel_unread'}")
        why = message("check.current.read_original")
        return _current(verdict, says, why, where=("duty", "original"))
    if fuel or maybe:
        assert limits is not None
        return _in_fuel(facts, limits)
    found, bare = loads_of(facts.pairing, facts.duty), bare_loads_of(facts.pairing, facts.duty)
    if isinstance(found, Message) or isinstance(bare, Message):
        why = found if isinstance(found, Message) else message("power.no_range")
        return _current(Verdict.UNKNOWN, message("check.current.unknown"), why)
    return _against_bare(found.terminals, bare.terminals)


def _in_what(facts: Facts) -> Check:
    """Return that the tank may hold fuel, with what the sender carries where that is known."""
    found, bare = loads_of(facts.pairing, facts.duty), bare_loads_of(facts.pairing, facts.duty)
    if isinstance(found, Message) or isinstance(bare, Message):
        return _unsaid(message("check.current.medium_unsaid"))
    number, limit = _amps(found.terminals.amps), _amps(bare.terminals.amps)
    told = {"amps": number, "bare": limit, "watts": _watts(found.terminals.watts)}
    return _unsaid(message("check.current.carries", **told), number, limit)


def _unsaid(says: Message, number: SiValue | None = None, limit: SiValue | None = None) -> Check:
    why = message("check.current.what_medium")
    return _current(Verdict.UNKNOWN, says, why, number, limit, ("duty", "medium"))


def _complete(limits: SenderLimits | None) -> bool:
    return limits is not None and None not in (
        limits.current,
        limits.open_volts,
        limits.short_current,
    )


def _current(
    verdict: Verdict,
    says: Message,
    why: Message,
    number: SiValue | None = None,
    limit: SiValue | None = None,
    where: tuple[Step, str] = ("trim", "trim"),
) -> Check:
    step, field = where
    return Check("current", verdict, says, why, number, limit, step=step, field=field)


def _amps(value: float) -> SiValue:
    return SiValue(value, Kind.CURRENT)


def _against_bare(found: Terminals, bare: Terminals) -> Check:
    number, limit = _amps(found.amps), _amps(bare.amps)
    told: dict[str, Value | Message] = {"amps": number, "bare": limit, "watts": _watts(found.watts)}
    if found.amps > bare.amps * ROUNDING:
        says = message("check.current.raised", **told)
        return _current(Verdict.CAUTION, says, message("check.current.hot", **told), number, limit)
    says, why = message("check.current.carries", **told), message("check.current.not_raised")
    return _current(Verdict.GOOD, says, why, number, limit)


def _in_fuel(facts: Facts, limits: SenderLimits) -> Check:
    """Return the check against what the original gauge gave, worst of the three first."""
    found = compared_loads_of(facts.pairing, facts.duty)
    if isinstance(found, Message):
        return _current(Verdict.UNKNOWN, message("check.current.unknown"), found)
    assert limits.current is not None
    assert limits.open_volts is not None
    assert limits.short_current is not None
    at = found.terminals
    pairs = {
        "current": (_amps(at.amps), _amps(limits.current.si(Kind.CURRENT))),
        "short": (_amps(at.short_amps), _amps(limits.short_current.si(Kind.CURRENT))),
        "open": (
            SiValue(at.open_volts, Kind.VOLTAGE),
            SiValue(limits.open_volts.si(Kind.VOLTAGE), Kind.VOLTAGE),
        ),
    }
    name = max(pairs, key=lambda one: pairs[one][0].value / pairs[one][1].value)
    number, limit = pairs[name]
    what = message(f"check.current.of_{name}")
    if number.value > limit.value * ROUNDING:
        says = message("check.current.above", what=what, number=number, limit=limit)
        return _current(Verdict.STOP, says, message("check.current.fuel_law"), number, limit)
    says = message("check.current.within", what=what, number=number, limit=limit)
    if limits.supply is None and highest_supply(facts.pairing.installation.supply) is None:
        why = message("check.current.no_highest")
        return _current(Verdict.UNKNOWN, says, why, number, limit)
    return _current(Verdict.GOOD, says, message("check.current.fuel_law"), number, limit)
