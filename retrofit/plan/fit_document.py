"""How a sender is mounted: port, adapters, seals, earth, switch and the panel. Knows no file.

All is optional: what nobody said is unknown, and the checks of the fit say what to measure.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from catalog.errors import UserError
from catalog.fittings.adapters import adapters
from catalog.message import Message, SiValue, message
from catalog.parts.fields import (
    AmpereFigure,
    Difference,
    Length,
    Ohms,
    Reading,
    VoltFigure,
    Watts,
)
from catalog.parts.fitting import Port, Seal, length_problems
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import shown
from retrofit.installation import YesNo

WarnSide = Literal["low", "high", "unknown"]
Through = Literal["none", "tee", "hose"]
Lights = Literal["switch closes", "switch opens", "unknown"]

MOST_ADAPTERS = 5

_PORT_UNSAID = Port()


@dataclass(frozen=True)
class Warn:
    """The value from which a warning has to be given.

    Attributes
    ----------
    at : Amount
        The lamp must be lit from here on towards danger.
    side : str
        Where danger lies: "low" (oil pressure) or "high" (coolant temperature).
    tolerance : Amount or None
        How far that value itself is in doubt, either way.
    normal : Amount or None
        Healthy value nearest to danger, such as hot idle: the lamp must be dark there.
    """

    at: Reading
    side: WarnSide = "unknown"
    tolerance: Difference | None = None
    normal: Reading | None = None


@dataclass(frozen=True)
class SwitchTrial:
    """Where a switch changed over on the bench.

    Attributes
    ----------
    at : Amount
        The reading on the way up.
    error : Amount or None
        Half width of its 95 % interval; None: counted as none.
    """

    at: Reading
    error: Difference | None = None


@dataclass(frozen=True)
class ChargeLamp:
    """A charge lamp whose bulb gave way to a diode.

    Attributes
    ----------
    bulb : Amount
        Watts of the old bulb.
    resistor : Amount or None
        Resistor beside the diode; None: there is none.
    rated : Amount or None
        Watts that the resistor is made for.
    """

    bulb: Watts
    resistor: Ohms | None = None
    rated: Watts | None = None


@dataclass(frozen=True)
class Panel:
    """The hole for the gauge.

    Attributes
    ----------
    hole, body : Amount or None
        Diameters of the hole and of the gauge behind its rim.
    room, depth : Amount or None
        Free depth behind the panel, and depth of the gauge behind its rim.
    """

    hole: Length | None = None
    body: Length | None = None
    room: Length | None = None
    depth: Length | None = None

    @property
    def said(self) -> bool:
        """Whether anything is known of it."""
        return any(each is not None for each in (self.hole, self.body, self.room, self.depth))


_PANEL_UNSAID = Panel()


@dataclass(frozen=True)
class Fit:
    """How the sender of a pairing is mounted.

    Attributes
    ----------
    port : Port
        The hole that it goes into.
    adapters : tuple of str or None
        Keys of the stock's pieces from the port outwards; None: the shortest chain.
    through : str
        What the shortest chain must hold: "tee" for a second sender or switch, "hose" for
        remote mounting, or "none".
    seals : tuple of str
        Seal of each joint from the port outwards; the last one left out is the sender's own.
    adapter_thread : Amount or None
        Threaded length of the piece that goes into the port.
    supported : str
        Whether a bracket on the same casting carries what hangs on the port.
    beside_grams : float or None
        Mass of what else hangs on a tee.
    isolated : str
        Whether the engine is isolated from both poles of the battery.
    earth_lead : str
        Whether a lead of its own earths the sender's body.
    earth_drop : Figure or None
        Volts read under load from the sender's body to battery negative.
    earth_current : Figure or None
        Current through the sender at that moment, without which the volts tell nothing.
    joint_in_tank : str
        Whether a joint, resistor or adapter with a live wire lies in a tank's space.
    lamp_lights : str
        When the lamp of its switch is lit; "unknown" with a lamp that the sender earths means
        when the switch closes.
    lamp_tested : str
        Whether the lamp shows at each start that its wire is whole.
    trial : SwitchTrial or None
        Where the switch changed over on the bench.
    charge_lamp : ChargeLamp or None
        The charge lamp beside it, where its bulb was changed.
    panel : Panel
        The gauge's hole.
    """

    port: Port = _PORT_UNSAID
    adapters: tuple[str, ...] | None = None
    through: Through = "none"
    seals: tuple[Seal, ...] = ()
    adapter_thread: Length | None = None
    supported: YesNo = "unknown"
    beside_grams: float | None = None
    isolated: YesNo = "unknown"
    earth_lead: YesNo = "unknown"
    earth_drop: VoltFigure | None = None
    earth_current: AmpereFigure | None = None
    joint_in_tank: YesNo = "unknown"
    lamp_lights: Lights = "unknown"
    lamp_tested: YesNo = "unknown"
    trial: SwitchTrial | None = None
    charge_lamp: ChargeLamp | None = None
    panel: Panel = _PANEL_UNSAID

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the fields."""
        problems = [*_piece_problems(self.adapters), *_figure_problems(self)]
        if problems:
            raise UserError(problems)


def _piece_problems(keys: tuple[str, ...] | None) -> Iterator[Message]:
    known = {piece.key for piece in adapters()}
    for key in keys or ():
        if key not in known:
            yield message("fit.no_piece", piece=shown(key))
    if keys is not None and len(keys) > MOST_ADAPTERS:
        yield message("fit.many_pieces", most=MOST_ADAPTERS)


MOST_AMPERES, MOST_VOLTS = 100.0, 100.0
"""Most that is read in a sender's earth, far beyond any gauge."""


def _figure_problems(fit: Fit) -> Iterator[Message]:
    panel = fit.panel
    yield from length_problems({"adapter_thread": fit.adapter_thread})
    yield from length_problems(
        {
            "panel_hole": panel.hole,
            "panel_body": panel.body,
            "panel_room": panel.room,
            "panel_depth": panel.depth,
        }
    )
    lamp = fit.charge_lamp
    watts = {} if lamp is None else {"charge_bulb": lamp.bulb, "charge_rated": lamp.rated}
    for name, power in watts.items():
        if power is not None and not power.si(Kind.POWER) > 0.0:
            yield message("fit.not_positive", what=message(f"step.fit.{name}"), text=str(power))
    if lamp is not None and lamp.resistor is not None and not lamp.resistor.number > 0.0:
        what = message("step.fit.charge_resistor")
        yield message("fit.not_positive", what=what, text=str(lamp.resistor))
    if fit.earth_drop is not None and fit.earth_drop.amount.number < 0.0:
        yield message("fit.drop", text=str(fit.earth_drop.amount))
    if fit.earth_current is not None and not fit.earth_current.amount.number > 0.0:
        what = message("step.fit.earth_current")
        yield message("fit.not_positive", what=what, text=str(fit.earth_current.amount))
    yield from _beyond(fit)
    if fit.beside_grams is not None and not 0.0 < fit.beside_grams < 1e5:
        yield message("fitting.mass", grams=fit.beside_grams)


def _beyond(fit: Fit) -> Iterator[Message]:
    """Give a message for volts and amperes that no sender's earth has."""
    figures = (
        ("earth_drop", fit.earth_drop, Kind.VOLTAGE, MOST_VOLTS),
        ("earth_current", fit.earth_current, Kind.CURRENT, MOST_AMPERES),
    )
    for name, figure, kind, most in figures:
        if figure is not None and figure.si(kind) > most:
            yield message(
                "fitting.too_much",
                what=message(f"step.fit.{name}"),
                text=str(figure.amount),
                limit=SiValue(most, kind),
            )
