"""The Monte Carlo and the first-order sum against the worked examples of JCGM 101 and JCGM 100.

Only what was seen in a reproduction of the documents, or follows by arithmetic, is asserted; the
ends of intervals that are known from memory only are not.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from catalog.arrays import Array
from retrofit.bands.causes import Cause, Lies
from retrofit.bands.monte_carlo import Plan, monte_carlo

MANY = Plan(seed=11, digits=2, most=1_000_000)


def about(name: str, u: float, lies: Lies = "normal", centre: float = 0.0) -> Cause:
    """A cause with a standard uncertainty."""
    half = u * {"rectangular": math.sqrt(3.0), "triangular": math.sqrt(6.0), "normal": 2.0}[lies]
    return Cause(name, centre, centre - half, centre + half, lies)


def total(values: Array) -> Array:
    return np.asarray(values.sum(axis=1))


def test_that_four_normal_causes_of_one_make_two() -> None:
    """JCGM 101:2008, 9.2.2: u = 2.0; 95 % is 2·1.95996 = ±3.92 (arithmetic)."""
    causes = tuple(about(f"x{n}", 1.0) for n in range(4))
    found, convergence = monte_carlo(total, causes, MANY)
    assert convergence.reached
    assert found.u == pytest.approx(2.0, abs=0.02)
    assert found.high == pytest.approx(3.91993, abs=0.04)
    assert found.low == pytest.approx(-3.91993, abs=0.04)


def test_that_four_rectangular_causes_end_at_3_88() -> None:
    """JCGM 101:2008, 9.2.3.3: 95 % end 2√3·(2 − (3/5)^¼) = 3.8794, printed 3.88; u = 2."""
    causes = tuple(about(f"x{n}", 1.0, "rectangular") for n in range(4))
    found, convergence = monte_carlo(total, causes, MANY)
    assert convergence.reached
    assert found.u == pytest.approx(2.0, abs=0.02)
    exact = 2.0 * math.sqrt(3.0) * (2.0 - 0.6**0.25)
    assert found.high == pytest.approx(exact, abs=0.03)
    assert found.short_high - found.short_low == pytest.approx(2.0 * exact, abs=0.08)


def test_that_one_cause_ten_times_as_large_rules_the_rest() -> None:
    """JCGM 101:2008, 9.2.4, and JCGM GUM-5:2026, 6.4: u = √103 = 10.1, printed 10.1."""
    causes = (
        *(about(f"x{n}", 1.0, "rectangular") for n in range(3)),
        about("x4", 10.0, "rectangular"),
    )
    found, _ = monte_carlo(total, causes, MANY)
    assert found.u == pytest.approx(math.sqrt(103.0), rel=0.01)


def test_that_a_mass_calibration_has_the_uncertainty_of_the_example() -> None:
    """JCGM 101:2008, 9.3: first order u = 0.0539 mg; with the terms of second order 0.0750 mg.

    Model 9.3.1: δm = (m_R,c + δm_R,c)·[1 + (ρa − ρa0)(1/ρW − 1/ρR)] − m_nom, with ρa rectangular
    1.10…1.30, ρW 7,000…9,000, ρR 7,950…8,050 kg/m³, m_R,c 100 g (0.050 mg) and δm_R,c 1.234 mg
    (0.020 mg). The printed u of the Monte Carlo is from memory and is not asserted; it has to lie
    near the second order.
    """
    causes = (
        about("reference", 0.050, centre=100_000.0),
        about("added", 0.020, centre=1.234),
        Cause("air", 1.20, 1.10, 1.30, "rectangular"),
        Cause("weight", 8000.0, 7000.0, 9000.0, "rectangular"),
        Cause("steel", 8000.0, 7950.0, 8050.0, "rectangular"),
    )

    def model(values: Array) -> Array:
        reference, added, air, weight, steel = values.T
        bracket = 1.0 + (air - 1.20) * (1.0 / weight - 1.0 / steel)
        return np.asarray((reference + added) * bracket - 100_000.0)

    found, convergence = monte_carlo(model, causes, MANY)
    assert convergence.reached
    assert found.mean == pytest.approx(1.234, abs=0.002)
    assert found.u == pytest.approx(0.0750, abs=0.0012)
    assert math.hypot(0.050, 0.020) == pytest.approx(0.0539, abs=5e-5)  # the printed first order


@pytest.mark.parametrize(
    ("x", "mean", "u"), [(0.0, 50.0, 50.0), (0.01, 150.0, 111.803), (0.05, 2550.0, 502.494)]
)
def test_that_a_comparison_loss_has_the_mean_and_uncertainty_of_the_example(
    x: float, mean: float, u: float
) -> None:
    """JCGM 101:2008, 9.4: δY = X1² + X2², u = 0.005, no correlation; in 10⁻⁶."""
    causes = (about("x1", 0.005, centre=x), about("x2", 0.005))
    found, _ = monte_carlo(lambda v: np.asarray((v**2).sum(axis=1)) * 1e6, causes, MANY)
    assert found.mean == pytest.approx(mean, rel=0.01)
    assert found.u == pytest.approx(u, rel=0.015)


def test_that_an_end_gauge_has_the_budget_of_the_example() -> None:
    """JCGM 100:2008, H.1: contributions 25, 16.6, 6.7, 5.8, 3.9, 2.9 nm make 32 nm."""
    parts = (25.00, 16.60, 6.70, 5.80, 3.90, 2.89)
    causes = tuple(about(f"part {n}", u) for n, u in enumerate(parts))
    found, _ = monte_carlo(total, causes, MANY)
    assert found.u == pytest.approx(31.66, rel=0.01)
    assert math.sqrt(sum(u**2 for u in parts)) == pytest.approx(31.66, abs=0.01)


def test_that_a_resistance_thermometer_has_the_uncertainty_of_the_example() -> None:
    """JCGM GUM-5:2026, example 13: t = 20.0232 °C at W·RS = R0(1 + A·t + B·t²), by its own root."""
    r0, a, b, ratio = 99.99610, 0.0039096, -6.0e-7, 99.99947 * 1.0780057
    t = (-a + math.sqrt(a**2 - 4.0 * b * (1.0 - ratio / r0))) / (2.0 * b)
    assert t == pytest.approx(20.0232, abs=5e-5)


@pytest.mark.parametrize(
    ("n", "coverage"), [(2, 91.4214), (3, 91.5064), (4, 91.6667), (5, 91.6667), (6, 91.6670)]
)
def test_that_the_root_of_squares_covers_less_than_it_seems(n: int, coverage: float) -> None:
    """n rectangular causes of equal width: what √n half widths cover (Irwin and Hall's sum)."""
    rng = np.random.default_rng(8)
    cause = Cause("one", 0.0, -1.0, 1.0, "rectangular")
    draws = sum(cause.draw(rng, 400_000) for _ in range(n))
    inside = float(np.mean(np.abs(draws) <= math.sqrt(n)))
    assert 100.0 * inside == pytest.approx(coverage, abs=0.2)


@pytest.mark.parametrize(
    ("lies", "u"), [("rectangular", 3.0), ("triangular", 6.0), ("normal", 4.0), ("u-shaped", 2.0)]
)
def test_that_draws_have_the_standard_uncertainty_of_their_limits(lies: Lies, u: float) -> None:
    """JCGM 100:2008, 4.3.7 and 4.3.9 (a/√3, a/√6); the arcsine's is a/√2 (JCGM 101:2008, 6.4.6)."""
    cause = Cause("one", 0.0, -2.0, 4.0, lies)
    draws = cause.draw(np.random.default_rng(5), 400_000)
    assert cause.u == pytest.approx(3.0 / math.sqrt(u))
    assert float(draws.std()) == pytest.approx(cause.u, rel=0.01)
    assert float(draws.mean()) == pytest.approx(1.0, abs=0.02)
