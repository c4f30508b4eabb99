"""What a sender gives at each value, as it is known: a table, a formula, or nothing usable."""

from dataclasses import dataclass
from typing import Literal

from catalog.curves.characteristic import Characteristic, Guessed
from catalog.curves.family import KEEP_THERMISTOR, EndsOnly
from catalog.curves.formulas import Beta, Platinum, SteinhartHart, beta_through
from catalog.curves.interpolated import Displaced, Interpolated
from catalog.errors import UserError, user_error
from catalog.message import Message, SiValue, message
from catalog.parts.fields import (
    QUANTITY_KIND,
    SIGNAL_KINDS,
    CelsiusFigure,
    KelvinFigure,
    OhmFigure,
    QuantityName,
    Reading,
    Signal,
    VoltFigure,
)
from catalog.provenance import UNSTATED, Basis, Tolerance
from catalog.quantities.kinds import Kind, unit_named

Shape = Literal["unknown", "straight", "thermistor"]


@dataclass(frozen=True)
class Point:
    """One known point of a sender or a dial.

    Attributes
    ----------
    at : Amount
        Level, pressure or temperature.
    gives : Amount
        Ohms, volts or amperes there.
    basis : Basis or None
        Where this point comes from, if not as the rest of the table.
    """

    at: Reading
    gives: Signal
    basis: Basis | None = None


@dataclass(frozen=True)
class TableLaw:
    """A law known at points.

    Attributes
    ----------
    points : tuple of Point
        At least two, in order of the value; what they give is strictly monotone.
    shape : str
        How it runs between the points: "unknown" (a smooth monotone curve is drawn, and how
        far that may be wrong is counted), "straight" (stated to be a straight track), or
        "thermistor" (as "unknown", in the logarithm of the ohms).
    tolerance : Tolerance or None
        None where nobody knows it.
    basis : Basis
        Where the points come from, if not said at the point.
    """

    points: tuple[Point, ...]
    shape: Shape = "unknown"
    tolerance: Tolerance | None = None
    basis: Basis = UNSTATED


@dataclass(frozen=True)
class BetaLaw:
    """A thermistor after R(T) = Rref·exp(β·(1/T − 1/Tref)); see ``catalog.curves.formulas``."""

    low: Reading
    high: Reading
    resistance: OhmFigure
    beta: KelvinFigure
    reference: CelsiusFigure
    tolerance: Tolerance | None = None


@dataclass(frozen=True)
class SteinhartHartLaw:
    """A thermistor after 1/T = a + b·ln R + c·(ln R)³; a, b, c in 1/K."""

    low: Reading
    high: Reading
    a: float
    b: float
    c: float
    tolerance: Tolerance | None = None
    basis: Basis = UNSTATED


@dataclass(frozen=True)
class PlatinumLaw:
    """A platinum thermometer after IEC 60751 with its resistance at 0 °C."""

    low: Reading
    high: Reading
    resistance: OhmFigure
    tolerance: Tolerance | None = None


@dataclass(frozen=True)
class TransmitterLaw:
    """An active transmitter: volts or amperes along a straight line.

    Attributes
    ----------
    low, high : Point
        Output at the two ends of the range.
    follows_supply : str
        "yes" where the output is a share of its own supply (ratiometric), "no", "unknown".
    supply : Figure or None
        Its own supply, at which the points hold.
    """

    low: Point
    high: Point
    follows_supply: Literal["yes", "no", "unknown"] = "unknown"
    supply: VoltFigure | None = None
    tolerance: Tolerance | None = None
    basis: Basis = UNSTATED


@dataclass(frozen=True)
class SwitchLaw:
    """A switch only: it lights a lamp and moves no needle.

    Attributes
    ----------
    operates, resets : Amount
        Value at which it changes over on the way up, and back on the way down; None if unknown.
    contact : str
        State of the contact below the operating value: "open" or "closed".
    """

    operates: Reading
    contact: Literal["open", "closed"]
    resets: Reading | None = None
    tolerance: Tolerance | None = None
    basis: Basis = UNSTATED


@dataclass(frozen=True)
class PulsedLaw:
    """A sender whose heated contact opens and closes: it has no ohm curve."""

    basis: Basis = UNSTATED


@dataclass(frozen=True)
class ActiveLaw:
    """A sensor with electronics of its own and an unknown output: no ohm curve either."""

    basis: Basis = UNSTATED


@dataclass(frozen=True)
class UnknownLaw:
    """Nothing is known yet of what the sender gives: to be chosen or measured."""


SenderLaw = (
    TableLaw
    | BetaLaw
    | SteinhartHartLaw
    | PlatinumLaw
    | TransmitterLaw
    | SwitchLaw
    | PulsedLaw
    | ActiveLaw
    | UnknownLaw
)


def point_problems(points: tuple[Point, ...], quantity: QuantityName) -> list[Message]:
    """Return what is wrong with a table of points, a message for each problem.

    Parameters
    ----------
    points : tuple of Point
        Rows of the table in the order given; rows count from 1 in the messages.
    quantity : str
        What the values are.

    Returns
    -------
    list of Message
        Empty when the table can be used.
    """
    if len(points) < 2:
        return [message("table.short", rows=len(points))]
    kind = QUANTITY_KIND[quantity]
    problems = [
        message("table.wrong_quantity", row=row, text=str(point.at), quantity=quantity)
        for row, point in enumerate(points, 1)
        if unit_named(kind, point.at.unit) is None
    ]
    signals = {signal_kind(point) for point in points}
    if len(signals) > 1:
        problems.append(message("table.mixed_signals"))
    if problems:
        return problems
    signal = signals.pop()
    rows = [(p.at.si(kind), p.gives.si(signal)) for p in points]
    return _order_problems(rows, kind, signal)


