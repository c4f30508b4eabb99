"""The RKM code of IEC 60062 (examples seen on public pages), and round trips.

Tolerance letters F and K are as seen, the others from memory.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from retrofit.trim.colour import Marked
from retrofit.trim.preferred import values
from retrofit.trim.rkm import LETTERS, code, read_code


def says(found: Marked, ohm: float, tolerance: float | None = None) -> bool:
    """Whether a marking says this, but for the rounding of a decimal number."""
    return found.ohm == pytest.approx(ohm, rel=1e-14) and found.tolerance == tolerance


SEEN = {"R47": 0.47, "4R7": 4.7, "470R": 470.0, "4K7": 4.7e3, "47K3": 47.3e3, "4M7": 4.7e6}


@pytest.mark.parametrize(("text", "ohm"), SEEN.items())
def test_that_published_codes_read_and_write(text: str, ohm: float) -> None:
    assert says(read_code(text), ohm)
    assert code(ohm) == text


def test_that_a_letter_behind_the_code_is_the_tolerance() -> None:
    assert says(read_code("4K7F"), 4700.0, 0.01)
    assert read_code("470RK") == Marked(470.0, 0.10)
    assert read_code("47KK") == Marked(47_000.0, 0.10)
    # Behind digits alone it is the multiplier.
    assert read_code("470K") == Marked(470_000.0)
    assert code(47_000.0, 0.10) == "47KK"


def test_that_what_the_parser_reads_is_read_without_a_tolerance() -> None:
    assert says(read_code("4,7 kΩ"), 4700.0)
    assert says(read_code("4k7"), 4700.0)


@given(
    st.sampled_from(values("E192", 0.001, 1e9).tolist()),
    st.none() | st.sampled_from(sorted(LETTERS.values())),
)
def test_that_every_value_comes_back_from_its_code(ohm: float, tolerance: float | None) -> None:
    assert says(read_code(code(ohm, tolerance)), ohm, tolerance)


@pytest.mark.parametrize("text", ["", "R", "K", "4K7K3", "ohm", "4K7X"])
def test_that_what_is_no_code_is_refused(text: str) -> None:
    with pytest.raises(UserError):
        read_code(text)


def test_that_no_ohms_and_no_letter_are_refused() -> None:
    with pytest.raises(UserError, match=r"rkm\.no_ohms"):
        read_code("0R0")
    with pytest.raises(UserError, match=r"rkm\.tolerance"):
        code(47.0, 0.07)
    for ohm in (0.0, -1.0, math.inf, math.nan):
        with pytest.raises(BugError):
            code(ohm)
