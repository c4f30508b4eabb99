"""Sections of a sheet to be filled in by hand: what to measure, and what the needle showed."""

from __future__ import annotations

import math

from catalog.message import message
from retrofit.plan.assess import Assessment
from retrofit.plan.mark_readings import MarkReading
from retrofit.plan.measuring import measurings_of
from retrofit.sheet.blocks import Grid, Section, Side
from retrofit.sheet.wording import Wording


def unknown_section(found: Assessment, words: Wording) -> Section | None:
    """Return what is not known and how to measure it, None where nothing is."""
    rows = tuple(
        (
            words.text(one.what),
            words.text(one.instrument),
            words.text(one.where),
            words.text(message(f"measuring.battery.{one.battery}")),
            words.text(one.caution or message("measuring.caution.none")),
            "",
        )
        for one in measurings_of(found)
    )
    if not rows:
        return None
    keys = ("what", "with", "where", "battery", "caution", "found")
    heads = tuple(words.say(f"unknown.{key}") for key in keys)
    shares = (7, 7, 14, 3, 8, 6)
    caption = words.say("unknown.caption")
    sides: tuple[Side, ...] = tuple("left" for _ in keys)
    grid = Grid(caption, heads, rows, sides, shares, boxes=True)
    return Section("unknown", words.say("title.unknown"), (grid,), small=True)


def fitted_section(found: Assessment, words: Wording) -> Section:
    """Return the boxes for who fitted it and where, and for what the needle showed."""
    keys = ("machine", "hours", "by", "day")
    heads = tuple(words.say(f"fitted.{key}") for key in keys)
    sides: tuple[Side, ...] = tuple("left" for _ in keys)
    empty = (("",) * len(keys),)
    job = Grid(words.say("fitted.job"), heads, empty, sides, (5, 2, 4, 3), boxes=True)
    blocks = [job]
    if found.marks:
        blocks.append(_showed(found, words))
    return Section("fitted", words.say("title.fitted"), tuple(blocks), whole=True)


def _showed(found: Assessment, words: Wording) -> Grid:
    kind = found.plan.duty.kind
    unit = words.unit(kind)
    heads = (
        words.say("column.mark"),
        f"{words.say('column.true')} {unit}",
        f"{words.say('fitted.should')} {unit}",
        f"{words.say('column.likely')} {unit}",
        f"{words.say('fitted.showed')} {unit}",
        words.say("fitted.instrument"),
    )
    rows = tuple(
        (
            words.name(mark.mark.name),
            words.number(mark.at, kind),
            words.number(mark.shown, kind),
            _likely(mark, words, found),
            "",
            "",
        )
        for mark in found.marks
    )
    right: Side = "right"
    sides: tuple[Side, ...] = ("left", right, right, right, "left", "left")
    return Grid(words.say("fitted.caption"), heads, rows, sides, (4, 0, 0, 0, 4, 5), boxes=True)


def _likely(mark: MarkReading, words: Wording, found: Assessment) -> str:
    kind = found.plan.duty.kind
    if math.isnan(mark.likely_low) or math.isnan(mark.likely_high):
        return words.unknown
    low, high = (words.number(one, kind) for one in (mark.likely_low, mark.likely_high))
    return words.say("band", low=low, high=high)
