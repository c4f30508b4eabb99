"""What shares the supply, the earths or the sender with the gauge."""

from dataclasses import dataclass
from typing import Literal

from catalog.parts.fields import AmpereFigure, OhmFigure, VoltFigure, Watts
from catalog.parts.gauge import Gauge
from retrofit.installation.supply import YesNo

SharedEarth = Literal["gauge earth", "engine earth"]


@dataclass(frozen=True)
class Load:
    """Another consumer on the same supply, or a current through a shared earth.

    A consumer of known watts is a resistance, U²/P at the nominal supply; where only its
    amperes are known it is a fixed current.

    Attributes
    ----------
    name : str
        What it is: "panel lights", "charging", "starter".
    returns : str
        The shared earth that its current goes through.
    watts : Amount or None
        What it takes at the nominal supply; wins over `amperes`.
    amperes : Figure or None
        Its current; what a meter reads in the strap.
    when : str
        "always": it runs at every reading; "at times": it comes and goes (lights);
        "charging": the alternator's current, which comes back from the battery through the
        engine's earth and draws the engine below battery negative; "cranking": the
        starter's, which lifts it above, and at which nobody reads a gauge.
    on_feed : str
        Whether it hangs on the same feed as the gauge, so that it also pulls the feed down.
    """

    name: str
    returns: SharedEarth = "gauge earth"
    watts: Watts | None = None
    amperes: AmpereFigure | None = None
    when: Literal["always", "at times", "charging", "cranking"] = "at times"
    on_feed: YesNo = "yes"


@dataclass(frozen=True)
class WarningLamp:
    """The warning lamp of the same sender.

    Attributes
    ----------
    circuit : str
        "switch in sender": a contact in the sender earths the lamp through the sender's body;
        "tapped from signal": a relay or transistor watches the signal's volts.
    watts : Amount or None
        What the bulb takes at the nominal supply; None where nobody knows it.
    lit_by : str
        "bulb", "LED" or "unknown".
    trips : Figure or None
        Volts of the signal at which a tapped lamp changes over.
    trip_follows : str
        "supply" where that voltage is a share of what feeds the gauge, which a stabiliser may
        hold, "battery" where it is one of the battery, "fixed" where it is neither.
    input : Figure or None
        Ohms of the tap's input; None: so high that it does not count.
    """

    circuit: Literal["switch in sender", "tapped from signal"] = "switch in sender"
    watts: Watts | None = None
    lit_by: Literal["bulb", "LED", "unknown"] = "unknown"
    trips: VoltFigure | None = None
    trip_follows: Literal["supply", "battery", "fixed", "unknown"] = "unknown"
    input: OhmFigure | None = None


@dataclass(frozen=True)
class SecondGauge:
    """A second gauge on the same sender.

    Attributes
    ----------
    gauge : Gauge
        Whole, so that a plan opens anywhere.
    powered : str
        "yes"; "no" where it is switched off while the first one reads: then its coils still
        hang on the signal.
    earth : str
        Where its earth terminal goes: "own", a lead to battery negative; "gauge earth", the one
        of the first gauge with whatever else flows there; "unknown", counted as its own.
    """

    gauge: Gauge
    powered: YesNo = "yes"
    earth: Literal["own", "gauge earth", "unknown"] = "unknown"
