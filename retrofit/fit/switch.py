"""The warning switch against the duty: its point, its contact, and what a broken wire does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from catalog.curves.characteristic import Characteristic
from catalog.errors import user_error
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind, difference
from retrofit.fit.verdict import COMMON, COMPUTED, FitCheck, Verdict

Side = Literal["low", "high"]
"""On which side of the warning point danger lies: too little, or too much."""

Contact = Literal["open", "closed", "unknown"]
Lights = Literal["switch closes", "switch opens", "unknown"]
"""When the lamp is lit: a lamp to battery earthed by the switch lights when it closes."""


@dataclass(frozen=True)
class SwitchPoint:
    """Where a switch changes over.

    Attributes
    ----------
    rising : float
        Nominal value at which it changes over on the way up [SI].
    hysteresis : float or None
        It changes back so much lower [SI difference], 0 or more; None where unknown.
    tolerance : float or None
        Half width of where either may lie [SI difference]; None where unknown.
    uncertainty : float
        Of the measurement that found it [SI difference, 95 %], 0 for a stated point.
    """

    rising: float
    hysteresis: float | None
    tolerance: float | None
    uncertainty: float = 0.0


@dataclass(frozen=True)
class WarningPoint:
    """What the duty asks.

    Attributes
    ----------
    at : float
        The lamp must be lit from here on towards danger [SI].
    side : "low" or "high"
        Where danger lies.
    kind : Kind
        What is measured.
    normal : float or None
        Healthy value nearest to danger, such as hot idle, at which the lamp must be dark [SI].
    """

    at: float
    side: Side
    kind: Kind
    normal: float | None = None


def switch_point_check(switch: SwitchPoint | None, warning: WarningPoint | None) -> FitCheck:
    """Return whether the lamp lights before the warning point, whatever the tolerance.

    On its way into danger a falling value meets the point less the hysteresis, a rising one the
    point itself. With m the distance by which that lies before the warning point and t its
    tolerance and measuring uncertainty together: m ≥ t is good, −t < m < t a caution, m ≤ −t stop.
    A lamp that may be lit at the healthy value is a caution too: a lamp that is always lit is not
    believed.

    Parameters
    ----------
    switch : SwitchPoint or None
        None where nobody measured it.
    warning : WarningPoint or None
        None where the duty has none.

    Returns
    -------
    FitCheck
        `number`: the distance m, `limit`: t [SI difference]; "unknown" without hysteresis on a
        falling value, or without a tolerance where m is positive.

    Raises
    ------
    UserError
        For a hysteresis, tolerance or uncertainty below zero.

    Examples
    --------
    >>> warn = WarningPoint(0.3e5, "low", Kind.PRESSURE)
    >>> switch_point_check(SwitchPoint(0.6e5, 0.1e5, 0.1e5), warn).verdict
    'good'
    """
    name, field = "switch point", "switch"
    if switch is None or warning is None:
        key = "switch.no_point" if switch is None else "switch.no_warning"
        says, why = message(key), message(f"{key}_how")
        return FitCheck(name, "unknown", says, why, basis=COMMON, field=field)
    for size in (switch.hysteresis, switch.tolerance, switch.uncertainty):
        if size is not None and not size >= 0.0:
            raise user_error("switch.below_zero")
    if warning.side == "low" and switch.hysteresis is None:
        says, why = message("switch.no_hysteresis"), message("switch.no_hysteresis_how")
        return FitCheck(name, "unknown", says, why, basis=COMMON, field=field)
    operates = _into_danger(switch, warning.side)
    sign = 1.0 if warning.side == "low" else -1.0
    margin = sign * (operates - warning.at)
    unsure = (switch.tolerance or 0.0) + switch.uncertainty
    says = message(
        "switch.lights",
        at=SiValue(operates, warning.kind),
        warning=SiValue(warning.at, warning.kind),
    )
    number = SiValue(margin, difference(warning.kind))
    limit = SiValue(unsure, difference(warning.kind))
    verdict: Verdict
    if margin <= -unsure and margin < 0.0:
        verdict, key = "stop", "switch.late"
    elif switch.tolerance is None:
        verdict, key = "unknown", "switch.no_tolerance"
    elif margin < unsure:
        verdict, key = "caution", "switch.within_tolerance"
    elif _nuisance(unsure, switch, warning):
        verdict, key = "caution", "switch.nuisance"
    else:
        verdict, key = "good", "switch.early_enough"
    why = message(key, margin=number, tolerance=limit)
    return FitCheck(name, verdict, says, why, number, limit, COMPUTED, field)


def _into_danger(switch: SwitchPoint, side: Side) -> float:
    return switch.rising - (switch.hysteresis or 0.0) if side == "low" else switch.rising


def _nuisance(unsure: float, switch: SwitchPoint, warning: WarningPoint) -> bool:
    """Return whether the lamp may be lit, or stay lit, at the healthy value."""
    if warning.normal is None:
        return False
    if warning.side == "low":
        return switch.rising + unsure > warning.normal
    return switch.rising - (switch.hysteresis or 0.0) - unsure < warning.normal


def bench_check(reading: float, error: float, limits: tuple[float, float], kind: Kind) -> FitCheck:
    """Return whether a switch that was tried on the bench lies within its stated limits.

    Inside with its error: good; inside but for its error, or outside but for its error: caution;
    outside beyond its error: stop.

    Parameters
    ----------
    reading, error : float
        Where it changed over, and the half width of that reading's 95 % interval [SI], 0 or more.
    limits : pair of float
        Stated limits, lower first [SI].
    kind : Kind
        What is measured.

    Raises
    ------
    UserError
        Where the limits are in the wrong order, or the error is below zero.

    Examples
    --------
    >>> bench_check(0.25e5, 0.0, (0.3e5, 0.55e5), Kind.PRESSURE).verdict
    'stop'
    """
    low, high = limits
    if not low <= high:
        raise user_error("switch.limits", low=SiValue(low, kind), high=SiValue(high, kind))
    if not error >= 0.0:
        raise user_error("switch.below_zero")
    beyond = max(low - reading, reading - high)
    tiny = 1e-9 * max(abs(low), abs(high), 1.0)
    verdict: Verdict
    if beyond > error + tiny:
        verdict, key = "stop", "switch_test.out"
    elif beyond > -error + tiny and error > 0.0:
        verdict, key = "caution", "switch_test.unsure"
    else:
        verdict, key = "good", "switch_test.inside"
    says = message(
        "switch_test.read",
        reading=SiValue(reading, kind),
        low=SiValue(low, kind),
        high=SiValue(high, kind),
    )
    why = message(key, error=SiValue(error, difference(kind)))
    limit = SiValue(low if low - reading >= reading - high else high, kind)
    return FitCheck(
        "switch test", verdict, says, why, SiValue(reading, kind), limit, COMPUTED, "switch"
    )


@dataclass(frozen=True)
class TwoWays:
    """A lamp's point that is told in ohms and in a value, on a sender's own curve.

    Attributes
    ----------
    at_ohms : float
        Value at which the sender gives the stated ohms [SI].
    at_value : float
        What the sender gives at the stated value [Ω].
    offset : float
        Ohms by which the stated ones lie above those of the curve [Ω].
    """

    at_ohms: float
    at_value: float
    offset: float


def two_ways(curve: Characteristic, ohms: float, value: float) -> TwoWays:
    """Return what a point that is stated in ohms and in a value would be on a curve.

    Parameters
    ----------
    curve : Characteristic
        The sender's own.
    ohms, value : float
        The point as stated both ways [Ω], [SI].

    Raises
    ------
    UserError
        Where the ohms lie outside the curve: nobody can tell the value.
    """
    at = float(curve.value(np.array([ohms]))[0])
    if not curve.low <= at <= curve.high:
        raise user_error("switch.off_curve", ohm=SiValue(ohms, Kind.RESISTANCE))
    gives = float(curve.output(np.array([value]))[0])
    return TwoWays(at, gives, ohms - gives)


def two_ways_check(found: TwoWays, value: float, tolerance: float, kind: Kind) -> FitCheck:
    """Return whether both statements of one point mean the same.

    Parameters
    ----------
    found : TwoWays
        From `two_ways`.
    value, tolerance : float
        The point as stated in the value's unit, and how far it may be off [SI], 0 or more.
    kind : Kind
        What is measured.
    """
    gap = found.at_ohms - value
    says = message("switch.two_ways", at=SiValue(found.at_ohms, kind), stated=SiValue(value, kind))
    agree = abs(gap) <= tolerance
    why = message(
        "switch.agree" if agree else "switch.disagree",
        offset=SiValue(found.offset, Kind.RESISTANCE),
    )
    number, limit = SiValue(gap, difference(kind)), SiValue(tolerance, difference(kind))
    return FitCheck(
        "switch point", "good" if agree else "caution", says, why, number, limit, field="switch"
    )


def contact_check(below: Contact, side: Side, lights: Lights) -> FitCheck:
    """Return whether the lamp is lit in danger and dark in health.

    Parameters
    ----------
    below : "open", "closed", "unknown"
        State of the contact below its point.
    side : "low" or "high"
        Where danger lies.
    lights : str
        When the lamp is lit.

    Examples
    --------
    >>> contact_check("closed", "low", "switch closes").verdict
    'good'
    """
    if "unknown" in (below, lights):
        return _check("contact", "unknown", "contact_state.unknown")
    in_danger = _in_danger(below, side)
    lit = (in_danger == "closed") == (lights == "switch closes")
    return _check("contact", "good" if lit else "stop", f"contact_state.{'lit' if lit else 'dark'}")


def _in_danger(below: Contact, side: Side) -> Contact:
    """Return the contact in danger: as below its point where danger is low, else the other."""
    if side == "low":
        return below
    return "closed" if below == "open" else "open"


def broken_wire_check(lights: Lights, proves_itself: bool) -> FitCheck:
    """Return what a broken wire to the switch does.

    A lamp that lights when its switch closes stays dark for ever: only one that is lit at rest, as
    an oil pressure lamp before the start, shows at each start that its wire is whole.

    Parameters
    ----------
    lights : str
        When the lamp is lit.
    proves_itself : bool
        Whether it is lit by its switch with the ignition on before the start, or by a test button
        through the whole wire.

    Examples
    --------
    >>> broken_wire_check("switch closes", proves_itself=False).verdict
    'caution'
    """
    if lights == "unknown":
        return _check("broken wire", "unknown", "broken_wire.unknown")
    if lights == "switch opens":
        return _check("broken wire", "good", "broken_wire.lights")
    if proves_itself:
        return _check("broken wire", "good", "broken_wire.proves")
    return _check("broken wire", "caution", "broken_wire.hides")


def _check(name: str, verdict: Verdict, key: str) -> FitCheck:
    return FitCheck(
        name, verdict, message(key), message(f"{key}_how"), basis=COMMON, field="switch"
    )
