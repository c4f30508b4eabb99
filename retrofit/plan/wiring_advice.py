"""Proposals for wires and the fuse of a pairing, each with its reason; the user's own stand.

What flows, how far ohms move the needle and how long a run is come from the plan; the rules are
those of ``retrofit.wiring``. Local codes go before all of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from catalog.arrays import Array
from catalog.errors import UserError
from catalog.message import Message, message
from catalog.parts.gauge import RatioMovement
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.wires import Conductor, conductor
from catalog.wires.ampacity import TABLED_AT
from retrofit.installation import Installation, Path, Run
from retrofit.installation.path_ohms import path_ohms
from retrofit.plan.checks.check import SMALL
from retrofit.plan.document import Duty, Pairing
from retrofit.plan.memo import staged
from retrofit.plan.shifts import along, hardest_move, installed
from retrofit.plan.wire_currents import RunCurrents, run_currents
from retrofit.wired import elements_known, load_name
from retrofit.wiring import (
    DROP_SHARE,
    FuseNeed,
    GuardedWire,
    WireNeed,
    WireProposal,
    propose_fuse,
    propose_wire,
)
from retrofit.wiring.fuse_size import rating_for
from retrofit.wiring.wire_size import Criterion, greatest_ohms

ASSUMED_LENGTH = 5.0
"""Length of a run that nobody told [m] (assumed)."""

_PROBE = 0.1
"""Ohms that are put into a run to see how far they move the needle [Ω]."""

_SHARING: tuple[Run, ...] = ("shared feed", "feed", "signal", "gauge earth")
"""Runs among which the needle's move is divided evenly."""

_FEEDING: tuple[Run, ...] = ("shared feed", "feed", "gauge earth")
"""Runs among which the volts that may be lost are divided evenly."""


@dataclass(frozen=True)
class WireAdvice:
    """What is proposed for one run.

    Attributes
    ----------
    run : str
        Which run.
    size : str
        The proposed size; "" where none is proposed.
    amperes : float
        What it carries at worst [A]; NaN where nobody knows.
    longest : float
        Length of this run alone, one way, up to which that size will do [m]: the way back is a
        run of its own; +inf: any, NaN: none proposed.
    reasons : tuple of Message
        Why, in sentences.
    bound : str or None
        What asks for the size: "strength", "current", "drop" or "shift"; None without one.
    afloat : str
        The size in a boat where nobody said whether it is one; else "".
    tinned : bool
        Whether the proposed strands are tinned: it is a boat.
    own : str
        The size that the user named; "" where he named none that there is.
    thin : bool
        Whether the user's own size does less than is asked.
    assumed : bool
        Whether the current is assumed, since nobody knows what the gauge takes.
    """

    run: Run
    size: str
    amperes: float
    longest: float
    reasons: tuple[Message, ...]
    bound: Criterion | None = None
    afloat: str = ""
    tinned: bool = False
    own: str = ""
    thin: bool = False
    assumed: bool = False

    @property
    def size_says(self) -> Message:
        """The proposed size in words."""
        return message("advice.size.tinned" if self.tinned else "advice.size", size=self.size)

    @property
    def says(self) -> Message:
        """Run, size and what asks for it, in a line."""
        run = message(f"run.{self.run}")
        if not self.size:
            return message("advice.wire.none", run=run)
        told: dict[str, Message] = {
            "run": run,
            "size": self.size_says,
            "why": message(f"sheet.advice.for.{self.bound}"),
        }
        if self.thin:
            return message("advice.wire.thin", own=self.own, **told)
        if self.afloat:
            return message("advice.wire.either", afloat=self.afloat, **told)
        return message("advice.wire", **told)


@dataclass(frozen=True)
class FuseAdvice:
    """The proposed fuse of the feed.

    Attributes
    ----------
    rating : float or None
        [A]; None where none can be proposed.
    reasons : tuple of Message
        Why, in sentences.
    """

    rating: float | None
    reasons: tuple[Message, ...]


@dataclass(frozen=True)
class WiringAdvice:
    """Wires and fuse that are proposed for a pairing.

    Attributes
    ----------
    wires : tuple of WireAdvice
        From the battery on.
    fuse : FuseAdvice
        The fuse of the feed, as near to the battery as can be.
    general : tuple of Message
        What holds for all of them: tinned strands in boats, local codes.
    """

    wires: tuple[WireAdvice, ...]
    fuse: FuseAdvice
    general: tuple[Message, ...]

    def wire(self, run: Run) -> WireAdvice | None:
        """Return the advice for a run, None where there is none."""
        return next((one for one in self.wires if one.run == run), None)


