"""Which parts answer typed words, asked of thousands of parts at each key press."""

from __future__ import annotations

from collections.abc import Iterable

from catalog.codec import Part
from catalog.library import folded
from catalog.likeness import likeness

_MOST_LIKED = 600
"""Parts up to which a number finds the nearest ohms; of more only the text is looked at."""


class PartMatching:
    """Remembers what each part's text is, and which word it answers."""

    def __init__(self) -> None:
        self._texts: dict[str, str] = {}
        self._liked: dict[tuple[str, str], bool] = {}

    def answers(self, parts: Iterable[Part], words: tuple[str, ...]) -> bool:
        """Return whether each word is answered by one of the parts."""
        return all(any(self._answer(part, word) for part in parts) for word in words)

    @staticmethod
    def words(typed: str) -> tuple[str, ...]:
        """Return the words of what was typed, in the form in which they are compared."""
        return tuple(folded(typed).split())

    def _answer(self, part: Part, word: str) -> bool:
        text = self._texts.get(part.key)
        if text is None:
            text = self._texts[part.key] = folded(f"{part.key} {part.name} {part.notes}")
        if len(self._texts) > _MOST_LIKED:
            return word in text
        known = self._liked.get((part.key, word))
        if known is None:
            known = self._liked[part.key, word] = likeness(part, word) is not None
        return known
