"""Checks of the wires, and of the currents that share an earth with the gauge or the sender."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.message import Message, SiValue, message
from catalog.parts.gauge import Gauge
from catalog.quantities.kinds import Kind
from retrofit.installation import RUNS, Load, Run
from retrofit.installation.path_ohms import path_ohms
from retrofit.installation.sharing import SharedEarth
from retrofit.movements import follows_supply
from retrofit.plan.checks.check import (
    COMMON,
    ROUNDING,
    SMALL,
    Check,
    Effect,
    Facts,
    Verdict,
)
from retrofit.plan.shifts import load_moves, offset_moves, wire_moves
from retrofit.plan.stages import stabilised_volts
from retrofit.terminals import SourceOhms
from retrofit.wired import elements_known, inside_of, load_amperes, load_name, load_ohms

_STRAP = 0.5
"""Volts that an earth may lose while cranking (common practice, no source)."""

_OFFSET = 0.1
"""Earth offset for which a move of the needle is told where nobody measured any [V]."""


def _untold(gauge: Gauge) -> frozenset[Run]:
    """Return the runs whose current hangs on coils of the gauge that are not known.

    A source measured at the signal terminal does not tell what flows to the gauge's earth.
    """
    if not elements_known(gauge):
        return frozenset(("shared feed", "feed", "gauge earth"))
    return frozenset(("gauge earth",) if isinstance(inside_of(gauge), SourceOhms) else ())


def check_wires(facts: Facts) -> Check | None:
    """Return how far wires and joints move the needle, None where nobody named any."""
    installation = facts.pairing.installation
    named = [run for run in RUNS if not installation.path(run).empty]
    if not named:
        return None
    says = message("check.wires.unknown")
    for run in named:
        problem = path_ohms(installation.path(run), run).unknown
        if problem is not None:
            field = run.replace(" ", "_")
            return Check("wires", Verdict.UNKNOWN, says, problem, step="wiring", field=field)
    if set(named) & _untold(facts.pairing.gauge):
        why = message("check.wires.coils")
        return Check("wires", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    effect = facts.moved(wire_moves(facts.pairing, facts.duty))
    if effect.shift is None:
        why = message("check.earth.no_reading")
        return Check("wires", Verdict.UNKNOWN, says, why, step="wiring", field="feed")
    total = sum(path_ohms(installation.path(run), run).ohm for run in named)
    ohm = SiValue(total, Kind.RESISTANCE)
    says = message("check.wires.moves", ohm=ohm, **facts.told(effect))
    return Check(
        "wires",
        effect.verdict,
        says,
        effect.why("wires"),
        effect.shift,
        effect.limit,
        step="wiring",
        field=named[0].replace(" ", "_"),
        moved=effect.moved,
    )


def check_offset(facts: Facts) -> Check | None:
    """Return how far currents in shared earths move the needle, None where nobody named any.

    Where a current or the ohms of its earth are not known it is ``unknown``, with the volts to
    measure and how many are too many.
    """
    loads = [one for one in facts.pairing.installation.loads if one.when != "cranking"]
    if not loads:
        return None
    says = message("check.offset.unknown")
    if not elements_known(facts.pairing.gauge):
        return _lifted(facts, loads)
    for load in loads:
        missing = _missing(facts, load)
        if missing is not None:
            return Check("offset", Verdict.UNKNOWN, says, missing, step="wiring", field="loads")
    told = [
        (load, effect) for load in loads if (effect := _switched(facts, load)).shift is not None
    ]
    if not told:
        why = message("check.earth.no_reading")
        return Check("offset", Verdict.UNKNOWN, says, why, step="wiring", field="loads")
    load, effect = max(told, key=lambda one: _weight(one[1]))
    together = max(_together(facts, told), key=_weight, default=effect)
    key = "check.offset.moves"
    if _weight(together) > _weight(effect) * ROUNDING:
        effect, key = together, "check.offset.together"
    assert effect.shift is not None
    says = message(key, load=load.name, **facts.told(effect))
    if effect.limit is None:
        why = message("check.mark.nothing_allowed")
        return Check(
            "offset", Verdict.UNKNOWN, says, why, effect.shift, step="duty", field="allowed"
        )
    measure = _measure(facts, load.returns)
    return Check(
        "offset",
        effect.verdict,
        says,
        message("check.offset.good", limit=effect.limit) if measure is None else measure,
        effect.shift,
        effect.limit,
        step="wiring",
        field="loads",
        moved=effect.moved,
    )


def _lifted(facts: Facts, loads: list[Load]) -> Check:
    """Return what loads lay on their earths where nobody knows what that does to the needle."""
    why = message("check.offset.coils")
    load = max(loads, key=lambda one: _lost(facts, one))
    volts = SiValue(_lost(facts, load), Kind.VOLTAGE)
    if volts.value == 0.0:
        says = message("check.offset.unknown")
        return Check("offset", Verdict.UNKNOWN, says, why, step="gauge", field="movement")
    says = message("check.offset.lifts", load=load.name, volts=volts)
    return Check("offset", Verdict.UNKNOWN, says, why, volts, step="gauge", field="movement")


def _switched(facts: Facts, *loads: Load) -> Effect:
    """Return what loads do that are switched on together."""
    names = [load_name(load) for load in loads]
    return facts.moved(load_moves(facts.pairing, facts.duty, *names))


def _together(facts: Facts, told: list[tuple[Load, Effect]]) -> Iterator[Effect]:
    """Give what loads do together that move the needle the same way, for either way."""
    for side in (-1.0, 1.0):
        alike = [
            load for load, one in told if one.shift is not None and one.shift.value * side > 0.0
        ]
        if len(alike) > 1 and (found := _switched(facts, *alike)).shift is not None:
            yield found


def check_cranking(facts: Facts) -> Check | None:
    """Return what the starter's current does to the needle and its earth, None without one.

    Nobody reads a gauge while cranking, so the needle's move is told and not judged; volts that
    the earth loses are, since the current then seeks its way back through the instruments.
    """
    loads = [one for one in facts.pairing.installation.loads if one.when == "cranking"]
    if not loads:
        return None
    load = max(loads, key=lambda one: _lost(facts, one))
    missing = _missing(facts, load)
    if missing is not None:
        says = message("check.cranking.unknown")
        return Check("cranking", Verdict.UNKNOWN, says, missing, step="wiring", field="loads")
    lost, limit = SiValue(_lost(facts, load), Kind.VOLTAGE), SiValue(_STRAP, Kind.VOLTAGE)
    effect = _switched(facts, load)
    says = message("check.cranking.loses", load=load.name, volts=lost)
    if effect.shift is not None and elements_known(facts.pairing.gauge):
        says = message("check.cranking.lifts", load=load.name, **facts.told(effect))
    if lost.value > _STRAP * ROUNDING:
        why = message("check.cranking.strap", volts=lost, limit=limit)
        verdict = Verdict.CAUTION
    else:
        why = message("check.cranking.nobody", volts=lost)
        verdict = Verdict.GOOD
    return Check("cranking", verdict, says, why, lost, limit, COMMON, step="wiring", field="loads")


def _lost(facts: Facts, load: Load) -> float:
    """Return the volts that a load's own current loses along its earth [V]."""
    installation = facts.pairing.installation
    path = path_ohms(installation.path(load.returns), load.returns).ohm
    amps, ohm = load_amperes(load), load_ohms(load, installation)
    if ohm is not None:
        return installation.supply.nominal.si(Kind.VOLTAGE) * path / (ohm + path)
    return 0.0 if amps is None else abs(amps) * path


