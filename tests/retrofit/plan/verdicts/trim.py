"""Verdicts on a trim: watts, the sender's current, an open wiper, the tests that come first."""

from __future__ import annotations

from typing import Any

from tests.retrofit.plan.plans import COILS, LEVEL_240_33, Raw, gauge, mark, plan, sender
from tests.retrofit.plan.verdicts.case import SAME, Case

# 90/110 Ω: 0.55 of 14.4 V behind 49.5 Ω at the signal terminal.
RATIO: Raw = {"kind": "ratio", "pull_off": "0 %", **COILS}
VOLTS, SOURCE = 0.55 * 14.4, 49.5
BESIDE = 470.0
"""Ω across the sender. With its lead open it takes the most: (7.92/(49.5 + 470))²·470 W."""

# Reading too high hides an empty tank.
LOW = [mark("reserve", "10 %", "high")]

OPEN = BESIDE * (VOLTS / (SOURCE + BESIDE)) ** 2


def trimmed(resistors: dict[str, dict[str, str] | str], **fields: Any) -> Raw:
    """A ratio gauge of known coils with resistors that say more than their ohms."""
    movement = fields.pop("movement", RATIO)
    more: Raw = {name: fields.pop(name) for name in ("mends", "tests") if name in fields}
    fields.setdefault("medium", "fresh water")
    raw = plan(gauge(LEVEL_240_33, movement=movement), SAME, **fields)
    raw["pairings"][0]["trim"] = [
        {"place": place, **({"value": said} if isinstance(said, str) else said)}
        for place, said in resistors.items()
    ]
    return {**raw, **more}


def across(rating: str | None = None, **fields: Any) -> Raw:
    said = {"value": f"{BESIDE} Ω"} | ({} if rating is None else {"rating": rating})
    return trimmed({"across sender": said}, **fields)


def power(verdict: str, raw: Raw, why: str, **fields: Any) -> Case:
    says = fields.pop("says", "check.power.takes")
    return Case("power", verdict, raw, says, why, step="trim", **fields)


STUCK_AT_14_4 = {"stabiliser": {"fitted": "yes", "state": "stuck"}}

POWER = [
    power(  # a 6 V winding on the whole 14.4 V, its own sender's 33 Ω at the end, no trim at all
        "caution",
        trimmed(
            {}, movement={"kind": "heater", "heater": "30 Ω", "feed": "6 V"}, wiring=STUCK_AT_14_4
        ),
        "check.power.winding_why",
        says="check.power.winding",
        number=30.0 * (14.4 / 63.0) ** 2,
        limit=30.0 * (6.0 / 63.0) ** 2,
        unit="W",
    ),
    power("good", across("0.25 W"), "check.power.good", number=OPEN, limit=0.125, unit="W"),
    power("caution", across("0.15 W"), "check.power.warm", number=OPEN, limit=0.075, unit="W"),
    power("stop", across("0.1 W"), "check.power.beyond", number=OPEN, limit=0.05, unit="W"),
    power("unknown", across(), "check.power.unrated", number=OPEN, unit="0.25\xa0W"),
    power(  # at the nominal 13.5 V, and nobody said more
        "unknown",
        across("0.25 W", wiring={"supply": {"nominal": "13.5 V"}}),
        "check.power.no_highest",
        number=OPEN * (13.5 / 14.4) ** 2,
        limit=0.125,
        unit="W",
    ),
    power(
        "unknown",
        across("0.25 W", movement={"kind": "ratio"}),
        "power.measure_source",
        says="check.power.unknown",
        unit="volts across each",
    ),
    power(  # the whole supply across it when the lead lies on earth: 14.4²/22 W
        "stop",
        trimmed({"pull-up": "22 Ω"}),
        "check.power.too_hot",
        number=14.4**2 / 22.0,
        unit="W",
    ),
    power(  # 14.4²/22 W are 9.4 W: no customary rating, but the user has one of 25 W
        "good",
        trimmed({"pull-up": {"value": "22 Ω", "rating": "25 W"}}),
        "check.power.good",
        number=14.4**2 / 22.0,
        limit=12.5,
        unit="W",
    ),
    power(  # half of a potentiometer's track may take half of its rating
        "caution",
        trimmed(
            {
                "across sender": {
                    "value": f"{BESIDE} Ω",
                    "track": f"{2 * BESIDE} Ω",
                    "rating": "0.4 W",
                }
            },
            marks=LOW,
        ),
        "check.power.warm",
        number=OPEN,
        limit=0.1,
        unit="W",
    ),
    power(  # the worst of two is told
        "stop",
        trimmed(
            {
                "across sender": {"value": f"{BESIDE} Ω", "rating": "0.25 W"},
                "pull-up": {"value": "1 kΩ", "rating": "0.125 W"},
            }
        ),
        "check.power.beyond",
        number=0.20736,
        limit=0.0625,
        unit="from signal to the gauge supply",
    ),
    power(  # 60 Ω at 10 V: 33∥100 Ω in the place of 33 Ω, the end of its dial
        "caution",
        trimmed(
            {"across sender": {"value": "100 Ω", "rating": "5 W"}},
            movement={"kind": "heater", "heater": "60 Ω", "feed": "10 V"},
            wiring={"stabiliser": {"fitted": "yes", "holds": "heat-equivalent"}},
        ),
        "check.power.winding_why",
        says="check.power.winding",
        number=60.0 * (10.0 / (60.0 + 3300.0 / 133.0)) ** 2,
        limit=60.0 * (10.0 / 93.0) ** 2,
        unit="W",
    ),
]

