"""The lower half of a wiring diagram: trims, signal wire, sender, its earths, what shares it."""

from __future__ import annotations

from catalog.quantities.kinds import Kind
from catalog.quantities.show import show_amount
from retrofit.drawing import diagram_places as place
from retrofit.drawing.diagram_draft import Draft, Words
from retrofit.drawing.diagram_feed import Job, lamp_row
from retrofit.drawing.diagram_gauge import Terminals, draw_inside, has_earth, is_input, letter_gauge
from retrofit.drawing.diagram_runs import run_state
from retrofit.drawing.diagram_symbols import engine_sign
from retrofit.drawing.schematic import PartKind, State
from retrofit.drawing.svg import Point
from retrofit.installation import WarningLamp
from retrofit.plan.fit_said import returns_of
from retrofit.wired import SECOND, inside_of


def draw_lead(job: Job) -> None:
    """Draw the lead from the gauge's signal terminal to the sender with the trims on it."""
    draft, y = job.draft, job.at.lead
    corner = (place.GAUGE_MIDDLE, y)
    draft.wire((place.GAUGE_MIDDLE, job.at.gauge_bottom), corner)
    _level(job, "series at gauge", corner, place.SERIES_GAUGE, place.TO_EARTH)
    to_earth = job.value("signal to earth")
    if to_earth is not None:
        start, end = (place.TO_EARTH, y), (place.TO_EARTH, job.at.bus)
        draft.part("signal to earth", "resistor", start, end)
        lines = [Words(to_earth, bold=True), Words(draft.words("to_earth"))]
        draft.say(lines, (place.TO_EARTH + 3.4, (y + job.at.bus) / 2.0 - 2.0), 28.0)
    far, near = place.SIGNAL_RUN
    draft.wire((place.TO_EARTH, y), (far, y))
    state = run_state(job.pairing.installation, "signal")
    draft.part("signal wire", "run", (far, y), (near, y), state)
    job.above("signal", ((far + near) / 2.0, y), 38.0)
    draft.wire((near, y), (place.TAP, y))
    _level(job, "series at sender", (place.TAP, y), place.SERIES_SENDER, place.ACROSS)
    draft.wire((place.ACROSS, y), (place.SENDER[1], y))
    _pull_up(job)


def _level(job: Job, name: str, start: Point, ends: tuple[float, float], stop: float) -> None:
    """Draw a resistor along the lead, or the plain lead where there is none."""
    draft, (x, y) = job.draft, start
    value = job.value(name)
    if value is None:
        draft.wire(start, (stop, y))
        return
    first, second = sorted(ends, key=lambda end: abs(end - x))
    draft.wire(start, (first, y))
    draft.part(name, "resistor", (first, y), (second, y))
    draft.wire((second, y), (stop, y))
    lines = [Words(value, bold=True), Words(draft.words("in_series"))]
    draft.say(lines, ((first + second) / 2.0, y + 4.8), 24.0, "middle")


def _pull_up(job: Job) -> None:
    value, draft = job.value("pull-up"), job.draft
    if value is None:
        return
    x, middle = place.PULL_UP, place.GAUGE_MIDDLE
    above, below = job.at.gauge - 5.0, job.at.gauge_bottom + 6.5
    draft.wire((middle, above), (x, above), (x, above + 6.0))
    draft.part("pull-up", "resistor", (x, above + 6.0), (x, below - 3.0))
    draft.wire((x, below - 3.0), (x, below), (middle, below))
    lines = [Words(value, bold=True), Words(draft.words("pull_up"))]
    draft.say(lines, (x, below + 4.4), 24.0, "middle")


