"""Watts and currents of a trim against closed forms and worked cases."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.codec import decode
from catalog.message import Message
from retrofit.installation import PLACES
from retrofit.plan.document import Plan
from retrofit.trim.power import RATINGS, Fault, Feeds, Load, Loads, loads, needed_rating
from tests.retrofit.plan.plans import COILS, LEVEL_240_33, Rows, gauge, plan, sender

RATIO = {"kind": "ratio", **COILS}


def loaded(
    movement: dict[str, Any],
    trim: Rows,
    ohms: tuple[float, float],
    feeds: Feeds,
    earth: str | None = None,
    **fields: Any,
) -> Loads | Message:
    wiring = {} if earth is None else {"sender_earth": earth}
    made = plan(
        gauge(LEVEL_240_33, movement=movement, **fields),
        sender(LEVEL_240_33),
        trim,
        wiring=wiring,
    )
    pair = decode(made, Plan, "test").pairings[0]
    return loads(pair.gauge, pair.installation, pair.trim, np.array(ohms), feeds)


def found(*args: Any, **fields: Any) -> Loads:
    made = loaded(*args, **fields)
    assert isinstance(made, Loads)
    return made


def of(all_loads: Loads, place: str) -> Load:
    return next(load for resistor, load in all_loads.resistors if resistor.place == place)


def heater(ohm: float, feed: float) -> dict[str, Any]:
    return {"kind": "heater", "heater": f"{ohm} Ω", "feed": f"{feed} V"}


def test_that_c25_series_ohms_take_0_28_watts_shorted_and_0_53_on_the_battery() -> None:
    """A 50 Ω heater with 10 Ω in series: (10/60)²·10 and (13.8/60)²·10."""
    trim = {"series at gauge": "10 Ω"}
    steady = of(found(heater(50.0, 10.0), trim, (24.0, 150.0), Feeds(10.0)), "series at gauge")
    assert steady.watts == pytest.approx(0.28, abs=0.005)
    assert steady.watts == pytest.approx(10.0 * (10.0 / 60.0) ** 2, rel=1e-9)
    assert steady.fault is Fault.SENDER_EARTHED
    stuck = of(found(heater(50.0, 10.0), trim, (24.0, 150.0), Feeds(10.0, 13.8)), "series at gauge")
    assert stuck.watts == pytest.approx(0.53, abs=0.005)
    assert stuck.stuck


def test_that_c22_a_dropper_takes_a_quarter_of_a_watt() -> None:
    """140 Ω heater of 6 V on 12 V, 150 Ω in its loop, sender 338–10 Ω: 12/300 A at full."""
    all_loads = found(heater(140.0, 6.0), {"series at gauge": "150 Ω"}, (10.0, 338.0), Feeds(12.0))
    assert all_loads.terminals.amps == pytest.approx(12.0 / 300.0, rel=1e-9)
    assert of(all_loads, "series at gauge").watts == pytest.approx(
        150.0 * (12.0 / 290.0) ** 2, rel=1e-9
    )
    assert all_loads.winding_in_order is not None
    assert all_loads.winding_in_order.watts == pytest.approx(140.0 * 0.04**2, rel=1e-9)


def test_that_c08_carries_0_3_amperes_and_0_93_watts_at_full() -> None:
    """100 Ω source, 12 V, pull-up 41.67 Ω, sender 10 Ω."""
    trim = {"pull-up": "41.67 Ω"}
    all_loads = found(heater(100.0, 12.0), trim, (10.0, 10.0), Feeds(12.0))
    assert all_loads.terminals.amps == pytest.approx(0.304, abs=0.0005)
    assert all_loads.terminals.watts == pytest.approx(0.93, abs=0.005)
    assert all_loads.terminals.open_volts == pytest.approx(12.0)
    assert all_loads.terminals.short_amps == pytest.approx(12.0 / 100.0 + 12.0 / 41.67, rel=1e-9)
    # The pull-up has the whole supply across it when the lead lies on earth.
    assert of(all_loads, "pull-up").watts == pytest.approx(144.0 / 41.67, rel=1e-9)
    # Over 10–70 Ω the sender takes most where its ohms are the source's, 100∥41.67 Ω.
    wide = found(heater(100.0, 12.0), trim, (10.0, 70.0), Feeds(12.0))
    source = 100.0 * 41.67 / 141.67
    assert wide.terminals.watts == pytest.approx(144.0 / (4.0 * source), rel=1e-9)


def test_that_the_sender_and_the_terminals_of_a_ratio_gauge_are_its_source() -> None:
    """90/110 Ω at 13.5 V: 7.425 V behind 49.5 Ω."""
    terminals = found(RATIO, {}, (10.0, 180.0), Feeds(13.5)).terminals
    assert terminals.open_volts == pytest.approx(7.425, rel=1e-9)
    assert terminals.short_amps == pytest.approx(0.15, rel=1e-9)
    assert terminals.amps == pytest.approx(7.425 / 59.5, rel=1e-9)
    assert terminals.watts == pytest.approx(7.425**2 / (4.0 * 49.5), rel=1e-9)


def test_that_each_place_is_loaded_most_in_the_fault_that_loads_it() -> None:
    trim = dict.fromkeys(PLACES, "100 Ω")
    all_loads = found(RATIO, trim, (20.0, 200.0), Feeds(14.0), earth="1 Ω")
    states = {resistor.place: load.fault for resistor, load in all_loads.resistors}
    assert states == {
        "across sender": Fault.SENDER_OPEN,
        "series at sender": Fault.LEAD_EARTHED,
        "signal to earth": Fault.SENDER_OPEN,
        "series at gauge": Fault.LEAD_EARTHED,
        "pull-up": Fault.LEAD_EARTHED,
    }
    assert of(all_loads, "pull-up").watts == pytest.approx(14.0**2 / 100.0)


def worst_by_hand(
    trim: dict[str, float], ohms: tuple[float, float], volts: float
) -> dict[str, float]:
    """Watts by Kirchhoff's laws on the 90/110 Ω gauge, the states tried one by one."""
    p, s1 = trim["across sender"], trim["series at sender"]
    q, s2 = trim["signal to earth"], trim["series at gauge"]
    open_volts, source = 0.55 * volts, 49.5
    worst = dict.fromkeys(trim, 0.0)
    # Sender at each of many ohms of its range, shorted and open; lead on earth after s2, after s1.
    states = [("", r) for r in (*np.linspace(*ohms, 101), 0.0, math.inf)]
    for where, r in [*states, ("after s2", 0.0), ("after s1", 0.0), ("before s2", 0.0)]:
        branch = 0.0 if where else (p if math.isinf(r) else p * r / (p + r))
        arm = s1 + branch
        path = 0.0 if where == "after s2" else q * arm / (q + arm)
        amps = 0.0 if where == "before s2" else open_volts / (source + s2 + path)
        middle = amps * path
        into = 0.0 if where in ("after s2", "before s2") else middle / arm
        now = {
            "series at gauge": amps**2 * s2,
            "signal to earth": middle**2 / q,
            "series at sender": into**2 * s1,
            "across sender": 0.0 if where else (into * branch) ** 2 / p,
        }
        worst = {place: max(worst[place], now[place]) for place in worst}
    return worst


