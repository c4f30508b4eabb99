"""Unit factors against Pint and against exact fractions.

``units.csv`` holds the figures with where each comes from: definitions of the international
yard and pound, the standard acceleration, the conventional columns of mercury; ``seen`` where
the figure was read in that source, ``calc`` where it was worked out from exact ones.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pint
import pytest

from catalog.quantities.kinds import UNITS, Kind, Unit
from catalog.quantities.parse import parse

ROWS = list(
    csv.DictReader(
        Path(__file__).with_name("units.csv").read_text(encoding="utf-8").splitlines(),
        strict=True,
    )
)
EVERY_UNIT = [(kind, unit) for kind in Kind for unit in UNITS[kind]]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize(
    ("kind", "unit"),
    EVERY_UNIT,
    ids=[f"{kind.value} in {unit.symbol}" for kind, unit in EVERY_UNIT],
)
def test_that_each_factor_is_the_one_of_pint(
    registry: pint.UnitRegistry[float], kind: Kind, unit: Unit
) -> None:
    si = {
        Kind.RESISTANCE: "ohm",
        Kind.VOLTAGE: "volt",
        Kind.CURRENT: "ampere",
        Kind.POWER: "watt",
        Kind.PRESSURE: "pascal",
        Kind.PRESSURE_DIFFERENCE: "pascal",
        Kind.TEMPERATURE: "degC",
        Kind.TEMPERATURE_DIFFERENCE: "kelvin",
        Kind.LEVEL: "dimensionless",
        Kind.LEVEL_DIFFERENCE: "dimensionless",
        Kind.VOLUME: "meter**3",
        Kind.LENGTH: "meter",
        Kind.ANGLE: "radian",
        Kind.FRACTION: "dimensionless",
        Kind.THERMISTOR_BETA: "kelvin",
    }[kind]

    def by_pint(number: float) -> float:
        return float(registry.Quantity(number, unit.pint).to(si).magnitude)

    for number in (0.0, 1.0, -7.0, 212.0):
        ours = number * unit.factor + unit.offset
        # A temperature is the small rest of two large numbers: 1e-12 of those.
        assert ours == pytest.approx(
            by_pint(number), rel=1e-12, abs=1e-12 * (273.15 if unit.offset else 0.0)
        )


def exact(row: dict[str, str]) -> Fraction:
    """Return the exact value of a row: products and quotients of decimals, or the value."""
    value = Fraction(1)
    for place, part in enumerate((row["exact_expression"] or row["value"]).split("/")):
        for factor in part.split("*"):
            value = value / Fraction(factor) if place else value * Fraction(factor)
    return value


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['from']} in {row['to']}" for row in ROWS])
def test_that_each_published_figure_is_reproduced(row: dict[str, str]) -> None:
    kind = Kind(row["kind"])
    target = next(unit for unit in UNITS[kind] if unit.symbol == row["to"])

    ours = (parse(row["from"], kind, decimal=".").si(kind) - target.offset) / target.factor

    printed = row["value"]
    half_digit = float(Fraction(1, 2) * Fraction(10) ** -len(printed.partition(".")[2]))
    tolerance = 1e-12 * abs(float(exact(row))) if row["exact_expression"] else half_digit
    assert ours == pytest.approx(float(exact(row)), rel=0.0, abs=max(tolerance, 1e-12))
    assert float(exact(row)) == pytest.approx(float(printed), rel=0.0, abs=half_digit)


def test_that_inches_of_mercury_are_the_conventional_ones() -> None:
    # Source: NIST SP 811 B.8 prints 3.37685E+03 Pa for the column at 60 °F, 0.3 % below.
    assert parse("1 inHg", Kind.PRESSURE).si(Kind.PRESSURE) / 3376.85 == pytest.approx(
        1.002825, abs=1e-6
    )


def test_that_the_pound_of_force_behind_the_psi_is_exact() -> None:
    # Source: 4.4482216152605 N, exact, 0.45359237 kg × 9.80665 m/s².
    psi = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2

    assert Fraction("4.4482216152605") / Fraction("0.0254") ** 2 == psi
    assert next(u for u in UNITS[Kind.PRESSURE] if u.symbol == "psi").factor == float(psi)
