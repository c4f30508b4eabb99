"""Ratings and place: what is not known is never good."""

from __future__ import annotations

import math
from collections.abc import Collection

import pytest

from catalog.errors import UserError
from retrofit.fit.place import (
    Answer,
    InFuel,
    Place,
    Track,
    air_pocket_check,
    electrolysis_check,
    fuel_check,
    place_check,
    shared_check,
    wires_check,
)
from retrofit.fit.ratings import (
    Heat,
    InTheWay,
    bore_check,
    immersion_check,
    medium_check,
    pressure_check,
    temperature_check,
)
from tests.retrofit.fit.sentences import told

BAR = 1e5


@pytest.mark.parametrize(
    ("rated", "proof", "highest", "verdict"),
    [
        (10.0, 15.0, 6.0, "good"),
        (10.0, None, 6.0, "good"),
        (8.0, None, 6.0, "caution"),
        (10.0, 15.0, 10.0, "good"),
        (10.0, 12.0, 10.0, "caution"),
        (5.0, 20.0, 6.0, "stop"),
        (None, 9.0, 6.0, "good"),
        (None, 8.0, 6.0, "stop"),
        (None, None, 6.0, "unknown"),
        (10.0, 15.0, None, "unknown"),
    ],
)
def test_that_a_pressure_needs_half_as_much_again(
    rated: float | None, proof: float | None, highest: float | None, verdict: str
) -> None:
    given = [None if value is None else value * BAR for value in (rated, proof, highest)]
    check = pressure_check(given[0], given[1], given[2])
    assert check.verdict == verdict
    assert told(check)


def test_that_impossible_pressures_are_refused() -> None:
    with pytest.raises(UserError, match="not_positive"):
        pressure_check(-1.0, None, 6e5)
    with pytest.raises(UserError, match="order"):
        pressure_check(10e5, 5e5, 6e5)


@pytest.mark.parametrize(
    ("suits", "medium", "verdict"),
    [
        (("oil",), "oil", "good"),
        (("oil",), "petrol", "stop"),
        ((), "oil", "unknown"),
        (None, "oil", "unknown"),
        (("oil",), None, "unknown"),
    ],
)
def test_that_a_medium_must_be_stated(
    suits: Collection[str] | None, medium: str | None, verdict: str
) -> None:
    check = medium_check(suits, medium)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("heat", "verdict"),
    [
        (Heat(-40.0, 120.0, -20.0, 110.0), "good"),
        (Heat(-40.0, 120.0, -20.0, 130.0), "stop"),
        (Heat(-10.0, 120.0, -20.0, 110.0), "stop"),
        (Heat(None, 120.0, None, 130.0), "stop"),
        (Heat(None, 120.0, -20.0, 110.0), "unknown"),
        (Heat(None, None, None, None), "unknown"),
    ],
)
def test_that_both_ends_of_the_temperature_are_judged(heat: Heat, verdict: str) -> None:
    check = temperature_check(heat)
    assert check.verdict == verdict
    assert told(check)
    with pytest.raises(UserError, match="order"):
        temperature_check(Heat(120.0, -40.0, None, None))


@pytest.mark.parametrize(
    ("probe", "way", "verdict"),
    [
        (30e-3, 20e-3, "good"),
        (25e-3, 20e-3, "caution"),
        (20e-3, 20e-3, "stop"),
        (10e-3, 20e-3, "stop"),
        (None, 20e-3, "unknown"),
        (30e-3, None, "unknown"),
    ],
)
def test_that_a_probe_must_reach_the_flow(
    probe: float | None, way: float | None, verdict: str
) -> None:
    check = immersion_check(probe, None if way is None else InTheWay(way, way))
    assert check.verdict == verdict
    assert told(check)


def test_that_impossible_lengths_are_refused() -> None:
    for probe, way in ((0.0, 1e-3), (1e-3, -1e-3)):
        with pytest.raises(UserError, match="immersion"):
            immersion_check(probe, InTheWay(way, way))


