"""Verdicts on what shares the sender: a warning lamp, a second gauge.

The numbers come from a circuit of two nodes solved here by hand, not from the program's network.
"""

from __future__ import annotations

from tests.retrofit.plan.plans import LEVEL_240_33, Raw, gauge, mark, plan, sender
from tests.retrofit.plan.verdicts.case import ENDS, SAME, Case, falling
from tests.retrofit.plan.verdicts.installed import (
    KNOWN,
    STRAIGHT,
    TRACK,
    UNKNOWN,
    VOLTS,
    furthest,
    moved,
    on,
)


def bulb(watts: float, earth: float) -> Raw:
    return {"lamp": {"watts": f"{watts!r} W"}, "sender_earth": f"{earth!r} Ω"}


TAP = {"circuit": "tapped from signal", "trips": "4 V"}
FIVE = gauge(ENDS, movement={"kind": "heater", "heater": "15 Ω", "feed": "5 V"})
HELD = {"fitted": "yes", "holds": "heat-equivalent"}
COIL = gauge(ENDS, movement={"kind": "coil", "coil": "60 Ω", "feed": "13.5 V"})


TRIPS_AT = (240.0 - 60.0) / 207.0


def held_tap(warning: Raw | None, follows: str = "fixed") -> Raw:
    """A tap of 4 V behind a stabiliser of 5 V, where it may have to warn."""
    wiring = {"lamp": {**TAP, "trip_follows": follows}, "stabiliser": HELD}
    return plan(FIVE, STRAIGHT, warning=warning, wiring=wiring)


def trip_drift() -> float:
    """Drift of a tap of 7 V on a 60 Ω coil from 11 to 14.4 V, straight 240 to 33 Ω: by hand."""
    ohms = [7.0 * 60.0 / (volts - 7.0) for volts in (13.5, 11.0, 14.4)]
    at = [(240.0 - r) / 207.0 for r in ohms]
    return max(abs(x - at[0]) for x in at)


LAMP = [
    *(
        Case(
            "lamp",
            verdict,
            on(KNOWN, **bulb(watts, earth)),
            "check.lamp.moves",
            why,
            step="wiring",
            number=moved(earth, 0.0, VOLTS**2 / watts),
            limit=0.05,
            unit="%",
        )
        for verdict, why, watts, earth in (
            ("good", "check.lamp.good", 1.2, 0.2),
            ("caution", "check.lamp.mend", 4.0, 1.0),
            ("stop", "check.lamp.mend", 5.0, 4.0),
        )
    ),
    *(
        Case("lamp", "unknown", raw, "check.lamp.unknown", why, step=step)
        for why, step, raw in (
            ("check.lamp.no_watts", "wiring", on(KNOWN, lamp={}, sender_earth="0.2 Ω")),
            ("check.lamp.no_watts", "wiring", on(KNOWN, lamp={"watts": "0 W"})),
            ("check.lamp.no_earth", "wiring", on(KNOWN, lamp={"watts": "2 W"})),
            ("check.offset.coils", "gauge", on(UNKNOWN, **bulb(2.0, 0.2))),
        )
    ),
    Case(
        "lamp",
        "unknown",
        on(KNOWN, lamp={"circuit": "tapped from signal"}),
        "check.lamp.tap_unknown",
        "lamp.no_trip",
        step="wiring",
    ),
    Case(  # behind a stabiliser nothing drifts, but nobody said from where on it has to warn
        "lamp",
        "unknown",
        held_tap(None),
        "check.lamp.trips",
        "check.lamp.no_warning",
        step="duty",
        number=0.0,
        unit="%",
    ),
    Case(  # 4 of 5 V on 15 Ω are 60 Ω: 87 % of a straight 240 to 33 Ω; it has to warn from 90 %
        "lamp",
        "good",
        held_tap({"at": "90 %", "side": "low"}),
        "check.lamp.trips",
        "check.lamp.in_time",
        step="wiring",
        number=0.9 - TRIPS_AT,
        limit=0.05,
        unit="%",
        close=1e-9,
    ),
    Case(
        "lamp",
        "stop",
        held_tap({"at": "95 %", "side": "low"}),
        "check.lamp.trips",
        "check.lamp.late",
        step="wiring",
        number=0.95 - TRIPS_AT,
        limit=0.05,
        unit="%",
        close=1e-9,
    ),
    Case(  # in the doubt of the warning point itself
        "lamp",
        "stop",
        held_tap({"at": "90 %", "side": "low", "tolerance": "1 %"}),
        "check.lamp.trips",
        "check.lamp.late",
        step="wiring",
        number=0.9 - TRIPS_AT,
        limit=0.01,
        unit="%",
        close=1e-9,
    ),
    Case(  # danger lies high: lit from 87 % on, and 88 % is healthy
        "lamp",
        "caution",
        held_tap({"at": "90 %", "side": "high", "normal": "88 %"}),
        "check.lamp.trips",
        "check.lamp.early",
        step="wiring",
        number=0.0,
        unit="%",
    ),
    Case(  # a share of the battery: 3.26 V at 11 V are 28.1 Ω, fewer than the sender has
        "lamp",
        "stop",
        held_tap({"at": "90 %", "side": "low"}, "battery"),
        "check.lamp.trips",
        "check.lamp.fails",
        step="wiring",
        unit="%",
    ),
    Case(  # a share of what the stabiliser holds stays
        "lamp",
        "good",
        held_tap({"at": "90 %", "side": "low"}, "supply"),
        "check.lamp.trips",
        "check.lamp.in_time",
        step="wiring",
        number=0.9 - TRIPS_AT,
        limit=0.05,
        unit="%",
        close=1e-9,
    ),
    Case(  # at 11 V the signal would need 270 Ω
        "lamp",
        "stop",
        plan(COIL, STRAIGHT, wiring={"lamp": {**TAP, "trips": "9 V", "trip_follows": "fixed"}}),
        "check.lamp.trips",
        "check.lamp.fails",
        step="wiring",
        unit="%",
    ),
    Case(  # 7 V on a coil that follows the battery
        "lamp",
        "stop",
        plan(COIL, STRAIGHT, wiring={"lamp": {**TAP, "trips": "7 V", "trip_follows": "fixed"}}),
        "check.lamp.trips",
        "check.lamp.ratio",
        step="wiring",
        number=trip_drift(),
        limit=0.05,
        unit="%",
        close=1e-6,
    ),
    Case(
        "lamp",
        "unknown",
        plan(COIL, STRAIGHT, wiring={"lamp": {**TAP, "trips": "9 V"}}),
        "check.lamp.trips",
        "check.lamp.drift_unknown",
        step="wiring",
        number=(240.0 - 120.0) / 207.0,
        unit="%",
        close=1e-6,
    ),
]

