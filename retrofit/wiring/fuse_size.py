"""The fuse of a feed: no tighter than its load needs, no wider than its thinnest wire stands."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import UserError
from catalog.message import Message, SiValue, Value, message
from catalog.quantities.kinds import Kind
from catalog.wires import Ampacity, Conductor, ampacity, blade_fuses
from catalog.wires.ampacity import TABLED_AT
from retrofit.wiring.wire_need import insulation_problem

LOADED = 0.7
"""Share of its rating that a fuse should carry for good, lest it tires (common practice, no
source)."""

LEAST_INSULATION = 60.0
"""Rating of an insulation of which nothing is known [°C]: the lowest of the table."""


@dataclass(frozen=True)
class GuardedWire:
    """A wire behind a fuse.

    Attributes
    ----------
    conductor : Conductor
        Its size.
    insulation : float or None
        What its insulation is rated for [°C]; None: counted as the lowest, 60 °C.
    temperature : float or None
        Hottest that its place gets [°C]; None where unknown.
    """

    conductor: Conductor
    insulation: float | None = None
    temperature: float | None = None

    @property
    def stands(self) -> Ampacity | None:
        """What it carries for good; None where its size is in no table."""
        insulation = LEAST_INSULATION if self.insulation is None else self.insulation
        around = TABLED_AT if self.temperature is None else self.temperature
        return ampacity(self.conductor, insulation, around)


@dataclass(frozen=True)
class FuseNeed:
    """What a fuse is for.

    Attributes
    ----------
    load : float
        What flows for good at most [A]; NaN where unknown.
    wires : tuple of GuardedWire
        Every wire behind it, as far as the next fuse; at least one.
    """

    load: float
    wires: tuple[GuardedWire, ...]


@dataclass(frozen=True)
class FuseProposal:
    """A fuse to propose.

    Attributes
    ----------
    rating : float or None
        Of a blade fuse [A]; None where none will do or something is unknown.
    reasons : tuple of Message
        Why, or why none; the last one defers to local codes.
    unknown : tuple of Message
        What is not known, and how to learn it.
    """

    rating: float | None
    reasons: tuple[Message, ...]
    unknown: tuple[Message, ...] = ()


def rating_for(load: float) -> float | None:
    """Return the least blade fuse that a load leaves cool [A]; None beyond the largest.

    Parameters
    ----------
    load : float
        What flows for good [A], at least 0.

    Examples
    --------
    >>> rating_for(0.5), rating_for(3.0), rating_for(40.0)
    (1.0, 5.0, None)
    """
    held = (fuse.rating for fuse in blade_fuses() if load <= LOADED * fuse.rating)
    return next(held, None)


def propose_fuse(need: FuseNeed) -> FuseProposal:
    """Return the fuse for a load and the wires behind it.

    The least rating of which the load is at most `LOADED`; it must not exceed what the thinnest
    wire behind it carries for good, where it lies.

    Parameters
    ----------
    need : FuseNeed
        Load and wires.

    Raises
    ------
    UserError
        For a load that is negative or infinite, no wire, or an insulation that is in no table;
        all problems at once.

    Notes
    -----
    Tests: ``tests/retrofit/wiring/test_fuse_size.py``.

    Examples
    --------
    >>> from catalog.wires import conductor
    >>> propose_fuse(FuseNeed(0.3, (GuardedWire(conductor("1 mm²")),))).rating
    1.0
    """
    _check(need)
    unknown = _unknown(need)
    stood = [(wire, wire.stands) for wire in need.wires]
    known = [(wire, found) for wire, found in stood if found is not None]
    if math.isnan(need.load) or len(known) < len(stood):
        return FuseProposal(None, (message("propose.codes"),), unknown)
    weakest, carries = min(known, key=lambda pair: pair[1].amperes)
    load = three_digits(need.load)
    rating = rating_for(need.load)
    if rating is None:
        reason = message(
            "fusesize.none_large",
            load=load,
            largest=blade_fuses()[-1].rating,
        )
        return FuseProposal(None, (reason, message("propose.codes")), unknown)
    values: dict[str, Value | Message] = {
        "rating": rating,
        "load": load,
        "size": weakest.conductor.size,
        "ampacity": three_digits(carries.amperes),
    }
    if rating > carries.amperes:
        reason = message("fusesize.none_wire", **values)
        return FuseProposal(None, (reason, message("propose.codes")), unknown)
    reasons = (
        message("fusesize.load", **values, share=round(100 * LOADED)),
        message("fusesize.wire", **values, basis=known_from(carries)),
        message("fusesize.place"),
        message("propose.codes"),
    )
    return FuseProposal(rating, reasons, unknown)


def three_digits(value: float) -> float:
    """Return a number of amperes or metres as the trade says it, not in mA or mm.

    Examples
    --------
    >>> three_digits(7.5), three_digits(4.1234)
    (7.5, 4.12)
    """
    return float(f"{value:.3g}")


def known_from(found: Ampacity) -> Message:
    """Return the words for where an ampacity comes from: how it is known, and its source."""
    kind = message(f"basis.{found.basis.kind.value}")
    return message("propose.basis", kind=kind, source=found.basis.source, row=found.row)


def _unknown(need: FuseNeed) -> tuple[Message, ...]:
    found = [message("wiresize.no_current")] if math.isnan(need.load) else []
    for wire in need.wires:
        size = wire.conductor.size
        if wire.stands is None:
            found.append(message("fusesize.no_ampacity", size=size))
        if wire.temperature is None:
            around = SiValue(TABLED_AT, Kind.TEMPERATURE)
            found.append(message("fusesize.no_temperature", size=size, around=around))
        if wire.insulation is None:
            rated = SiValue(LEAST_INSULATION, Kind.TEMPERATURE)
            found.append(message("fusesize.no_insulation", size=size, rated=rated))
    return tuple(dict.fromkeys(found))


def _check(need: FuseNeed) -> None:
    problems = [] if need.wires else [message("fusesize.no_wire")]
    if not (math.isnan(need.load) or 0.0 <= need.load < math.inf):
        what, value = message("wiresize.what.current"), SiValue(need.load, Kind.CURRENT)
        problems.append(message("wiresize.not_possible", what=what, value=value))
    found = (insulation_problem(wire.insulation) for wire in need.wires)
    problems += [problem for problem in found if problem is not None]
    if problems:
        raise UserError(tuple(dict.fromkeys(problems)))