def draw_sender(job: Job) -> None:
    """Draw the sender with the resistor across it, its contact for the lamp, and its earths."""
    draft, y = job.draft, job.at.lead
    (left, right), middle = place.SENDER, place.SENDER_MIDDLE
    bottom = y + 18.0
    draft.frame((left, y - 13.0), (right, bottom))
    draft.wire((right, y), (middle, y), (middle, y + 1.5))
    draft.part("sender", _sender_kind(job), (middle, y + 1.5), (middle, bottom - 1.5), "sender")
    draft.wire((middle, bottom - 1.5), (middle, bottom))
    draft.terminal((right, y))
    draft.terminal((middle, bottom))
    draft.say([Words("S", bold=True)], (right - 1.8, y + 3.4), 4.0, "end")
    _letter_sender(job)
    across = job.value("across sender")
    if across is not None:
        foot = (place.ACROSS, bottom + 3.0)
        draft.part("across sender", "resistor", (place.ACROSS, y), foot)
        draft.wire(foot, (middle, bottom + 3.0))
        lines = [Words(across, bold=True), Words(draft.words("across"))]
        draft.say(lines, (place.ACROSS + 3.4, y + 13.6), 22.0)
    lamp = job.pairing.installation.lamp
    if lamp is not None and lamp.circuit == "switch in sender":
        _contact(job)
    _earths(job, (middle, bottom))


def _sender_kind(job: Job) -> PartKind:
    ohms = job.pairing.sender.signal in (None, Kind.RESISTANCE)
    return "variable" if ohms else "transmitter"


def _letter_sender(job: Job) -> None:
    draft, (left, _) = job.draft, place.SENDER
    draft.say([Words(draft.words("sender"), bold=True)], (left + 2.0, job.at.lead - 9.6), 20.0)
    key = f"return.{returns_of(job.pairing.sender)}"
    x, y = place.SENDER_MIDDLE - 3.0, job.at.lead + 21.0
    draft.say([Words(draft.words(key), muted=True)], (x, y), 21.0, "end")


def _contact(job: Job) -> None:
    draft, y = job.draft, job.at.lead - 6.0
    (left, right), row = place.SENDER, lamp_row(job)
    draft.wire((place.LAMP_LEAD, row), (place.LAMP_LEAD, y), (right, y))
    draft.terminal((right, y))
    x, foot = left + 4.5, job.at.lead + 16.5
    draft.wire((right, y), (x, y), (x, job.at.lead + 2.0))
    draft.part("contact", "contact", (x, job.at.lead + 2.0), (x, foot - 4.0), "joint")
    draft.wire((x, foot - 4.0), (x, foot), (place.SENDER_MIDDLE, foot))
    draft.say([Words("W", bold=True)], (right + 1.8, y - 2.8), 4.0)


def _earths(job: Job, body: Point) -> None:
    """Draw the sender's own way to the shared metal, and that metal's way to the battery."""
    draft, installation = job.draft, job.pairing.installation
    engine, strap = job.at.engine, job.at.strap
    far, near = place.SENDER_RUN
    draft.wire(body, (body[0], engine), (far, engine))
    counted = installation.sender_earth_ohms > 0.0
    draft.part(
        "sender earth", "run", (far, engine), (near, engine), "counted" if counted else "joint"
    )
    _letter_sender_earth(job, ((far + near) / 2.0, engine))
    draft.wire((near, engine), (place.ENGINE, engine), (place.ENGINE, strap))
    draft.shapes(
        engine_sign((place.ENGINE, engine - 2.0), strap - engine + 4.0, draft.look.palette)
    )
    draft.join("engine", (place.ENGINE, engine))
    level = job.pairing.sender.quantity == "level"
    name = draft.words("common_earth" if level else "flag.engine")
    draft.say([Words(name, bold=True)], (place.ENGINE + 2.0, strap + 5.0), 30.0, "end")
    far, near = place.ENGINE_RUN
    draft.wire((place.ENGINE, strap), (far, strap))
    state = run_state(installation, "engine earth")
    draft.part("engine earth", "run", (far, strap), (near, strap), state)
    draft.wire((near, strap), (place.BATTERY, strap), (place.BATTERY, job.at.bus))
    job.above("engine earth", ((far + near) / 2.0, strap), 46.0)


def _letter_sender_earth(job: Job, at: Point) -> None:
    draft, earth = job.draft, job.pairing.installation.sender_earth
    lines = [Words(draft.words("sender_earth"), bold=True)]
    if earth is None:
        lines.append(Words(draft.words("not_measured"), muted=True))
    else:
        shown = show_amount(earth.amount, draft.look.renderer.style, Kind.RESISTANCE)
        lines.append(Words(draft.words("measured", ohm=shown)))
    draft.say(lines, (at[0], at[1] - 7.3), 36.0, "middle")


