"""Refusals that name a field of the window, in the words of the prompt: options of commands."""

from __future__ import annotations

from catalog.message import Message, message
from retrofit.finder.notes import EXAMPLE, EXAMPLE_MARK
from retrofit.plan.document import Duty

_SAID = {
    "trims.nothing_allowed": ("cli.find.note.allowed", EXAMPLE),
    "trims.no_marks": ("cli.find.note.marks", EXAMPLE_MARK),
    "trims.no_side": ("cli.find.note.side", EXAMPLE_MARK),
    "trim.sender_unknown": ("cli.trim.sender_unknown", EXAMPLE),
}


def at_the_prompt(refused: Message, duty: Duty) -> Message:
    """Return a refusal with what to type; one that names no field stays as it is."""
    if refused.key not in _SAID:
        return refused
    key, examples = _SAID[refused.key]
    return message(key, **dict(refused.values), such=examples[duty.quantity])
