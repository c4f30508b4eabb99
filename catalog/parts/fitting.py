"""How a sender and its port are made outside their curve: thread, seal, return, ratings, switch.

All is optional: what nobody said is unknown, and the fit says so. Threads are named as the
standards do; ``catalog.threads.designation`` reads them. How a sender returns its current is said
once, by ``Sender.earth_return``.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.fields import (
    AmpereFigure,
    CelsiusFigure,
    Difference,
    Length,
    OhmFigure,
    PressureFigure,
    Reading,
)
from catalog.provenance import UNSTATED, Basis, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference, unit_named
from catalog.threads.designation import parse_thread

Medium = Literal[
    "oil", "coolant", "water", "sea water", "waste water", "petrol", "diesel", "air", "exhaust gas"
]
Seal = Literal[
    "metal", "compound", "tape", "bonded washer", "crush washer", "O-ring face", "unknown"
]
YesNo = Literal["yes", "no", "unknown"]
Track = Literal["wire or film in the open", "sealed contacts", "no track", "unknown"]
MountedAt = Literal[
    "cylinder head", "thermostat housing", "engine block", "radiator bottom", "expansion tank",
    "oil sump", "oil gallery after the filter", "oil gallery before the filter", "oil cooler",
    "gearbox", "fuel tank", "fuel line", "water tank", "intake manifold", "air line", "unknown",
]  # fmt: skip


LONGEST = 1.0
"""Longest length of a sender or port [m], its probe left out."""

LONGEST_PROBE = 5.0
"""Longest probe, of a level sender in a deep tank [m]."""

ABSOLUTE_ZERO = -273.15
HOTTEST = 1500.0
"""Temperatures that a part may meet [°C]: above absolute zero, and no engine's gas is hotter."""

HIGHEST_PRESSURE = 1e9
"""Highest pressure of a part [Pa], 10,000 bar: four times what an injection rail has."""


@dataclass(frozen=True)
class WarningSwitch:
    """A switch in a sender's body, or a sender that is one.

    Attributes
    ----------
    operates : Amount
        Value at which it changes over on the way up.
    hysteresis : Amount or None
        It changes back so much lower.
    tolerance : Tolerance or None
        Half width of where it operates.
    below : str
        State of the contact below its point: "open", "closed" or "unknown".
    contact_rating : Figure or None
        Highest current of the contact.
    leak : Figure or None
        Resistance across the open contact.
    basis : Basis
        Where the point comes from.
    """

    operates: Reading
    hysteresis: Difference | None = None
    tolerance: Tolerance | None = None
    below: Literal["open", "closed", "unknown"] = "unknown"
    contact_rating: AmpereFigure | None = None
    leak: OhmFigure | None = None
    basis: Basis = UNSTATED

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the fields."""
        problems = [
            message("switch.not_positive", text=str(figure.amount))
            for figure in (self.contact_rating, self.leak)
            if figure is not None and not figure.amount.number > 0.0
        ]
        tolerance = None if self.tolerance is None else self.tolerance.half_width
        sizes = [size for size in (self.hysteresis, tolerance) if size is not None]
        if any(size.number < 0.0 for size in sizes):
            problems.append(message("switch.below_zero"))
        if problems:
            raise UserError(problems)


@dataclass(frozen=True)
class SenderFitting:
    """What a sender needs around it to go in.

    Attributes
    ----------
    thread : str or None
        Designation of its male thread, "1/8-27 NPT".
    seal : str
        What seals it in its port.
    thread_length : Amount or None
        Threaded length.
    terminals : int or None
        Terminals or wires besides its body.
    max_pressure, proof_pressure : Figure or None
        Highest working and proof pressure.
    coldest, hottest : Figure or None
        Temperatures that it stands.
    media : tuple of str
        What it is stated for; empty: unknown.
    probe, probe_diameter : Amount or None
        Length from the face of its thread to its tip, and thickness of what reaches beyond its
        thread.
    body_length, body_mass_grams : Amount, float or None
        What stands outside the port.
    made_for_fuel : str
        Whether it is stated for a place in or above fuel.
    track : str
        What of its track the medium touches.
    switch : WarningSwitch or None
        Its switch, if it has one.
    basis : Basis
        Where all this comes from.
    """

    thread: str | None = None
    seal: Seal = "unknown"
    thread_length: Length | None = None
    terminals: int | None = None
    max_pressure: PressureFigure | None = None
    proof_pressure: PressureFigure | None = None
    coldest: CelsiusFigure | None = None
    hottest: CelsiusFigure | None = None
    media: tuple[Medium, ...] = ()
    probe: Length | None = None
    probe_diameter: Length | None = None
    body_length: Length | None = None
    body_mass_grams: float | None = None
    made_for_fuel: YesNo = "unknown"
    track: Track = "unknown"
    switch: WarningSwitch | None = None
    basis: Basis = UNSTATED

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the fields."""
        problems = thread_problems(self.thread, "male")
        if self.terminals is not None and not 0 < self.terminals <= 12:
            problems.append(message("fitting.terminals", count=self.terminals))
        lengths = {
            "thread_length": self.thread_length,
            "probe_diameter": self.probe_diameter,
            "body_length": self.body_length,
        }
        problems += length_problems(lengths)
        problems += length_problems({"probe": self.probe}, LONGEST_PROBE)
        if self.body_mass_grams is not None and not 0.0 < self.body_mass_grams < 1e5:
            problems.append(message("fitting.mass", grams=self.body_mass_grams))
        problems += self._rating_problems()
        if problems:
            raise UserError(problems)

    def _rating_problems(self) -> list[Message]:
        kind, found = Kind.PRESSURE, []
        rated, proof = (
            None if one is None else one.si(kind)
            for one in (self.max_pressure, self.proof_pressure)
        )
        if any(one is not None and not one > 0.0 for one in (rated, proof)):
            found.append(message("pressure_rating.not_positive"))
        elif rated is not None and proof is not None and proof < rated:
            order = {"rated": SiValue(rated, kind), "proof": SiValue(proof, kind)}
            found.append(message("pressure_rating.order", **order))
        found += pressure_problems(
            {"max_pressure": self.max_pressure, "proof_pressure": self.proof_pressure}
        )
        found += temperature_problems({"coldest": self.coldest, "hottest": self.hottest})
        if self.coldest is not None and self.hottest is not None:
            low, high = (
                SiValue(one.si(Kind.TEMPERATURE), Kind.TEMPERATURE)
                for one in (self.coldest, self.hottest)
            )
            if low.value > high.value:
                found.append(message("heat.order", low=low, high=high))
        return found


