"""A sender: what it measures, what it gives, and what it needs around it."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from catalog.curves.characteristic import Characteristic
from catalog.parts.fields import QUANTITY_KIND, QuantityName
from catalog.parts.fitting import SenderFitting, check_switch
from catalog.parts.laws import SenderLaw, TableLaw, TransmitterLaw, characteristic, check_law
from catalog.parts.laws import signal_kind as kind_of_point
from catalog.quantities.kinds import Kind

EarthReturn = Literal["body", "insulated", "either", "unknown"]


@dataclass(frozen=True)
class Sender:
    """One class of sender, or one that the user measured.

    Attributes
    ----------
    key : str
        Name for files and commands: lower-case words joined by hyphens.
    name : str
        What it is, by its electrical characteristic.
    quantity : str
        "level", "pressure" or "temperature".
    law : SenderLaw
        What it gives at each value.
    stations : int
        Gauges that it is made to feed at once: 1, or 2 for a dual-station sender.
    earth_return : str
        Through its body, insulated, either, or unknown.
    notes : str
        What else is known, in a sentence.
    fitting : SenderFitting or None
        What it needs to go in: thread, ratings, switch; None where nobody said anything.
    """

    key: str
    name: str
    quantity: QuantityName
    law: SenderLaw
    stations: Literal[1, 2] = 1
    earth_return: EarthReturn = "unknown"
    notes: str = ""
    fitting: SenderFitting | None = None

    def __post_init__(self) -> None:
        """Raise UserError with every problem of the law and of the fitting's switch."""
        check_law(self.law, self.quantity)
        switch = None if self.fitting is None else self.fitting.switch
        if switch is not None:
            check_switch(switch, self.quantity_kind)

    @property
    def quantity_kind(self) -> Kind:
        """Kind of the value that is measured."""
        return QUANTITY_KIND[self.quantity]

    @cached_property
    def curve(self) -> Characteristic | None:
        """Numeric characteristic, or None for a switch, a pulsed sender or an active sensor."""
        return characteristic(self.law, self.quantity)

    @property
    def signal(self) -> Kind | None:
        """Whether it gives ohms, volts or amperes; None where it has no curve."""
        if isinstance(self.law, TableLaw):
            return kind_of_point(self.law.points[0])
        if isinstance(self.law, TransmitterLaw):
            return kind_of_point(self.law.low)
        return None if self.curve is None else Kind.RESISTANCE

    @property
    def ends_only(self) -> bool:
        """Whether only the two ends of the curve are known."""
        return (
            isinstance(self.law, TableLaw)
            and len(self.law.points) == 2
            and self.law.shape != "straight"
        )
