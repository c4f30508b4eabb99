"""The upper half of a wiring diagram: battery, feed, stabiliser, gauge, and what shares them."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.quantities.kinds import Kind
from catalog.quantities.show import show, show_amount
from retrofit.drawing import diagram_places as place
from retrofit.drawing.diagram_draft import Draft, Words
from retrofit.drawing.diagram_gauge import Terminals, draw_inside, has_earth, is_input, letter_gauge
from retrofit.drawing.diagram_places import LINE, Levels
from retrofit.drawing.diagram_runs import Advice, run_lines, run_state
from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import BODY
from retrofit.drawing.schematic import PartKind, State
from retrofit.installation import Load, Run
from retrofit.plan.document import Pairing
from retrofit.plan.stages import stabilised_volts
from retrofit.wired import lamp_ohms, load_amperes, load_name, load_ohms

FEED_ROOM: dict[Run, float] = {"shared feed": 54.0, "feed": 40.0}
"""Room for the lettering of the runs on the feed [mm]."""

_ROOM_ROW, _ROOM_LINK = 46.0, 42.0
"""Room for the lettering of a row of loads, and over fuse and switch [mm]."""

_KINDS: dict[str, PartKind] = {"charging": "charger", "cranking": "motor"}


@dataclass(frozen=True)
class Job:
    """What is drawn, where, and with what advice."""

    draft: Draft
    pairing: Pairing
    at: Levels
    advice: Advice

    def value(self, place_of_trim: str) -> str | None:
        """Return the ohms of the trim at a place as they are shown, None where there is none."""
        for one in self.pairing.trim:
            if one.place == place_of_trim:
                ohm = show_amount(one.value, self.draft.look.renderer.style, Kind.RESISTANCE)
                return self.draft.words("set_to", ohm=ohm) if one.track is not None else ohm
        return None

    @property
    def stabilised(self) -> bool:
        """Whether a stabiliser stands before the gauge."""
        return stabilised_volts(self.pairing.gauge, self.pairing.installation) is not None

    def above(self, run: Run, at: tuple[float, float], room: float) -> None:
        """Letter a run above its middle."""
        path = self.pairing.installation.path(run)
        lines = run_lines(self.draft, path, run, self.advice, room)
        x, y = at
        top = y - 3.2 - LINE * (len(lines) - 1)
        self.draft.say(lines, (x, top), room, "middle")


def draw_feed(job: Job) -> None:
    """Draw the battery and the way from it to the gauge's supply terminal."""
    draft, installation = job.draft, job.pairing.installation
    live, rail = place.BATTERY, job.at.rail
    top, foot = rail + 16.0, rail + 28.0
    ends = (live, top), (live, foot)
    plus, minus = ends[::-1] if installation.supply.earthed == "positive" else ends
    draft.part("battery" if job.stabilised else "supply", "battery", plus, minus)
    draft.wire((live, top), (live, rail), (place.FUSE[0], rail))
    draft.join("battery", (live, top))
    draft.wire((live, foot), (live, job.at.bus))
    draft.join("earth", (live, foot))
    _letter_battery(job)
    for name, (left, right) in (("fuse", place.FUSE), ("switch", place.SWITCH)):
        kind: PartKind = "fuse" if name == "fuse" else "switch"
        draft.part(name, kind, (left, rail), (right, rail), "joint")
        said = job.advice.fuse or draft.words("fuse") if name == "fuse" else draft.words("switch")
        draft.say([Words(said)], ((left + right) / 2.0, rail + 5.0), right - left + 3.5, "middle")
    draft.wire((place.FUSE[1], rail), (place.SWITCH[0], rail))
    link = [Words(draft.words("link"), muted=True)]
    draft.say(link, ((place.FUSE[0] + place.SWITCH[1]) / 2.0, rail - 6.6), _ROOM_LINK, "middle")
    left, right = place.SHARED_FEED
    draft.wire((place.SWITCH[1], rail), (left, rail))
    draft.part(
        "shared feed",
        "run",
        (left, rail),
        (right, rail),
        run_state(job.pairing.installation, "shared feed"),
    )
    job.above("shared feed", ((left + right) / 2.0, rail), FEED_ROOM["shared feed"])
    draft.wire((right, rail), (place.FEED[0], rail))
    draft.join("panel", (place.PANEL, rail))
    left, right = place.FEED
    draft.part("feed", "run", (left, rail), (right, rail), run_state(installation, "feed"))
    job.above("feed", ((left + right) / 2.0 + 2.0, rail), FEED_ROOM["feed"])


