"""What may be typed, what it is read as, and what is refused with a sentence."""

from __future__ import annotations

import json
import math
import string
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from catalog.errors import BugError, UserError
from catalog.message import Message
from catalog.quantities.amounts import Amount, of_si
from catalog.quantities.kinds import UNITS, Kind, default_unit, unit_in_other_case, unit_named
from catalog.quantities.numerals import DecimalMark
from catalog.quantities.parse import parse

ROOT = Path(__file__).parents[3]
TEXTS = json.loads((ROOT / "resources/texts/english.json").read_text(encoding="utf-8"))

KINDS = st.sampled_from(list(Kind))
KINDS_AND_UNITS = st.sampled_from([(kind, unit) for kind in Kind for unit in UNITS[kind]])


def refusal(text: str, kind: Kind, **options: DecimalMark | None) -> Message:
    with pytest.raises(UserError) as caught:
        parse(text, kind, decimal=options.get("decimal"))
    (only,) = caught.value.messages
    return only


def sentence(told: Message) -> str:
    values = {k: sentence(v) if isinstance(v, Message) else v for k, v in told}
    return str(TEXTS[told.key].format(**values))


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        # RKM code, IEC 60062: R47, 4R7, 470R, 4K7, 47K3 and 4M7 as a public copy lists them.
        ("R47", 0.47, "Ω"),
        ("4R7", 4.7, "Ω"),
        ("470R", 470.0, "Ω"),
        ("4K7", 4.7, "kΩ"),
        ("47K3", 47.3, "kΩ"),
        ("4M7", 4.7, "MΩ"),
        # Common practice, no source.
        ("4k7", 4.7, "kΩ"),
        ("4k7 Ω", 4.7, "kΩ"),
        ("K47", 0.47, "kΩ"),
        ("47R", 47.0, "Ω"),
        ("47 r", 47.0, "Ω"),
        ("4.7k", 4.7, "kΩ"),
        ("4,7 k", 4.7, "kΩ"),
        ("4,7 kΩ", 4.7, "kΩ"),
        ("4.7\u00a0k\u2126", 4.7, "kΩ"),  # no-break space, ohm sign
        ("４.７ｋ", 4.7, "kΩ"),  # full width
        ("4.7 kohm", 4.7, "kΩ"),
        ("0.0047 M", 0.0047, "MΩ"),
        ("4.7 meg", 4.7, "MΩ"),
        ("4 Mohm", 4.0, "MΩ"),
        ("4 mohm", 4.0, "mΩ"),
        ("5 mΩ", 5.0, "mΩ"),
        ("33", 33.0, "Ω"),
        ("1e3", 1000.0, "Ω"),
        ("1,5E-2 kΩ", 0.015, "kΩ"),
        (".5", 0.5, "Ω"),
        (",5", 0.5, "Ω"),
        ("5.", 5.0, "Ω"),
        ("+5", 5.0, "Ω"),
        ("\u22125", -5.0, "Ω"),
        ("-0", 0.0, "Ω"),
        ("0,125", 0.125, "Ω"),
        ("1.000", 1.0, "Ω"),
        ("1000,125", 1000.125, "Ω"),
        ("1/2 k", 0.5, "kΩ"),
    ],
)
def test_that_ohms_are_read_in_every_habit_of_the_trade(
    text: str, number: float, unit: str
) -> None:
    assert parse(text, Kind.RESISTANCE) == Amount(number, unit)


