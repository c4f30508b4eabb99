"""A male thread in a female one, cut along the axis: the very diameters of the verdict.

One scale for both directions. The port's metal stands above its profile, the sender's below its
own; where both claim the same place the metal that is in the way is painted.
"""

from __future__ import annotations

import math

import numpy as np

from catalog.arrays import Array
from catalog.message import SiValue, message
from catalog.quantities.kinds import Kind
from retrofit.drawing.look import BODY, Drawing, Look
from retrofit.drawing.scale_bar import scale_bar
from retrofit.drawing.svg import (
    Element,
    Pen,
    Point,
    Type,
    document,
    group,
    line,
    polygon,
    polyline,
    text,
)
from retrofit.fit.profile import Section, section, telling_depth
from retrofit.fit.thread_fit import ThreadFit

PROFILE_WIDTH = 150.0
"""Width of the drawing where none is asked for [mm]."""

_LEFT, _RIGHT = 4.0, 4.0
_ABOVE, _BELOW = 7.0, 7.0
_METAL = 3.0
_TURNS_OUTSIDE, _TURNS_BEYOND = 1.0, 1.0
_MOST, _TALLEST = 30.0, 34.0
"""Largest scale, and most height that the profiles take together [mm]."""
_TINY = 1e-7
"""Overlap that is none: rounding of printed figures [m]."""


class _Frame:
    """Where a place of the section lies in the drawing."""

    def __init__(self, shown: Section, pitch: float, across: float) -> None:
        self.width = across
        start, end = -_TURNS_OUTSIDE * pitch, shown.depth + _TURNS_BEYOND * pitch
        self.start, self.end = start, end
        room = across - _LEFT - _RIGHT
        inner, outer = clipped(shown.male, start, end), clipped(shown.female, start, end)
        self.top = float(max(inner[:, 1].max(), outer[:, 1].max()))
        self.bottom = float(min(inner[:, 1].min(), outer[:, 1].min()))
        tall = self.top - self.bottom
        self.scale = min(room / (end - start), _MOST * 1e3, _TALLEST / tall)
        self.left = _LEFT + (room - (end - start) * self.scale) / 2.0
        self.height = _ABOVE + _BELOW + 2.0 * _METAL + tall * self.scale

    def at(self, x: float, radius: float) -> Point:
        """Return the place [mm] of a distance from the face and a radius [m]."""
        down = (self.top - radius) * self.scale
        return self.left + (x - self.start) * self.scale, _ABOVE + _METAL + down

    def line(self, corners: Array) -> list[Point]:
        """Return a profile as places [mm]."""
        return [self.at(float(x), float(radius)) for x, radius in corners]


def clipped(corners: Array, start: float, end: float) -> Array:
    """Return a profile between two distances from the face, ends interpolated.

    Parameters
    ----------
    corners : array, shape (n, 2)
        Distance from the face and radius [m].
    start, end : float
        [m], start below end.

    Returns
    -------
    array, shape (m, 2)
        [m].
    """
    x, radius = corners[:, 0], corners[:, 1]
    inside = (x > start) & (x < end)
    ends = np.interp([start, end], x, radius)
    return np.concatenate([[[start, ends[0]]], corners[inside], [[end, ends[1]]]])


def thread_profile(fit: ThreadFit, look: Look, across: float = PROFILE_WIDTH) -> Drawing:
    """Draw the axial section of a pair at the depth that shows its verdict.

    Parameters
    ----------
    fit : ThreadFit
        The pair with its verdict.
    look : Look
        Colours, language, units.
    across : float
        Width of the drawing [mm], 60 or more.

    Returns
    -------
    Drawing
        As high as it must be; its groups are "port", "sender" and "in-the-way"; both profiles are
        polylines "port-profile" and "sender-profile", one scale for both directions, told by a bar.
    """
    depth = telling_depth(fit)
    shown = section(fit.male, fit.female, depth, beyond=_TURNS_BEYOND + _TURNS_OUTSIDE + 1.0)
    frame = _Frame(shown, fit.female.pitch, across)
    inner = clipped(shown.male, frame.start, min(frame.end, depth))
    outer = clipped(shown.female, 0.0, frame.end)
    drawn = [
        group("port", _metal(frame, outer, look, above=True)),
        group("sender", _metal(frame, inner, look, above=False)),
        group("in-the-way", _in_the_way(frame, shown, look)),
        *_outlines(frame, inner, outer, look),
        *_lettering(frame, fit, look),
    ]
    title = look.say(message("drawing.thread.title"))
    size = (across, frame.height)
    words = look.say(fit.check.says)
    return Drawing(document(size, title, words, drawn), *size, title, words)


