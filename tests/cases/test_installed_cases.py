"""Cases of the trade about the installation: supplies, lamps, earths, second gauges, stations.

Figures as in the case, or worked out here by hand from its data; where the two differ it is said.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from retrofit.circuit.stray_volts import resistance_both_ways
from retrofit.plan.checks.check import Verdict
from retrofit.plan.second_gauge import TripPoint, trip_of
from tests.bands.pairings import decoded
from tests.retrofit.plan.plans import Raw, assessed, check_of, gauge, mark, plan, sender

CURVE_C = {"60 °C": "150 Ω", "80 °C": "77 Ω", "90 °C": "57 Ω", "100 °C": "41 Ω", "120 °C": "24 Ω"}


def table(rows: dict[str, str], **fields: object) -> Raw:
    points = [{"at": at, "gives": gives} for at, gives in rows.items()]
    return sender(None, law={"kind": "table", "points": points, **fields})


@pytest.mark.parametrize(("ohm", "volts"), [(5.0, 1.25), (60.0, 4.0), (85.0, 4.25)])
def test_that_c17_a_tapped_lamp_changes_over_where_the_signal_reaches_its_volts(
    ohm: float, volts: float
) -> None:
    """C17: 5 V through 15 Ω; V = 5·R/(R + 15); a straight 85–5 Ω sender, empty to full."""
    assert 5.0 * ohm / (ohm + 15.0) == pytest.approx(volts)
    dial = gauge(
        {"0 %": "85 Ω", "100 %": "5 Ω"},
        movement={"kind": "heater", "heater": "15 Ω", "feed": "5 V"},
    )
    lamp = {"circuit": "tapped from signal", "trips": f"{volts} V", "trip_follows": "fixed"}
    held = {"fitted": "yes", "holds": "heat-equivalent"}
    raw = plan(
        dial,
        table({"0 %": "85 Ω", "100 %": "5 Ω"}, shape="straight"),
        wiring={"lamp": lamp, "stabiliser": held},
    )
    trip = trip_of(decoded(raw).pairings[0])
    assert isinstance(trip, TripPoint)
    assert trip.ohm == pytest.approx(ohm, rel=1e-9)
    assert trip.at == pytest.approx((85.0 - ohm) / 80.0, abs=1e-9)
    assert trip.drift == pytest.approx(0.0, abs=1e-12)


def thermal(nominal: float, **fields: Any) -> Raw:
    """A 60 Ω thermal gauge marked at 10 V, its needle after the current."""
    dial = gauge(
        CURVE_C,
        "temperature",
        low="60 °C",
        movement={"kind": "heater", "heater": "60 Ω", "feed": "10 V"},
    )
    points = [{"at": at, "gives": gives} for at, gives in CURVE_C.items()]
    source = sender(
        None, "temperature", law={"kind": "table", "points": points, "shape": "thermistor"}
    )
    wiring = {"supply": {"nominal": f"{nominal} V"}, "stabiliser": {"fitted": "no"}}
    return plan(dial, source, low="60 °C", wiring=wiring, **fields)


@pytest.mark.parametrize(
    ("volts", "shown"), [(11.0, 88.0), (12.2, 95.0), (13.8, 105.0), (14.4, 110.0)]
)
def test_that_c23_a_thermal_gauge_on_raw_volts_climbs_into_the_red(
    volts: float, shown: float
) -> None:
    """C23 at a true 82 °C (73 Ω), tolerance 1.5 °C; its second look gives 87.8/94.5/104.1/108.3.

    By hand: the dial sees (60 + 73)·10/V − 60 Ω; 55.8 Ω lies at 90.6 °C straight between marks.
    """
    raw = thermal(volts, marks=[mark("running", "82 °C", "low")])
    found = assessed(raw)
    (reading,) = found.marks
    smooth = {11.0: 87.8, 12.2: 94.5, 13.8: 104.1, 14.4: 108.3}[volts]
    assert reading.shown == pytest.approx(smooth, abs=0.9)
    assert reading.shown == pytest.approx(shown, abs=2.2)


def test_that_c23_is_told_as_a_heater_without_its_stabiliser() -> None:
    raw = thermal(13.8, marks=[mark("running", "82 °C", "low")])
    raw["pairings"][0]["installation"]["supply"] |= {"low": "11 V", "high": "14.4 V"}
    check = check_of(assessed(raw), "supply")
    assert check.verdict is Verdict.STOP
    assert check.number is not None
    # From 13.8 V down to 11 V it falls by 16 °C at 82 °C (104.1 to 87.8 in the second look), and
    # elsewhere in the range by more.
    assert check.number.value > 16.3 - 1.5


@pytest.mark.parametrize(("heater", "shown"), [(55.0, 84.5), (50.0, 87.0), (45.0, 89.5)])
def test_that_c25_a_low_heater_reads_high(heater: float, shown: float) -> None:
    """C25 at 80 °C (77 Ω): by hand the dial made for 60 Ω sees 77 + heater − 60 Ω."""
    seen = 77.0 + heater - 60.0
    ohms, values = np.log([150.0, 77.0, 57.0, 41.0, 24.0]), [60.0, 80.0, 90.0, 100.0, 120.0]
    straight = float(np.interp(-np.log(seen), -ohms, values))
    assert straight == pytest.approx(shown, abs=2.6)  # the case's own figures by straight ohms


def equal(stations: int, rows: dict[str, str], second: bool) -> Raw:
    dial = gauge({"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"})
    points = [{"at": at, "gives": gives} for at, gives in rows.items()]
    source = sender(None, law={"kind": "table", "points": points}, stations=stations)
    wiring: Raw = {"second": {"gauge": dial}} if second else {}
    return plan(dial, source, wiring=wiring, marks=[mark("half", "50 %", "high")])


def test_that_c30_two_equal_gauges_each_see_twice_the_ohms() -> None:
    """C30: 64.3 Ω at 200 °F under two equal gauges is 128.6 Ω for each, which is 161 °F."""
    rows = {"100 °F": "450 Ω", "150 °F": "158.2 Ω", "200 °F": "64.3 Ω", "250 °F": "29.5 Ω"}
    fields: dict[str, Any] = {"low": "100 °F", "high": "250 °F"}
    dial = gauge(None, "temperature", **fields)
    dial["scaled_for"] = {
        "key": "class",
        "name": "The class",
        "law": {
            "kind": "table",
            "points": [{"at": at, "gives": gives} for at, gives in rows.items()],
            "shape": "thermistor",
        },
    }
    source = sender(rows, "temperature", shape="thermistor")
    raw = plan(
        dial,
        source,
        wiring={"second": {"gauge": dial}},
        marks=[mark("hot", "200 °F", "low")],
        **fields,
    )
    found = assessed(raw)
    fahrenheit = found.marks[0].shown * 1.8 + 32.0
    assert fahrenheit == pytest.approx(161.0, abs=1.0)
    assert check_of(found, "stations").verdict is Verdict.CAUTION
    assert check_of(found, "second").verdict is Verdict.STOP


def test_that_c34_seventy_one_way_and_minus_120_the_other_is_no_resistance() -> None:
    assert resistance_both_ways(70.0, -120.0) is None
    raw = plan(
        gauge({"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}),
        sender({"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}),
        wiring={"sender_earth": "70 Ω", "sender_earth_reversed": "-120 Ω"},
    )
    check = check_of(assessed(raw), "earth")
    assert (check.verdict, check.says.key) == (Verdict.UNKNOWN, "check.earth.stray")


@pytest.mark.parametrize(
    ("rest", "stations", "rows"),
    [
        (240.0, 1, {"0 %": "240 Ω", "50 %": "103 Ω", "100 %": "33 Ω"}),
        (120.0, 2, {"0 %": "120 Ω", "50 %": "51.5 Ω", "100 %": "16.5 Ω"}),
    ],
)
def test_that_c47_the_ohms_at_rest_tell_the_number_of_stations(
    rest: float, stations: int, rows: dict[str, str]
) -> None:
    """C47: 240 Ω at rest is a falling sender for one gauge, 120 Ω one for two."""
    found = assessed(equal(stations, rows, second=stations == 2))
    assert float(found.reading.ohms[0]) == pytest.approx(rest)  # type: ignore[union-attr]
    assert found.marks[0].error == pytest.approx(0.0, abs=1e-6)
    assert check_of(found, "stations").verdict is Verdict.GOOD


def test_that_c47_a_dual_sender_under_one_gauge_tells_what_each_way_would_read() -> None:
    rows = {"0 %": "120 Ω", "50 %": "51.5 Ω", "100 %": "16.5 Ω"}
    check = check_of(assessed(equal(2, rows, second=False)), "stations")
    assert (check.verdict, check.why.key) == (Verdict.CAUTION, "check.stations.two_errors")


def test_that_c22_a_six_volt_gauge_on_twelve_volts_needs_a_regulator() -> None:
    """C22: a 140 Ω thermal gauge of 6 V, 338–10 Ω; its needle after the current.

    By hand: on 12 V the current doubles, so the needle stands at its stop; with 6 V held it is
    right at both ends, whatever the battery does. The case's divider and dropper in the gauge's
    feed have no place of their own in a plan; 150 Ω of contacts in the feed are the dropper.
    """
    ends = {"0 %": "338 Ω", "100 %": "10 Ω"}
    dial = gauge(
        ends,
        system=["6 V"],
        movement={"kind": "heater", "heater": "140 Ω", "feed": "6 V"},
    )
    marks = [mark("empty", "0 %", "high"), mark("full", "100 %", "high")]
    source = sender(ends, shape="straight")

    def readings(wiring: Raw) -> tuple[float, float]:
        found = assessed(plan(dial, source, marks=marks, wiring=wiring))
        return found.marks[0].shown, found.marks[1].shown

    raw: Raw = {"supply": {"nominal": "12 V"}, "stabiliser": {"fitted": "no"}}
    assert readings(raw)[1] == pytest.approx(1.05)
    held: Raw = {"fitted": "yes", "holds": "heat-equivalent", "output": "6 V"}
    regulated = readings({"supply": {"nominal": "12 V"}, "stabiliser": held})
    assert list(regulated) == pytest.approx([0.0, 1.0], abs=1e-9)
    dropped = readings({**raw, "feed": {"contacts": "150 Ω"}})
    low, high = 6.0 / 478.0, 6.0 / 150.0
    by_hand = [(12.0 / (140.0 + r + 150.0) - low) / (high - low) for r in (338.0, 10.0)]
    assert by_hand == pytest.approx([0.24, 1.0], abs=0.01)  # the case's figures
    assert list(dropped) == pytest.approx(by_hand, abs=1e-9)
