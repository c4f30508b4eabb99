"""Metric threads against ISO 261, ISO 724 and ISO 965-2, as a public page prints them."""

from __future__ import annotations

import pytest

from catalog.provenance import BasisKind
from catalog.threads.standards import thread, threads
from catalog.threads.tolerances import iso_965, preferred

UM = 1e-6

# ISO 724 (seen on a public page) [mm]: pitch, d, d2, D1; d3 by ISO 68-1.
ISO_724 = {
    "m10x1": (1.0, 10.0, 9.350, 8.917, 8.773),
    "m12x1.5": (1.5, 12.0, 11.026, 10.376, 10.160),
    "m14x1.5": (1.5, 14.0, 13.026, 12.376, 12.160),
    "m16x1.5": (1.5, 16.0, 15.026, 14.376, 14.160),
    "m18x1.5": (1.5, 18.0, 17.026, 16.376, 16.160),
}
# ISO 965-2, 6H (seen) [mm]: D1 and D2, lowest and highest.
ISO_965_2 = {
    "m10x1": (8.917, 9.153, 9.350, 9.500),
    "m12x1.5": (10.376, 10.676, 11.026, 11.216),
    "m14x1.5": (12.376, 12.676, 13.026, 13.216),
}


@pytest.mark.parametrize("key", ISO_724)
def test_that_metric_threads_have_the_diameters_of_iso_724(key: str) -> None:
    pitch, major, middle, minor, root = (value * 1e-3 for value in ISO_724[key])
    found = thread(key)
    assert found.male is not None
    assert found.female is not None
    assert found.pitch == pytest.approx(pitch)
    assert found.male.major.basic == pytest.approx(major)
    assert found.male.pitch.basic == pytest.approx(middle)
    assert found.female.minor.basic == pytest.approx(minor)
    assert found.male.minor.basic == pytest.approx(root)
    # d2 = d − 0.649519 P, D1 = d − 1.082532 P, d3 = d − 1.226869 P, to the thousandth.
    assert middle == pytest.approx(major - 0.649519 * pitch, abs=UM)
    assert minor == pytest.approx(major - 1.082532 * pitch, abs=UM)
    assert root == pytest.approx(major - 1.226869 * pitch, abs=UM)


@pytest.mark.parametrize("key", ISO_965_2)
def test_that_females_have_the_6h_limits_of_iso_965_2(key: str) -> None:
    found = thread(key).female
    assert found is not None
    limits = (found.minor.low, found.minor.high, found.pitch.low, found.pitch.high)
    assert limits == pytest.approx([value * 1e-3 for value in ISO_965_2[key]])
    assert found.pitch.basis.kind is BasisKind.PUBLISHED


def test_that_sizes_without_a_table_follow_the_formulae_and_say_from_memory() -> None:
    found = thread("m20x1.5")
    assert found.male is not None
    assert found.basis.kind is BasisKind.MEMORY
    assert found.male.pitch.basic == pytest.approx(20e-3 - 0.649519 * 1.5e-3, abs=1e-9)


def test_that_the_formulae_from_memory_meet_the_6h_limits_that_were_seen() -> None:
    # TD2 and TD1 of M10x1 and TD1 of 1.5 mm; TD2 of 1.5 mm is smoothed in the table (190 µm).
    assert iso_965(10e-3, 1e-3).female_pitch[1] == pytest.approx(150 * UM)
    assert iso_965(10e-3, 1e-3).female_minor[1] == pytest.approx(236 * UM)
    assert iso_965(12e-3, 1.5e-3).female_minor[1] == pytest.approx(300 * UM)
    assert iso_965(12e-3, 1.5e-3).female_pitch[1] == pytest.approx(190 * UM, abs=10.1 * UM)


def test_that_6g_leaves_an_allowance_of_26_and_32_micrometres() -> None:
    # From memory of ISO 965-1: es of position g is −26 µm at 1 mm and −32 µm at 1.5 mm of pitch.
    assert iso_965(10e-3, 1e-3).male_major[1] == pytest.approx(-26 * UM)
    assert iso_965(12e-3, 1.5e-3).male_major[1] == pytest.approx(-32 * UM)
    for each in threads():
        if each.series == "M":
            assert each.male is not None
            assert each.male.pitch.basis.kind is BasisKind.MEMORY


def test_that_tolerances_are_rounded_to_the_r40_series() -> None:
    # ISO 3 R40: 1.06, 1.12, 2.36 and so on in every decade.
    assert [preferred(value) for value in (105.0, 110.7, 233.3, 1050.0)] == [
        106.0, 112.0, 236.0, 1060.0,
    ]  # fmt: skip