BARE_AMPS = VOLTS / (SOURCE + 33.0)


def source_with(ohm: float) -> tuple[float, float]:
    """Volts and ohms at the sender's terminals with a pull-up, by Thevenin's theorem."""
    share = SOURCE / (SOURCE + ohm)
    return VOLTS + (14.4 - VOLTS) * share, ohm * share


PULLED, BEHIND = source_with(1000.0)
BESIDE_VOLTS, BESIDE_OHMS = VOLTS * BESIDE / (SOURCE + BESIDE), SOURCE * BESIDE / (SOURCE + BESIDE)
BESIDE_AMPS = BESIDE_VOLTS / (BESIDE_OHMS + 33.0)


def original(**fields: str) -> Raw:
    """What the bare gauge gives at 14.4 V, but for what is said."""
    return {
        "current": f"{BARE_AMPS!r} A",
        "open_volts": f"{VOLTS!r} V",
        "short_current": f"{VOLTS / SOURCE!r} A",
        **fields,
    }


def current(verdict: str, raw: Raw, says: str, why: str, **fields: Any) -> Case:
    step = fields.pop("step", "trim")
    return Case("current", verdict, raw, says, why, step=step, **fields)


CURRENT = [
    current(
        "good",
        across(),
        "check.current.carries",
        "check.current.not_raised",
        number=BESIDE_AMPS,
        limit=BARE_AMPS,
        unit="mA",
    ),
    current(
        "caution",
        trimmed({"pull-up": "1 kΩ"}),
        "check.current.raised",
        "check.current.hot",
        number=PULLED / (BEHIND + 33.0),
        limit=BARE_AMPS,
        unit="mA",
    ),
    current(  # in a tank of nobody knows what
        "unknown",
        across(medium=None),
        "check.current.carries",
        "check.current.what_medium",
        step="duty",
        number=BESIDE_AMPS,
        limit=BARE_AMPS,
        unit="mA",
    ),
    current(
        "unknown",
        across(movement={"kind": "ratio"}),
        "check.current.unknown",
        "power.measure_source",
        unit="volts across each",
    ),
    current(
        "stop",
        across(medium="petrol"),
        "check.current.original_unknown",
        "check.current.read_original",
        step="duty",
        unit="fuel",
    ),
    current(  # one of the three figures is missing
        "stop",
        across(medium="diesel", original={"current": "0.1 A", "open_volts": "8 V"}),
        "check.current.original_unknown",
        "check.current.read_original",
        step="duty",
        unit="fuel",
    ),
    current(
        "good",
        across(medium="petrol", original=original()),
        "check.current.within",
        "check.current.fuel_law",
        # A short sees the same with the resistor across it or not.
        number=VOLTS / SOURCE,
        limit=VOLTS / SOURCE,
        unit="mA",
    ),
    current(
        "stop",
        trimmed({"pull-up": "1 kΩ"}, medium="petrol", original=original()),
        "check.current.above",
        "check.current.fuel_law",
        # Of the three the short rises most: the pull-up has the whole supply across it.
        number=VOLTS / SOURCE + 14.4 / 1000.0,
        limit=VOLTS / SOURCE,
        unit="mA",
    ),
    current(  # the original's figures were read at 12 V: the plan's are compared at 12 V as well
        "good",
        across(
            medium="petrol",
            original={
                "current": f"{BARE_AMPS * 12.0 / 14.4!r} A",
                "open_volts": "6.6 V",
                "short_current": f"{6.6 / SOURCE!r} A",
                "supply": "12 V",
            },
        ),
        "check.current.within",
        "check.current.fuel_law",
        number=6.6 / SOURCE,
        limit=6.6 / SOURCE,
        unit="mA",
    ),
    current(
        "unknown",
        across(medium="petrol", original=original(), wiring={"supply": {"nominal": "13.5 V"}}),
        "check.current.within",
        "check.current.no_highest",
        number=VOLTS / SOURCE * 13.5 / 14.4,
        limit=VOLTS / SOURCE,
        unit="mA",
    ),
    current(  # a bare gauge in fuel: it may be the original, and nobody said
        "unknown",
        trimmed({}, medium="petrol"),
        "check.current.fuel_unread",
        "check.current.read_original",
        step="duty",
        unit="fuel",
    ),
    current(
        "good",
        trimmed({}, medium="petrol", original=original(current="0.1 A", open_volts="10 V")),
        "check.current.within",
        "check.current.fuel_law",
        number=VOLTS / SOURCE,
        limit=VOLTS / SOURCE,
        unit="mA",
    ),
    current(  # another gauge than the original gives the tank more, with no trim at all
        "stop",
        trimmed({}, medium="petrol", original=original(current="0.03 A")),
        "check.current.above",
        "check.current.fuel_law",
        number=BARE_AMPS,
        limit=0.03,
        unit="mA",
    ),
    current(
        "unknown",
        across(medium="petrol", original=original(), movement={"kind": "ratio"}),
        "check.current.unknown",
        "power.measure_source",
        unit="volts across each",
    ),
]

