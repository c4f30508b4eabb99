"""Section of a sheet with the wires and the fuse that are proposed, each with its reason."""

from __future__ import annotations

import math
from collections.abc import Iterator

from catalog.message import message
from catalog.quantities.kinds import Kind
from retrofit.drawing.diagram import Advice
from retrofit.installation import Path
from retrofit.plan.assess import Assessment
from retrofit.plan.wiring_advice import WireAdvice, WiringAdvice
from retrofit.sheet.blocks import Block, Bullets, Grid, Section, Side
from retrofit.sheet.wording import Wording


def drawn_advice(found: WiringAdvice, words: Wording) -> Advice:
    """Return what of the proposals is lettered in the wiring diagram."""
    rating = found.fuse.rating
    fuse = "" if rating is None else words.text(message("drawing.wiring.fuse_of", rating=rating))
    sizes = {one.run: words.text(one.size_says) for one in found.wires if one.size}
    return Advice(sizes, fuse)


def advice_section(found: Assessment, words: Wording) -> Section:
    """Return which wires and fuse are proposed and why, deferring to local codes."""
    advice = found.advice
    either = any(one.afloat for one in advice.wires)
    paths = {one.run: found.pairing.installation.path(one.run) for one in advice.wires}
    given = any(path.wire is not None for path in paths.values())
    keys = ["run", "carries", "size", *(["afloat"] if either else []), "longest"]
    keys += [*(["given"] if given else []), "why"]
    heads = tuple(words.say(f"advice.{key}") for key in keys)
    rows = tuple(
        _row(one, words, either, _given(paths[one.run], words) if given else None)
        for one in advice.wires
        if one.size
    )
    right = ("carries", "longest")
    sides: tuple[Side, ...] = tuple("right" if key in right else "left" for key in keys)
    shares = (*(0 for _ in keys[1:]), 1)
    grid = Grid(words.say("advice.caption"), heads, rows, sides, shares)
    blocks: tuple[Block, ...] = (grid, Bullets(tuple(_told(advice, words))))
    return Section("advice", words.say("title.advice"), blocks if rows else blocks[1:], whole=True)


def _given(path: Path, words: Wording) -> str:
    """Return size and length of a run as the user gave them."""
    if path.wire is None:
        return "–"
    length = words.amount(path.wire.length, Kind.LENGTH)
    return words.say("advice.given_wire", size=path.wire.size, length=length)


def _row(one: WireAdvice, words: Wording, either: bool, given: str | None) -> tuple[str, ...]:
    carries = words.amperes(one.amperes)
    return (
        words.text(message(f"run.{one.run}")),
        words.say("advice.assumed", amps=carries) if one.assumed else carries,
        words.text(one.size_says),
        *([one.afloat or "–"] if either else []),
        _longest(one, words),
        *([] if given is None else [given]),
        words.say(f"advice.for.{one.bound}"),
    )


def _longest(one: WireAdvice, words: Wording) -> str:
    if math.isinf(one.longest):
        return words.say("advice.any")
    return words.say("advice.up_to", length=math.floor(10.0 * one.longest) / 10.0)


def _told(advice: WiringAdvice, words: Wording) -> Iterator[str]:
    """Give the fuse with its reason, what is not proposed and why, and what holds for all."""
    rating = advice.fuse.rating
    fuse = words.unknown if rating is None else words.text(message("advice.rating", rating=rating))
    reasons = " ".join(words.text(one) for one in advice.fuse.reasons)
    yield words.say("advice.fuse", fuse=fuse, reason=reasons)
    feed = advice.wire("shared feed")
    if feed is not None and feed.size:
        yield words.say("advice.link", size=feed.size_says)
    for one in advice.wires:
        run = words.text(message(f"run.{one.run}"))
        if not one.size:
            reasons = " ".join(words.text(reason) for reason in one.reasons)
            yield words.say("advice.of_run", run=run, reason=reasons)
        elif one.thin:
            yield words.say("advice.of_run", run=run, reason=words.text(one.reasons[-1]))
    yield " ".join(words.text(one) for one in advice.general)