def _weight(effect: Effect) -> float:
    """Return the share of what is allowed that an effect takes, or its size where nobody said."""
    assert effect.shift is not None
    return abs(effect.shift.value) / (1.0 if effect.limit is None else effect.limit.value)


def _missing(facts: Facts, load: Load) -> Message | None:
    """Return what is not known of a load, its feed and its earth, None where all is."""
    installation = facts.pairing.installation
    named = message("check.offset.load", load=load.name)
    if load_ohms(load, installation) is None and load_amperes(load) is None:
        return message("check.offset.no_current", load=named)
    if load.when == "charging" and load_amperes(load) is None:
        return message("check.offset.no_current", load=named)
    feed = _feed_missing(facts, load)
    if feed is not None:
        return feed
    path = installation.path(load.returns)
    ohms = path_ohms(path, load.returns)
    if not path.empty and ohms.unknown is None:
        return None
    return (
        ohms.unknown or _measure(facts, load.returns) or message("check.offset.no_path", load=named)
    )


def _feed_missing(facts: Facts, load: Load) -> Message | None:
    """Return what is not known of a feed that a load may pull down, None where it is no matter."""
    gauge, installation = facts.pairing.gauge, facts.pairing.installation
    steady = not follows_supply(gauge) or stabilised_volts(gauge, installation) is not None
    if steady or load.when == "charging" or load.on_feed == "no":
        return None
    named = message("check.offset.load", load=load.name)
    if load.on_feed == "unknown":
        return message("check.offset.no_feed", load=named)
    if installation.shared_feed.empty:
        return message("check.offset.feed_ohms", load=named)
    return path_ohms(installation.shared_feed, "shared feed").unknown


def _measure(facts: Facts, where: SharedEarth) -> Message | None:
    """Return which volts to measure and how many are too many, None where nobody can tell."""
    moves = offset_moves(facts.pairing, facts.duty, _OFFSET, where).size
    worst = facts.hardest(moves)
    if worst is None or worst[0] == 0.0:
        return None
    volts = SiValue(_OFFSET * SMALL * worst[1] / abs(worst[0]), Kind.VOLTAGE)
    shift = facts.apart(worst[0])
    return message(
        "check.offset.measure",
        where=message(f"run.{where}"),
        offset=SiValue(_OFFSET, Kind.VOLTAGE),
        shift=shift,
        limit=volts,
    )
