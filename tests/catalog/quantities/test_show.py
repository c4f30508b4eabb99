"""How numbers are written for a reader, and that the parser reads them back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import BugError
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import UNITS, Kind, Unit, unit_named
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.parse import parse
from catalog.quantities.show import NumberStyle, preferred, show, show_amount

POINT = NumberStyle(nbsp=False)
COMMA = NumberStyle(",", nbsp=False)
IMPERIAL = NumberStyle(units={Kind.PRESSURE: "psi", Kind.TEMPERATURE: "°F"}, nbsp=False)

KINDS_AND_UNITS = st.sampled_from([(kind, unit) for kind in Kind for unit in UNITS[kind]])
MARKS = st.sampled_from([".", ","])


@pytest.mark.parametrize(
    ("value", "kind", "written"),
    [
        (410e3, Kind.PRESSURE, "4.10 bar"),
        (413.5e3, Kind.PRESSURE, "4.14 bar"),  # half a step goes away from zero
        (-413.5e3, Kind.PRESSURE_DIFFERENCE, "−4.14 bar"),
        (-400.0, Kind.PRESSURE, "0.00 bar"),  # no negative zero
        (85.04, Kind.TEMPERATURE, "85.0 °C"),
        (-3.2, Kind.TEMPERATURE_DIFFERENCE, "−3.2 °C"),
        (0.5, Kind.LEVEL, "50.0 %"),
        (math.radians(45.0), Kind.ANGLE, "45°"),
        (33.0, Kind.RESISTANCE, "33 Ω"),
        (4700.0, Kind.RESISTANCE, "4700 Ω"),
        (9999.4, Kind.RESISTANCE, "9999 Ω"),
        (9999.6, Kind.RESISTANCE, "10 kΩ"),
        (12_345.0, Kind.RESISTANCE, "12.35 kΩ"),
        (2.2e7, Kind.RESISTANCE, "22 MΩ"),
        (0.012345, Kind.RESISTANCE, "0.01235 Ω"),
        (1e-300, Kind.RESISTANCE, "0 Ω"),
        (0.0, Kind.RESISTANCE, "0 Ω"),
        (math.nan, Kind.RESISTANCE, "unknown"),
        (math.inf, Kind.RESISTANCE, "∞"),
        (-math.inf, Kind.RESISTANCE, "−∞"),
    ],
)
def test_that_a_number_is_shown_to_its_usual_resolution(
    value: float, kind: Kind, written: str
) -> None:
    assert show(value, kind, POINT) == written


def test_that_every_mark_and_sign_follows_the_style() -> None:
    style = NumberStyle(",", unknown="unbekannt")

    assert show(410e3, Kind.PRESSURE, style) == "4,10\u00a0bar"
    assert show(410e3, Kind.PRESSURE, style, unit=False, sign=True) == "+4,10"
    assert show(0.0, Kind.PRESSURE, style, unit=False, sign=True) == "0,00"
    assert show(math.nan, Kind.PRESSURE, style) == "unbekannt"


@pytest.mark.parametrize(
    ("step", "written"), [(0.5, "4.0 bar"), (0.0001, "4.1234 bar"), (1.0, "4 bar"), (10.0, "0 bar")]
)
def test_that_a_step_sets_the_resolution_in_the_unit_shown(step: float, written: str) -> None:
    assert show(412_340.0, Kind.PRESSURE, POINT, step=step) == written


def test_that_differences_follow_the_unit_of_what_they_differ_in() -> None:
    assert show(100.0, Kind.TEMPERATURE, IMPERIAL) == "212.0 °F"
    assert show(5.0, Kind.TEMPERATURE_DIFFERENCE, IMPERIAL, sign=True) == "+9.0 °F"
    assert show(6894.757, Kind.PRESSURE_DIFFERENCE, IMPERIAL) == "1.0 psi"


def test_that_a_preferred_ohm_is_kept_for_large_values() -> None:
    style = NumberStyle(units={Kind.RESISTANCE: "Ω"}, nbsp=False)

    assert show(12_000.0, Kind.RESISTANCE, style) == "12000 Ω"


def test_that_ohms_without_their_unit_are_never_silently_thousands() -> None:
    assert show(12_000.0, Kind.RESISTANCE, POINT, unit=False) == "12000"


def test_that_a_preference_of_another_kind_is_our_mistake() -> None:
    with pytest.raises(BugError, match="psi"):
        preferred(Kind.TEMPERATURE, NumberStyle(units={Kind.TEMPERATURE: "psi"}))


@pytest.mark.parametrize(
    ("amount", "kind", "style", "written"),
    [
        (Amount(4.125, "bar"), Kind.PRESSURE, COMMA, "4,125 bar"),
        (Amount(60.0, "psi"), Kind.PRESSURE, POINT, "60 psi"),
        (Amount(60.0, "psi"), Kind.PRESSURE, IMPERIAL, "60 psi"),
        (Amount(4.0, "bar"), Kind.PRESSURE, IMPERIAL, "58.0 psi"),
        (Amount(4.0, "bar"), None, IMPERIAL, "4 bar"),
        (Amount(-18.5, "inHg"), Kind.PRESSURE, POINT, "−18.5 inHg"),
        (Amount(1e-5, "Ω"), Kind.RESISTANCE, POINT, "0.00001 Ω"),
        (Amount(0.0, "Ω"), Kind.RESISTANCE, POINT, "0 Ω"),
        (Amount(5.0, "K"), Kind.TEMPERATURE_DIFFERENCE, IMPERIAL, "9.0 °F"),
    ],
)
def test_that_an_amount_is_shown_as_typed_unless_another_unit_is_preferred(
    amount: Amount, kind: Kind | None, style: NumberStyle, written: str
) -> None:
    assert show_amount(amount, style, kind) == written


@given(KINDS_AND_UNITS, st.floats(-1e12, 1e12), MARKS, st.booleans(), st.booleans())
def test_that_the_parser_reads_back_what_is_shown(
    kind_and_unit: tuple[Kind, Unit], number: float, mark: DecimalMark, nbsp: bool, sign: bool
) -> None:
    kind, unit = kind_and_unit
    style = NumberStyle(mark, {kind: unit.symbol}, nbsp)
    value = number * unit.factor + unit.offset

    back = parse(show(value, kind, style, sign=sign), kind, decimal=mark)

    assert back.unit == unit.symbol
    noise = 1e-11 * (abs(number) + abs(unit.offset / unit.factor))
    resolution = unit.step / 2 if unit.step else 5.1e-4 * abs(number) + 1e-9
    assert abs(back.number - number) <= resolution + noise


@given(st.floats(-1e14, 1e14), MARKS)
def test_that_ohms_in_any_size_read_back_to_four_digits(value: float, mark: DecimalMark) -> None:
    back = parse(show(value, Kind.RESISTANCE, NumberStyle(mark)), Kind.RESISTANCE, decimal=mark)

    assert back.si(Kind.RESISTANCE) == pytest.approx(value, rel=5.1e-4, abs=1e-9)


@given(KINDS_AND_UNITS, st.floats(-1e290, 1e290), MARKS)
def test_that_an_amount_shown_as_typed_is_read_back_exactly(
    kind_and_unit: tuple[Kind, Unit], number: float, mark: DecimalMark
) -> None:
    kind, unit = kind_and_unit
    amount = Amount(number, unit.symbol)

    assert parse(show_amount(amount, NumberStyle(mark), kind), kind, decimal=mark) == amount


@given(KINDS_AND_UNITS, st.floats(-1e300, 1e300))
def test_that_no_zero_is_negative_and_no_number_hides_its_sign(
    kind_and_unit: tuple[Kind, Unit], number: float
) -> None:
    kind, unit = kind_and_unit
    style = NumberStyle(units={kind: unit.symbol})

    written = show(number * unit.factor + unit.offset, kind, style, unit=False)

    assert "-" not in written.partition("e")[0]
    assert written.startswith("−") <= any(c in "123456789∞" for c in written)


def test_that_the_preferred_unit_of_every_difference_exists() -> None:
    for kind in (Kind.PRESSURE, Kind.TEMPERATURE, Kind.LEVEL):
        for unit in UNITS[kind]:
            of_two = Kind(f"{kind.value} difference")
            assert unit_named(of_two, unit.symbol) is not None
