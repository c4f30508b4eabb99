"""The lamp behind a switch: its current, its inrush, leaks through it, and the charge lamp."""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog.errors import user_error
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.fit.verdict import ASSUMED, COMMON, FitCheck, Verdict

FILAMENT = 0.55
"""Exponent of a filament's current in its voltage (handbook rule)."""

INRUSH = 10.0
"""A cold filament's current over its hot one (common practice, no source)."""

VISIBLE = 0.2e-3
"""Current at which a light-emitting diode is seen to glow in the dark [A] (assumed)."""

EXCITES = 0.8
"""Share of the old bulb's current that is taken to start the charging (assumed)."""

DERATING = 0.5
"""Share of its rated power that a resistor may carry here (common practice, no source)."""


def bulb_current(watts: float, rated_volts: float, volts: float) -> float:
    """Return the current of a filament bulb away from its rated voltage [A].

    I = (P/V₀)·(V/V₀)^0.55, a handbook's re-rating rule.

    Parameters
    ----------
    watts, rated_volts : float
        As marked [W], [V], above 0.
    volts : float
        Across it [V], 0 or more.

    Raises
    ------
    UserError
        For powers or voltages that no bulb has.

    Examples
    --------
    >>> round(bulb_current(2.0, 12.0, 12.0) * 1e3)
    167
    """
    if not (watts > 0.0 and rated_volts > 0.0 and volts >= 0.0):
        raise user_error("lamp.no_bulb")
    return watts / rated_volts * math.pow(volts / rated_volts, FILAMENT)


def contact_rating_check(rated: float | None, lamp: float | None, filament: bool) -> FitCheck:
    """Return whether a switch's contact carries its lamp.

    Parameters
    ----------
    rated : float or None
        The contact's highest current [A].
    lamp : float or None
        The lamp's current, hot, at the highest supply [A].
    filament : bool
        Whether it has a filament, whose inrush is `INRUSH` times that.

    Examples
    --------
    >>> contact_rating_check(0.5, 0.18, filament=True).verdict
    'caution'
    """
    name, field = "contact rating", "switch"
    if rated is None or lamp is None:
        key = "contact_rating.no_rating" if rated is None else "contact_rating.no_lamp"
        says, why = message(key), message(f"{key}_how")
        return FitCheck(name, "unknown", says, why, basis=COMMON, field=field)
    if not (rated > 0.0 and lamp > 0.0):
        raise user_error("lamp.no_current")
    number, limit = SiValue(lamp, Kind.CURRENT), SiValue(rated, Kind.CURRENT)
    says = message("contact_rating.is", lamp=number, rated=limit)
    inrush = SiValue(INRUSH * lamp, Kind.CURRENT)
    verdict: Verdict
    if lamp > rated:
        verdict, key = "stop", "contact_rating.relay"
    elif filament and INRUSH * lamp > rated:
        verdict, key = "caution", "contact_rating.inrush"
    else:
        verdict, key = "good", "contact_rating.carries"
    why = message(key, inrush=inrush)
    return FitCheck(name, verdict, says, why, number, limit, COMMON, field)


