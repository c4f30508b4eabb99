"""What a check of the fit says, rendered strictly so that a missing text fails."""

from __future__ import annotations

from catalog.message import Message
from catalog.quantities.show import NumberStyle
from retrofit.fit.verdict import FitCheck
from retrofit.messages import Renderer

RENDERER = Renderer(NumberStyle(nbsp=False), strict=True)


def told(check: FitCheck) -> str:
    """Both sentences of a check."""
    return f"{sentence(check.says)} {sentence(check.why)}"


def sentence(message: Message) -> str:
    """One message as a reader sees it."""
    return RENDERER.sentence(message)
