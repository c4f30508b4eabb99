"""The plan that a user saves: the duty, and pairings side by side. Knows no file, no Qt."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from catalog.errors import UserError, user_error
from catalog.message import Message, SiValue, message
from catalog.parts.fields import (
    QUANTITY_KIND,
    Celsius,
    Difference,
    Litres,
    Pressure,
    QuantityName,
    Reading,
)
from catalog.parts.fitting import MountedAt, pressure_problems, temperature_problems
from catalog.parts.gauge import Gauge
from catalog.parts.sender import Sender
from catalog.provenance import Figure
from catalog.quantities.kinds import Kind, difference, unit_named
from retrofit.installation import Installation, SenderLimits, TrimResistor, YesNo
from retrofit.plan.bench_tests import BenchTest
from retrofit.plan.fit_document import Fit, Warn

Side = Literal["high", "low", "unknown"]

Medium = Literal[
    "coolant",
    "oil",
    "petrol",
    "diesel",
    "fresh water",
    "waste water",
    "air",
    "other",
    "unknown",
]


@dataclass(frozen=True)
class DutyMark:
    """A value that matters: hot idle, relief pressure, reserve, boiling.

    Attributes
    ----------
    name : str
        What happens there.
    at : Amount
        The true value.
    allowed : Amount or None
        Allowed needle error there; None: the duty's general one.
    flatters : str
        The side on which a wrong needle hides danger: "high" where reading too high hides it
        (oil pressure, fuel), "low" where reading too low does (coolant, waste tank).
    """

    name: str
    at: Reading
    allowed: Difference | None = None
    flatters: Side = "unknown"


@dataclass(frozen=True)
class Duty:
    """What has to be read.

    Attributes
    ----------
    quantity : str
        "level", "pressure" or "temperature".
    low, high : Amount
        Range over which the needle has to be right.
    marks : tuple of DutyMark
        The marks that matter.
    allowed : Amount or None
        Allowed needle error over the range; None where nobody said.
    medium : str
        What is measured; it decides which cautions are shown.
    controller_shares : str
        Whether an engine controller reads the same sender.
    capacity : Amount or None
        What a full tank holds, to show a level in litres as well.
    original : SenderLimits or None
        What the original gauge gave the sender there; matters in fuel, for every pairing.
    highest_pressure, highest_temperature : Amount or None
        Highest that the sender meets there, peaks left out.
    warning : Warn or None
        From where on a warning has to be given; None where nobody said.
    point : str
        Point of the engine that the range and the marks mean.
    """

    quantity: QuantityName
    low: Reading
    high: Reading
    marks: tuple[DutyMark, ...] = ()
    allowed: Difference | None = None
    medium: Medium = "unknown"
    controller_shares: YesNo = "unknown"
    capacity: Litres | None = None
    original: SenderLimits | None = None
    highest_pressure: Pressure | None = None
    highest_temperature: Celsius | None = None
    warning: Warn | None = None
    point: MountedAt = "unknown"

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the duty."""
        problems = list(_duty_problems(self))
        if problems:
            raise UserError(problems)

    @property
    def kind(self) -> Kind:
        """Kind of the value that is read."""
        return QUANTITY_KIND[self.quantity]

    @property
    def span(self) -> tuple[float, float]:
        """Range over which the needle has to be right [SI]."""
        return self.low.si(self.kind), self.high.si(self.kind)

    @property
    def fuel(self) -> YesNo:
        """Whether it is fuel that the sender sits in; a tank of nobody knows what may hold it."""
        if self.medium in ("petrol", "diesel"):
            return "yes"
        maybe = self.quantity == "level" and self.medium in ("other", "unknown")
        return "unknown" if maybe else "no"

    def allowed_at(self, mark: DutyMark | None) -> float | None:
        """Return the allowed error [SI] at a mark (None: in general), or None if nobody said."""
        own = self.allowed if mark is None or mark.allowed is None else mark.allowed
        return None if own is None else own.si(difference(self.kind))