DUAL = sender({"0 %": "120 Ω", "50 %": "51.5 Ω", "100 %": "16.5 Ω"}, stations=2)
OTHER = gauge(LEVEL_240_33, movement={"kind": "ratio", "pull_off": "1 %"})

SECOND = [
    Case(  # 120/51.5/16.5 Ω shared by two equal gauges is 240/103/33 Ω for each
        "second",
        "good",
        plan(UNKNOWN, DUAL, allowed="8 %", wiring={"second": {"gauge": UNKNOWN}}),
        "check.second.shows",
        "check.second.within",
        step="wiring",
        number=0.0,
        limit=0.08,
        unit="%",
        close=1e-6,
    ),
    Case(  # between the three points nobody knows either curve: 7.6 % as the first gauge's band
        "second",
        "caution",
        plan(UNKNOWN, DUAL, wiring={"second": {"gauge": UNKNOWN}}),
        "check.second.shows",
        "check.second.band",
        step="wiring",
        number=0.0,
        limit=0.05,
        unit="%",
        close=1e-6,
    ),
    Case(  # a sender for one gauge under two: at full each sees 66 Ω
        "second",
        "stop",
        plan(UNKNOWN, SAME, wiring={"second": {"gauge": UNKNOWN}}),
        "check.second.shows",
        "check.second.beyond",
        step="wiring",
        number=furthest([falling(2.0 * r) - falling(r) for r in (240.0, 103.0, 33.0)]),
        limit=0.05,
        unit="%",
        close=0.05,
    ),
    Case(
        "second",
        "unknown",
        plan(UNKNOWN, SAME, wiring={"second": {"gauge": OTHER}}),
        "check.second.unknown",
        "movement.second_unknown",
        step="wiring",
    ),
    Case(
        "second",
        "unknown",
        plan(KNOWN, SAME, wiring={"second": {"gauge": KNOWN, "powered": "no"}}),
        "check.second.unknown",
        "movement.second_off",
        step="wiring",
    ),
]


STATIONS = [
    Case(
        "stations",
        "good",
        plan(UNKNOWN, DUAL, wiring={"second": {"gauge": UNKNOWN}}),
        "check.stations.both",
        "check.stations.both_why",
    ),
    Case(
        "stations",
        "caution",
        plan(UNKNOWN, SAME, wiring={"second": {"gauge": UNKNOWN}}),
        "check.stations.shared",
        "check.stations.shared_errors",
        step="wiring",
        number=furthest([falling(2.0 * r) - falling(r) for r in (240.0, 103.0, 33.0)]),
        unit="%",
        close=0.05,
    ),
    Case(  # nobody knows what an unlike second gauge does
        "stations",
        "caution",
        plan(UNKNOWN, SAME, wiring={"second": {"gauge": OTHER}}),
        "check.stations.shared",
        "check.stations.shared_why",
        step="wiring",
    ),
]


def divider(supply: float, earth: float) -> Raw:
    movement = {
        "kind": "ratio",
        "pull_off": "0 %",
        "supply_coil": f"{supply!r} Ω",
        "earth_coil": f"{earth!r} Ω",
    }
    return gauge(LEVEL_240_33, movement=movement)


def left_alone(earth: float) -> float:
    """Furthest error where the second gauge's earth coil alone hangs beside the sender."""
    return furthest([falling(r * earth / (r + earth)) - falling(r) for r in TRACK])


def pair(earth: float, flatters: str = "unknown", at: str = "50 %") -> Raw:
    """Two gauges on the first one's own class of sender; the second of coils of its own."""
    marks = [mark("there", at, flatters)]
    second = {"gauge": divider(earth * 9.0 / 11.0, earth)}
    return plan(KNOWN, SAME, marks=marks, wiring={"second": second})


ALONE = [
    Case(
        "alone",
        "good",
        pair(50_000.0),
        "check.alone.shows",
        "check.alone.good",
        step="wiring",
        number=left_alone(50_000.0),
        limit=0.05,
        unit="%",
        close=1e-3,
    ),
    *(
        Case(
            "alone",
            verdict,
            pair(1000.0, flatters),
            "check.alone.shows",
            "check.alone.together",
            step="wiring",
            number=left_alone(1000.0),
            limit=0.05,
            unit="%",
            close=5e-3,
        )
        for verdict, flatters in (("stop", "high"), ("caution", "low"), ("caution", "unknown"))
    ),
    Case(
        "alone",
        "unknown",
        plan(UNKNOWN, DUAL, wiring={"second": {"gauge": UNKNOWN}}),
        "check.alone.unknown",
        "check.offset.coils",
        step="gauge",
    ),
]

SHARERS = [*ALONE, *LAMP, *SECOND, *STATIONS]
