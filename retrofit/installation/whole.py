"""What the pairing hangs on: supply, wires, earths and what shares them."""

from dataclasses import dataclass

from catalog.parts.fields import OhmFigure
from catalog.quantities.kinds import Kind
from retrofit.circuit.stray_volts import resistance_both_ways
from retrofit.installation.paths import Celsius, Path, Run
from retrofit.installation.sharing import Load, SecondGauge, WarningLamp
from retrofit.installation.supply import Stabiliser, Supply, YesNo

_STABILISER_UNSAID, _PATH_UNSAID = Stabiliser(), Path()


@dataclass(frozen=True)
class Installation:
    """What the pairing hangs on.

    Attributes
    ----------
    supply : Supply
        The gauge's supply.
    stabiliser : Stabiliser
        Matters for heaters only.
    sender_earth : Figure or None
        Ohms measured from the sender's body (or return) to the point that it shares with others
        where `engine_earth` says what lies beyond, else to battery negative; None is counted
        as nothing and said to be unmeasured.
    sender_earth_reversed : Figure or None
        The same with the meter's leads changed over: where it differs there is no resistance to
        be read but a stray voltage.
    shared_feed, feed : Path
        From the battery to the panel, with whatever hangs there, and from there to the gauge.
    signal : Path
        From the gauge's signal terminal to the sender.
    engine_earth : Path
        From the point that the sender's earth shares with others to battery negative.
    gauge_earth : Path
        From the gauge's earth terminal to battery negative, shared with panel lights and such.
    loads : tuple of Load
        What else hangs on the supply or flows through the shared earths; names differ.
    lamp : WarningLamp or None
        The warning lamp of the same sender.
    second : SecondGauge or None
        A second gauge on the same sender.
    panel_low, panel_high : Amount or None
        Temperatures behind the panel between which the gauge works.
    afloat : str
        Whether it is in a boat, where wires are tinned and none is thinner than 1 mm².
    """

    supply: Supply
    stabiliser: Stabiliser = _STABILISER_UNSAID
    sender_earth: OhmFigure | None = None
    sender_earth_reversed: OhmFigure | None = None
    shared_feed: Path = _PATH_UNSAID
    feed: Path = _PATH_UNSAID
    signal: Path = _PATH_UNSAID
    engine_earth: Path = _PATH_UNSAID
    gauge_earth: Path = _PATH_UNSAID
    loads: tuple[Load, ...] = ()
    lamp: WarningLamp | None = None
    second: SecondGauge | None = None
    panel_low: Celsius | None = None
    panel_high: Celsius | None = None
    afloat: YesNo = "unknown"

    @property
    def stray_volts(self) -> bool:
        """Whether the earth path was read both ways and that is no resistance."""
        if self.sender_earth is None or self.sender_earth_reversed is None:
            return False
        first = self.sender_earth.si(Kind.RESISTANCE)
        second = self.sender_earth_reversed.si(Kind.RESISTANCE)
        return resistance_both_ways(first, second) is None

    @property
    def sender_earth_ohms(self) -> float:
        """Ohms of the sender's own way to earth [Ω]; 0 where nobody could read them."""
        if self.sender_earth is None or self.stray_volts:
            return 0.0
        return self.sender_earth.si(Kind.RESISTANCE)

    def path(self, run: Run) -> Path:
        """Return one of its runs by name."""
        paths: dict[Run, Path] = {
            "shared feed": self.shared_feed,
            "feed": self.feed,
            "signal": self.signal,
            "engine earth": self.engine_earth,
            "gauge earth": self.gauge_earth,
        }
        return paths[run]