POSITIVE = st.floats(1.0, 2000.0)


@given(
    st.fixed_dictionaries({place: POSITIVE for place in PLACES if place != "pull-up"}),
    st.tuples(st.floats(0.0, 300.0), st.floats(1.0, 300.0)),
    st.floats(6.0, 32.0),
)
def test_that_watts_are_those_of_kirchhoff_at_the_worst_state(
    trim: dict[str, float], ohms: tuple[float, float], volts: float
) -> None:
    low, high = sorted(ohms)
    typed = {place: f"{ohm!r} Ω" for place, ohm in trim.items()}
    all_loads = found(RATIO, typed, (low, high), Feeds(volts))
    by_hand = worst_by_hand(trim, (low, high), volts)
    for place, watts in by_hand.items():
        assert of(all_loads, place).watts == pytest.approx(watts, rel=1e-9, abs=1e-15)


@given(st.floats(0.5, 3.0), st.lists(st.sampled_from(PLACES), unique=True, min_size=1))
def test_that_power_goes_with_the_square_of_the_supply(times: float, places: list[str]) -> None:
    trim = dict.fromkeys(places, "220 Ω")
    one = found(RATIO, trim, (10.0, 180.0), Feeds(12.0))
    other = found(RATIO, trim, (10.0, 180.0), Feeds(12.0 * times))
    for (_, a), (_, b) in zip(one.resistors, other.resistors, strict=True):
        assert b.watts == pytest.approx(a.watts * times**2, rel=1e-9)
        assert b.amps == pytest.approx(a.amps * times, rel=1e-9)
    assert other.terminals.watts == pytest.approx(one.terminals.watts * times**2, rel=1e-9)
    assert other.terminals.amps == pytest.approx(one.terminals.amps * times, rel=1e-9)