@pytest.mark.parametrize(
    ("text", "kind", "number", "unit"),
    [
        ("45 psi", Kind.PRESSURE, 45.0, "psi"),
        ("4.1", Kind.PRESSURE, 4.1, "bar"),
        ("3 barg", Kind.PRESSURE, 3.0, "bar"),
        ("3 bar (g)", Kind.PRESSURE, 3.0, "bar"),
        ("3 bar gauge", Kind.PRESSURE, 3.0, "bar"),
        ("60 PSIG", Kind.PRESSURE, 60.0, "psi"),
        ("7 kg/cm²", Kind.PRESSURE, 7.0, "kgf/cm²"),
        ("0.5 MPA", Kind.PRESSURE, 0.5, "MPa"),
        ("18 inHg vac", Kind.PRESSURE, -18.0, "inHg"),
        ('18"Hg (vac.)', Kind.PRESSURE, -18.0, "inHg"),
        ("0.6 bar vacuum", Kind.PRESSURE, -0.6, "bar"),
        ("0,6 vac", Kind.PRESSURE, -0.6, "bar"),
        ("0 vac", Kind.PRESSURE, 0.0, "bar"),
        ("-0.6 bar", Kind.PRESSURE, -0.6, "bar"),
        ("230 °F", Kind.TEMPERATURE, 230.0, "°F"),
        ("230F", Kind.TEMPERATURE, 230.0, "°F"),
        ("230 degF", Kind.TEMPERATURE, 230.0, "°F"),
        ("230℉", Kind.TEMPERATURE, 230.0, "°F"),
        ("110 ºC", Kind.TEMPERATURE, 110.0, "°C"),
        ("5", Kind.TEMPERATURE_DIFFERENCE, 5.0, "K"),
        ("9 °F", Kind.TEMPERATURE_DIFFERENCE, 9.0, "°F"),
        ("1/8 in", Kind.LENGTH, 0.125, "in"),
        ('2 1/16"', Kind.LENGTH, 2.0625, "in"),
        ("2-1/16 in.", Kind.LENGTH, 2.0625, "in"),
        ("2½″", Kind.LENGTH, 2.5, "in"),
        ("½''", Kind.LENGTH, 0.5, "in"),
        ("52 mm", Kind.LENGTH, 52.0, "mm"),
        ("1/2", Kind.LEVEL, 50.0, "%"),
        ("¾", Kind.LEVEL, 75.0, "%"),
        ("0/4", Kind.LEVEL, 0.0, "%"),
        ("50 %", Kind.LEVEL, 50.0, "%"),
        ("50", Kind.LEVEL, 50.0, "%"),
        ("0", Kind.LEVEL, 0.0, "%"),
        ("0.5 %", Kind.LEVEL, 0.5, "%"),
        ("-1/8", Kind.LEVEL_DIFFERENCE, -12.5, "%"),
        ("1/4 W", Kind.POWER, 0.25, "W"),
        ("20 ma", Kind.CURRENT, 20.0, "mA"),
        ("5 US gal", Kind.VOLUME, 5.0, "gal (US)"),
        ("5 gal(imp)", Kind.VOLUME, 5.0, "gal (imp)"),
        ("45°", Kind.ANGLE, 45.0, "°"),
    ],
)
def test_that_each_kind_is_read_in_its_usual_units(
    text: str, kind: Kind, number: float, unit: str
) -> None:
    assert parse(text, kind) == Amount(number, unit)