def draw_second(job: Job) -> None:
    """Draw a second gauge on the lead, with a feed of its own."""
    second, draft = job.pairing.installation.second, job.draft
    if second is None:
        return
    (left, right), lead = place.SECOND, job.at.lead
    top, bottom = lead + 19.0, lead + 46.0
    middle = (left + right) / 2.0
    terminals = Terminals((middle, top), (middle, bottom), (left, bottom - 8.0))
    off = second.powered == "no"
    known = inside_of(second.gauge) is not None if off else True
    known = known and draw_inside(draft, second.gauge, terminals, SECOND)
    draft.frame((left, top), (right, bottom), known=known or is_input(second.gauge))
    title = draft.words("second")
    letter_gauge(draft, second.gauge, title, ((left, top), (right, bottom)), drawn=known)
    for at in (terminals.supply, terminals.signal):
        draft.terminal(at)
    if has_earth(second.gauge):
        x, y = terminals.earth
        draft.terminal(terminals.earth)
        draft.wire(terminals.earth, (x - 3.0, y))
        if second.earth == "gauge earth":
            draft.flag("gauge earth", (x - 3.0, y), "end", 26.0)
        else:
            draft.earth((x - 3.0, y))
    _second_signal(job, terminals.signal)
    _second_feed(draft, terminals.supply, off=off)


def _second_signal(job: Job, signal: Point) -> None:
    draft, lead = job.draft, job.at.lead
    state = run_state(job.pairing.installation, "signal")
    x, y = signal
    below = y + 4.0
    draft.wire((place.TAP, lead), (place.TAP, below), (x - 14.0, below))
    name = SECOND + "signal wire"
    draft.part(name, "run", (x, below), (x - 14.0, below), state)
    draft.wire((x, below), signal)


def _second_feed(draft: Draft, supply: Point, *, off: bool) -> None:
    x, y = supply
    left, right = place.SECOND_FEED
    draft.wire(supply, (x, y - 4.0), (left, y - 4.0))
    if off:
        draft.say([Words(draft.words("off"), muted=True)], (left + 1.5, y - 4.0), 24.0)
        return
    draft.frame((left, y - 7.4), (right, y - 0.6))
    draft.say([Words(draft.words("own_feed"))], ((left + right) / 2.0, y - 4.0), 21.0, "middle")
    foot = ((left + right) / 2.0, y - 0.6)
    draft.part(SECOND + "supply", "source", (left, y - 4.0), foot)
    draft.wire(foot, (foot[0], y + 1.4))
    draft.earth((foot[0], y + 1.4))


def draw_tap(job: Job) -> None:
    """Draw the relay or transistor that watches the signal and lights the lamp."""
    lamp = job.pairing.installation.lamp
    if lamp is None or lamp.circuit != "tapped from signal":
        return
    draft, lead = job.draft, job.at.lead
    (left, right), top = place.DRIVER, lead + 6.0
    bottom = top + 10.0
    draft.frame((left, top), (right, bottom))
    draft.say(draft.wrapped(draft.words("driver"), 29.0, 2), (left + 1.8, top + 3.0), 29.0)
    sense = (left, (top + bottom) / 2.0)
    draft.wire((place.GAUGE_MIDDLE, lead), (place.GAUGE_MIDDLE, sense[1]), sense)
    foot = (left + 6.0, bottom)
    draft.part("lamp", "source", sense, foot, _input(lamp))
    draft.wire(foot, (foot[0], bottom + 4.0))
    draft.flag("gauge earth", (foot[0], bottom + 4.0), "end", 26.0)
    head = (right - 14.0, bottom)
    draft.part("warning lamp", "lamp", head, (head[0], bottom + 12.0), "unknown")
    draft.flag("panel", (head[0], bottom + 12.0), "start", 14.0)
    draft.say([Words(draft.words("lamp_short"))], (head[0] - 4.2, bottom + 6.0), 14.0, "end")


def _input(lamp: WarningLamp) -> State:
    return "unknown" if lamp.input is None else "counted"