@given(
    st.lists(st.sampled_from([p for p in PLACES if p != "pull-up"]), unique=True, min_size=1),
    st.floats(1.0, 5000.0),
)
def test_that_resistors_in_the_path_never_give_the_sender_more(
    places: list[str], ohm: float
) -> None:
    bare = found(RATIO, {}, (10.0, 180.0), Feeds(14.4)).terminals
    trimmed = found(
        RATIO, dict.fromkeys(places, f"{ohm!r} Ω"), (10.0, 180.0), Feeds(14.4)
    ).terminals
    slack = 1.0 + 1e-9
    assert trimmed.amps <= bare.amps * slack
    assert trimmed.open_volts <= bare.open_volts * slack
    assert trimmed.short_amps <= bare.short_amps * slack


@given(st.floats(1.0, 5000.0))
def test_that_a_pull_up_always_gives_the_sender_more(ohm: float) -> None:
    bare = found(RATIO, {}, (10.0, 180.0), Feeds(14.4)).terminals
    pulled = found(RATIO, {"pull-up": f"{ohm!r} Ω"}, (10.0, 180.0), Feeds(14.4)).terminals
    assert pulled.amps > bare.amps
    assert pulled.open_volts > bare.open_volts
    assert pulled.short_amps > bare.short_amps


def test_that_a_measured_source_gives_the_same_watts_as_the_coils_behind_it() -> None:
    """0.55 of the supply behind 49.5 Ω, read across 16.5 and 148.5 Ω."""
    source = {
        "first": "16.5 Ω",
        "first_volts": "1.65 V",
        "second": "148.5 Ω",
        "second_volts": "4.95 V",
        "supply": "12 V",
        "meter_error": "0.5 %",
    }
    trim = {"pull-up": "470 Ω", "series at sender": "10 Ω"}
    coils = found(RATIO, trim, (10.0, 180.0), Feeds(14.4))
    read = found({"kind": "ratio"}, trim, (10.0, 180.0), Feeds(14.4), source=source)
    for (_, a), (_, b) in zip(coils.resistors, read.resistors, strict=True):
        assert b.watts == pytest.approx(a.watts, rel=1e-9)
    assert read.terminals.amps == pytest.approx(coils.terminals.amps, rel=1e-9)
    assert read.winding is None  # its coils are not known one by one


@pytest.mark.parametrize(
    ("movement", "key"),
    [
        ({"kind": "ratio"}, "power.measure_source"),
        ({"kind": "heater"}, "power.measure_winding"),
        ({"kind": "coil"}, "power.measure_winding"),
        ({"kind": "electronic"}, "power.measure_input"),
    ],
)
def test_that_unknown_currents_say_what_to_measure(movement: dict[str, Any], key: str) -> None:
    made = loaded(movement, {"across sender": "100 Ω"}, (10.0, 180.0), Feeds(14.4))
    assert isinstance(made, Message)
    assert made.key == key


def test_that_a_sender_unknown_over_the_range_gives_no_watts() -> None:
    made = loaded(RATIO, {}, (math.nan, math.nan), Feeds(14.4))
    assert isinstance(made, Message)
    assert made.key == "power.no_range"


@pytest.mark.parametrize(
    ("watts", "rating"),
    [(0.0, 0.25), (0.125, 0.25), (0.126, 0.5), (0.53, 2.0), (2.63, 7.0), (5.0, 10.0), (5.1, None)],
)
def test_that_the_rating_is_the_next_customary_one_of_twice_the_watts(
    watts: float, rating: float | None
) -> None:
    """Half the rating in a warm, closed place; ratings as sold (common practice, no source)."""
    assert needed_rating(watts) == rating
    assert sorted(RATINGS) == list(RATINGS)
