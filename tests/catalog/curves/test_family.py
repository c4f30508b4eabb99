"""The family of needle laws: its numbers, its bands, its inverse.

The numbers were computed apart from this program with closed forms. The tables they rest on
are common practice, no source; the 0–10 bar table is from memory except at 0, 5 and 10 bar.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.curves.family import EndsOnly, fit_q, q_through, scale_fraction, way
from catalog.curves.interpolated import Interpolated
from catalog.library import load_generic
from catalog.parts.sender import Sender

Q = st.floats(0.05, 20.0)

# Ohms at the low mark, at a middle mark and at the high mark, the middle's fraction of scale, q.
MIDDLE_MARKS = [
    (240, 103, 33, 0.5, 0.511),
    (240, 136, 33, 0.5, 0.990),
    (73, 23, 10, 0.5, 0.260),
    (70, 26, 12, 0.5, 0.318),
    (222, 65, 20, 0.5, 0.287),
    (0, 45, 90, 0.5, 1.000),
    (10, 107, 184, 0.5, 0.794),
    (10, 82, 184, 0.4, 0.944),
    (10, 66, 149, 0.5, 1.48),
    (291.46, 70.12, 22.44, 0.5, 0.215),
    (150, 57, 24, 0.5, 0.355),
]


def fahrenheit(value: float) -> float:
    return (value - 32.0) / 1.8


# Key, low and high end of the scale, its middle mark [SI], and how far from the law with q from
# that mark the other points of the table lie, as per cent of scale.
REST_OF_TABLE = [
    ("pressure-10bar-10-184", 0.0, 10e5, 5e5, 0.5),
    ("pressure-5bar-10-184", 0.0, 5e5, 2e5, 0.9),
    ("level-222-20-mid-65", 0.0, 1.0, 0.5, 3.3),
    ("temperature-291-22-120c", 40.0, 120.0, 80.0, 2.3),
    (
        "temperature-450-15-300f",
        fahrenheit(100.0),
        fahrenheit(250.0),
        fahrenheit(150.0),
        4.3,
    ),
    ("level-10-149-mid-66", 0.0, 1.0, 0.5, 5.0),
]


@pytest.mark.parametrize(("low", "middle", "high", "f", "q"), MIDDLE_MARKS)
def test_that_a_middle_mark_gives_its_q(
    low: float, middle: float, high: float, f: float, q: float
) -> None:
    digits = 2 if q == 1.48 else 3
    assert round(q_through((middle - low) / (high - low), f), digits) == pytest.approx(q)


@pytest.mark.parametrize(("key", "low", "high", "middle", "per_cent"), REST_OF_TABLE)
def test_that_the_rest_of_a_table_stays_within_its_limit(
    key: str, low: float, high: float, middle: float, per_cent: float
) -> None:
    part = load_generic().part(key)
    assert isinstance(part, Sender)
    assert isinstance(part.curve, Interpolated)
    near = 1e-9 * (high - low)
    points = [(x, r) for x, r in part.curve.points if low - near <= x <= high + near]
    x, ohms = np.array(points).T
    f, s = (x - x[0]) / (x[-1] - x[0]), (ohms - ohms[0]) / (ohms[-1] - ohms[0])
    at = int(np.argmin(np.abs(x - middle)))
    q = q_through(float(s[at]), float(f[at]))
    worst = 100.0 * float(np.max(np.abs(scale_fraction(s, q) - f)))
    assert round(worst, 1) == pytest.approx(per_cent)


def test_that_the_usual_falling_law_places_the_straight_track_s_ohms() -> None:
    # Marks 240/103/33 Ω: 188, 136 and 84 Ω show 0.1463, 0.3403 and 0.6098, ±0.0005.
    law = EndsOnly(0.0, 1.0, 240.0, 33.0, q=q_through((103.0 - 240.0) / (33.0 - 240.0), 0.5))
    shown = law.value(np.array([188.0, 136.0, 84.0]))
    assert shown == pytest.approx([0.1463, 0.3403, 0.6098], abs=5e-4)


@pytest.mark.parametrize(
    ("ends", "ohms", "band", "near"),
    [
        ((73.0, 10.0), 29.0, (0.29, 0.71), 0.005),
        ((10.0, 184.0), 93.0, (0.415, 0.585), 0.0015),
    ],
    ids=["73-10", "10-184"],
)
def test_that_ends_only_leave_the_known_band_at_the_best_test_resistor(
    ends: tuple[float, float], ohms: float, band: tuple[float, float], near: float
) -> None:
    # `near`: half the band's last digit, and for 10-184 the resistor's rounding (0.1 Ω) as well.
    kin = EndsOnly(0.0, 1.0, *ends).alternatives()
    shown = sorted(float(law.value(np.array([ohms]))[0]) for law in kin)
    assert shown == pytest.approx(band, abs=near)


def test_that_the_240_to_33_ends_leave_a_third_of_the_scale_at_103_ohms() -> None:
    # q between 0.25 and 1.05, as this class was found: 0.328 to 0.672.
    kin = [EndsOnly(0.0, 1.0, 240.0, 33.0, q=q) for q in (0.25, 1.05)]
    shown = [float(law.value(np.array([103.0]))[0]) for law in kin]
    assert shown == pytest.approx([0.328, 0.672], abs=1e-3)


def test_that_ends_only_meet_at_their_ends_and_say_that_they_are_unsure() -> None:
    likeliest = EndsOnly(0.0, 1.0, 75.0, 10.0)
    kin = likeliest.alternatives()
    assert len(kin) == 2
    for law in (likeliest, *kin):
        assert law.output(np.array([0.0, 1.0])) == pytest.approx([75.0, 10.0])
    assert all(law.alternatives() == () for law in kin)


@given(Q, st.lists(st.floats(0.0, 1.0), min_size=1, max_size=20))
def test_that_the_way_undoes_the_law(q: float, fractions: list[float]) -> None:
    f = np.array(fractions)
    assert scale_fraction(way(f, q), q) == pytest.approx(f, abs=1e-12)


@given(Q)
def test_that_the_law_rises_from_mark_to_mark(q: float) -> None:
    f = scale_fraction(np.linspace(0.0, 1.0, 101), q)
    assert f[0] == 0.0
    assert f[-1] == pytest.approx(1.0, abs=1e-15)
    assert np.all(np.diff(f) > 0.0)


@given(Q, st.floats(0.02, 0.98))
def test_that_the_law_through_a_mark_meets_it(q: float, s: float) -> None:
    f = float(scale_fraction(np.array([s]), q)[0])
    assert q_through(s, f) == pytest.approx(q, rel=1e-9)
    assert fit_q(np.array([s]), np.array([f])) == pytest.approx(q, rel=1e-9)


@given(st.floats(5.0, 500.0), st.floats(5.0, 500.0), st.floats(20.0, 500.0))
def test_that_the_family_holds_every_two_coil_gauge(low: float, span: float, coil: float) -> None:
    # The current ratio of two linear coils is R/(R + Rb): its q, found from one middle point,
    # meets all the others.
    ohms = np.linspace(low, low + span, 21)
    d = ohms / (ohms + coil)
    f, s = (d - d[0]) / (d[-1] - d[0]), (ohms - ohms[0]) / span
    q = q_through(float(s[10]), float(f[10]))
    assert scale_fraction(s, q) == pytest.approx(f, abs=1e-9)


def test_that_beyond_the_pole_the_needle_has_left_the_scale() -> None:
    assert scale_fraction(np.array([3.0, -3.0]), 0.5).tolist() == [np.inf, -0.6]
    assert scale_fraction(np.array([np.inf, -np.inf]), 0.5)[0] == np.inf
    assert np.isnan(scale_fraction(np.array([np.nan]), 0.5)).all()


def test_that_without_inner_marks_the_law_is_straight() -> None:
    assert fit_q(np.array([0.0, 1.0]), np.array([0.0, 1.0])) == 1.0
