"""Wires, joints and earths: the ohms between the parts.

Six runs make an installation. The battery feeds a panel (`shared_feed`) and the panel the gauge
(`feed`); the gauge's signal goes to the sender (`signal`), whose body or return goes to a point
that it may share with others (`sender_earth`), and that point to battery negative
(`engine_earth`); the gauge's own earth terminal goes there too (`gauge_earth`).
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from catalog.parts.fields import OhmFigure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind

Metres = Annotated[Amount, Kind.LENGTH]
Celsius = Annotated[Amount, Kind.TEMPERATURE]

Run = Literal["shared feed", "feed", "signal", "engine earth", "gauge earth"]

RUNS: tuple[Run, ...] = ("shared feed", "feed", "signal", "engine earth", "gauge earth")


@dataclass(frozen=True)
class Wire:
    """One length of copper wire.

    Attributes
    ----------
    size : str
        "1.5 mm²" or "AWG 16"; see ``catalog.wires``.
    length : Amount
        Length of the run, one way.
    temperature : Amount or None
        Hottest that it gets; None: 20 °C, and said so.
    colour : str
        Of its insulation, as the user says it.
    """

    size: str
    length: Metres
    temperature: Celsius | None = None
    colour: str = ""


@dataclass(frozen=True)
class Path:
    """What one run is made of.

    Attributes
    ----------
    wire : Wire or None
        Its wire; None where nobody said.
    contacts : Figure or None
        Ohms of all that sits in it: fuse, switch, plugs, joints.
    measured : Figure or None
        Ohms read from end to end; stands for the wire and the contacts together.
    """

    wire: Wire | None = None
    contacts: OhmFigure | None = None
    measured: OhmFigure | None = None

    @property
    def empty(self) -> bool:
        """Whether nobody said anything of it."""
        return self == Path()
