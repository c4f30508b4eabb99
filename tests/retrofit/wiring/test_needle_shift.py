"""Ohms of a run that the needle allows."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrofit.wiring import ohms_allowed


@given(st.floats(5.0, 300.0), st.floats(20.0, 200.0), st.floats(1e-3, 0.05))
def test_that_the_ohms_of_a_ratio_dial_are_found_where_its_law_has_them(
    sender: float, coil: float, allowed: float
) -> None:
    # R/(R+Rb) of a two-coil gauge: f(R + r) − f(R) = a has one r in closed form.
    start = sender / (sender + coil)
    reached = start + allowed
    wanted = reached * coil / (1.0 - reached) - sender if reached < 1.0 else math.inf
    found = ohms_allowed(lambda r: (sender + r) / (sender + r + coil) - start, allowed)
    assert found == pytest.approx(min(wanted, 10.0), rel=1e-6, abs=1e-9)


def test_that_a_needle_that_does_not_care_allows_all_that_was_asked() -> None:
    assert ohms_allowed(lambda _: 0.0, 0.0, most=3.0) == 3.0


def test_that_where_nobody_can_tell_the_ohms_are_unknown() -> None:
    assert math.isnan(ohms_allowed(lambda _: math.nan, 0.1))
    assert math.isnan(ohms_allowed(lambda ohm: ohm, math.nan))


def test_that_no_error_allowed_allows_no_ohms() -> None:
    assert ohms_allowed(lambda ohm: ohm, 0.0) == pytest.approx(0.0, abs=1e-9)
