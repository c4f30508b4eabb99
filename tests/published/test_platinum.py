"""Platinum thermometers against IEC 60751.

``platinum.csv``: the column of two decimals was seen in a public reference table that cites
IEC 751; the other columns follow from the coefficients of IEC 60751:2008.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from catalog.curves.formulas import Platinum
from catalog.library import load_generic
from catalog.parts.laws import PlatinumLaw
from catalog.parts.sender import Sender
from catalog.quantities.kinds import Kind

TABLE = Path(__file__).with_name("platinum.csv")
HUNDRED = Platinum(-200.0, 850.0, 100.0)
THOUSAND = Platinum(-200.0, 850.0, 1000.0)


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def column(name: str) -> tuple[np.ndarray, np.ndarray]:
    given = [row for row in rows() if row[name]]
    at = np.array([float(row["t [°C]"]) for row in given])
    return at, np.array([float(row[name]) for row in given])


def test_that_platinum_meets_the_computed_column_to_its_last_digit() -> None:
    at, ohms = column("R of 100 Ω [Ω] 4 decimals")
    assert len(at) > 50
    assert np.max(np.abs(HUNDRED.output(at) - ohms)) <= 0.5001e-4


def test_that_platinum_meets_every_figure_seen_in_a_public_table() -> None:
    at, ohms = column("R of 100 Ω [Ω] seen, 2 decimals")
    assert len(at) > 25
    assert np.array_equal(HUNDRED.output(at).round(2), ohms)


def test_that_the_thousand_ohm_thermometer_gives_ten_times_the_ohms() -> None:
    at, ohms = column("R of 1000 Ω [Ω]")
    assert np.max(np.abs(THOUSAND.output(at) - ohms)) <= 0.5001e-3


def test_that_platinum_meets_the_low_end_of_the_standard() -> None:
    # Public reference table that cites IEC 751: 18.52 Ω at −200 °C.
    assert HUNDRED.output(np.array([-200.0])).round(2) == pytest.approx(18.52)


def test_that_the_inverse_of_rounded_figures_is_within_fifteen_thousandths_of_a_kelvin() -> None:
    # Rounding to two decimals alone is worth up to 0.013 K.
    at, ohms = column("R of 100 Ω [Ω] seen, 2 decimals")
    assert np.max(np.abs(HUNDRED.value(ohms) - at)) <= 0.015


def test_that_the_inverse_meets_solved_values() -> None:
    # Solved apart from this program with a general root finder (Brent's method).
    solved = HUNDRED.value(np.array([138.51, 119.40, 80.31]))
    assert solved == pytest.approx([100.01186, 50.00747, -49.99064], abs=1e-5)


def test_that_platinum_ends_where_the_standard_ends() -> None:
    limits = HUNDRED.output(np.array([-200.0, 850.0]))
    beyond = HUNDRED.value(np.array([limits[0] - 0.01, limits[1] + 0.01]))
    assert beyond.tolist() == [-np.inf, np.inf]


@pytest.mark.parametrize("key", ["temperature-platinum-100", "temperature-platinum-1000"])
def test_that_the_shipped_platinum_classes_carry_the_class_b_tolerance(key: str) -> None:
    at, kelvin = column("class B [K]")
    part = load_generic().part(key)
    assert isinstance(part, Sender)
    law = part.law
    assert isinstance(law, PlatinumLaw)
    assert law.tolerance is not None
    widest = law.tolerance.half_width.si(Kind.TEMPERATURE_DIFFERENCE)
    high = law.high.si(Kind.TEMPERATURE)
    assert widest == pytest.approx(float(np.max(kelvin[at <= high])))