@pytest.mark.parametrize(
    ("text", "kind", "key"),
    [
        ("", Kind.RESISTANCE, "number.empty"),
        (" \u00a0\t", Kind.RESISTANCE, "number.empty"),
        ("k", Kind.RESISTANCE, "number.none"),
        ("ohm 47", Kind.RESISTANCE, "number.none"),
        ("nan", Kind.RESISTANCE, "number.none"),
        ("-inf", Kind.RESISTANCE, "number.none"),
        ("∞", Kind.RESISTANCE, "number.none"),
        ("٤٧", Kind.RESISTANCE, "number.none"),
        ("④", Kind.RESISTANCE, "number.none"),
        ("R47", Kind.VOLTAGE, "number.none"),
        ("1 000", Kind.RESISTANCE, "number.thousands"),
        ("1\u202f000 Ω", Kind.RESISTANCE, "number.thousands"),
        ("1'000", Kind.RESISTANCE, "number.thousands"),
        ("1’000", Kind.RESISTANCE, "number.thousands"),
        ("1_000", Kind.RESISTANCE, "number.thousands"),
        ("1,000.5", Kind.RESISTANCE, "number.thousands"),
        ("1.000,5", Kind.RESISTANCE, "number.thousands"),
        ("1,000,000", Kind.RESISTANCE, "number.thousands"),
        ("1 000,5", Kind.RESISTANCE, "number.thousands"),
        ("1,000", Kind.RESISTANCE, "number.ambiguous_mark"),
        ("-12,345 Ω", Kind.RESISTANCE, "number.ambiguous_mark"),
        ("240-33", Kind.RESISTANCE, "number.several"),
        ("240 to 33 Ω", Kind.RESISTANCE, "number.several"),
        ("47 ± 2", Kind.RESISTANCE, "number.several"),
        ("4 7", Kind.RESISTANCE, "number.several"),
        ("10³", Kind.RESISTANCE, "number.several"),
        ("10⁻³", Kind.RESISTANCE, "number.several"),
        ("4·7", Kind.RESISTANCE, "number.several"),
        ("4.7×10^3", Kind.RESISTANCE, "number.several"),
        ("1.5/2 in", Kind.LENGTH, "number.several"),
        ("2 3/2 in", Kind.LENGTH, "number.several"),
        ("1/0 in", Kind.LENGTH, "number.zero_fraction"),
        ("1e999", Kind.RESISTANCE, "number.range"),
        ("1e-999", Kind.RESISTANCE, "number.range"),
        ("1e308 M", Kind.RESISTANCE, "number.range"),
        ("1e307 atm", Kind.PRESSURE, "number.range"),
        ("4" * 65, Kind.RESISTANCE, "number.too_long"),
        ("\ufdfa" * 5, Kind.RESISTANCE, "number.too_long"),  # 18 letters each when taken apart
        ("4.7 m", Kind.RESISTANCE, "unit.lone_m"),
        ("4m7", Kind.RESISTANCE, "unit.lone_m"),
        ("5 mPa", Kind.PRESSURE, "unit.case"),
        ("5 mpa", Kind.PRESSURE, "unit.case"),
        ("4 MA", Kind.CURRENT, "unit.case"),
        ("5 bara", Kind.PRESSURE, "unit.absolute"),
        ("14.7 psia", Kind.PRESSURE, "unit.absolute"),
        ("101 kPa abs", Kind.PRESSURE, "unit.absolute"),
        ("101 kPa(a)", Kind.PRESSURE, "unit.absolute"),
        ("760 torr absolute", Kind.PRESSURE, "unit.absolute"),
        ("-5 inHg vac", Kind.PRESSURE, "number.negative_vacuum"),
        ("0.6 bar vac", Kind.PRESSURE_DIFFERENCE, "unit.unknown"),
        ("5 gal", Kind.VOLUME, "unit.two_countries"),
        ("2 Pints", Kind.VOLUME, "unit.two_countries"),
        ("45 psi", Kind.TEMPERATURE, "unit.wrong_kind"),
        ("5 S", Kind.RESISTANCE, "unit.wrong_kind"),
        ("30 L", Kind.LEVEL, "unit.wrong_kind"),
        ("1 rad", Kind.LEVEL, "unit.wrong_kind"),
        ("50 %", Kind.ANGLE, "unit.wrong_kind"),
        ("1 turn", Kind.ANGLE, "unit.wrong_kind"),
        ("3950 °C", Kind.THERMISTOR_BETA, "unit.wrong_kind"),
        ("5 degC2/K", Kind.TEMPERATURE, "unit.wrong_kind"),
        ("1e6 dBm", Kind.POWER, "unit.wrong_kind"),
        ("5 delta_degC", Kind.TEMPERATURE, "unit.unknown"),
        ("5 furrow", Kind.LENGTH, "unit.unknown"),
        ("4.7k7", Kind.RESISTANCE, "unit.unknown"),
        ("5 m**9**9", Kind.LENGTH, "unit.unknown"),
        ("5 m*m*m*m/m", Kind.LENGTH, "unit.unknown"),
        ("0.5", Kind.LEVEL, "number.share"),
        ("1", Kind.LEVEL, "number.share"),
        ("-0,07", Kind.LEVEL_DIFFERENCE, "number.share"),
        ("0.5", Kind.FRACTION, "number.share"),
    ],
)
def test_that_what_cannot_be_read_one_way_only_is_refused_with_a_sentence(
    text: str, kind: Kind, key: str
) -> None:
    told = refusal(text, kind)

    assert told.key == key
    assert sentence(told)


@pytest.mark.parametrize("word", ["temperature", "°C, °F, K", "psi", "45 psi"])
def test_that_the_wrong_kind_of_unit_names_what_was_expected(word: str) -> None:
    assert word in sentence(refusal("45 psi", Kind.TEMPERATURE))


def test_that_an_unknown_unit_lists_the_usual_ones() -> None:
    assert "bar, psi, kPa" in sentence(refusal("5 furrow", Kind.PRESSURE))


