"""Kinds of quantity and the trade's units for them, with exact factors.

Pint takes 0.4 s to import, more than a whole ``retrofit assess`` may last, so the units of
the trade stand here as plain factors; ``tests/published/test_units.py`` holds every one of
them against Pint and against the exact fractions. Any other unit goes to Pint
(``catalog.quantities.foreign``).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """What a number measures. SI inside; Celsius temperature in °C, its SI derived unit."""

    RESISTANCE = "resistance"
    VOLTAGE = "voltage"
    CURRENT = "current"
    POWER = "power"
    PRESSURE = "pressure"
    PRESSURE_DIFFERENCE = "pressure difference"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    LEVEL = "level"
    LEVEL_DIFFERENCE = "level difference"
    VOLUME = "volume"
    LENGTH = "length"
    ANGLE = "angle"
    FRACTION = "fraction"
    THERMISTOR_BETA = "thermistor beta"


@dataclass(frozen=True)
class Unit:
    """A unit of one kind.

    Attributes
    ----------
    symbol : str
        The way it is written on screen, on paper and in files.
    factor, offset : float
        SI value = number × factor + offset.
    step : float
        Usual resolution of a shown number in this unit (0 means four significant digits).
    spellings : tuple of str
        Other ways to type it, compared without case and without inner blanks; the symbol
        itself is compared in the same way and need not be repeated.
    pint : str
        What Pint calls it, for the test that compares the factors.
    """

    symbol: str
    factor: float
    offset: float = 0.0
    step: float = 0.0
    spellings: tuple[str, ...] = ()
    pint: str = ""


_PSI = 6894.757293168362  # 0.45359237 kg × 9.80665 m/s² / (0.0254 m)²
_INHG = 3386.388640341  # 13595.1 kg/m³ × 9.80665 m/s² × 0.0254 m, conventional

_PRESSURE_UNITS = (
    Unit("bar", 1e5, step=0.01, spellings=("bars", "barg", "bar(g)"), pint="bar"),
    Unit("psi", _PSI, step=0.1, spellings=("psig", "psi(g)", "lb/in2", "lbf/in2"), pint="psi"),
    Unit("kPa", 1e3, step=1.0, spellings=("kpag", "kpa(g)"), pint="kPa"),
    Unit("MPa", 1e6, step=0.001, pint="MPa"),
    Unit("Pa", 1.0, step=100.0, spellings=("pascal",), pint="Pa"),
    Unit("mbar", 100.0, step=1.0, pint="mbar"),
    Unit(
        "kgf/cm²",
        98066.5,
        step=0.01,
        spellings=("kgf/cm2", "kg/cm2", "kg/cm²", "kp/cm2", "kp/cm²", "at", "atü"),
        pint="technical_atmosphere",
    ),
    Unit("inHg", _INHG, step=0.1, spellings=('"hg', "in.hg"), pint="inch_Hg"),
    Unit("mmHg", 133.322387415, step=1.0, pint="mmHg"),
)

_TEMPERATURE_UNITS = (
    Unit("°C", 1.0, 0.0, 0.1, ("c", "degc", "ºc", "celsius"), "degC"),
    Unit("°F", 5.0 / 9.0, -160.0 / 9.0, 0.1, ("f", "degf", "ºf", "fahrenheit"), "degF"),
    Unit("K", 1.0, -273.15, 0.1, ("kelvin",), "kelvin"),
)

_TEMPERATURE_DIFFERENCE_UNITS = (
    Unit("K", 1.0, 0.0, 0.1, ("kelvin",), "delta_degC"),
    Unit("°C", 1.0, 0.0, 0.1, ("c", "degc", "ºc", "celsius"), "delta_degC"),
    Unit("°F", 5.0 / 9.0, 0.0, 0.1, ("f", "degf", "ºf", "fahrenheit"), "delta_degF"),
)

_LEVEL_UNITS = (Unit("%", 0.01, step=0.1, spellings=("percent", "pct"), pint="percent"),)

UNITS: dict[Kind, tuple[Unit, ...]] = {
    Kind.RESISTANCE: (
        Unit("Ω", 1.0, spellings=("ohm", "ohms", "r"), pint="ohm"),
        Unit("kΩ", 1e3, spellings=("kohm", "kohms", "k"), pint="kiloohm"),
        Unit(
            "MΩ",
            1e6,
            spellings=("megohm", "megohms", "megaohm", "meg", "mohm", "mohms", "m"),
            pint="megaohm",
        ),
        Unit("mΩ", 1e-3, spellings=("milliohm", "milliohms", "mohm", "mohms"), pint="milliohm"),
    ),
    Kind.VOLTAGE: (
        Unit("V", 1.0, step=0.01, spellings=("volt", "volts"), pint="volt"),
        Unit("mV", 1e-3, step=1.0, spellings=("millivolt",), pint="millivolt"),
    ),
    Kind.CURRENT: (
        Unit("mA", 1e-3, step=0.1, spellings=("milliamp",), pint="milliampere"),
        Unit("A", 1.0, step=0.001, spellings=("amp", "amps", "ampere"), pint="ampere"),
    ),
    Kind.POWER: (
        Unit("W", 1.0, step=0.01, spellings=("watt", "watts"), pint="watt"),
        Unit("mW", 1e-3, step=1.0, spellings=("milliwatt",), pint="milliwatt"),
    ),
    Kind.PRESSURE: _PRESSURE_UNITS,
    Kind.PRESSURE_DIFFERENCE: _PRESSURE_UNITS,
    Kind.TEMPERATURE: _TEMPERATURE_UNITS,
    Kind.TEMPERATURE_DIFFERENCE: _TEMPERATURE_DIFFERENCE_UNITS,
    Kind.LEVEL: _LEVEL_UNITS,
    Kind.LEVEL_DIFFERENCE: _LEVEL_UNITS,
    Kind.VOLUME: (
        Unit("L", 1e-3, step=0.1, spellings=("litre", "litres", "liter", "liters"), pint="liter"),
        Unit("gal (US)", 3.785411784e-3, step=0.1, spellings=("usgal", "galus"), pint="gallon"),
        Unit(
            "gal (imp)",
            4.54609e-3,
            step=0.1,
            spellings=("impgal", "galimp", "galuk", "ukgal"),
            pint="imperial_gallon",
        ),
        Unit("m³", 1.0, step=0.001, spellings=("m3",), pint="meter**3"),
    ),
    Kind.LENGTH: (
        Unit("mm", 1e-3, step=0.01, pint="millimeter"),
        Unit("in", 0.0254, step=0.001, spellings=('"', "inch", "inches", "″"), pint="inch"),
        Unit("cm", 1e-2, step=0.1, pint="centimeter"),
        Unit("m", 1.0, step=0.01, spellings=("metre", "metres", "meter", "meters"), pint="meter"),
        Unit("ft", 0.3048, step=0.01, spellings=("foot", "feet"), pint="foot"),
    ),
    Kind.ANGLE: (
        Unit(
            "°",
            0.017453292519943295,
            step=1.0,
            spellings=("deg", "degree", "degrees"),
            pint="degree",
        ),
        Unit("rad", 1.0, step=0.01, pint="radian"),
    ),
    Kind.FRACTION: (Unit("%", 0.01, step=0.1, spellings=("percent", "pct"), pint="percent"),),
    Kind.THERMISTOR_BETA: (Unit("K", 1.0, step=1.0, spellings=("kelvin",), pint="kelvin"),),
}
"""Units of each kind, the usual one first."""


DIFFERENCE: dict[Kind, Kind] = {
    Kind.PRESSURE: Kind.PRESSURE_DIFFERENCE,
    Kind.TEMPERATURE: Kind.TEMPERATURE_DIFFERENCE,
    Kind.LEVEL: Kind.LEVEL_DIFFERENCE,
}
"""Kind of a difference (an error, a tolerance, a span) of two values of a kind."""


def difference(kind: Kind) -> Kind:
    """Return the kind that a difference of two values of `kind` has."""
    return DIFFERENCE.get(kind, kind)


def default_unit(kind: Kind) -> Unit:
    """Return the unit that a bare number of this kind has when nothing else is said."""
    return UNITS[kind][0]


_PREFIX_COUNTS = frozenset({"mΩ", "MΩ", "MPa", "mV", "mA", "mW", "mbar"})
"""Symbols whose m or M must be typed as it is meant: the other one is 1e9 away."""


def _folded(text: str) -> str:
    return "".join(text.split()).casefold()


def _agrees(unit: Unit, folded: str) -> bool:
    return folded == _folded(unit.symbol) or folded in unit.spellings


def _same_prefix(unit: Unit, text: str, folded: str) -> bool:
    if unit.symbol not in _PREFIX_COUNTS or folded.startswith(("meg", "milli")):
        return True
    return text.lstrip()[:1] == unit.symbol[0]


def unit_named(kind: Kind, symbol: str) -> Unit | None:
    """Return the unit of `kind` written `symbol` or any of its spellings, or None.

    Case and blanks do not matter, except for a leading m or M that tells thousandths from
    millions: those must be typed as meant.

    Examples
    --------
    >>> unit_named(Kind.PRESSURE, "kg/cm2").symbol
    'kgf/cm²'
    >>> unit_named(Kind.RESISTANCE, "Mohm").symbol, unit_named(Kind.RESISTANCE, "mohm").symbol
    ('MΩ', 'mΩ')
    >>> unit_named(Kind.PRESSURE, "mPa") is None
    True
    """
    for unit in UNITS[kind]:
        if symbol == unit.symbol:
            return unit
    folded = _folded(symbol)
    for unit in UNITS[kind]:
        if _agrees(unit, folded) and _same_prefix(unit, symbol, folded):
            return unit
    return None


def unit_in_other_case(kind: Kind, symbol: str) -> Unit | None:
    """Return the unit that `symbol` would name with its m or M the other way, or None.

    Examples
    --------
    >>> unit_in_other_case(Kind.PRESSURE, "mPa").symbol
    'MPa'
    """
    if unit_named(kind, symbol) is not None:
        return None
    folded = _folded(symbol)
    return next((unit for unit in UNITS[kind] if _agrees(unit, folded)), None)


def usual_symbols(kind: Kind) -> str:
    """Return the symbols of the units of `kind`, for the sentence that lists them.

    Examples
    --------
    >>> usual_symbols(Kind.TEMPERATURE)
    '°C, °F, K'
    """
    return ", ".join(unit.symbol for unit in UNITS[kind])
