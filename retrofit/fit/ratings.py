"""What the place asks of a sender: pressure, temperature, medium; unknown is never good."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

from catalog.errors import user_error
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.fit.verdict import ASSUMED, COMMON, FitCheck, Verdict

PROOF = 1.5
"""Proof pressure over the highest working pressure (common practice, no source): cold oil and a
closing valve drive a pressure up for an instant."""


def _pressure(value: float) -> SiValue:
    return SiValue(value, Kind.PRESSURE)


def _celsius(value: float) -> SiValue:
    return SiValue(value, Kind.TEMPERATURE)


def pressure_check(rated: float | None, proof: float | None, highest: float | None) -> FitCheck:
    """Return whether a sender stands the highest pressure, peaks counted.

    Good where the proof pressure is at least `PROOF` times the highest, or, with no proof pressure
    known, the rated one; caution where only the highest itself is covered.

    Parameters
    ----------
    rated, proof : float or None
        The sender's highest working and proof pressure [Pa gauge]; None where unknown.
    highest : float or None
        Highest pressure of the duty [Pa gauge].

    Raises
    ------
    UserError
        For a pressure that is not above zero, or a proof pressure below the rated one.

    Examples
    --------
    >>> pressure_check(10e5, 15e5, 6e5).verdict, pressure_check(5e5, None, 6e5).verdict
    ('good', 'stop')
    """
    for value in (rated, proof, highest):
        if value is not None and not (math.isfinite(value) and value > 0.0):
            raise user_error("pressure_rating.not_positive")
    if rated is not None and proof is not None and proof < rated:
        raise user_error("pressure_rating.order", rated=_pressure(rated), proof=_pressure(proof))
    if highest is None or (rated is None and proof is None):
        key = "pressure_rating.no_duty" if highest is None else "pressure_rating.no_rating"
        return FitCheck(
            "pressure",
            "unknown",
            message(key),
            message(f"{key}_how"),
            None,
            None if highest is None else _pressure(PROOF * highest),
            COMMON,
            "max_pressure",
        )
    working = rated if rated is not None else (proof or math.nan) / PROOF
    stands = proof if proof is not None else working
    says = message("pressure_rating.is", working=_pressure(working), highest=_pressure(highest))
    need = PROOF * highest
    verdict: Verdict
    if working < highest:
        verdict, key, number, limit = "stop", "pressure_rating.bursts", working, highest
    elif stands < need:
        verdict, key, number, limit = "caution", "pressure_rating.no_margin", stands, need
    else:
        verdict, key, number, limit = "good", "pressure_rating.margin", stands, need
    why = message(key, number=_pressure(number), limit=_pressure(limit))
    return FitCheck(
        "pressure", verdict, says, why, _pressure(number), _pressure(limit), COMMON, "max_pressure"
    )


def medium_check(suits: Collection[str] | None, medium: str | None) -> FitCheck:
    """Return whether a sender is made for the medium.

    Parameters
    ----------
    suits : collection of str or None
        Media that it is stated for, in the words of ``catalog.parts.fitting.Medium``; None or
        empty where unknown.
    medium : str or None
        What the duty brings to it.

    Examples
    --------
    >>> medium_check(["oil", "water"], "petrol").verdict, medium_check(None, "oil").verdict
    ('stop', 'unknown')
    """
    if not suits or medium is None:
        key = "medium.no_duty" if medium is None else "medium.no_rating"
        return FitCheck(
            "medium",
            "unknown",
            message(key),
            message(f"{key}_how"),
            basis=COMMON,
            field="media",
        )
    known = medium in suits
    says = message(
        "medium.suits" if known else "medium.not_for",
        medium=message(f"medium.named.{medium.replace(' ', '_')}"),
    )
    why = message("medium.good" if known else "medium.refuse")
    return FitCheck("medium", "good" if known else "stop", says, why, basis=COMMON, field="media")


@dataclass(frozen=True)
class Heat:
    """Temperatures that a sender stands and those that it meets [°C]; None where unknown."""

    lowest_rated: float | None
    highest_rated: float | None
    coldest: float | None
    hottest: float | None


def temperature_check(heat: Heat) -> FitCheck:
    """Return whether a sender stands the coldest and hottest that it meets.

    The worse end decides; `number` is the temperature met there and `limit` the rated one [°C].

    Raises
    ------
    UserError
        Where the lowest rated temperature lies above the highest.

    Examples
    --------
    >>> temperature_check(Heat(-40.0, 120.0, -20.0, 130.0)).verdict
    'stop'
    """
    low, high = heat.lowest_rated, heat.highest_rated
    if low is not None and high is not None and low > high:
        raise user_error("heat.order", low=_celsius(low), high=_celsius(high))
    name, field = "temperature", "temperature_range"
    too_hot = high is not None and heat.hottest is not None and heat.hottest > high
    too_cold = low is not None and heat.coldest is not None and heat.coldest < low
    if too_hot and high is not None and heat.hottest is not None:
        says = message("heat.hot", met=_celsius(heat.hottest), rated=_celsius(high))
        number, limit = _celsius(heat.hottest), _celsius(high)
        return FitCheck(name, "stop", says, message("heat.refuse"), number, limit, COMMON, field)
    if too_cold and low is not None and heat.coldest is not None:
        says = message("heat.cold", met=_celsius(heat.coldest), rated=_celsius(low))
        number, limit = _celsius(heat.coldest), _celsius(low)
        return FitCheck(name, "stop", says, message("heat.refuse"), number, limit, COMMON, field)
    if high is None or heat.hottest is None or low is None or heat.coldest is None:
        says, why = message("heat.unknown"), message("heat.unknown_how")
        return FitCheck(name, "unknown", says, why, basis=COMMON, field=field)
    says = message("heat.good", met=_celsius(heat.hottest), rated=_celsius(high))
    number, limit = _celsius(heat.hottest), _celsius(high)
    return FitCheck(name, "good", says, message("heat.within"), number, limit, COMMON, field)


IMMERSED_LEAST = 10e-3
"""Depth of a probe's tip in the flow below which it reads metal and dead water [m] (assumed)."""