@dataclass(frozen=True)
class Port:
    """The hole in the engine, tank or pipe.

    Attributes
    ----------
    thread : str or None
        Designation of its female thread.
    depth : Amount or None
        Threaded depth.
    wall : Amount or None
        Boss and wall from the face to the flow.
    mounted_at : str
        Where on the engine it sits.
    highest_point : str
        Whether it lies where air gathers.
    bled : str
        Whether it can be bled there.
    hottest, coldest : Figure or None
        Temperatures met there.
    shared_with_controller : str
        Whether an engine controller reads what sits there.
    basis : Basis
        Where all this comes from.
    """

    thread: str | None = None
    depth: Length | None = None
    wall: Length | None = None
    mounted_at: MountedAt = "unknown"
    highest_point: YesNo = "unknown"
    bled: YesNo = "unknown"
    hottest: CelsiusFigure | None = None
    coldest: CelsiusFigure | None = None
    shared_with_controller: YesNo = "unknown"
    basis: Basis = UNSTATED

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the fields."""
        problems = thread_problems(self.thread, "female")
        problems += length_problems({"depth": self.depth, "wall": self.wall})
        problems += temperature_problems(
            {"port_coldest": self.coldest, "port_hottest": self.hottest}
        )
        if problems:
            raise UserError(problems)


def thread_problems(name: str | None, gender: Literal["male", "female"]) -> list[Message]:
    """Return what is wrong with the designation of a part's thread; empty where none is named."""
    if name is None:
        return []
    try:
        found = parse_thread(name, gender)
    except UserError as error:
        return list(error.messages)
    if found.part(gender) is None:
        return [message(f"thread_fit.no_{gender}", name=found.designation)]
    return []


def length_problems(lengths: dict[str, Amount | None], most: float = LONGEST) -> list[Message]:
    """Return a message for each length that is not above zero or beyond the most [m]."""
    found = []
    for name, length in lengths.items():
        if length is None:
            continue
        what = message(f"step.fit.{name}")
        if not length.si(Kind.LENGTH) > 0.0:
            found.append(message("fitting.length", what=what, text=str(length)))
        elif length.si(Kind.LENGTH) > most:
            limit = SiValue(most, Kind.LENGTH)
            found.append(message("fitting.too_long", what=what, text=str(length), most=limit))
    return found


def temperature_problems(
    temperatures: Mapping[str, Figure | Amount | None], step: str = "fit"
) -> list[Message]:
    """Return a message for each temperature that no part of an engine can meet."""
    found = []
    for name, figure in temperatures.items():
        if figure is None or ABSOLUTE_ZERO < figure.si(Kind.TEMPERATURE) <= HOTTEST:
            continue
        cold = figure.si(Kind.TEMPERATURE) <= ABSOLUTE_ZERO
        key = "fitting.below_zero" if cold else "fitting.too_hot"
        limit = SiValue(ABSOLUTE_ZERO if cold else HOTTEST, Kind.TEMPERATURE)
        what = message(f"step.{step}.{name}")
        found.append(message(key, what=what, text=_typed(figure), limit=limit))
    return found


def pressure_problems(
    pressures: Mapping[str, Figure | Amount | None], step: str = "fit"
) -> list[Message]:
    """Return a message for each pressure that nothing stands."""
    limit = SiValue(HIGHEST_PRESSURE, Kind.PRESSURE)
    return [
        message(
            "fitting.too_much",
            what=message(f"step.{step}.{name}"),
            text=_typed(figure),
            limit=limit,
        )
        for name, figure in pressures.items()
        if figure is not None and figure.si(Kind.PRESSURE) > HIGHEST_PRESSURE
    ]


def _typed(figure: Figure | Amount) -> str:
    return str(figure.amount if isinstance(figure, Figure) else figure)


def check_switch(switch: WarningSwitch, kind: Kind) -> None:
    """Raise UserError where a switch's point, hysteresis or tolerance is of another quantity."""
    apart = difference(kind)
    width = None if switch.tolerance is None else switch.tolerance.half_width
    wrong = [
        str(amount)
        for amount, of in ((switch.operates, kind), (switch.hysteresis, apart), (width, apart))
        if amount is not None and unit_named(of, amount.unit) is None and amount.unit != "%"
    ]
    if wrong:
        raise UserError([message("switch.other_quantity", text=text) for text in wrong])
    bounds = {"operates": switch.operates}
    problems = temperature_problems(bounds) if kind is Kind.TEMPERATURE else []
    problems += pressure_problems(bounds) if kind is Kind.PRESSURE else []
    if problems:
        raise UserError(problems)
