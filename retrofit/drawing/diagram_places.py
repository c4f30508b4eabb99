"""Where the parts of a wiring diagram stand [mm]: feed on top, gauge right, sender below left.

Everything at the panel stands on the right, battery and engine on the left, and the wires
between them run across the middle, where they are lettered.
"""

from __future__ import annotations

from dataclasses import dataclass

LINE = 4.1
"""From one line of lettering to the next [mm]."""

WIDE = 186.0
"""Width of the diagram: what A4 and Letter leave between their margins."""

BATTERY = 10.0
FUSE = (19.0, 33.0)
SWITCH = (37.0, 51.0)
SHARED_FEED = (58.0, 108.0)
PANEL = 112.0
FEED = (116.0, 142.0)
GAUGE = (130.0, 166.0)
GAUGE_MIDDLE = 148.0
PULL_UP = 174.0
GAUGE_EARTH = 127.0
TO_EARTH = 114.0
SERIES_GAUGE = (125.0, 141.0)
GAUGE_RUN = (60.0, 20.0)
RETURN = 64.0
SHORT_ROW = 90.0
ROW_PART = 94.0
LAMP_LEAD = 62.0
SIGNAL_RUN = (110.0, 79.0)
TAP = 76.0
SERIES_SENDER = (71.0, 57.0)
ACROSS = 50.0
SENDER = (14.0, 38.0)
SENDER_MIDDLE = 26.0
ENGINE = 72.0
SENDER_RUN = (30.0, 66.0)
ENGINE_RUN = (66.0, 20.0)
NOTES = 86.0
SECOND = (85.0, 114.0)
SECOND_FEED = (119.0, 141.0)
DRIVER = (152.0, 184.0)
"""Places across."""

NOTES_BELOW = 16.0
"""From the lead down to the notes in the corner [mm]."""

ROW = 10.4
_RAIL = 5.0
_GAUGE_BELOW = 10.0
_STABILISED_BELOW = 24.0
_GAUGE_TALL = 30.0
_ROWS_BELOW = 11.0
_LEAD_BELOW = 20.0
_EARTH_BELOW = 31.0
_STRAP_BELOW = 14.0


@dataclass(frozen=True)
class Levels:
    """Heights that depend on how much there is to draw.

    Attributes
    ----------
    rail : float
        The feed.
    gauge : float
        Upper edge of the gauge.
    bus : float
        The wire that the gauge's earth shares with others.
    lead : float
        The lead from the gauge to the sender.
    engine : float
        The sender's way to earth.
    strap : float
        The engine's way to the battery.
    bottom : float
        Lower edge of the drawing, without its notes.
    """

    rail: float
    gauge: float
    bus: float
    lead: float
    engine: float
    strap: float
    bottom: float

    @property
    def gauge_bottom(self) -> float:
        """Lower edge of the gauge."""
        return self.gauge + _GAUGE_TALL

    def row(self, number: int) -> float:
        """Height of one of the rows of loads, from the top."""
        return self.rail + _ROWS_BELOW + ROW * number


def levels(rows: int, above: int, *, stabilised: bool) -> Levels:
    """Return the heights for so many loads and lamps, and lines of lettering above the feed."""
    rail = _RAIL + LINE * above
    gauge = rail + (_STABILISED_BELOW if stabilised else _GAUGE_BELOW)
    bus = max(gauge + _GAUGE_TALL + 4.0, rail + _ROWS_BELOW + ROW * (rows - 1) + 9.0)
    lead = bus + _LEAD_BELOW
    engine = lead + _EARTH_BELOW
    strap = engine + _STRAP_BELOW
    return Levels(rail, gauge, bus, lead, engine, strap, strap + 8.0)
