"""Preferred values against the published table, and the facts that follow from it.

``tests/published/eseries.csv``: IEC 60063:2015 as in a public library of the series, E6 to E96
also seen on a public copy of the table (seen); the formula columns worked out from 10^(i/n).
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from retrofit.trim.preferred import (
    CUSTOMARY_TOLERANCE,
    HUNDREDTHS,
    LEAST,
    MOST,
    SERIES,
    Series,
    nearest,
    values,
)

PUBLISHED = Path(__file__).parents[1] / "published" / "eseries.csv"
ROWS = list(csv.DictReader(PUBLISHED.read_text(encoding="utf-8").splitlines(), strict=True))


def table(series: str) -> list[float]:
    """Values of one decade from 1 to 10, as published."""
    read = [float(row["value"]) for row in ROWS if row["series"] == series]
    return [value / 10.0 ** math.floor(math.log10(value)) for value in read]


def test_that_the_published_table_says_where_it_comes_from() -> None:
    assert len(ROWS) == 3 + 6 + 12 + 24 + 48 + 96 + 192
    assert all(row["source"] and row["tag"] == "seen" for row in ROWS)


@pytest.mark.parametrize("series", SERIES)
def test_that_each_series_is_the_published_one(series: Series) -> None:
    assert [value / 100.0 for value in HUNDREDTHS[series]] == pytest.approx(table(series))
    decade = values(series, 1.0, 9.999)
    assert decade.tolist() == [round(value, 2) for value in table(series)]


@pytest.mark.parametrize("series", SERIES)
def test_that_only_the_members_named_by_the_table_leave_the_formula(series: Series) -> None:
    """The rounded formula, to 2 figures for E3 to E24 and to 3 above (worked out)."""
    count, figures = len(HUNDREDTHS[series]), 1 if int(series[1:]) <= 24 else 2
    formula = [round(10.0 ** (i / count), figures) for i in range(count)]
    leaves = [
        value / 100.0
        for value, wanted in zip(HUNDREDTHS[series], formula, strict=True)
        if value / 100.0 != wanted
    ]
    listed = [float(r["value"]) for r in ROWS if r["series"] == series and r["deviates"] == "yes"]
    assert leaves == pytest.approx(listed)
    if series == "E24":
        assert leaves == [2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 8.2]
    if series in ("E48", "E96"):
        assert leaves == []
    if series == "E192":
        assert leaves == [9.2]


def test_that_coarse_series_lie_within_finer_ones_but_e24_not_within_e192() -> None:
    sets = {series: set(HUNDREDTHS[series]) for series in SERIES}
    assert sets["E3"] < sets["E6"] < sets["E12"] < sets["E24"]
    assert sets["E48"] < sets["E96"] < sets["E192"]
    missing = sorted(value / 100.0 for value in sets["E24"] - sets["E192"])
    assert missing == [2.2, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 5.1, 5.6, 6.2, 6.8, 8.2, 9.1]


def test_that_each_series_has_its_customary_tolerance() -> None:
    """Seen beside the public table; for E3 'more than 20 %', 40 % quoted."""
    said = [CUSTOMARY_TOLERANCE[series] for series in SERIES]
    assert said == [0.40, 0.20, 0.10, 0.05, 0.02, 0.01, 0.005]


def test_that_e24_over_four_decades_is_97_values_and_both_ends_count() -> None:
    found = values("E24", 1.0, 10_000.0)
    assert (len(found), found[0], found[-1]) == (97, 1.0, 10_000.0)
    assert np.all(np.diff(found) > 0.0)


def test_that_the_nearest_is_the_published_one_and_is_logarithmic() -> None:
    """63.87 Ω: E24 62, E96 63.4 (seen, a public library of the series)."""
    assert (nearest("E24", 63.87), nearest("E96", 63.87)) == (62.0, 63.4)
    # Between 2.2 and 4.7 half the difference lies at 3.45, half the ratio at 3.2156.
    assert nearest("E3", 3.3) == 4.7
    assert abs(3.3 - 2.2) < abs(4.7 - 3.3)


@given(st.sampled_from(SERIES), st.floats(-2.9, 8.9), st.floats(0.0, 3.0))
def test_that_values_are_those_of_the_table_times_powers_of_ten(
    series: Series, start: float, width: float
) -> None:
    low, high = 10.0**start, min(10.0 ** (start + width), MOST)
    wanted = [
        float(f"{value:.2f}e{decade}")
        for decade in range(-4, 10)
        for value in table(series)
        if low <= float(f"{value:.2f}e{decade}") <= high
    ]
    if not wanted:
        with pytest.raises(UserError, match=r"preferred\.none_between"):
            values(series, low, high)
        return
    assert values(series, low, high).tolist() == wanted


@given(st.sampled_from(SERIES), st.floats(1e-3, 1e9))
def test_that_no_listed_value_is_nearer_than_the_nearest(series: Series, ohm: float) -> None:
    found = nearest(series, ohm)
    around = values(series, max(LEAST, ohm / 20.0), min(MOST, ohm * 20.0))
    assert abs(math.log(found / ohm)) <= np.min(np.abs(np.log(around / ohm))) + 1e-12


@pytest.mark.parametrize(
    ("low", "high"), [(10.0, 1.0), (0.0, 10.0), (-5.0, 10.0), (1.0, 1e12), (math.nan, 10.0)]
)
def test_that_a_range_that_is_none_is_refused(low: float, high: float) -> None:
    with pytest.raises(UserError, match=r"preferred\.range"):
        values("E24", low, high)


def test_that_a_range_without_a_value_names_its_neighbours() -> None:
    with pytest.raises(UserError) as caught:
        values("E6", 23.0, 32.0)
    (found,) = caught.value.messages
    assert found.key == "preferred.none_between"
    near = [getattr(found.value(name), "value", None) for name in ("below", "above")]
    assert near == [22.0, 33.0]


@pytest.mark.parametrize("ohm", [0.0, -1.0, math.inf, math.nan])
def test_that_nothing_is_near_to_no_resistance(ohm: float) -> None:
    with pytest.raises(BugError):
        nearest("E24", ohm)
