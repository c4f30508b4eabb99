"""Thermistor and platinum formulas: inverses, limits, direction."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.curves.formulas import Beta, Platinum, SteinhartHart, beta_through

BETA = Beta(-40.0, 120.0, 10000.0, 3950.0)
STEINHART_HART = SteinhartHart(-40.0, 120.0, 0.001129148, 0.000234125, 8.76741e-8)
PLATINUM = Platinum(-200.0, 850.0, 100.0)


@pytest.mark.parametrize("curve", [BETA, STEINHART_HART, PLATINUM], ids=["beta", "s-h", "pt"])
def test_that_the_inverse_gives_the_temperature_back(
    curve: Beta | SteinhartHart | Platinum,
) -> None:
    at = np.linspace(curve.low, curve.high, 501)
    assert curve.value(curve.output(at)) == pytest.approx(at, abs=1e-9)
    assert curve.alternatives() == ()


@pytest.mark.parametrize(
    ("curve", "rising"), [(BETA, False), (STEINHART_HART, False), (PLATINUM, True)]
)
def test_that_a_formula_knows_its_direction(
    curve: Beta | SteinhartHart | Platinum, rising: bool
) -> None:
    steps = np.diff(curve.output(np.linspace(curve.low, curve.high, 301)))
    assert curve.rising is rising
    assert bool(np.all(steps > 0.0)) is rising


@given(st.floats(-40.0, 60.0), st.floats(10.0, 100.0), st.floats(100.0, 1e5), st.floats(1.1, 50.0))
def test_that_beta_through_two_points_meets_both(
    cold: float, span: float, ohms: float, ratio: float
) -> None:
    curve = beta_through((cold, ohms), (cold + span, ohms / ratio))
    found = curve.output(np.array([cold, cold + span]))
    assert found == pytest.approx([ohms, ohms / ratio], rel=1e-9)


def test_that_the_marine_class_has_its_known_middle() -> None:
    # 650 Ω at 75 °F and 55 Ω at 212 °F make about 175 Ω at 60 °C: common practice, no source.
    curve = beta_through(((75.0 - 32.0) / 1.8, 650.0), (100.0, 55.0))
    assert curve.output(np.array([60.0])) == pytest.approx(175.0, abs=0.5)


def test_that_a_thermistor_short_circuited_is_endlessly_hot() -> None:
    assert BETA.value(np.array([0.0]))[0] == np.inf
    assert STEINHART_HART.value(np.array([0.0]))[0] == np.inf
