"""Supply ranges and events against ISO 16750-2, as its public text prints them."""

from __future__ import annotations

import pytest

from catalog.provenance import BasisKind
from catalog.supplies import SIX_VOLTS, SUPPLY_CODES, events, running_voltage, supply_events

# ISO 16750-2:2010, tables 1 and 2 (public text): code, lowest and highest supply [V].
ISO_16750_2 = {
    "A": (6.0, 16.0),
    "B": (8.0, 16.0),
    "C": (9.0, 16.0),
    "D": (10.5, 16.0),
    "E": (10.0, 32.0),
    "F": (16.0, 32.0),
    "G": (22.0, 32.0),
    "H": (18.0, 32.0),
}


def test_that_codes_have_the_ranges_of_iso_16750_2() -> None:
    assert {one.code: (one.low, one.high) for one in SUPPLY_CODES} == ISO_16750_2
    assert {one.basis.kind for one in SUPPLY_CODES} == {BasisKind.PUBLISHED}
    systems = {one.code: one.system for one in SUPPLY_CODES}
    assert {code for code, system in systems.items() if system == "12 V"} == set("ABCD")


def test_that_test_voltages_are_those_of_iso_16750_2() -> None:
    assert (running_voltage("12 V"), running_voltage("24 V")) == (14.0, 28.0)


@pytest.mark.parametrize(
    ("system", "low", "high"),
    [("12 V", 79.0, 101.0), ("24 V", 151.0, 202.0)],  # ISO 16750-2:2010, test A
)
def test_that_load_dumps_are_those_of_iso_16750_2(system: str, low: float, high: float) -> None:
    found = [one for one in supply_events() if (one.name, one.system) == ("load dump", system)]
    assert [(one.low, one.high) for one in found] == [(low, high)]


def test_that_a_six_volt_system_claims_no_standard() -> None:
    assert SIX_VOLTS.code == ""
    assert SIX_VOLTS.basis.kind is BasisKind.COMMON_PRACTICE
    assert SIX_VOLTS.low < 6.0 < running_voltage("6 V") <= SIX_VOLTS.high
    assert events("test voltage", "6 V")[0].basis.kind is BasisKind.COMMON_PRACTICE


def test_that_where_editions_differ_each_has_its_row() -> None:
    # 24 V of 2010 and 2012 was seen; what 2023 has was read in a restatement only.
    assert next(one.high for one in events("jump start", "12 V")) == 24.0
    assert len({one.basis.source for one in events("jump start", "12 V")}) == 2
    assert len(events("battery reversed", "24 V")) == 2


def test_that_restated_rows_say_that_they_are() -> None:
    later = [one for one in supply_events() if "2023" in one.basis.source]
    assert later
    assert all("restate" in one.basis.source for one in later)
    assert all(one.low <= one.high for one in supply_events())
