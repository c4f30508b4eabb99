"""Naming a thread from what a calliper and a thread gauge say."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UserError
from catalog.threads.standards import thread, threads
from catalog.threads.thread import Gender
from retrofit.fit.thread_identity import expected, identify, separation
from retrofit.fit.thread_readings import (
    CALLIPER,
    PITCH_ERROR,
    Measured,
    Reading,
    turns_per_inch,
)
from tests.retrofit.fit.sentences import sentence

MM = 1e-3


def read(value: float, error: float = CALLIPER) -> Reading:
    return Reading(value * MM, error)


def fitting(measured: Measured) -> list[str]:
    return [each.thread.key for each in identify(measured).fitting]


@pytest.mark.parametrize(
    ("diameter", "turns", "key"),
    [
        # Tip diameters and turns per inch of the standards' tables.
        (9.98, 27.0, "npt-1-8"),
        (9.48, 28.0, "r-1-8"),
        (9.65, 28.0, "g-1-8"),
        (9.90, 25.4, "m10x1"),
        (9.42, 24.0, "unf-3-8-24"),
    ],
)
def test_that_diameter_and_pitch_name_the_five_small_sender_threads(
    diameter: float, turns: float, key: str
) -> None:
    found = identify(Measured("male", read(diameter), pitch=turns_per_inch(turns)))
    assert found.candidates[0].thread.key == key
    assert found.candidates[0].fits
    assert found.candidates[0].probability > 0.5


def test_that_an_outside_diameter_alone_leaves_the_look_alikes_and_says_what_tells_them() -> None:
    found = identify(Measured("male", read(9.95)))
    assert {"npt-1-8", "m10x1"} <= {each.thread.key for each in found.fitting}
    text = " ".join(sentence(each.says) for each in found.look_alikes)
    assert "1/8-27 NPT" in text
    assert "M10x1" in text
    assert "measure" in text


def test_that_two_diameters_tell_a_taper_from_a_parallel_thread() -> None:
    # 1:16 over 6 mm is 0.375 mm.
    taper = Measured("male", read(9.95), read(9.95 + 0.375), 6 * MM)
    assert fitting(taper)[0] == "npt-1-8"
    assert "m10x1" not in fitting(taper)
    parallel = Measured("male", read(9.9), read(9.9), 6 * MM)
    assert "npt-1-8" not in fitting(parallel)
    assert "m10x1" in fitting(parallel)


def test_that_half_inch_npt_and_g_are_told_apart_by_the_taper() -> None:
    # 14 turns per inch both; outside at the tip 20.716 and 20.955 mm at basic size.
    found = separation(thread("npt-1-2"), thread("g-1-2"), "male")
    assert found.measure == "taper"
    assert found.expected == pytest.approx((0.5337 * 25.4 * MM / 16.0, 0.0), rel=1e-6)
    assert "taper" not in sentence(found.says)
    assert "further" in sentence(found.says)


def test_that_rc_and_rp_are_told_apart_by_the_taper() -> None:
    assert separation(thread("rc-1-8"), thread("rp-1-8"), "female").measure == "taper"


def test_that_a_thread_is_never_told_apart_from_itself() -> None:
    found = separation(thread("m10x1"), thread("m10x1"), "male")
    assert (found.measure, found.deviations) == ("", 0.0)
    assert sentence(found.says)


def test_that_a_pitch_that_fits_nothing_asks_for_the_pitch_again() -> None:
    found = identify(Measured("male", pitch=Reading(1.154 * MM, 0.002 * MM)))
    assert (found.fitting, found.look_alikes) == ((), ())
    assert [each.key for each in found.problems] == ["identity.no_such_pitch"]
    assert "Measure the pitch again" in sentence(found.problems[0])


def test_that_a_diameter_that_fits_nothing_asks_for_the_diameter_again() -> None:
    found = identify(Measured("male", read(18.7), pitch=turns_per_inch(28.0)))
    assert [each.key for each in found.problems] == ["identity.no_such_diameter"]
    assert sentence(found.problems[0])


def test_that_a_taper_that_fits_nothing_asks_for_both_diameters_again() -> None:
    measured = Measured("male", read(9.9), read(10.1), 6 * MM, turns_per_inch(25.4))
    found = identify(measured)
    assert [each.key for each in found.problems] == ["identity.no_such_taper"]


@pytest.mark.parametrize(
    ("measured", "keys"),
    [
        (Measured("male"), ["identity.nothing"]),
        (Measured("male", Reading(-1 * MM, CALLIPER)), ["identity.not_positive"]),
        (Measured("male", Reading(float("nan"), CALLIPER)), ["identity.not_positive"]),
        (Measured("male", Reading(10 * MM, 0.0)), ["identity.error"]),
        (Measured("male", pitch=turns_per_inch(0.0)), ["identity.not_positive"]),
        (
            Measured("male", second=Reading(10 * MM, CALLIPER)),
            ["identity.second_alone", "identity.apart"],
        ),
        (Measured("male", read(2.0), pitch=turns_per_inch(14.0)), ["identity.coarse"]),
        (Measured("male", read(10.0), read(9.5), 6 * MM), ["identity.reversed_male"]),
        (Measured("female", read(9.0), read(9.5), 6 * MM), ["identity.reversed_female"]),
        (Measured("male", read(9.0), read(11.0), 6 * MM), ["identity.steep"]),
    ],
)
def test_that_impossible_geometry_says_which_measurement_to_repeat(
    measured: Measured, keys: list[str]
) -> None:
    with pytest.raises(UserError) as caught:
        identify(measured)
    assert [each.key for each in caught.value.messages] == keys
    assert all(sentence(each) for each in caught.value.messages)


@pytest.mark.parametrize("gender", ["male", "female"])
def test_that_every_thread_is_found_again_from_its_own_readings(gender: Gender) -> None:
    for each in threads():
        if each.part(gender) is None:
            continue
        at, _ = expected(each, gender, 0.0)
        further, _ = expected(each, gender, 6 * MM)
        measured = Measured(
            gender,
            Reading(at, CALLIPER),
            Reading(further, CALLIPER),
            6 * MM,
            Reading(each.pitch, 0.01 * MM),
        )
        found = identify(measured)
        assert each.key in [candidate.thread.key for candidate in found.fitting]


@given(st.floats(8e-3, 22e-3), st.floats(0.85e-3, 2.0e-3))
def test_that_probabilities_sum_to_one_and_an_empty_answer_says_what_to_repeat(
    diameter: float, pitch: float
) -> None:
    found = identify(Measured("male", Reading(diameter, 1e-4), pitch=Reading(pitch, 3e-5)))
    assert sum(each.probability for each in found.candidates) == pytest.approx(1.0)
    assert bool(found.fitting) != bool(found.problems)
    assert all(sentence(each) for each in found.problems)


@pytest.mark.parametrize(
    ("diameter", "pitch", "key"), [(9.55, 25.4 / 27.0, "npt-1-8"), (9.70, 1.0, "m10x1")]
)
def test_that_a_worn_thread_is_found_where_it_is_said_to_be_worn(
    diameter: float, pitch: float, key: str
) -> None:
    # ASME B1.20.1: crests at the tip 9.99 mm, blunter by 0.12 at most; ISO 965-2: 9.794 mm.
    fresh = Measured("male", read(diameter), pitch=Reading(pitch * MM, PITCH_ERROR))
    assert key not in fitting(fresh)
    worn = replace(fresh, worn=True)
    assert fitting(worn)[0] == key
    if not identify(fresh).fitting:
        assert "identity.if_worn" in [each.key for each in identify(fresh).problems]


def test_that_wear_takes_from_a_males_crests_and_never_adds() -> None:
    thick = Measured("male", read(10.3), pitch=turns_per_inch(27.0))
    assert fitting(replace(thick, worn=True)) == fitting(thick) == []
    # A port wears wider, never narrower: M10x1 inside 8.917 to 9.153 mm (ISO 965-2).
    wide, narrow = (
        Measured("female", read(size), pitch=Reading(1.0 * MM, PITCH_ERROR), worn=True)
        for size in (9.35, 8.7)
    )
    assert "m10x1" in fitting(wide)
    assert "m10x1" not in fitting(narrow)


def test_that_every_thread_is_found_again_though_it_may_be_worn() -> None:
    for each in threads():
        if each.male is not None:
            at, _ = expected(each, "male", 0.0)
            measured = Measured(
                "male", Reading(at, CALLIPER), pitch=Reading(each.pitch, 0.01 * MM), worn=True
            )
            assert each.key in fitting(measured)


@pytest.mark.parametrize("diameter", [9.60, 9.65, 9.70, 9.75, 9.80])
def test_that_an_eighth_npt_and_an_eighth_g_are_told_apart_wherever_both_agree(
    diameter: float,
) -> None:
    found = identify(Measured("male", read(diameter)))
    agree = {each.thread.key for each in found.fitting}
    named = {each.first.key for each in found.look_alikes}
    named |= {each.second.key for each in found.look_alikes}
    assert named == (agree if len(agree) > 1 else set())
    if diameter == 9.70:
        assert {"g-1-8", "npt-1-8"} <= named
        text = " ".join(sentence(each.says) for each in found.look_alikes)
        assert "G 1/8 or 1/8-27 NPT: measure the diameter at the start and again" in text
