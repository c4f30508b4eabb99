"""Thermistor formulas against figures from outside this project."""

from __future__ import annotations

import numpy as np
import pytest

from catalog.curves.formulas import Beta, SteinhartHart
from catalog.library import load_generic
from catalog.parts.sender import Sender

# R25 = 10 kΩ, beta = 3950 K, computed apart from this program from the beta formula.
BETA_TABLE = {
    -40.0: 401859.7,
    0.0: 33620.60,
    25.0: 10000.0,
    50.0: 3588.18,
    85.0: 1086.67,
    100.0: 697.52,
    120.0: 407.09,
}

# The coefficient set in wide use for 10 kΩ thermistors. R at −40 and 0 °C stands in an
# independent public table; the temperatures were computed apart from this program.
COEFFICIENTS = (0.001129148, 0.000234125, 8.76741e-8)
TEMPERATURES = {
    336103.2: -40.0003,
    32650.9: -0.0003,
    10000.0: 24.9997,
    3602.0: 49.993,
    1751.0: 70.0097,
}
RESISTANCES = {-40.0: 336096.93, 0.0: 32650.375, 25.0: 9999.854, 100.0: 678.424}


def shipped(key: str) -> Sender:
    part = load_generic().part(key)
    assert isinstance(part, Sender)
    return part


def outputs(part: Sender, at: list[float]) -> np.ndarray:
    assert part.curve is not None
    return part.curve.output(np.array(at))


def test_that_a_beta_thermistor_meets_its_table() -> None:
    found = Beta(-40.0, 120.0, 10000.0, 3950.0).output(np.array(list(BETA_TABLE)))
    assert found == pytest.approx(list(BETA_TABLE.values()), rel=1e-5)


def test_that_the_shipped_beta_class_is_the_tabulated_one() -> None:
    found = outputs(shipped("temperature-10k-beta-3950"), list(BETA_TABLE))
    assert found == pytest.approx(list(BETA_TABLE.values()), rel=1e-5)


def test_that_steinhart_and_hart_s_formula_meets_its_temperatures() -> None:
    found = SteinhartHart(-40.0, 120.0, *COEFFICIENTS).value(np.array(list(TEMPERATURES)))
    assert found == pytest.approx(list(TEMPERATURES.values()), abs=5.1e-4)


def test_that_steinhart_and_hart_s_inverse_meets_its_resistances() -> None:
    found = outputs(shipped("temperature-10k-steinhart-hart"), list(RESISTANCES))
    assert found == pytest.approx(list(RESISTANCES.values()), rel=1e-6)


def test_that_three_points_give_the_solved_coefficients_back() -> None:
    # (0 °C, 32650 Ω), (25 °C, 10000 Ω), (50 °C, 3603 Ω), solved apart from this program.
    solved = SteinhartHart(0.0, 50.0, 1.12525667e-3, 2.34720447e-4, 8.56305273e-8)
    found = solved.value(np.array([32650.0, 10000.0, 3603.0]))
    assert found == pytest.approx([0.0, 25.0, 50.0], abs=1e-5)


def test_that_the_army_class_stays_within_its_published_limits() -> None:
    # TM 5-3805-262-20: 3000–3600 Ω at 100 °F, 640–780 Ω at 200 °F.
    part = shipped("temperature-3300-beta-3151")
    cold, hot = outputs(part, [(100.0 - 32.0) / 1.8, (200.0 - 32.0) / 1.8])
    assert cold == pytest.approx(3300.0)
    assert 640.0 < hot < 780.0
    # Half a kelvin of beta, its last digit, moves the hot end by 0.17 Ω.
    assert hot == pytest.approx(710.0, abs=0.18)