PROBE_PLAY = 0.5e-3
"""Bore less diameter below which a probe has to be tried in the piece at hand [m] (assumed)."""


@dataclass(frozen=True)
class InTheWay:
    """What stands between the face of a sender's thread and the flow.

    Attributes
    ----------
    least, most : float
        Adapters, boss and wall, and how far taper threads stand proud within their limits [m], 0
        or more; the most is inf where nobody measured a taper thread.
    """

    least: float
    most: float


def immersion_check(probe: float | None, in_the_way: InTheWay | None) -> FitCheck:
    """Return whether a probe's tip reaches the flow past adapter, boss and wall.

    Parameters
    ----------
    probe : float or None
        Length of the probe from the face of the sender's thread [m], above 0.
    in_the_way : InTheWay or None
        What it has to pass; None where nobody measured it.

    Returns
    -------
    FitCheck
        `number`: how far the tip stands in the flow at the least [m], negative: it stays in the
        wall.

    Raises
    ------
    UserError
        For lengths that cannot be.

    Examples
    --------
    >>> immersion_check(25e-3, InTheWay(20e-3, 20e-3)).verdict
    'caution'
    """
    if probe is not None and not (math.isfinite(probe) and probe > 0.0):
        raise user_error("immersion.length")
    if in_the_way is not None and not 0.0 <= in_the_way.least <= in_the_way.most:
        raise user_error("immersion.length")
    if probe is None or in_the_way is None:
        return _immersed("unknown", message("immersion.unknown"), "immersion.unknown_how", None)
    deepest, least = probe - in_the_way.least, probe - in_the_way.most
    if deepest <= 0.0:
        says = message("immersion.is", tip=_length(deepest))
        return _immersed("stop", says, "immersion.hidden", deepest)
    if math.isinf(in_the_way.most):
        return _immersed("unknown", message("immersion.unknown"), "immersion.taper_how", None)
    if deepest - least < 1e-6:
        says = message("immersion.is", tip=_length(least))
    else:
        says = message("immersion.between", low=_length(least), high=_length(deepest))
    if least >= IMMERSED_LEAST * (1.0 - 1e-9):
        return _immersed("good", says, "immersion.good", least)
    key = "immersion.may_hide" if least <= 0.0 else "immersion.short"
    return _immersed("caution", says, key, least)


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


def _immersed(verdict: Verdict, says: Message, key: str, tip: float | None) -> FitCheck:
    limit = _length(IMMERSED_LEAST)
    number = None if tip is None else _length(tip)
    why = message(key, limit=limit)
    return FitCheck("immersion", verdict, says, why, number, limit, ASSUMED, "immersion")


def bore_check(diameter: float | None, bore: float) -> FitCheck:
    """Return whether a probe passes the narrowest bore of the pieces before it.

    Parameters
    ----------
    diameter : float or None
        Of the probe [m], above 0; None where nobody measured.
    bore : float
        Narrowest passage [m].

    Examples
    --------
    >>> bore_check(6e-3, 5e-3).verdict, bore_check(None, 5e-3).verdict
    ('stop', 'unknown')
    """
    limit = _length(bore)
    if diameter is None:
        says, why = message("bore.unknown"), message("bore.unknown_how", bore=limit)
        return FitCheck("bore", "unknown", says, why, None, limit, COMMON, "probe_diameter")
    number = _length(diameter)
    says = message("bore.is", diameter=number, bore=limit)
    verdict: Verdict
    if diameter > bore:
        verdict, key = "stop", "bore.thick"
    elif diameter > bore - PROBE_PLAY:
        verdict, key = "caution", "bore.close"
    else:
        verdict, key = "good", "bore.passes"
    return FitCheck("bore", verdict, says, message(key), number, limit, COMMON, "probe_diameter")