def _letter_battery(job: Job) -> None:
    draft, supply = job.draft, job.pairing.installation.supply
    style = draft.look.renderer.style
    lines = [Words(draft.words("battery"), bold=True)]
    lines.append(Words(show_amount(supply.nominal, style, Kind.VOLTAGE)))
    if supply.low is not None and supply.high is not None:
        low, high = (show_amount(end, style, Kind.VOLTAGE) for end in (supply.low, supply.high))
        lines.append(Words(draft.words("volts", low=low, high=high)))
    draft.say(lines, (place.BATTERY + 6.5, job.at.rail + 18.0), 40.0)
    live, earthed = ("−", "+") if supply.earthed == "positive" else ("+", "−")
    draft.say([Words(live, bold=True)], (place.BATTERY - 4.6, job.at.rail + 17.0), 4.0, "middle")
    draft.say([Words(earthed, bold=True)], (place.BATTERY - 4.6, job.at.rail + 27.0), 4.0, "middle")


def draw_gauge(job: Job) -> None:
    """Draw the gauge with its terminals, its stabiliser and its way to earth."""
    draft, gauge, at = job.draft, job.pairing.gauge, job.at
    left, right = place.GAUGE
    middle = place.GAUGE_MIDDLE
    terminals = Terminals(
        (middle, at.gauge), (middle, at.gauge_bottom), (left, at.gauge_bottom - 9.0)
    )
    known = draw_inside(draft, gauge, terminals, "")
    draft.frame((left, at.gauge), (right, at.gauge_bottom), known=known or is_input(gauge))
    title = draft.words("gauge")
    letter_gauge(draft, gauge, title, ((left, at.gauge), (right, at.gauge_bottom)), drawn=known)
    _supply_terminal(job, terminals)
    draft.terminal(terminals.supply)
    draft.terminal(terminals.signal)
    live = "−" if job.pairing.installation.supply.earthed == "positive" else "+"
    draft.say([Words(live, bold=True)], (middle + 2.0, at.gauge - 2.4), 4.0)
    draft.say([Words("S", bold=True)], (middle + 2.0, at.gauge_bottom + 2.8), 4.0)
    if has_earth(gauge):
        x, y = terminals.earth
        draft.terminal(terminals.earth)
        draft.wire(terminals.earth, (place.GAUGE_EARTH, y), (place.GAUGE_EARTH, at.bus))
        draft.say([Words("E", bold=True)], (x - 1.8, y - 2.8), 4.0, "end")


def _supply_terminal(job: Job, terminals: Terminals) -> None:
    """Draw the way from the rail to the supply terminal, through a stabiliser if there is one."""
    draft, (x, top) = job.draft, terminals.supply
    if not job.stabilised:
        draft.wire((place.FEED[1], job.at.rail), (x, job.at.rail), (x, top))
        return
    box = (x - 13.0, job.at.rail + 5.0), (x + 13.0, job.at.rail + 16.0)
    draft.frame(*box)
    draft.wire((place.FEED[1], job.at.rail), (x, job.at.rail), (x, job.at.rail + 5.0))
    draft.part("supply", "source", (x, job.at.rail + 16.0), (x - 13.0, job.at.rail + 10.5))
    draft.wire((x, job.at.rail + 16.0), (x, top))
    earth = (x - 17.0, job.at.rail + 10.5)
    draft.wire((x - 13.0, job.at.rail + 10.5), earth)
    draft.earth(earth)
    volts = stabilised_volts(job.pairing.gauge, job.pairing.installation)
    assert volts is not None
    shown = show(volts, Kind.VOLTAGE, draft.look.renderer.style)
    lines = [Words(draft.words("stabiliser"), bold=True), Words(shown)]
    draft.say(lines, (x, job.at.rail + 8.5), 24.0, "middle")


