"""Pipe threads against ISO 228-1, ISO 7-1 and ASME B1.20.1, as public reproductions print them.

Where a value is from memory the test says so and claims no standard.
"""

from __future__ import annotations

import math

import pytest

from catalog.provenance import BasisKind
from catalog.threads.standards import TAPER, WHITWORTH, thread, threads
from catalog.threads.thread import INCH, Diameters, Thread

MM = 1e-3

# ISO 228-1:2000 Table 1 (public tables): turns per inch, d, d2, d1, largest D1 [mm].
ISO_228_1 = {
    "1/8": (28, 9.728, 9.147, 8.566, 8.848),
    "1/4": (19, 13.157, 12.301, 11.445, 11.890),
    "3/8": (19, 16.662, 15.806, 14.950, 15.395),
    "1/2": (14, 20.955, 19.793, 18.631, 19.172),
}
# ISO 7-1:1994 (public excerpt): gauge length, and what follows at the small end [mm].
ISO_7_1 = {
    "1/8": (4.0, 9.478, 8.897),
    "1/4": (6.0, 12.782, 11.926),
    "3/8": (6.4, 16.262, 15.406),
    "1/2": (8.2, 20.442, 19.281),
}
# ASME B1.20.1 Table 2 (public reproduction) [in]: D, E0, E1, L1, L2.
ASME_B1_20_1 = {
    "1/8": (27, 0.405, 0.36351, 0.3736, 0.1615, 0.2639),
    "1/4": (18, 0.540, 0.47739, 0.49163, 0.2278, 0.4018),
    "3/8": (18, 0.675, 0.61201, 0.62701, 0.2400, 0.4078),
    "1/2": (14, 0.840, 0.75843, 0.77843, 0.3200, 0.5337),
}


def key(series: str, size: str) -> str:
    return f"{series}-{size.replace('/', '-')}"


def male(of: Thread) -> Diameters:
    assert of.male is not None
    return of.male


def female(of: Thread) -> Diameters:
    assert of.female is not None
    return of.female


@pytest.mark.parametrize("size", ISO_228_1)
def test_that_g_threads_have_the_diameters_of_iso_228_1(size: str) -> None:
    turns, major, middle, minor, widest = ISO_228_1[size]
    found = thread(key("g", size))
    assert found.per_inch == pytest.approx(turns)
    assert male(found).major.basic == pytest.approx(major * MM)
    assert male(found).pitch.basic == pytest.approx(middle * MM)
    assert female(found).minor.basic == pytest.approx(minor * MM)
    assert female(found).minor.high == pytest.approx(widest * MM)
    assert female(found).minor.basis.kind is BasisKind.PUBLISHED
    # h = 0.640327 P (ISO 228-1): d2 = d − h, d1 = d − 2h, to the printed thousandth.
    height = 0.640327 * 25.4 / turns
    assert middle == pytest.approx(major - height, abs=0.001)
    assert minor == pytest.approx(major - 2.0 * height, abs=0.0015)
    assert WHITWORTH.crest == 0.640327


@pytest.mark.parametrize("size", ISO_7_1)
def test_that_r_threads_have_the_small_end_and_gauge_plane_of_iso_7_1(size: str) -> None:
    length, major, middle = ISO_7_1[size]
    found = thread(key("r", size))
    assert found.gauge_length == pytest.approx(length * MM)
    assert male(found).major.basic == pytest.approx(major * MM, abs=1e-6)
    assert male(found).pitch.basic == pytest.approx(middle * MM, abs=1.01e-6)
    at_plane = found.at_gauge_plane(male(found).major)
    assert at_plane == pytest.approx(ISO_228_1[size][1] * MM)
    # 1:16 on the diameter: half the cone's angle is 1°47′.
    assert math.degrees(math.atan(TAPER / 2.0)) == pytest.approx(1.0 + 47.0 / 60.0, abs=0.5 / 60.0)
    for series in ("rc", "rp"):
        hole = thread(key(series, size))
        assert female(hole).pitch.basic == pytest.approx(ISO_228_1[size][2] * MM)
        assert hole.male is None


@pytest.mark.parametrize("size", ISO_7_1)
def test_that_what_is_from_memory_of_iso_7_1_is_marked_so(size: str) -> None:
    found = thread(key("r", size))
    assert found.useful_length_basis is not None
    assert found.useful_length_basis.kind is BasisKind.MEMORY
    assert male(found).pitch.basis.kind is BasisKind.MEMORY
    assert all(drill.basis.kind is BasisKind.MEMORY for drill in thread(key("rc", size)).drills)


@pytest.mark.parametrize("size", ASME_B1_20_1)
def test_that_npt_threads_have_the_sizes_and_formulae_of_asme_b1_20_1(size: str) -> None:
    turns, pipe, e0, e1, l1, l2 = ASME_B1_20_1[size]
    found = thread(key("npt", size))
    pitch = 1.0 / turns
    assert found.per_inch == pytest.approx(turns)
    assert male(found).pitch.basic == pytest.approx(e0 * INCH)
    assert female(found).pitch.basic == pytest.approx(e1 * INCH)
    assert found.gauge_length == pytest.approx(l1 * INCH)
    assert found.useful_length == pytest.approx(l2 * INCH)
    # E0 = D − (0.050 D + 1.1) P, E1 = E0 + L1/16, L2 = (0.80 D + 6.8) P, h = 0.8 P.
    assert e0 == pytest.approx(pipe - (0.050 * pipe + 1.1) * pitch, abs=2e-5)
    assert e1 == pytest.approx(e0 + l1 / 16.0, abs=2e-5)
    assert l2 == pytest.approx((0.80 * pipe + 6.8) * pitch, abs=1e-4)
    assert male(found).major.basic == pytest.approx((e0 + 0.8 * pitch) * INCH)


def test_that_an_eighth_npt_is_9_986_mm_at_its_tip_and_10_242_at_the_gauge_plane() -> None:
    # Computed from ASME B1.20.1: E0 + 0.8 P, then L1/16 more.
    found = thread("npt-1-8")
    assert male(found).major.basic == pytest.approx(9.986 * MM, abs=1e-6)
    assert found.at_gauge_plane(male(found).major) == pytest.approx(10.242 * MM, abs=1e-6)


def test_that_class_b_of_a_g_male_is_twice_as_wide_as_class_a() -> None:
    # From memory of ISO 228-1: the male's tolerance of class B is twice that of class A.
    for size in ISO_228_1:
        wide, fine = male(thread(key("g", size))).pitch, male(thread(key("g", size) + "-a")).pitch
        assert wide.basic - wide.low == pytest.approx(2.0 * (fine.basic - fine.low))
        assert wide.high == fine.high == wide.basic
        assert (wide.basis.kind, fine.basis.kind) == (BasisKind.MEMORY, BasisKind.MEMORY)


def test_that_no_thread_goes_without_a_source() -> None:
    for each in threads():
        assert each.basis.source
        assert each.basis.kind in (BasisKind.PUBLISHED, BasisKind.MEMORY)
        for part in (each.male, each.female):
            for span in (part.major, part.pitch, part.minor) if part else ():
                assert span.basis.source
                assert span.low <= span.high