@pytest.mark.parametrize(
    ("least", "most", "verdict"),
    [
        (20e-3, 25e-3, "good"),
        (20e-3, 32e-3, "caution"),  # 8 mm in the flow at worst
        (20e-3, 41e-3, "caution"),  # at worst it stays in the wall
        (20e-3, math.inf, "unknown"),  # a taper thread that nobody measured
        (40e-3, math.inf, "stop"),  # hidden however far it goes in
    ],
)
def test_that_a_taper_thread_gives_a_range_whose_worst_end_decides(
    least: float, most: float, verdict: str
) -> None:
    check = immersion_check(40e-3, InTheWay(least, most))
    assert check.verdict == verdict
    assert "inf" not in told(check)


@pytest.mark.parametrize(
    ("diameter", "verdict"),
    [(4e-3, "good"), (4.8e-3, "caution"), (6e-3, "stop"), (None, "unknown")],
)
def test_that_a_probe_must_pass_the_narrowest_bore(diameter: float | None, verdict: str) -> None:
    check = bore_check(diameter, 5e-3)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("duty", "mounted", "verdict"),
    [
        ("cylinder head", "cylinder head", "good"),
        ("oil gallery after the filter", "oil gallery before the filter", "caution"),
        ("cylinder head", "unknown", "unknown"),
        ("unknown", "unknown", "unknown"),
    ],
)
def test_that_marks_hold_only_at_the_point_of_the_duty(
    duty: Place, mounted: Place, verdict: str
) -> None:
    check = place_check(duty, mounted)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("fuel", "verdict"),
    [
        (InFuel("no"), "good"),
        (InFuel("unknown"), "unknown"),
        (InFuel("yes", "yes", "no"), "good"),
        (InFuel("yes", "yes", "unknown"), "unknown"),
        (InFuel("yes", "unknown", "no"), "stop"),
        (InFuel("yes", "yes", "yes"), "stop"),
    ],
)
def test_that_fuel_asks_for_a_sender_made_for_it_and_no_joint_inside(
    fuel: InFuel, verdict: str
) -> None:
    check = fuel_check(fuel)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("highest", "bled", "verdict"),
    [
        ("no", "unknown", "good"),
        ("yes", "yes", "caution"),
        ("yes", "no", "stop"),
        ("yes", "unknown", "stop"),
        ("unknown", "yes", "unknown"),
    ],
)
def test_that_trapped_air_stops_a_temperature_sender(
    highest: Answer, bled: Answer, verdict: str
) -> None:
    check = air_pocket_check(highest, bled)
    assert check.verdict == verdict
    assert told(check)


@pytest.mark.parametrize(
    ("track", "medium", "verdict"),
    [
        ("wire or film in the open", "waste water", "stop"),
        ("wire or film in the open", "diesel", "good"),
        ("sealed contacts", "water", "good"),
        ("unknown", "water", "unknown"),
        ("sealed contacts", None, "unknown"),
    ],
)
def test_that_a_bare_track_in_water_is_eaten_away(
    track: Track, medium: str | None, verdict: str
) -> None:
    check = electrolysis_check(track, medium)
    assert check.verdict == verdict
    assert told(check)


def test_that_a_sender_of_a_controller_is_left_alone() -> None:
    answers: tuple[Answer, ...] = ("yes", "no", "unknown")
    found = [shared_check(answer) for answer in answers]
    assert [each.verdict for each in found] == ["stop", "good", "unknown"]
    assert all(told(each) for each in found)


def test_that_wires_are_counted_before_a_resistance_is_believed() -> None:
    found = [wires_check(wires) for wires in (1, 2, 3, 4, 6, None, 0)]
    verdicts = ["good", "good", "caution", "stop", "stop", "unknown", "unknown"]
    assert [each.verdict for each in found] == verdicts
    assert all(told(each) for each in found)
