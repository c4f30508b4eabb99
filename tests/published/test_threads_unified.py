"""Unified threads against ASME B1.1 basic sizes, as public tables print them in inches."""

from __future__ import annotations

import pytest

from catalog.provenance import BasisKind
from catalog.threads.standards import thread, threads
from catalog.threads.thread import INCH
from catalog.threads.tolerances import asme_b1_1

# ASME B1.1 basic sizes (public tables) [in]: turns, major, pitch, minor of the female, UNR root.
ASME_B1_1 = {
    "unf-3-8-24": (24, 0.3750, 0.3479, 0.3299, 0.3254),
    "unf-7-16-20": (20, 0.4375, 0.4050, 0.3834, 0.3780),
    "unf-1-2-20": (20, 0.5000, 0.4675, 0.4459, 0.4405),
    "unf-5-8-18": (18, 0.6250, 0.5889, 0.5649, 0.5589),
}


@pytest.mark.parametrize("key", ASME_B1_1)
def test_that_unf_threads_have_the_basic_sizes_of_asme_b1_1(key: str) -> None:
    turns, major, middle, minor, root = ASME_B1_1[key]
    found = thread(key)
    assert found.male is not None
    assert found.female is not None
    assert found.per_inch == pytest.approx(turns)
    sizes = (
        found.male.major.basic,
        found.male.pitch.basic,
        found.female.minor.basic,
        found.male.minor.basic,
    )
    # A ten-thousandth of an inch is what the tables print.
    wanted = [value * INCH for value in (major, middle, minor, root)]
    assert sizes == pytest.approx(wanted, abs=0.5e-4 * INCH + 1e-6)
    assert middle == pytest.approx(major - 0.649519 / turns, abs=1e-4)
    assert minor == pytest.approx(major - 1.082532 / turns, abs=1e-4)


def test_that_3_8_24_in_classes_2a_and_2b_has_the_limits_that_are_remembered() -> None:
    # From memory of ASME B1.1, 3/8-24 UNF: 2A pitch .3468/.3430 and major .3739/.3667, 2B pitch up
    # to .3528 in.
    found = asme_b1_1(0.375 * INCH, INCH / 24.0)
    limits = [edge / INCH for edge in (*found.male_pitch, *found.male_major)]
    assert limits == pytest.approx([-0.0049, -0.0011, -0.0083, -0.0011], abs=1e-4)
    assert found.female_pitch[1] / INCH == pytest.approx(0.0049, abs=1e-4)


def test_that_limits_of_unified_threads_say_from_memory() -> None:
    for each in threads():
        if each.series in ("UNF", "UNC"):
            assert each.male is not None
            assert each.male.pitch.basis.kind is BasisKind.MEMORY
    assert thread("unf-9-16-18").basis.kind is BasisKind.MEMORY