@staged
def advice_of(pairing: Pairing, duty: Duty) -> WiringAdvice:
    """Return wire sizes and the fuse that are proposed for a pairing.

    Parameters
    ----------
    pairing : Pairing
        Parts, trim and installation.
    duty : Duty
        The errors that it allows.

    Notes
    -----
    Tests: ``tests/retrofit/plan/test_wiring_advice.py``.
    """
    currents = run_currents(pairing)
    wires = [_wire(pairing, duty, run, currents) for run in _runs(pairing)]
    fuse = _fuse(pairing, currents, wires)
    advice = (*(one for one, _ in wires), _engine_earth(duty, currents))
    keys = {"yes": "advice.in_boat", "no": "advice.codes", "unknown": "advice.tinned"}
    general = (message(keys[pairing.installation.afloat]),)
    return WiringAdvice(advice, fuse, general)


def _runs(pairing: Pairing) -> list[Run]:
    """Return the runs that are sized, from the battery on."""
    gauge, installation = pairing.gauge, pairing.installation
    trimmed = any(one.place == "signal to earth" for one in pairing.trim)
    shared = any(one.returns == "gauge earth" for one in installation.loads)
    earthed = isinstance(gauge.movement, RatioMovement) or not installation.gauge_earth.empty
    earthed = earthed or gauge.signal is not Kind.RESISTANCE or trimmed or shared
    runs: list[Run] = ["shared feed", "feed", "signal"]
    return [*runs, "gauge earth"] if earthed else runs


# --- wires --------------------------------------------------------------------------------------


def _wire(
    pairing: Pairing, duty: Duty, run: Run, currents: RunCurrents
) -> tuple[WireAdvice, WireProposal | None]:
    path = pairing.installation.path(run)
    amperes = currents.amperes[run]
    if currents.untold and run in ("shared feed", "gauge earth"):
        untold = tuple(message("advice.untold", load=one) for one in currents.untold)
        return WireAdvice(run, "", math.nan, math.nan, untold), None
    need = _need(pairing, duty, run, currents)
    try:
        found, afloat = propose_wire(need), None
        if pairing.installation.afloat == "unknown":
            afloat = propose_wire(replace(need, boat=True)).conductor
    except UserError as error:  # a length or a place that the plan holds but no wire can have
        return WireAdvice(run, "", amperes, math.nan, error.messages), None
    key = "advice.assumed" if currents.assumed else "advice.carries"
    reasons = [message(key, amps=_amps(amperes))]
    reasons += [one for one in found.reasons if one.key != "propose.codes"]
    if found.conductor is None:
        return WireAdvice(run, "", amperes, math.nan, tuple(reasons)), None
    if found.decided_by == "shift":
        reasons.append(message("advice.share"))
        reasons += _own_earth(pairing, duty, run, found.conductor)
    longest = _longest(found.conductor, need)
    if path.wire is None:
        reasons.append(_length(need.length, longest))
    own = _own(path)
    thin = own is not None and own.area < found.conductor.area * (1.0 - 1e-9)
    if own is not None:
        key = "advice.own.thin" if thin else "advice.own.good"
        reasons.append(message(key, size=own.size, proposed=found.conductor.size))
    advice = WireAdvice(
        run,
        found.conductor.size,
        amperes,
        longest,
        tuple(reasons),
        found.decided_by,
        "" if afloat is None else afloat.size,
        need.boat,
        "" if own is None else own.size,
        thin,
        currents.assumed,
    )
    return advice, found


def _own_earth(pairing: Pairing, duty: Duty, run: Run, shared: Conductor) -> list[Message]:
    """Return that an earth of its own would do with a thinner wire, where that is so."""
    installation = pairing.installation
    apart = tuple(one for one in installation.loads if one.returns != "gauge earth")
    if run != "gauge earth" or len(apart) == len(installation.loads):
        return []
    alone = installed(pairing, replace(installation, loads=apart))
    found = propose_wire(_need(alone, duty, run, run_currents(alone))).conductor
    if found is None or found.area >= shared.area:
        return []
    return [message("advice.own_earth", size=found.size)]


def _need(pairing: Pairing, duty: Duty, run: Run, currents: RunCurrents) -> WireNeed:
    path, supply = pairing.installation.path(run), pairing.installation.supply
    amperes = currents.amperes[run]
    share = DROP_SHARE * supply.nominal.si(Kind.VOLTAGE) / len(_FEEDING)
    length = ASSUMED_LENGTH if path.wire is None else path.wire.length.si(Kind.LENGTH)
    ohms = needle_ohms(pairing, duty, run)
    fuse = None if currents.untold else rating_for(currents.amperes["shared feed"])
    return WireNeed(
        current=amperes,
        length=length,
        drop=share if run in _FEEDING else None,
        ohm=None if ohms is None or math.isinf(ohms) else ohms / len(_SHARING),
        temperature=_hottest(path),
        fuse=None if fuse is None or amperes > fuse else fuse,
        boat=pairing.installation.afloat == "yes",
    )


