"""A gauge: its movement, its dial and what is known of both."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from catalog.curves.characteristic import Characteristic
from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.parts.fields import (
    QUANTITY_KIND,
    AngleFigure,
    OhmFigure,
    Ohms,
    QuantityName,
    Reading,
    Share,
    ShareFigure,
    Signal,
    VoltFigure,
    Volts,
)
from catalog.parts.laws import Point, SenderLaw, characteristic, check_law, point_problems
from catalog.provenance import UNSTATED, Basis
from catalog.quantities.kinds import Kind, unit_named


@dataclass(frozen=True)
class RatioMovement:
    """Cross-coil, air-core or two-coil moving iron: the needle follows a ratio of currents.

    Attributes
    ----------
    supply_coil : Figure or None
        Between the supply and the signal terminal; None where nobody knows it.
    earth_coil : Figure or None
        Between the signal and the earth terminal.
    pull_off : Figure or None
        How far mid-scale moves from 11 to 14.4 V, as a share of the scale, because of the
        magnet that pulls the needle off when switched off; None where nobody knows it.
    copper : Figure or None
        Share of the coils' ohms at 20 °C that is copper and grows as they warm, 0 to 1; the
        rest is swamping resistors. None where nobody knows it.
    """

    supply_coil: OhmFigure | None = None
    earth_coil: OhmFigure | None = None
    pull_off: ShareFigure | None = None
    copper: ShareFigure | None = None


@dataclass(frozen=True)
class HeaterMovement:
    """A bimetal heated by the current: the needle follows its heat.

    Attributes
    ----------
    heater : Figure or None
        Resistance of the heater winding.
    feed : Figure or None
        Heat-equivalent (root mean square) volts that it is made for, behind its stabiliser.
    """

    heater: OhmFigure | None = None
    feed: VoltFigure | None = None


@dataclass(frozen=True)
class CoilMovement:
    """A moving coil or single iron: the needle follows the current.

    Attributes
    ----------
    coil : Figure or None
        Resistance between the supply and the signal terminal.
    feed : Figure or None
        Volts at which the dial was marked.
    copper : Figure or None
        Share of the coil's ohms at 20 °C that is copper, 0 to 1; None where nobody knows it.
    """

    coil: OhmFigure | None = None
    feed: VoltFigure | None = None
    copper: ShareFigure | None = None


@dataclass(frozen=True)
class ElectronicMovement:
    """An electronic gauge: the signal voltage behind a pull-up, compared with a reference.

    Attributes
    ----------
    pull_up : Figure or None
        Resistor between the signal terminal and its rail.
    rail : str
        "reference" where the pull-up hangs on the reference, "supply" where it hangs on the
        gauge's supply while the reference is fixed, or "unknown".
    reference : Figure or None
        Reference volts.
    feed : Figure or None
        Volts of the supply at which the dial was marked; matters on the supply rail only.
    """

    pull_up: OhmFigure | None = None
    rail: Literal["reference", "supply", "unknown"] = "unknown"
    reference: VoltFigure | None = None
    feed: VoltFigure | None = None


@dataclass(frozen=True)
class VoltageInput:
    """An instrument that reads volts from a transmitter."""


@dataclass(frozen=True)
class LoopInput:
    """An instrument that reads a current loop (4–20 mA)."""

    burden: OhmFigure | None = None


@dataclass(frozen=True)
class UnknownMovement:
    """Nobody knows yet what turns the pointer of a gauge that wants ohms.

    Its dial can still be judged by the ohms at its marks; what a supply or a pull-up does cannot.
    """


Movement = (
    RatioMovement
    | HeaterMovement
    | CoilMovement
    | ElectronicMovement
    | VoltageInput
    | LoopInput
    | UnknownMovement
)


@dataclass(frozen=True)
class DialMark:
    """A mark of the dial and what puts the needle there.

    Attributes
    ----------
    at : Amount
        Value printed or meant at the mark.
    needs : Amount
        Ohms in the sender's place (volts or amperes for such inputs) that put the needle
        there, tapped.
    from_below, from_above : Amount or None
        The same without tapping, approached from either side: half their distance is friction.
    basis : Basis or None
        Where the mark comes from, if not as the rest.
    """

    at: Reading
    needs: Signal
    from_below: Signal | None = None
    from_above: Signal | None = None
    basis: Basis | None = None


@dataclass(frozen=True)
class ScaledFor:
    """The class of sender for which a dial was drawn, with the law of that class."""

    key: str
    name: str
    law: SenderLaw


@dataclass(frozen=True)
class TerminalReadings:
    """Ohms between the three terminals of a loose gauge, and the meter's error.

    Attributes
    ----------
    supply_earth, supply_signal, signal_earth : Amount
        The three readings, meter leads zeroed.
    meter_error : Amount
        Relative error of the meter.
    """

    supply_earth: Ohms
    supply_signal: Ohms
    signal_earth: Ohms
    meter_error: Share


@dataclass(frozen=True)
class SourceTest:
    """Two test resistors in the sender's place, the volts across each, and the supply then.

    Attributes
    ----------
    first, second : Amount
        Test resistors, far apart.
    first_volts, second_volts : Amount
        Volts across each.
    supply : Amount
        Supply of the gauge, read at the same moment.
    meter_error : Amount
        Relative error of the meter.
    """

    first: Ohms
    first_volts: Volts
    second: Ohms
    second_volts: Volts
    supply: Volts
    meter_error: Share


@dataclass(frozen=True)
class Gauge:
    """One class of gauge, or one that the user measured.

    Attributes
    ----------
    key, name : str
        Name for files and commands; what it is, by its electrical characteristic.
    quantity : str
        "level", "pressure" or "temperature".
    movement : Movement
        What turns the pointer.
    low, high : Amount
        Values at the two ends of the scale.
    marks : tuple of DialMark
        In order of the value; empty where nobody knows any, or `scaled_for` says it all.
    scaled_for : ScaledFor or None
        Class of sender for which the dial was drawn.
    system : tuple of str
        Supply systems that it is made for: "6 V", "12 V", "24 V".
    stop_low, stop_high : Amount or None
        Where the needle meets its stops; None: assumed 5 % of scale beyond the ends.
    sweep : Figure or None
        Angle between the ends of the scale.
    dial_error : Figure or None
        How far its dial may be off either way, as a share of the scale; None where nobody knows.
    needle_width : Figure or None
        How far a reading off its needle may be out either way, as a share of the scale.
    terminals, source : TerminalReadings, SourceTest or None
        What the user measured at the terminals.
    basis : Basis
        Where the marks come from, if not said at the mark.
    notes : str
        What else is known, in a sentence.
    """

    key: str
    name: str
    quantity: QuantityName
    movement: Movement
    low: Reading
    high: Reading
    marks: tuple[DialMark, ...] = ()
    scaled_for: ScaledFor | None = None
    system: tuple[Literal["6 V", "12 V", "24 V"], ...] = ()
    stop_low: Reading | None = None
    stop_high: Reading | None = None
    sweep: AngleFigure | None = None
    dial_error: ShareFigure | None = None
    needle_width: ShareFigure | None = None
    terminals: TerminalReadings | None = None
    source: SourceTest | None = None
    basis: Basis = UNSTATED
    notes: str = ""

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the dial."""
        problems = _dial_problems(self)
        if problems:
            raise UserError(problems)
        if self.scaled_for is not None:
            check_law(self.scaled_for.law, self.quantity)

    @property
    def quantity_kind(self) -> Kind:
        """Kind of the value that is measured."""
        return QUANTITY_KIND[self.quantity]

    @property
    def signal(self) -> Kind:
        """Whether it wants ohms, volts or amperes."""
        if isinstance(self.movement, VoltageInput):
            return Kind.VOLTAGE
        return Kind.CURRENT if isinstance(self.movement, LoopInput) else Kind.RESISTANCE

    @cached_property
    def own_class(self) -> Characteristic | None:
        """Numeric curve of the class for which the dial was drawn, if it names one."""
        if self.scaled_for is None:
            return None
        return characteristic(self.scaled_for.law, self.quantity)


def _dial_problems(gauge: Gauge) -> list[Message]:
    kind = QUANTITY_KIND[gauge.quantity]
    wrong = [
        message("dial.wrong_quantity", text=str(amount), quantity=gauge.quantity)
        for amount in (gauge.low, gauge.high, gauge.stop_low, gauge.stop_high)
        if amount is not None and unit_named(kind, amount.unit) is None
    ]
    if wrong:
        return wrong
    low, high = gauge.low.si(kind), gauge.high.si(kind)
    if low >= high:
        return [message("dial.empty_scale", low=SiValue(low, kind), high=SiValue(high, kind))]
    stops = (gauge.stop_low, low, 1.0), (gauge.stop_high, high, -1.0)
    problems = [
        message("dial.stop_inside", stop=SiValue(stop.si(kind), kind), end=SiValue(end, kind))
        for stop, end, sign in stops
        if stop is not None and (stop.si(kind) - end) * sign > 0.0
    ]
    if gauge.marks:
        points = tuple(Point(mark.at, mark.needs) for mark in gauge.marks)
        problems += point_problems(points, gauge.quantity)
    return problems