def _duty_problems(duty: Duty) -> Iterator[Message]:
    kind = duty.kind
    apart = difference(kind)
    readings = [duty.low, duty.high, *(mark.at for mark in duty.marks)]
    allowed = [a for a in (duty.allowed, *(mark.allowed for mark in duty.marks)) if a is not None]
    wrong = [a for a in readings if unit_named(kind, a.unit) is None]
    wrong += [a for a in allowed if unit_named(apart, a.unit) is None]
    for amount in wrong:
        yield message("duty.wrong_quantity", text=str(amount), quantity=duty.quantity)
    if wrong:
        return
    low, high = duty.span
    if low >= high:
        yield message("duty.empty_range", low=SiValue(low, kind), high=SiValue(high, kind))
    for mark in duty.marks:
        at = mark.at.si(kind)
        if not low <= at <= high:
            yield message(
                "duty.mark_outside",
                mark=mark.name,
                at=SiValue(at, kind),
                low=SiValue(low, kind),
                high=SiValue(high, kind),
            )
    for amount in allowed:
        if amount.si(apart) <= 0.0:
            yield message("duty.nothing_allowed", text=str(amount))
    if duty.capacity is not None and duty.capacity.number <= 0.0:
        yield message("duty.no_capacity", text=str(duty.capacity))
    yield from _warning_problems(duty)
    for figure in _original_figures(duty):
        if figure.amount.number <= 0.0:
            yield message("duty.no_original", text=str(figure.amount))


def _warning_problems(duty: Duty) -> Iterator[Message]:
    kind, warning, highest = duty.kind, duty.warning, duty.highest_pressure
    if highest is not None and not highest.si(Kind.PRESSURE) > 0.0:
        yield message("duty.no_pressure", text=str(highest))
    yield from pressure_problems({"highest_pressure": highest}, "duty")
    yield from temperature_problems({"highest_temperature": duty.highest_temperature}, "duty")
    if warning is None:
        return
    readings = [one for one in (warning.at, warning.normal) if one is not None]
    wrong = [one for one in readings if unit_named(kind, one.unit) is None]
    tolerance = warning.tolerance
    if tolerance is not None and unit_named(difference(kind), tolerance.unit) is None:
        wrong.append(tolerance)
    for amount in wrong:
        yield message("duty.wrong_quantity", text=str(amount), quantity=duty.quantity)
    if wrong:
        return
    if tolerance is not None and tolerance.si(difference(kind)) < 0.0:
        yield message("duty.warning_tolerance", text=str(tolerance))
    if warning.normal is None or warning.side == "unknown":
        return
    beyond = warning.normal.si(kind) - warning.at.si(kind)
    if beyond <= 0.0 if warning.side == "low" else beyond >= 0.0:
        yield message("duty.warning_order", at=str(warning.at), normal=str(warning.normal))


def _original_figures(duty: Duty) -> list[Figure]:
    original = duty.original
    if original is None:
        return []
    figures = (original.current, original.open_volts, original.short_current, original.supply)
    return [figure for figure in figures if figure is not None]


@dataclass(frozen=True)
class Origin:
    """Where a part of a plan was taken from: catalogue key, revision and content hash."""

    key: str
    revision: int
    content: str