def _longest(wire: Conductor, need: WireNeed) -> float:
    """Return the length [m] up to which a size loses and moves no more than it may."""
    around = TABLED_AT if need.temperature is None else need.temperature
    per_metre = greatest_ohms(wire, 1.0, around, tinned=need.boat)
    lost = math.inf if need.drop is None or need.current == 0.0 else need.drop / need.current
    return min(lost, math.inf if need.ohm is None else need.ohm) / per_metre


def _length(length: float, longest: float) -> Message:
    if math.isinf(longest):
        return message("advice.any_length")
    return message("advice.length", length=length, longest=math.floor(10.0 * longest) / 10.0)


# --- fuse ---------------------------------------------------------------------------------------


def _fuse(
    pairing: Pairing, currents: RunCurrents, wires: list[tuple[WireAdvice, WireProposal | None]]
) -> FuseAdvice:
    """Return the fuse for all that hangs on the feed and the wires behind it.

    Of each run the user's own wire counts where he named it, else the proposed one.
    """
    if currents.untold:
        told = tuple(message("advice.untold", load=one) for one in currents.untold)
        return FuseAdvice(None, told)
    guarded = []
    for advice, found in wires:
        path = pairing.installation.path(advice.run)
        own = _own(path)
        wire = own if own is not None else None if found is None else found.conductor
        if wire is not None:
            rated = None if found is None or own is not None else found.insulation
            guarded.append(GuardedWire(wire, rated, _hottest(path)))
    if not guarded:
        return FuseAdvice(None, tuple(one for advice, _ in wires for one in advice.reasons))
    proposed = propose_fuse(FuseNeed(currents.amperes["shared feed"], tuple(guarded)))
    reasons = [one for one in proposed.reasons if one.key != "propose.codes"]
    if currents.assumed:
        reasons.append(message("advice.fuse.assumed"))
    return FuseAdvice(proposed.rating, tuple(reasons))


# --- the needle ---------------------------------------------------------------------------------


def needle_ohms(pairing: Pairing, duty: Duty, run: Run) -> float | None:
    """Return how many ohms more in a run move the needle by a third of what is allowed.

    The move of a tenth of an ohm, which is all but even in the ohms that a wire can have.

    Parameters
    ----------
    pairing : Pairing
        The pairing; what can be on at a reading is on.
    duty : Duty
        Its range, marks and allowed errors.
    run : str
        Which run.

    Returns
    -------
    float or None
        [Ω]; +inf where they move nothing; None where nobody can tell.
    """
    if run in ("shared feed", "feed", "gauge earth") and not elements_known(pairing.gauge):
        return None
    installation = pairing.installation
    at = {load_name(one): 1.0 for one in installation.loads if one.when == "at times"}
    own = path_ohms(installation.path(run), run).ohm
    worse = installed(pairing, _with(installation, run, own + _PROBE))
    worst = hardest_move(duty, along(worse, duty, at) - _as_it_is(pairing, duty))
    if worst is None:
        return None
    share = abs(worst[0]) / (SMALL * worst[1])
    return math.inf if share == 0.0 else _PROBE / share


@staged
def _as_it_is(pairing: Pairing, duty: Duty) -> Array:
    """Return the reading over the range and at the marks with everything on, shape (N,) [SI]."""
    loads = pairing.installation.loads
    at = {load_name(one): 1.0 for one in loads if one.when == "at times"}
    return along(pairing, duty, at)


def _with(installation: Installation, run: Run, ohm: float) -> Installation:
    """Return an installation with so many ohms in a run, whatever it is made of."""
    path = Path(measured=Figure(Amount(ohm, "Ω")))
    if run == "shared feed":
        return replace(installation, shared_feed=path)
    if run == "feed":
        return replace(installation, feed=path)
    if run == "signal":
        return replace(installation, signal=path)
    return replace(installation, gauge_earth=path)


def _engine_earth(duty: Duty, currents: RunCurrents) -> WireAdvice:
    """Return the advice for the strap, which also carries what charging and cranking take."""
    key = "advice.common_earth" if duty.quantity == "level" else "advice.strap"
    amperes = currents.amperes["engine earth"]
    return WireAdvice("engine earth", "", amperes, math.nan, (message(key),))


def _amps(amperes: float) -> float:
    """Return amperes as they are told, two digits: a fuse is not chosen by the third."""
    return float(f"{amperes:.2g}")


def _hottest(path: Path) -> float | None:
    """Return how hot a run gets [°C]; None where nobody told."""
    if path.wire is None or path.wire.temperature is None:
        return None
    return path.wire.temperature.si(Kind.TEMPERATURE)


def _own(path: Path) -> Conductor | None:
    """Return the size that the user named, None where he named none that there is."""
    if path.wire is None:
        return None
    try:
        return conductor(path.wire.size)
    except UserError:
        return None
