"""Section of a sheet with what goes between port and sender: threads, pieces, seals, earth."""

from __future__ import annotations

from collections.abc import Iterator

from catalog.message import Message, message
from catalog.quantities.kinds import Kind
from retrofit.fit.adapters import Chain, piece_says
from retrofit.plan.assess import Assessment
from retrofit.sheet.blocks import Block, Bullets, Facts, Section
from retrofit.sheet.wording import Wording

_AT_THE_PORT = frozenset(
    f"caution.{name}"
    for name in (
        *("coolant", "oil", "fuel", "water", "waste", "unknown_tank", "hot", "air", "pressure"),
        *("taper", "maybe_taper"),
    )
)
"""Cautions that stand once more where the port is opened."""


def fit_section(found: Assessment, words: Wording) -> Section | None:
    """Return the way from port to sender, None where no thread is known."""
    if found.fit.port is None and found.fit.sender is None:
        return None
    dangers = tuple(words.text(one) for one in found.cautions if one.key in _AT_THE_PORT)
    facts = Facts(tuple(_rows(found, words)))
    blocks: tuple[Block, ...] = (Bullets(dangers), facts) if dangers else (facts,)
    return Section("fit", words.say("title.fit"), blocks, whole=True)


def _rows(found: Assessment, words: Wording) -> Iterator[tuple[str, str]]:
    fit = found.fit
    for name, thread in (("port", fit.port), ("sender", fit.sender)):
        told = words.unknown if thread is None else f"{thread.designation} ({thread.standard})"
        yield words.say(f"fit.{name}"), told
    if fit.chain is not None:
        yield from _joints(fit.chain, fit.seals, words)
    measured = found.pairing.installation.sender_earth is not None
    if fit.allowed_earth is not None and not measured:
        yield words.say("fit.earth"), words.value(fit.allowed_earth, Kind.RESISTANCE)


def _joints(
    chain: Chain, seals: tuple[str | None, ...], words: Wording
) -> Iterator[tuple[str, str]]:
    for number, (joint, seal) in enumerate(zip(chain.joints, seals, strict=True), 1):
        piece = chain.pieces[number - 1] if number <= len(chain.pieces) else None
        what = message("sheet.fit.sender_itself") if piece is None else piece_says(piece)
        sealed = words.unknown if seal is None else words.text(_seal(seal))
        yield (
            words.say("fit.joint", number=number),
            words.say("fit.goes_in", what=what, port=joint.female.designation, seal=sealed),
        )


def _seal(seal: str) -> Message:
    return message(f"seal.{seal.replace(' ', '_').replace('-', '_').lower()}")