def glow_check(supply: float, forward: float, leak: float | None, in_series: float) -> FitCheck:
    """Return whether a light-emitting diode glows through the leak of an open switch.

    I = (V − Vf)/(Rleak + Rseries). A filament needs a thousand times as much and hides the leak.

    Parameters
    ----------
    supply, forward : float
        Highest supply, and the diode's forward voltage [V].
    leak : float or None
        Resistance across the open switch or from its wire to earth [Ω], above 0; None where nobody
        measured.
    in_series : float
        Its series resistor [Ω], 0 or more.

    Returns
    -------
    FitCheck
        `number` and `limit` [A].

    Examples
    --------
    >>> glow_check(14.4, 2.0, 22e3, 680.0).verdict, glow_check(14.4, 2.0, 1e6, 680.0).verdict
    ('caution', 'good')
    """
    name, field = "lamp glow", "lamp"
    limit = SiValue(VISIBLE, Kind.CURRENT)
    if leak is None:
        least = max(supply - forward, 0.0) / VISIBLE - in_series
        says = message("glow.unknown")
        why = message("glow.measure", ohm=SiValue(max(least, 0.0), Kind.RESISTANCE))
        return FitCheck(name, "unknown", says, why, None, limit, ASSUMED, field)
    if not (leak > 0.0 and in_series >= 0.0):
        raise user_error("lamp.no_leak")
    current = max(supply - forward, 0.0) / (leak + in_series)
    number = SiValue(current, Kind.CURRENT)
    says = message("glow.is", current=number, leak=SiValue(leak, Kind.RESISTANCE))
    glows = current >= VISIBLE
    why = message("glow.across" if glows else "glow.dark")
    return FitCheck(name, "caution" if glows else "good", says, why, number, limit, ASSUMED, field)


@dataclass(frozen=True)
class Excitation:
    """What a resistor across a charge lamp's diode does.

    Attributes
    ----------
    bulb : float
        Current of the old bulb at its rated voltage [A].
    current : float
        Through the resistor at that voltage [A].
    same_ohms : float
        Resistance that would carry the bulb's current [Ω].
    power : float
        In the resistor with the highest supply across it [W].
    check : FitCheck
        The verdict.
    """

    bulb: float
    current: float
    same_ohms: float
    power: float
    check: FitCheck


def excitation(
    bulb_watts: float,
    volts: float,
    resistor: float,
    highest: float,
    rated_watts: float | None = None,
) -> Excitation:
    """Return whether a resistor excites an alternator as the charge lamp's bulb did.

    The bulb's P/V is what the alternator was made for; a diode lamp gives it some milliamperes and
    charging may not start. The alternator's own need is unknown: `EXCITES` of the bulb's current
    is taken for enough. The resistor stands the highest supply where the alternator fails.

    Parameters
    ----------
    bulb_watts, volts : float
        The old bulb as marked [W], [V], above 0.
    resistor : float
        In parallel with the diode lamp [Ω], above 0; inf: none.
    highest : float
        Highest supply [V].
    rated_watts : float or None
        Rating of the resistor [W]; None where nobody said.

    Raises
    ------
    UserError
        For values that cannot be.

    Examples
    --------
    >>> found = excitation(2.0, 12.0, 82.0, 14.4)
    >>> round(found.bulb * 1e3), round(found.current * 1e3), round(found.power, 1)
    (167, 146, 2.5)
    """
    if not (bulb_watts > 0.0 and volts > 0.0 and resistor > 0.0 and highest > 0.0):
        raise user_error("lamp.no_bulb")
    bulb, current = bulb_watts / volts, volts / resistor
    power = highest**2 / resistor
    need = EXCITES * bulb
    values = {
        "current": SiValue(current, Kind.CURRENT),
        "bulb": SiValue(bulb, Kind.CURRENT),
        "ohm": SiValue(volts / bulb, Kind.RESISTANCE),
        "watt": SiValue(power / DERATING, Kind.POWER),
    }
    verdict: Verdict
    if current < need:
        verdict, key = "stop", "excitation.too_little"
    elif rated_watts is None:
        verdict, key = "unknown", "excitation.rating"
    elif rated_watts * DERATING < power:
        verdict, key = "stop", "excitation.hot"
    else:
        verdict, key = "good", "excitation.starts"
    none = math.isinf(resistor)
    says = message("excitation.none" if none else "excitation.is", **values)
    check = FitCheck(
        "excitation",
        verdict,
        says,
        message(key, **values),
        SiValue(current, Kind.CURRENT),
        SiValue(need, Kind.CURRENT),
        ASSUMED,
        "lamp",
    )
    return Excitation(bulb, current, volts / bulb, power, check)
