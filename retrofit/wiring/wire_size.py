"""The size of a wire: the thinnest that is strong, cool, and low enough in ohms, and why."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from catalog.message import Message, SiValue, Value, message
from catalog.quantities.kinds import Kind
from catalog.wires import (
    INSULATIONS,
    Ampacity,
    Conductor,
    ampacity,
    awg,
    metric,
)
from catalog.wires.ampacity import TABLED_AT
from retrofit.wiring.fuse_size import LOADED, known_from, rating_for, three_digits
from retrofit.wiring.wire_need import WireNeed, check_need

Criterion = Literal["strength", "current", "drop", "shift"]

COOLER = 10.0
"""Kelvin by which insulation should be rated above its place (common practice, no source)."""

STRANDS = 0.2
"""Share by which strands, tinned ones too, may exceed the formula of solid copper (assumed: no
size of IEC 60228 class 5 from 0.5 to 25 mm² does by more)."""

_GAUGES = (20, 18, 16, 14, 12, 10, 8, 6, 4)


@dataclass(frozen=True)
class _Strength:
    """The thinnest wire for strength in metric and in gauge sizes, and the key of the reason."""

    metric: str
    gauge: str
    key: str


_VEHICLE = _Strength("0.5 mm²", "AWG 20", "wiresize.strength")
_BOAT = _Strength("1 mm²", "AWG 16", "wiresize.strength_boat")
_BOAT_SHEATH = _Strength("0.75 mm²", "AWG 18", "wiresize.strength_sheath")


@dataclass(frozen=True)
class WireProposal:
    """A wire to propose.

    Attributes
    ----------
    conductor : Conductor or None
        Its size; None where none will do or something is unknown.
    tinned : bool
        Whether its strands should be tinned.
    insulation : float
        What its insulation has to be rated for [°C]; NaN where none will do.
    ohm : float
        Its greatest resistance where it is hottest [Ω]; NaN without a size.
    drop : float
        What it then loses [V]; NaN without a size.
    ampacity : Ampacity or None
        What it carries for good there; None without a size.
    decided_by : str
        "strength", "current", "drop" or "shift": what asked for the thickest wire.
    reasons : tuple of Message
        Why, or why none; the last one defers to local codes.
    unknown : tuple of Message
        What is not known, and how to learn it.
    """

    conductor: Conductor | None
    tinned: bool
    insulation: float
    ohm: float
    drop: float
    ampacity: Ampacity | None
    decided_by: Criterion
    reasons: tuple[Message, ...]
    unknown: tuple[Message, ...] = ()


def greatest_ohms(wire: Conductor, length: float, temperature: float, *, tinned: bool) -> float:
    """Return the most ohms that a length of stranded wire may have [Ω].

    Parameters
    ----------
    wire : Conductor
        Its size. Of one that is known by a formula `STRANDS` is added.
    length, temperature : float
        [m], and of the copper [°C].
    tinned : bool
        Whether its strands are tinned.

    Examples
    --------
    >>> from catalog.wires import conductor
    >>> round(greatest_ohms(conductor("1 mm²"), 5.0, 20.0, tinned=False), 4)
    0.0975
    """
    more = 1.0 if wire.greatest else 1.0 + STRANDS
    return more * wire.ohms(length, temperature, tinned=tinned)


def propose_wire(need: WireNeed) -> WireProposal:
    """Return the thinnest wire that does what is needed, with the reasons.

    It is no thinner than strength asks; carries, where it lies, the fuse before it; at its
    hottest loses no more volts, and moves the needle no more, than is allowed. The copper is
    taken to be as hot as its place: at what an instrument takes it warms itself by no degree.

    Parameters
    ----------
    need : WireNeed
        What it has to do.

    Raises
    ------
    UserError
        For numbers that cannot be; all of them at once.

    Notes
    -----
    Tests: ``tests/retrofit/wiring/test_wire_size.py``.

    Examples
    --------
    >>> found = propose_wire(WireNeed(current=0.3, length=5.0, ohm=0.1, temperature=20.0))
    >>> found.conductor.size, found.decided_by
    ('1 mm²', 'shift')
    """
    check_need(need)
    unknown = _unknown(need)
    asked = _Asked(need)
    if math.isnan(need.current) or math.isnan(need.length):
        return _nothing(asked, "current", (), unknown)
    needed: dict[Criterion, int] = {}
    for criterion, does in asked.criteria().items():
        held = (i for i, wire in enumerate(asked.sizes) if does(wire))
        found = next(held, None)
        if found is None:
            return _nothing(asked, criterion, (asked.refusal(criterion),), unknown)
        needed[criterion] = found
    decided_by = max(needed, key=lambda one: needed[one])
    wire = asked.sizes[needed[decided_by]]
    return WireProposal(
        conductor=wire,
        tinned=need.boat,
        insulation=asked.insulation,
        ohm=asked.ohms(wire),
        drop=asked.ohms(wire) * need.current,
        ampacity=asked.carries(wire),
        decided_by=decided_by,
        reasons=asked.reasons(wire),
        unknown=unknown,
    )


class _Asked:
    """A need with what follows from it: the sizes there are, insulation, fuse, each criterion."""

    def __init__(self, need: WireNeed) -> None:
        self.need = need
        self.around = TABLED_AT if need.temperature is None else need.temperature
        rated = (one for one in INSULATIONS if one >= self.around + COOLER)
        self.insulation = next(rated, math.nan) if need.insulation is None else need.insulation
        self.strength = _VEHICLE if not need.boat else _BOAT_SHEATH if need.sheathed else _BOAT
        self.sizes = metric() if need.sizes == "metric" else tuple(awg(n) for n in _GAUGES)
        step = math.nan if math.isnan(need.current) else rating_for(need.current)
        self.fuse = need.fuse or step or need.current / LOADED

    @property
    def least(self) -> str:
        """Size of the thinnest wire for strength."""
        return self.strength.metric if self.need.sizes == "metric" else self.strength.gauge

    def ohms(self, wire: Conductor) -> float:
        """Greatest ohms of the run at its hottest."""
        return greatest_ohms(wire, self.need.length, self.around, tinned=self.need.boat)

    def carries(self, wire: Conductor) -> Ampacity | None:
        """What a size carries where it lies; None where no insulation stands it."""
        if math.isnan(self.insulation):
            return None
        return ampacity(wire, self.insulation, self.around)

    def criteria(self) -> dict[Criterion, Callable[[Conductor], bool]]:
        """Return what is asked of a size, as questions that a thicker one never fails first."""
        need = self.need
        least = next(one.area for one in self.sizes if one.size == self.least)
        asked: dict[Criterion, Callable[[Conductor], bool]] = {
            "strength": lambda wire: wire.area >= least,
            "current": self._cool,
        }
        drop, ohm = need.drop, need.ohm
        if drop is not None and not math.isnan(drop):
            asked["drop"] = lambda wire: self.ohms(wire) * need.current <= drop
        if ohm is not None and not math.isnan(ohm):
            asked["shift"] = lambda wire: self.ohms(wire) <= ohm
        return asked

    def _cool(self, wire: Conductor) -> bool:
        found = self.carries(wire)
        return found is not None and found.amperes >= self.fuse

    def reasons(self, wire: Conductor) -> tuple[Message, ...]:
        """Return why a size will do."""
        need, found = self.need, self.carries(wire)
        assert found is not None
        values = self._values(wire)
        told = [message(self.strength.key, least=self.least)]
        if need.boat:
            told.append(message("wiresize.tinned"))
        told.append(
            message(
                "wiresize.current" if need.fuse is None else "wiresize.current_fused",
                **values,
                ampacity=three_digits(found.amperes),
                insulation=SiValue(self.insulation, Kind.TEMPERATURE),
                basis=known_from(found),
            )
        )
        if need.drop is not None and not math.isnan(need.drop):
            told.append(message("wiresize.drop", **values))
        if need.ohm is not None and not math.isnan(need.ohm):
            told.append(message("wiresize.shift", **values))
        if not wire.greatest:
            told.append(message("wiresize.strands", size=wire.size, more=round(100 * STRANDS)))
        return (*told, message("propose.codes"))

    def refusal(self, criterion: Criterion) -> Message:
        """Return why no size will do."""
        values = self._values(self.sizes[-1])
        if criterion != "current":
            return message(f"wiresize.none_{criterion}", **values)
        if self.need.insulation is None and math.isnan(self.insulation):
            return message("wiresize.none_hot", **values)
        if self.need.insulation is not None and self.around >= self.insulation:
            insulation = SiValue(self.insulation, Kind.TEMPERATURE)
            return message("wiresize.none_insulation", **values, insulation=insulation)
        return message("wiresize.none_current", **values)

    def _values(self, wire: Conductor) -> dict[str, Value | Message]:
        need, ohm = self.need, self.ohms(wire)
        return {
            "size": wire.size,
            "length": three_digits(need.length),
            "temperature": SiValue(self.around, Kind.TEMPERATURE),
            "current": three_digits(need.current),
            "fuse": three_digits(self.fuse),
            "ohm": SiValue(ohm, Kind.RESISTANCE),
            "drop": SiValue(ohm * need.current, Kind.VOLTAGE),
            "allowed": SiValue(math.nan if need.drop is None else need.drop, Kind.VOLTAGE),
            "most": SiValue(math.nan if need.ohm is None else need.ohm, Kind.RESISTANCE),
        }


def _nothing(
    asked: _Asked,
    criterion: Criterion,
    why: tuple[Message, ...],
    unknown: tuple[Message, ...],
) -> WireProposal:
    return WireProposal(
        conductor=None,
        tinned=asked.need.boat,
        insulation=asked.insulation,
        ohm=math.nan,
        drop=math.nan,
        ampacity=None,
        decided_by=criterion,
        reasons=(*why, message("propose.codes")),
        unknown=unknown,
    )


def _unknown(need: WireNeed) -> tuple[Message, ...]:
    found = []
    if math.isnan(need.current):
        found.append(message("wiresize.no_current"))
    if math.isnan(need.length):
        found.append(message("wiresize.no_length"))
    if need.drop is not None and math.isnan(need.drop):
        found.append(message("wiresize.no_drop"))
    if need.ohm is not None and math.isnan(need.ohm):
        found.append(message("wiresize.no_shift"))
    if need.temperature is None:
        around = SiValue(TABLED_AT, Kind.TEMPERATURE)
        found.append(message("wiresize.no_temperature", around=around))
    return tuple(found)