# 20 Ω more than half's 103 Ω on the dial of 240/103/33 Ω, by the family law.
S, Q = (240.0 - 123.0) / 207.0, (103.0 - 33.0) / (240.0 - 103.0)


def pot(place: str, value: str, track: str, **fields: Any) -> Raw:
    return trimmed({place: {"value": value, "track": track, "rating": "5 W"}}, **fields)


WIPER = [
    # Across the sender an open wiper leaves more ohms: a falling gauge reads lower, early.
    Case(
        "wiper",
        "good",
        pot("across sender", "430 Ω", "1 kΩ", marks=LOW),
        "check.wiper.safe",
        "check.wiper.tie",
        step="trim",
        unit="wiper",
    ),
    Case(  # where reading low hides danger it flatters: from 123 Ω to the stop at −5 %
        "wiper",
        "stop",
        pot("series at sender", "20 Ω", "100 Ω", marks=[mark("waste", "50 %", "low")]),
        "check.wiper.flatters",
        "check.wiper.other_place",
        step="trim",
        number=0.05 + Q * S / (1.0 - S + Q * S),
        unit="%",
        mark="waste",
    ),
    Case(
        "wiper",
        "unknown",
        pot("across sender", "430 Ω", "1 kΩ"),
        "check.wiper.unknown",
        "check.wiper.unsaid",
        step="duty",
    ),
    Case(
        "wiper",
        "unknown",
        pot("across sender", "430 Ω", "1 kΩ", marks=[mark("half", "50 %")]),
        "check.wiper.unknown",
        "check.wiper.unsaid",
        step="duty",
    ),
    Case(  # coils not known: a pull-up cannot be judged
        "wiper",
        "unknown",
        pot("pull-up", "430 Ω", "1 kΩ", marks=LOW, movement={"kind": "ratio"}),
        "check.wiper.unknown",
        "movement.pull_up_unjudged",
        step="trim",
    ),
]

DONE = {
    "supply": {"kind": "supply", "done_on": "2031-05-24", "reading": "13.9 V at the gauge"},
    "earth": {"kind": "earth", "done_on": "2031-05-24", "reading": "0.1 Ω"},
    "gauge": {"kind": "gauge", "done_on": "2031-05-25", "reading": "half at 103 Ω"},
}


def mending(*kinds: str, **fields: Any) -> Raw:
    return across("1 W", mends="yes", tests=[DONE[kind] for kind in kinds], **fields)


def keeping(verdict: str, raw: Raw, says: str, why: str, unit: str) -> Case:
    return Case("tests", verdict, raw, says, why, step="trim", unit=unit)


TESTS = [
    keeping("unknown", across(), "check.tests.unsaid", "check.tests.unsaid_why", "hides it"),
    keeping("unknown", mending(), "check.tests.missing", "check.tests.do_supply", "left: 3"),
    keeping("unknown", mending("supply"), "check.tests.missing", "check.tests.do_earth", "left: 2"),
    keeping(
        "unknown",
        mending("earth", "supply"),
        "check.tests.missing",
        "check.tests.do_gauge",
        "left: 1",
    ),
    keeping(  # nothing trimmed yet, but the plan says that it mends
        "unknown",
        {**plan(gauge(LEVEL_240_33), sender(LEVEL_240_33)), "mends": "yes"},
        "check.tests.missing",
        "check.tests.do_supply",
        "left: 3",
    ),
    keeping(
        "good",
        mending("gauge", "supply", "earth"),
        "check.tests.done",
        "check.tests.kept",
        "13.9 V at the gauge",
    ),
    keeping(
        "caution",
        across(
            "1 W",
            mends="yes",
            tests=[
                DONE["supply"],
                {"kind": "earth", "overridden": "tank welded to the frame"},
                DONE["gauge"],
            ],
        ),
        "check.tests.overridden",
        "check.tests.reason",
        "tank welded to the frame",
    ),
]
