"""What a wire has to do: what it carries, how far, how hot, and what its ohms may cost."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from catalog.errors import UserError
from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import Kind
from catalog.wires import INSULATIONS

DROP_SHARE = 0.03
"""Share of the nominal supply that feed and return of an instrument may lose together (common
practice; ISO 10133 asks it of the main feeds of a boat's panel)."""


@dataclass(frozen=True)
class WireNeed:
    """What a wire has to do.

    Attributes
    ----------
    current : float
        What flows for good at most, of all that it feeds [A]; NaN where unknown.
    length : float
        Of this wire, one way [m]; NaN where unknown.
    drop : float or None
        Volts that this wire may lose [V]; None where nothing is asked. Feed and return share
        what the circuit may lose.
    ohm : float or None
        Ohms that it may have before the needle moves more than is allowed [Ω], see
        ``ohms_allowed``; NaN where that is unknown, None where nothing is asked.
    temperature : float or None
        Hottest that the place gets [°C]; None where unknown.
    boat : bool
        Whether it is in a boat: tinned strands, and thicker ones.
    sheathed : bool
        Whether it lies in one sheath with others, which holds it.
    insulation : float or None
        Temperature that its insulation is rated for [°C], one of ``INSULATIONS``; None: the
        lowest that the place allows is proposed.
    sizes : "metric" or "AWG"
        Which sizes are sold where the user is.
    fuse : float or None
        Rating of the fuse that it hangs on [A]; None: the one that its current asks for.
    """

    current: float
    length: float
    drop: float | None = None
    ohm: float | None = None
    temperature: float | None = None
    boat: bool = False
    sheathed: bool = False
    insulation: float | None = None
    sizes: Literal["metric", "AWG"] = "metric"
    fuse: float | None = None


_KINDS = {
    "current": Kind.CURRENT,
    "length": Kind.LENGTH,
    "drop": Kind.VOLTAGE,
    "ohm": Kind.RESISTANCE,
    "fuse": Kind.CURRENT,
}
_ZERO_ALLOWED = frozenset({"current", "drop", "ohm"})
_HOTTEST_PLACE = 1000.0


def check_need(need: WireNeed) -> None:
    """Raise a UserError with one message for each number of a need that cannot be."""
    given = {name: getattr(need, name) for name in _KINDS}
    problems = [
        _refused(name, float(value))
        for name, value in given.items()
        if value is not None and not _sound(name, float(value))
    ]
    if need.temperature is not None and not -273.15 < need.temperature < _HOTTEST_PLACE:
        hot = SiValue(need.temperature, Kind.TEMPERATURE)
        problems.append(message("wiresize.no_such_place", temperature=hot))
    if need.fuse is not None and need.current > need.fuse > 0.0:
        problems.append(
            message("wiresize.fuse_too_small", fuse=need.fuse, current=float(f"{need.current:.3g}"))
        )
    problem = insulation_problem(need.insulation)
    if problem is not None:
        problems.append(problem)
    if problems:
        raise UserError(problems)


def insulation_problem(insulation: float | None) -> Message | None:
    """Return what is wrong with a rating of insulation; None where nothing is."""
    if insulation is None or insulation in INSULATIONS:
        return None
    return message(
        "wiresize.no_such_insulation",
        insulation=SiValue(insulation, Kind.TEMPERATURE),
        known=", ".join(f"{rated:g}" for rated in INSULATIONS) + " °C",
    )


def _sound(name: str, value: float) -> bool:
    if math.isnan(value):
        return name != "fuse"
    return math.isfinite(value) and (value > 0.0 or (value == 0.0 and name in _ZERO_ALLOWED))


def _refused(name: str, value: float) -> Message:
    return message(
        "wiresize.not_possible",
        what=message(f"wiresize.what.{name}"),
        value=SiValue(value, _KINDS[name]),
    )