def draw_gauge_earth(job: Job, *, needed: bool) -> None:
    """Draw the way from the gauge's earth to battery negative, where anything hangs on it."""
    draft, bus = job.draft, job.at.bus
    if not needed:
        return
    far, near = place.GAUGE_RUN
    draft.part(
        "gauge earth",
        "run",
        (far, bus),
        (near, bus),
        run_state(job.pairing.installation, "gauge earth"),
    )
    draft.wire((near, bus), (place.BATTERY, bus))
    job.above("gauge earth", ((far + near) / 2.0, bus), 42.0)
    right = place.GAUGE_EARTH if has_earth(job.pairing.gauge) else place.RETURN
    if job.value("signal to earth") is not None:
        right = max(right, place.TO_EARTH)
    draft.wire((far, bus), (right, bus))
    draft.join("gauge earth", (far, bus))


def draw_sharers(job: Job) -> None:
    """Draw what else hangs on the feed or flows through the earths, a row each.

    Rows that hang on the panel come first, so that its rail ends above the others.
    """
    draft, installation = job.draft, job.pairing.installation
    loads = sorted(installation.loads, key=_order)
    fed, returned = [], []
    for number, load in enumerate(loads):
        y = job.at.row(number + (_has_lamp(job) and _order(load) > _LAMP))
        _load(job, load, y)
        fed += [y] if _order(load) < _LAMP else []
        returned += [y] if load.returns == "gauge earth" else []
    if _has_lamp(job):
        fed.append(lamp_row(job))
        _lamp(job, lamp_row(job))
    if fed:
        draft.wire((place.PANEL, job.at.rail), (place.PANEL, max(fed)))
    if returned:
        draft.wire((place.RETURN, min(returned)), (place.RETURN, job.at.bus))


_LAMP = 1


def _order(load: Load) -> int:
    """Return 0 for a load on the panel's feed, 2 for one on the battery."""
    return 0 if load.on_feed == "yes" and load.when != "charging" else 2


def _has_lamp(job: Job) -> bool:
    lamp = job.pairing.installation.lamp
    return lamp is not None and lamp.circuit == "switch in sender"


def lamp_row(job: Job) -> float:
    """Return the height of the row of the warning lamp, the last that hangs on the panel."""
    return job.at.row(sum(_order(load) < _LAMP for load in job.pairing.installation.loads))


def _load(job: Job, load: Load, y: float) -> None:
    draft, installation = job.draft, job.pairing.installation
    known = load_ohms(load, installation) is not None or load_amperes(load) is not None
    if load.when == "charging":
        known = load_amperes(load) is not None
    state: State = "counted" if known else "unknown"
    live, far = (place.PANEL, y), (place.ROW_PART, y)
    draft.part(load_name(load), _KINDS.get(load.when, "consumer"), live, far, state)
    if _order(load) > _LAMP:
        draft.flag("battery", live, "start", 16.0)
    if load.returns == "engine earth":
        draft.wire(far, (place.SHORT_ROW, y))
        draft.flag("engine", (place.SHORT_ROW, y), "end", 26.0)
    else:
        draft.wire(far, (place.RETURN, y))
    _letter_row(draft, y, load.name, _takes(draft, load))


def _letter_row(draft: Draft, y: float, name: str, takes: str) -> None:
    """Write what a load is and takes above its wire; a long name gives way to what it takes."""
    behind = f", {takes}"
    fitted = shorten(name, BODY, _ROOM_ROW - width(behind, BODY))
    draft.say([Words(fitted + behind)], (place.RETURN + 1.5, y - 4.9), _ROOM_ROW)


def _takes(draft: Draft, load: Load) -> str:
    style = draft.look.renderer.style
    if load.watts is not None:
        return show_amount(load.watts, style, Kind.POWER)
    if load.amperes is not None:
        return show_amount(load.amperes.amount, style, Kind.CURRENT)
    return draft.words("not_given")


def _lamp(job: Job, y: float) -> None:
    """Draw the warning lamp between the panel and the lead to the sender's contact."""
    draft, installation = job.draft, job.pairing.installation
    lamp = installation.lamp
    assert lamp is not None
    state: State = "counted" if lamp_ohms(installation) is not None else "unknown"
    draft.part("lamp", "lamp", (place.PANEL, y), (place.ROW_PART, y), state)
    draft.wire((place.ROW_PART, y), (place.LAMP_LEAD, y))
    style = draft.look.renderer.style
    watts = None if lamp.watts is None else show_amount(lamp.watts, style, Kind.POWER)
    _letter_row(draft, y, draft.words("lamp"), watts or draft.words("not_given"))
