"""Panel holes: a gauge's body must pass, its rim must cover, and there must be room behind."""

from __future__ import annotations

import math

from catalog.errors import UserError, user_error
from catalog.fittings.panel import COVERED
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.fit.verdict import COMMON, FitCheck

WIRING_ROOM = 20e-3
"""Room behind a gauge for its terminals and the bend of the wires [m] (common practice, no
source)."""

CLOSE = 1e-3
"""Play by which a hole may exceed the body and the gauge still sits by itself [m] (common
practice, no source)."""


def _length(value: float) -> SiValue:
    return SiValue(value, Kind.LENGTH)


def _sound(name: str, value: float | None) -> UserError | None:
    if value is not None and not (math.isfinite(value) and value > 0.0):
        return user_error("panel.not_positive", name=message(f"panel.{name}"))
    return None


def panel_hole(body: float | None, hole: float | None, covered: float = COVERED) -> FitCheck:
    """Return whether a gauge's body goes through the hole and its rim covers it.

    Parameters
    ----------
    body, hole : float or None
        Diameters [m], above 0; None where unknown.
    covered : float
        How far the rim reaches beyond the body, either side [m].

    Raises
    ------
    UserError
        For a diameter that is not above zero.

    Examples
    --------
    >>> panel_hole(52.4e-3, 50.8e-3).verdict, panel_hole(52.4e-3, 52.5e-3).verdict
    ('stop', 'good')
    """
    for problem in (_sound("body", body), _sound("hole", hole)):
        if problem:
            raise problem
    if body is None or hole is None:
        says, why = message("panel.hole_unknown"), message("panel.measure_hole")
        return FitCheck("panel hole", "unknown", says, why, basis=COMMON, field="panel_hole")
    play = hole - body
    says = message("panel.hole_is", hole=_length(hole), body=_length(body))
    if play < 0.0:
        why = message("panel.enlarge", by=_length(-play))
        return FitCheck(
            "panel hole", "stop", says, why, _length(hole), _length(body), COMMON, "panel_hole"
        )
    widest = body + 2.0 * covered
    if hole >= widest:
        why = message("panel.ring", over=_length(hole - widest))
        return FitCheck(
            "panel hole", "stop", says, why, _length(hole), _length(widest), COMMON, "panel_hole"
        )
    close = play <= CLOSE
    why = message("panel.fits") if close else message("panel.loose", play=_length(play))
    verdict = "good" if close else "caution"
    limit = _length(body + CLOSE)
    return FitCheck(
        "panel hole",
        "good" if verdict == "good" else "caution",
        says,
        why,
        _length(hole),
        limit,
        COMMON,
        "panel_hole",
    )


def panel_depth(depth: float | None, room: float | None) -> FitCheck:
    """Return whether there is room behind the panel for the gauge and its wiring.

    Parameters
    ----------
    depth, room : float or None
        Gauge behind its rim, and free depth behind the panel [m], above 0; None where unknown.

    Raises
    ------
    UserError
        For a depth that is not above zero.

    Examples
    --------
    >>> panel_depth(76.2e-3, 80e-3).verdict
    'caution'
    """
    for problem in (_sound("depth", depth), _sound("room", room)):
        if problem:
            raise problem
    if depth is None or room is None:
        says, why = message("panel.depth_unknown"), message("panel.measure_depth")
        return FitCheck("panel depth", "unknown", says, why, basis=COMMON, field="panel_depth")
    says = message("panel.depth_is", depth=_length(depth), room=_length(room))
    need = _length(depth + WIRING_ROOM)
    name, field = "panel depth", "panel_depth"
    if room < depth:
        why = message("panel.too_shallow", by=_length(depth - room))
        return FitCheck(name, "stop", says, why, _length(room), _length(depth), COMMON, field)
    if room < depth + WIRING_ROOM:
        why = message("panel.tight_wiring", need=need)
        return FitCheck(name, "caution", says, why, _length(room), need, COMMON, field)
    return FitCheck(name, "good", says, message("panel.room"), _length(room), need, COMMON, field)
