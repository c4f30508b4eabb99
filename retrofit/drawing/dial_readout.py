"""The words under a dial: true and shown with their shapes, and the needle error."""

from __future__ import annotations

import math

from catalog.message import Message, SiValue, message
from catalog.quantities.kinds import difference
from retrofit.drawing.lettering import shorten, width
from retrofit.drawing.look import BODY, SMALL, Look
from retrofit.drawing.signs import shown_sign, true_sign, verdict_sign
from retrofit.drawing.spot import Spot
from retrofit.drawing.svg import UNITS, Element, Point, Type, group, text
from retrofit.plan.assess import Assessment
from retrofit.plan.checks.check import Verdict

_LEAST, _SIDE_BY_SIDE = 44.0, 62.0
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
    shown = look.say(_shown(assessment, spot))
    drawn: list[Element] = []
    if len(middles) == 2:
        drawn += _pair(look, true, shown, size_mm[0], middles[0])
    else:
        drawn += _signed(look, true, size_mm[0], middles[0], shown=False)
        drawn += _signed(look, shown, size_mm[0], middles[1], shown=True)
    drawn += _last_row(assessment, look, spot, size_mm[0], middles[-1])
    return group("readout", drawn)


def _shown(assessment: Assessment, spot: Spot) -> Message:
    if math.isnan(spot.shown):
        return message("drawing.shown_unknown")
    value = SiValue(spot.shown, assessment.plan.duty.kind)
    if spot.held == 0:
        return message("drawing.shown", value=value)
    held_high = spot.held > 0
    return message(
        "drawing.shown_upper_stop" if held_high else "drawing.shown_lower_stop", value=value
    )


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


def _signed(look: Look, words: str, room: float, y: float, *, shown: bool) -> list[Element]:
    words = shorten(words, BODY, room - _SIGN - _SIGN_GAP, bold=True)
    x = (room - width(words, BODY, bold=True) - _SIGN - _SIGN_GAP) / 2.0
    palette, at = look.palette, (x + _SIGN / 2.0, y)
    sign = shown_sign(at, _SIGN * 1.15, palette) if shown else true_sign(at, _SIGN, palette)
    colour = palette.shown if shown else palette.true
    name = "says-shown" if shown else "says-true"
    kind = Type(BODY, colour, bold=True)
    return [sign, text((x + _SIGN + _SIGN_GAP, y), words, kind, name)]


def _last_row(
    assessment: Assessment, look: Look, spot: Spot, room: float, y: float
) -> list[Element]:
    palette = look.palette
    kind = Type(BODY, palette.ink, "middle")
    if math.isnan(spot.shown):
        return _reason(assessment, look, room, y)
    words = shorten(look.say(_error(assessment, spot)), BODY, room)
    return [text((room / 2.0, y), words, kind, "says-error")]


def _error(assessment: Assessment, spot: Spot) -> Message:
    apart = difference(assessment.plan.duty.kind)
    error = SiValue(spot.error, apart)
    if spot.allowed is None:
        return message("drawing.error_held" if spot.held else "drawing.error", error=error)
    return message(
        "drawing.error_held_allowed" if spot.held else "drawing.error_allowed",
        error=error,
        allowed=SiValue(spot.allowed, apart),
    )


def _reason(assessment: Assessment, look: Look, room: float, y: float) -> list[Element]:
    """Say why nothing is shown, behind the ring with the question mark."""
    known = assessment.reason is None
    why = message("drawing.no_curve_here" if known else "drawing.see_checks")
    words = shorten(look.say(why), SMALL, room - 2.0 * _SIGN)
    x = (room - width(words, SMALL) - _SIGN - _SIGN_GAP) / 2.0
    sign = verdict_sign(Verdict.UNKNOWN, (x + _SIGN / 2.0, y), _SIGN, look.palette)
    kind = Type(SMALL, look.palette.muted)
    return [sign, text((x + _SIGN + _SIGN_GAP, y), words, kind, "says-error")]
