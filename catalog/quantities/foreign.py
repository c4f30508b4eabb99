"""Units outside the trade's usual ones, converted by Pint.

This module imports Pint and builds its registry (0.7 s), so ``catalog.quantities.parse``
imports it at the first such unit; a number typed in a usual unit never comes here. Pint never
sees typed text as an expression: names and small exponents are taken apart here, because its
own reading of text is not ours (``4,7 kΩ`` would become 47 kΩ) and because ``9**9**9`` would
never end.
"""

from __future__ import annotations

import functools
import math
import re

import pint

from catalog.quantities.kinds import Kind, default_unit

Factors = tuple[tuple[str, int], ...]
"""A unit as Pint's names and their exponents."""

_FACTOR = re.compile(r"(°?[^\W\d]+)\^?([23])?")
_MOST_FACTORS = 3

# Without a dimension any number of anything would do (rad for %, ppm for an angle), and a beta
# is a ratio of temperatures in kelvin that no other unit measures in the trade.
_CLOSED = frozenset(
    {Kind.LEVEL, Kind.LEVEL_DIFFERENCE, Kind.FRACTION, Kind.ANGLE, Kind.THERMISTOR_BETA}
)


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry(cache_folder=None)


@functools.cache
def known(unit: str) -> Factors | None:
    """Return the factors of a unit that Pint knows, or None.

    Parameters
    ----------
    unit : str
        Unit text such as ``"torr"``, ``"cmH2O"``, ``"N/cm2"``.

    Returns
    -------
    tuple of (name, exponent) or None
        None where Pint knows no such unit, or more than three factors were typed.

    Examples
    --------
    >>> known("N/cm2")
    (('newton', 1), ('centimeter', -2))
    >>> known("furrow") is None
    True
    """
    joined = "".join(unit.split()).replace("**", "^")
    whole = _name(joined)  # cmH2O has a digit inside its name
    if whole is not None:
        return ((whole, 1),)
    pieces = re.split(r"([/*·])", joined)
    if len(pieces) > 2 * _MOST_FACTORS - 1:
        return None
    factors: list[tuple[str, int]] = []
    for place, piece in enumerate(pieces[0::2]):
        match = _FACTOR.fullmatch(piece)
        name = None if match is None else _name(match[1])
        if match is None or name is None:
            return None
        turned = -1 if place > 0 and pieces[2 * place - 1] == "/" else 1
        factors.append((name, turned * int(match[2] or 1)))
    return tuple(factors)


def _name(text: str) -> str | None:
    if not re.fullmatch(r"°?[^\W\d]\w*", text):
        return None
    try:
        name = _registry().get_name(text, case_sensitive=True)
    except pint.UndefinedUnitError:
        return None
    # Steps of a scale are no temperatures; typed differences come in plain units.
    return None if name.startswith("delta_") else name


def in_default_unit(number: float, factors: Factors, kind: Kind) -> float | None:
    """Convert a number in a foreign unit to the usual unit of `kind`.

    Parameters
    ----------
    number : float
        The number as typed, finite.
    factors : tuple of (name, exponent)
        The unit, from ``known``.
    kind : Kind
        What is measured.

    Returns
    -------
    float or None
        The number in ``default_unit(kind)``; None where the unit does not measure `kind`.
        Infinite where the result leaves the range of a float.

    Notes
    -----
    A temperature difference is the difference of two temperatures, so that scales with a
    zero of their own convert without it. Logarithmic units are refused.

    Examples
    --------
    >>> round(in_default_unit(760.0, known("torr"), Kind.PRESSURE), 9)
    1.01325
    >>> in_default_unit(760.0, known("torr"), Kind.TEMPERATURE) is None
    True
    """
    if kind in _CLOSED:
        return None
    registry = _registry()
    typed = registry.UnitsContainer(dict(factors))
    difference = kind is Kind.TEMPERATURE_DIFFERENCE
    wanted = "kelvin" if difference else default_unit(kind).pint
    if registry.get_dimensionality(typed) != registry.get_dimensionality(wanted):
        return None

    def converted(number: float) -> float:
        return float(registry.Quantity(number, typed).to(wanted).magnitude)

    try:
        first, second = (converted(x + 1.0) - converted(x) for x in (0.0, 1.0))
        if not math.isclose(first, second, rel_tol=1e-9):  # decibels of a milliwatt
            return None
        return converted(number) - (converted(0.0) if difference else 0.0)
    except pint.PintError:  # a product with a scale that has its own zero, such as °C²/K
        return None
    except OverflowError:
        return math.inf