def _metal(frame: _Frame, corners: Array, look: Look, *, above: bool) -> list[Element]:
    profile = frame.line(corners)
    edge = _ABOVE if above else frame.height - _BELOW
    shape = [(profile[0][0], edge), *profile, (profile[-1][0], edge)]
    fill = look.palette.gap if above else look.palette.corridor
    return [polygon(shape, fill)]


def _outlines(frame: _Frame, inner: Array, outer: Array, look: Look) -> list[Element]:
    ink, blue = Pen(look.palette.ink, 0.3), Pen(look.palette.true, 0.3)
    face = frame.at(0.0, 0.0)[0]
    tip = frame.line(inner)[-1]
    return [
        polyline(frame.line(outer), ink, "port-profile"),
        line((face, _ABOVE), (face, frame.line(outer)[0][1]), ink, "face"),
        polyline(frame.line(inner), blue, "sender-profile"),
        line(tip, (tip[0], frame.height - _BELOW), blue, "tip"),
    ]


def _in_the_way(frame: _Frame, shown: Section, look: Look) -> list[Element]:
    """Return the metal that both claim, one shape for each place."""
    x = np.linspace(0.0, shown.depth, 1500)
    corners = np.concatenate([shown.male[:, 0], shown.female[:, 0]])
    x = np.unique(np.concatenate([x, corners[(corners >= 0.0) & (corners <= shown.depth)]]))
    inner = np.interp(x, shown.male[:, 0], shown.male[:, 1])
    outer = np.interp(x, shown.female[:, 0], shown.female[:, 1])
    over = inner - outer > _TINY
    edges = np.flatnonzero(np.diff(np.concatenate([[False], over, [False]]).astype(int)))
    found = []
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        if last - first < 2:
            continue
        part = slice(first, last)
        there = np.column_stack([x[part], inner[part]])
        back = np.column_stack([x[part], outer[part]])[::-1]
        found.append(polygon(frame.line(np.concatenate([there, back])), look.palette.stop))
    return found


def _lettering(frame: _Frame, fit: ThreadFit, look: Look) -> list[Element]:
    small = Type(BODY, look.palette.muted)
    port = look.say(message("drawing.thread.port", thread=fit.female.designation))
    sender = look.say(message("drawing.thread.sender", thread=fit.male.designation))
    drawn = [
        text((_LEFT, 3.2), port, small),
        text((_LEFT, frame.height - 3.2), sender, Type(BODY, look.palette.true)),
        *scale_bar((frame.width - _RIGHT, 3.2), frame.scale, look),
    ]
    middle = fit.middle
    if not math.isinf(middle.depth) and middle.depth > 0.0 and fit.outcome == "binds":
        at = frame.at(middle.depth, 0.0)[0]
        pen = Pen(look.palette.stop, 0.4, dash=(1.6, 1.0))
        drawn.append(line((at, _ABOVE), (at, frame.height - _BELOW), pen, "binds-here"))
        depth = SiValue(middle.depth, Kind.LENGTH)
        words = look.say(message("drawing.thread.binds", depth=depth))
        drawn.append(
            text(
                (frame.width - _RIGHT, frame.height - 3.2),
                words,
                Type(BODY, look.palette.stop, "end"),
            )
        )
    return drawn
