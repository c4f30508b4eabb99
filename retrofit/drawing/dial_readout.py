"""The words under a dial: true and shown with their shapes, and the needle error."""

from __future__ import annotations

import math
from collections.abc import Sequence

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import difference
from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import BODY, SMALL, Look
from retrofit.drawing.signs import shown_sign, true_sign, verdict_sign
from retrofit.drawing.spot import Spot
from retrofit.drawing.svg import UNITS, Element, Point, Type, group, text
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Verdict

_LEAST, _SIDE_BY_SIDE = 30.0, 62.0
"""Widths [mm] from which a dial has a readout, and from which true and shown share a row."""

_ROW = BODY * 1.45
_SIGN = BODY * 0.95
_SIGN_GAP = BODY * 0.35
_BETWEEN = BODY * 1.8


def rows(width_mm: float) -> int:
    """Return how many rows the readout takes, the same for every value; 0 on tiny dials."""
    if width_mm < _LEAST:
        return 0
    return 2 if width_mm >= _SIDE_BY_SIDE else 3


def readout_height(width_mm: float) -> float:
    """Return the height of the readout under a dial [mm]."""
    return rows(width_mm) * _ROW + 0.5 * BODY if rows(width_mm) else 0.0


def readout(assessment: Assessment, look: Look, spot: Spot, size_mm: Point) -> Element:
    """Return the readout at the foot of a drawing of this size."""
    if not rows(size_mm[0]):
        return group("readout", ())
    top = size_mm[1] - readout_height(size_mm[0]) + 0.5 * BODY
    middles = [top + (k + 0.5) * _ROW for k in range(rows(size_mm[0]))]
    true = look.say(message("drawing.true", value=SiValue(spot.true, assessment.plan.duty.kind)))
    shown = [look.say(one) for one in _shown(assessment, spot)]
    drawn: list[Element] = []
    if len(middles) == 2:
        drawn += _pair(look, true, shown[0], size_mm[0], middles[0])
    else:
        drawn += _signed(look, [true], size_mm[0], middles[0], shown=False)
        drawn += _signed(look, shown, size_mm[0], middles[1], shown=True)
    drawn += _last_row(assessment, look, spot, size_mm[0], middles[-1])
    return group("readout", drawn)


def _shown(assessment: Assessment, spot: Spot) -> tuple[Message, ...]:
    """Return what is shown, and in fewer words where a row may be too narrow for it."""
    if math.isnan(spot.shown):
        return (message("drawing.shown_unknown"),)
    value = SiValue(spot.shown, assessment.plan.duty.kind)
    if spot.held == 0:
        return (message("drawing.shown", value=value),)
    held_high = spot.held > 0
    whole = message(
        "drawing.shown_upper_stop" if held_high else "drawing.shown_lower_stop", value=value
    )
    # In the narrowest the error's "at least" is all that tells of the stop.
    return whole, message("drawing.shown_stop", value=value), message("drawing.shown", value=value)


def _pair(look: Look, true: str, shown: str, room: float, y: float) -> list[Element]:
    signs = 2.0 * (_SIGN + _SIGN_GAP) + _BETWEEN
    words = width(true, 1.0, bold=True) + width(shown, 1.0, bold=True)
    size = min(BODY, math.floor(UNITS * (room - signs) / words) / UNITS)  # as it is written
    wide = size * words + signs
    x = (room - wide) / 2.0
    palette = look.palette
    drawn = [true_sign((x + _SIGN / 2.0, y), _SIGN, palette)]
    x += _SIGN + _SIGN_GAP
    drawn.append(text((x, y), true, Type(size, palette.true, bold=True), "says-true"))
    x += width(true, size, bold=True) + _BETWEEN
    drawn.append(shown_sign((x + _SIGN / 2.0, y), _SIGN * 1.15, palette))
    x += _SIGN + _SIGN_GAP
    drawn.append(text((x, y), shown, Type(size, palette.shown, bold=True), "says-shown"))
    return drawn


def _signed(
    look: Look, says: Sequence[str], room: float, y: float, *, shown: bool
) -> list[Element]:
    """Return a row of its own, smaller rather than cut: `says` in fewer and fewer words."""
    beside = room - _SIGN - _SIGN_GAP
    words, size = _that_fits(says, (BODY, SMALL), beside, bold=True)
    x = (beside - width(words, size, bold=True)) / 2.0
    palette, at = look.palette, (x + _SIGN / 2.0, y)
    sign = shown_sign(at, _SIGN * 1.15, palette) if shown else true_sign(at, _SIGN, palette)
    colour = palette.shown if shown else palette.true
    name = "says-shown" if shown else "says-true"
    kind = Type(size, colour, bold=True)
    return [sign, text((x + _SIGN + _SIGN_GAP, y), words, kind, name)]


def _that_fits(
    says: Sequence[str], sizes: Sequence[float], room: float, *, bold: bool = False
) -> tuple[str, float]:
    """Return the first of several ways to say it that has room, and the size of its type [mm].

    All sizes of one way come before the next way; the last one is cut where nothing has room.
    """
    for words in says:
        for size in sizes:
            if width(words, size, bold=bold) <= room:
                return words, size
    return shorten(says[-1], sizes[-1], room, bold=bold), sizes[-1]


def _last_row(
    assessment: Assessment, look: Look, spot: Spot, room: float, y: float
) -> list[Element]:
    palette = look.palette
    if math.isnan(spot.shown):
        return _reason(assessment, look, room, y)
    says = [look.say(one) for one in _error(assessment, spot)]
    words, size = _that_fits(says, (BODY,), room)
    return [text((room / 2.0, y), words, Type(size, palette.ink, "middle"), "says-error")]


def _error(assessment: Assessment, spot: Spot) -> list[Message]:
    """Return the needle error with the allowed one, and in fewer and fewer words."""
    apart = difference(assessment.plan.duty.kind)
    held, error = "_held" if spot.held else "", SiValue(spot.error, apart)
    fewer = [message(f"drawing.error{held}{one}", error=error) for one in ("", "_short")]
    if spot.allowed is None:
        return fewer
    allowed = SiValue(spot.allowed, apart)
    return [message(f"drawing.error{held}_allowed", error=error, allowed=allowed), *fewer]


def _reason(assessment: Assessment, look: Look, room: float, y: float) -> list[Element]:
    """Say why nothing is shown, behind the ring with the question mark."""
    known = assessment.reason is None
    why = "drawing.no_curve_here" if known else "drawing.see_checks"
    says = [look.say(message(key)) for key in (why, "drawing.see_checks_short")]
    words, _ = _that_fits(says, (SMALL,), room - 2.0 * _SIGN)
    x = (room - width(words, SMALL) - _SIGN - _SIGN_GAP) / 2.0
    sign = verdict_sign(Verdict.UNKNOWN, (x + _SIGN / 2.0, y), _SIGN, look.palette)
    kind = Type(SMALL, look.palette.muted)
    return [sign, text((x + _SIGN + _SIGN_GAP, y), words, kind, "says-error")]