def test_that_an_ambiguous_level_offers_both_readings() -> None:
    assert dict(refusal("0,07", Kind.LEVEL).values) == {
        "text": "0,07",
        "whole": "7 %",
        "part": "0.07 %",
    }


def test_that_a_stated_unit_settles_what_a_bare_level_means() -> None:
    assert parse("0.5", Kind.LEVEL, default="%") == Amount(0.5, "%")


@pytest.mark.parametrize(
    ("text", "decimal", "number"),
    [
        ("1,000", ",", 1.0),
        ("1.000", ".", 1.0),
        ("12,5", ".", 12.5),
        ("12.5", ",", 12.5),
        ("0.125", ",", 0.125),
    ],
)
def test_that_a_known_decimal_mark_settles_what_it_can(
    text: str, decimal: DecimalMark, number: float
) -> None:
    assert parse(text, Kind.VOLTAGE, decimal=decimal) == Amount(number, "V")


@pytest.mark.parametrize(("text", "decimal"), [("1,250", "."), ("1.250", ",")])
def test_that_the_other_mark_before_three_digits_offers_both_readings(
    text: str, decimal: DecimalMark
) -> None:
    told = refusal(text, Kind.VOLTAGE, decimal=decimal)

    assert told.key == "number.ambiguous_mark"
    assert (told.value("grouped"), told.value("fractional")) == ("1250", f"1{decimal}25")


def test_that_a_bare_number_takes_the_unit_of_its_field() -> None:
    assert parse("45", Kind.PRESSURE, default="psi") == Amount(45.0, "psi")


def test_that_a_field_with_a_unit_of_another_kind_is_our_mistake() -> None:
    with pytest.raises(BugError, match="psi"):
        parse("45", Kind.TEMPERATURE, default="psi")


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        # Exact by definition: atm 101 325 Pa, torr atm/760, 1 in = 25.4 mm, N/cm² = 10 kPa.
        ("1 atm", Kind.PRESSURE, Amount(1.01325, "bar")),
        ("760 torr", Kind.PRESSURE, Amount(1.01325, "bar")),
        ("760 torr vac", Kind.PRESSURE, Amount(-1.01325, "bar")),
        ("12 N/cm²", Kind.PRESSURE, Amount(1.2, "bar")),
        ("12 N/cm^2", Kind.PRESSURE, Amount(1.2, "bar")),
        ("50 cmH2O", Kind.PRESSURE, Amount(0.04903325, "bar")),  # 98.0665 Pa each
        ("5 thou", Kind.LENGTH, Amount(0.127, "mm")),
        ("671.67 °R", Kind.TEMPERATURE, Amount(100.0, "°C")),
        ("80 degRe", Kind.TEMPERATURE, Amount(100.0, "°C")),
        ("9 degRe", Kind.TEMPERATURE_DIFFERENCE, Amount(11.25, "K")),
        ("9 degR", Kind.TEMPERATURE_DIFFERENCE, Amount(5.0, "K")),
        ("5 cc", Kind.VOLUME, Amount(0.005, "L")),
        ("47 µΩ", Kind.RESISTANCE, Amount(4.7e-5, "Ω")),
    ],
)
def test_that_a_foreign_unit_is_converted_to_the_usual_one(
    text: str, kind: Kind, expected: Amount
) -> None:
    assert parse(text, kind) == expected