@dataclass(frozen=True)
class Pairing:
    """One gauge with one sender and the trim between them.

    Attributes
    ----------
    label : str
        Its letter in the plan: "A", "B", …
    gauge, sender : Gauge, Sender
        Whole parts, so that a plan opens anywhere.
    installation : Installation
        What they hang on.
    trim : tuple of TrimResistor
        At most one resistor a place.
    gauge_origin, sender_origin : Origin or None
        Where the parts were taken from, if from a catalogue.
    fit : Fit or None
        How the sender is mounted; None where nobody said anything.
    """

    label: str
    gauge: Gauge
    sender: Sender
    installation: Installation
    trim: tuple[TrimResistor, ...] = ()
    gauge_origin: Origin | None = None
    sender_origin: Origin | None = None
    fit: Fit | None = None

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the pairing."""
        problems = [*_trim_problems(self.trim), *_supply_problems(self.installation)]
        if problems:
            raise UserError(problems)


def _trim_problems(trim: tuple[TrimResistor, ...]) -> Iterator[Message]:
    seen: set[str] = set()
    for resistor in trim:
        if resistor.place in seen:
            yield message("trim.same_place", place=resistor.place)
        seen.add(resistor.place)
        if resistor.value.number <= 0.0:
            yield message("trim.no_ohms", place=resistor.place, text=str(resistor.value))
        if resistor.rating is not None and resistor.rating.number <= 0.0:
            yield message("trim.no_watts", place=resistor.place, text=str(resistor.rating))
        track = resistor.track
        if track is not None and track.si(Kind.RESISTANCE) < resistor.value.si(Kind.RESISTANCE):
            yield message(
                "trim.beyond_track",
                place=resistor.place,
                text=str(resistor.value),
                track=str(track),
            )


def _supply_problems(installation: Installation) -> Iterator[Message]:
    supply = installation.supply
    volts = [supply.low, supply.nominal, supply.high]
    known = [v for v in volts if v is not None]
    values = [v.si(Kind.VOLTAGE) for v in known]
    if any(v <= 0.0 for v in values):
        yield message("supply.no_volts", text=str(min(known, key=lambda a: a.number)))
    elif values != sorted(values):
        yield message("supply.disorder", text=", ".join(str(v) for v in known))
    names = [load.name for load in installation.loads]
    for name in sorted({one for one in names if names.count(one) > 1}):
        yield message("loads.same_name", name=name)
    for load in installation.loads:
        if load.amperes is not None and load.amperes.si(Kind.CURRENT) < 0.0:
            yield message("loads.negative", load=load.name, text=str(load.amperes.amount))
    earth = installation.sender_earth
    if (
        earth is not None
        and earth.si(Kind.RESISTANCE) < 0.0
        and installation.sender_earth_reversed is None
    ):
        yield message("supply.negative_earth", text=str(earth.amount))


@dataclass(frozen=True)
class Plan:
    """The document: one quantity on one engine, its pairings side by side.

    Attributes
    ----------
    name : str
        What the user calls it.
    duty : Duty
        What has to be read.
    pairings : tuple of Pairing
        At least one; labels differ.
    notes : str
        Whatever the user wants to keep with it.
    mends : str
        Whether it mends an installation that reads wrong; then tests come before any trim.
    tests : tuple of BenchTest
        The tests done so far, or why one was left out; at most one of a kind.
    """

    name: str
    duty: Duty
    pairings: tuple[Pairing, ...]
    notes: str = ""
    mends: YesNo = "unknown"
    tests: tuple[BenchTest, ...] = ()

    def __post_init__(self) -> None:
        """Raise UserError where pairings are missing, doubled or about something else."""
        if not self.pairings:
            raise user_error("plan.no_pairing")
        labels = [pairing.label for pairing in self.pairings]
        for label in sorted({one for one in labels if labels.count(one) > 1}):
            raise user_error("plan.same_label", label=label)
        kinds = [test.kind for test in self.tests]
        for kind in sorted({one for one in kinds if kinds.count(one) > 1}):
            raise user_error("plan.same_test", test=message(f"tests.{kind}"))
        _check_trials(self)
        wrong = [
            message(
                "plan.other_quantity",
                part=part.name,
                part_quantity=part.quantity,
                quantity=self.duty.quantity,
            )
            for pairing in self.pairings
            for part in (pairing.gauge, pairing.sender)
            if part.quantity != self.duty.quantity
        ]
        if wrong:
            raise UserError(wrong)

    def pairing(self, label: str | None = None) -> Pairing:
        """Return the pairing labelled `label`, the first when left out.

        Raises
        ------
        UserError
            When no pairing has that label: names those there are.
        """
        if label is None:
            return self.pairings[0]
        for pairing in self.pairings:
            if pairing.label == label:
                return pairing
        known = ", ".join(pairing.label for pairing in self.pairings)
        raise user_error("plan.no_such_pairing", label=label, known=known)


def _check_trials(plan: Plan) -> None:
    """Raise UserError where a switch was tried at a value of another quantity."""
    kind = plan.duty.kind
    for pairing in plan.pairings:
        trial = None if pairing.fit is None else pairing.fit.trial
        if trial is None:
            continue
        error = trial.error
        wrong = [] if unit_named(kind, trial.at.unit) else [trial.at]
        if error is not None and unit_named(difference(kind), error.unit) is None:
            wrong.append(error)
        if wrong:
            text, quantity = str(wrong[0]), plan.duty.quantity
            raise user_error("duty.wrong_quantity", text=text, quantity=quantity)