def _order_problems(rows: list[tuple[float, float]], kind: Kind, signal: Kind) -> list[Message]:
    problems = [
        message("table.negative", row=row, value=SiValue(y, signal))
        for row, (_, y) in enumerate(rows, 1)
        if y < 0.0
    ]
    rising = rows[-1][1] > rows[0][1]
    for row in range(2, len(rows) + 1):
        (x0, y0), (x1, y1) = rows[row - 2], rows[row - 1]
        pair = {"row": row, "before": row - 1}
        if x1 == x0:
            problems.append(message("table.same_value", value=SiValue(x1, kind), **pair))
        elif x1 < x0:
            problems.append(message("table.unsorted", value=SiValue(x1, kind), **pair))
        elif y1 == y0:
            problems.append(message("table.flat", value=SiValue(y1, signal), **pair))
        elif (y1 > y0) != rising:
            problems.append(message("table.turns", value=SiValue(y1, signal), **pair))
    return problems


def signal_kind(point: Point) -> Kind:
    """Return whether a point is in ohms, volts or amperes."""
    for kind in SIGNAL_KINDS:
        if unit_named(kind, point.gives.unit) is not None:
            return kind
    raise user_error("table.no_signal", text=str(point.gives))


def check_law(law: SenderLaw, quantity: QuantityName) -> None:
    """Raise UserError with every problem of a law; say nothing when it can be used."""
    kind = QUANTITY_KIND[quantity]
    problems: list[Message] = []
    if isinstance(law, TableLaw):
        problems = point_problems(law.points, quantity)
        if not problems and law.shape == "thermistor":
            problems = _thermistor_problems(law)
    elif isinstance(law, TransmitterLaw):
        problems = point_problems((law.low, law.high), quantity)
    elif isinstance(law, SwitchLaw):
        if unit_named(kind, law.operates.unit) is None:
            problems = [message("law.wrong_quantity", text=str(law.operates), quantity=quantity)]
    elif isinstance(law, BetaLaw | SteinhartHartLaw | PlatinumLaw):
        problems = _formula_problems(law, quantity)
    if problems:
        raise UserError(problems)


def _thermistor_problems(law: TableLaw) -> list[Message]:
    return [
        message("table.zero_in_log", row=row)
        for row, point in enumerate(law.points, 1)
        if point.gives.number <= 0.0
    ]


def _formula_problems(
    law: BetaLaw | SteinhartHartLaw | PlatinumLaw, quantity: QuantityName
) -> list[Message]:
    if quantity != "temperature":
        return [message("law.temperature_only")]
    low, high = law.low.si(Kind.TEMPERATURE), law.high.si(Kind.TEMPERATURE)
    if low >= high:
        return [
            message(
                "law.empty_range",
                low=SiValue(low, Kind.TEMPERATURE),
                high=SiValue(high, Kind.TEMPERATURE),
            )
        ]
    return []


def characteristic(law: SenderLaw, quantity: QuantityName) -> Characteristic | None:
    """Return the numeric curve of a law, or None where it has none (switch, pulsed, active).

    Parameters
    ----------
    law : SenderLaw
        A law that `check_law` has passed.
    quantity : str
        What its values are.
    """
    kind = QUANTITY_KIND[quantity]
    if isinstance(law, TableLaw):
        return _table(law, kind)
    if isinstance(law, TransmitterLaw):
        signal = signal_kind(law.low)
        ends = tuple((p.at.si(kind), p.gives.si(signal)) for p in (law.low, law.high))
        return Interpolated(ends, straight=True, known=True)
    if isinstance(law, BetaLaw | SteinhartHartLaw | PlatinumLaw):
        return _formula(law)
    return None


def _table(law: TableLaw, kind: Kind) -> Characteristic:
    signal = signal_kind(law.points[0])
    points = tuple((p.at.si(kind), p.gives.si(signal)) for p in law.points)
    if law.shape == "straight":
        return Interpolated(points, straight=True, known=True)
    if law.shape == "thermistor" and len(points) == 2:
        beta = beta_through(points[0], points[1])
        return Guessed(beta, tuple(Displaced(beta, k) for k in (KEEP_THERMISTOR, -KEEP_THERMISTOR)))
    if law.shape == "thermistor":
        return Interpolated(points, log=True)
    if len(points) == 2:
        (x0, y0), (x1, y1) = points
        return EndsOnly(x0, x1, y0, y1)
    return Interpolated(points)


def _formula(law: BetaLaw | SteinhartHartLaw | PlatinumLaw) -> Characteristic:
    low, high = law.low.si(Kind.TEMPERATURE), law.high.si(Kind.TEMPERATURE)
    if isinstance(law, SteinhartHartLaw):
        return SteinhartHart(low, high, law.a, law.b, law.c)
    ohms = law.resistance.si(Kind.RESISTANCE)
    if isinstance(law, PlatinumLaw):
        return Platinum(low, high, ohms)
    beta = law.beta.si(Kind.THERMISTOR_BETA)
    return Beta(low, high, ohms, beta, law.reference.si(Kind.TEMPERATURE))