def test_that_usual_units_and_refused_kinds_never_load_pint() -> None:
    code = (
        "import sys\n"
        "from catalog.errors import UserError\n"
        "from catalog.quantities.kinds import Kind\n"
        "from catalog.quantities.parse import parse\n"
        "parse('45 psi', Kind.PRESSURE)\n"
        "try: parse('45 psi', Kind.TEMPERATURE)\n"
        "except UserError: pass\n"
        "sys.exit('pint' in sys.modules)\n"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0


_TYPED = st.text(
    st.sampled_from(
        "0123456789.,'_ -+/eERrKkMmΩ%°\"½²³⁄\u2212\u00a0()^*·abgvcilnopstuhH" + "\ud800"
    ),
    max_size=20,
)
_LIKELY = st.builds(
    lambda number, gap, unit: f"{number}{gap}{unit}",
    st.one_of(st.floats(), st.integers(), st.text(string.digits + ".,/ '", max_size=8)),
    st.sampled_from(["", " ", "\u00a0", "/", "*"]),
    st.one_of(
        st.sampled_from([unit.symbol for kind in Kind for unit in UNITS[kind]]),
        st.sampled_from(["dBm", "degC2/K", "Qm3", "Qm3*Qm3*Qm3", "vac", "abs", "m**9", "lambda"]),
        st.text(string.ascii_letters + "/*°", max_size=8),
    ),
)


@given(
    st.one_of(st.text(max_size=80), _TYPED, _LIKELY),
    KINDS,
    st.sampled_from([None, ".", ","]),
)
@example("1e308 Qm3*Qm3*Qm3", Kind.VOLUME, None)
@example("1e400 dBm", Kind.POWER, None)
@example("1e300 dBm", Kind.POWER, None)
def test_that_any_text_gives_a_finite_amount_or_one_sentence(
    text: str, kind: Kind, decimal: DecimalMark | None
) -> None:
    try:
        amount = parse(text, kind, decimal=decimal)
    except UserError as error:
        (told,) = error.messages
        sentence(told).encode()
    else:
        assert math.isfinite(amount.number)
        assert math.isfinite(amount.si(kind))


@given(
    KINDS_AND_UNITS.flatmap(
        lambda pair: st.tuples(
            st.just(pair[0]),
            st.builds(Amount, st.floats(-1e290, 1e290, allow_nan=False), st.just(pair[1].symbol)),
        )
    )
)
def test_that_an_amount_is_read_back_from_its_own_text_exactly(
    kind_and_amount: tuple[Kind, Amount],
) -> None:
    kind, amount = kind_and_amount

    assert parse(str(amount), kind, decimal=".") == amount


@given(KINDS_AND_UNITS, st.floats(-1e9, 1e9))
def test_that_an_si_value_survives_its_way_through_text(
    kind_and_unit: tuple[Kind, object], value: float
) -> None:
    kind, unit = kind_and_unit
    symbol = getattr(unit, "symbol", "")
    named = unit_named(kind, symbol)
    assert named is not None

    back = parse(str(of_si(value, kind, symbol)), kind, decimal=".").si(kind)

    # of_si keeps 12 digits of the number in the unit, offset included.
    assert back == pytest.approx(value, rel=1e-11, abs=1e-11 * abs(named.offset) + 1e-300)


@pytest.mark.parametrize("kind", list(Kind))
def test_that_every_symbol_and_spelling_names_its_own_unit(kind: Kind) -> None:
    for unit in UNITS[kind]:
        assert unit_named(kind, unit.symbol) is unit
        others = {s for other in UNITS[kind] if other is not unit for s in other.spellings}
        for spelling in set(unit.spellings) - others:
            typed = spelling.upper() if unit.symbol == "MΩ" else spelling
            assert unit_named(kind, typed) is unit, spelling


@pytest.mark.parametrize(
    ("kind", "typed", "symbol"),
    [
        (Kind.RESISTANCE, "mΩ", "mΩ"),
        (Kind.RESISTANCE, "MΩ", "MΩ"),
        (Kind.RESISTANCE, "M\u2126", "MΩ"),
        (Kind.RESISTANCE, "mohm", "mΩ"),
        (Kind.RESISTANCE, "Mohm", "MΩ"),
        (Kind.RESISTANCE, "MEGOHM", "MΩ"),
        (Kind.RESISTANCE, "M", "MΩ"),
        (Kind.RESISTANCE, "m", None),
        (Kind.PRESSURE, "MPa", "MPa"),
        (Kind.PRESSURE, "mPa", None),
        (Kind.PRESSURE, "mbar", "mbar"),
        (Kind.PRESSURE, "Mbar", None),
        (Kind.VOLTAGE, "MV", None),
        (Kind.CURRENT, "MA", None),
        (Kind.POWER, "MW", None),
        (Kind.VOLUME, "gal(us)", "gal (US)"),
    ],
)
def test_that_millionths_and_millions_are_never_taken_for_each_other(
    kind: Kind, typed: str, symbol: str | None
) -> None:
    unit = unit_named(kind, typed)

    assert (unit.symbol if unit else None) == symbol
    assert (unit_in_other_case(kind, typed) is None) == (symbol is not None)


@pytest.mark.parametrize("kind", list(Kind))
def test_that_every_kind_has_a_name_in_the_texts(kind: Kind) -> None:
    told = refusal("5 furrow", kind)

    assert default_unit(kind).symbol in sentence(told)
