"""Colours of the drawings: light, dark, and grey for a printer without colours.

True and shown differ by shape as well, so no meaning hangs on a colour alone. The pairs that
meet in a drawing are listed here and ``tests/drawing/test_palette.py`` holds them to the
contrasts of WCAG 2.1: 4.5 to 1 for text (1.4.3), 3 to 1 for marks (1.4.11).
"""

from __future__ import annotations

from dataclasses import dataclass

from retrofit.plan.checks.check import Verdict

Pair = tuple[str, str, str]
"""What it is for, the colour in front, the colour behind."""


@dataclass(frozen=True)
class Palette:
    """The colours of one theme, each "#rrggbb".

    Attributes
    ----------
    name : str
        "light", "dark" or "grey".
    paper, card : str
        What drawings lie on; they paint no ground of their own.
    line : str
        Hairlines that carry no meaning.
    ink, muted : str
        Text, scale and axes; text that matters less.
    true, shown : str
        The true value (triangle) and what the needle shows (needle, diamond).
    corridor, corridor_edge : str
        Allowed error: its ground and its edge.
    likely : str
        Ground of the likely band.
    band : str
        Ground of the band 'shape unknown'; its edge is `shown`.
    supply : str
        Hatching of the band of the supply.
    gap : str
        Ground of a stretch where nothing is known.
    good, caution, stop, unknown : str
        Marks of the verdicts.
    """

    name: str
    paper: str
    card: str
    line: str
    ink: str
    muted: str
    true: str
    shown: str
    corridor: str
    corridor_edge: str
    likely: str
    band: str
    supply: str
    gap: str
    good: str
    caution: str
    stop: str
    unknown: str

    def verdict(self, verdict: Verdict) -> str:
        """Return the colour of the mark of a verdict."""
        return {
            Verdict.STOP: self.stop,
            Verdict.CAUTION: self.caution,
            Verdict.UNKNOWN: self.unknown,
            Verdict.GOOD: self.good,
        }[verdict]

    def text_pairs(self) -> tuple[Pair, ...]:
        """Return every pair of a text and its ground."""
        texts = (
            ("ink", self.ink),
            ("muted", self.muted),
            ("true", self.true),
            ("shown", self.shown),
        )
        grounds = (("paper", self.paper), ("card", self.card))
        pairs = [(f"{t} on {g}", front, back) for t, front in texts for g, back in grounds]
        return (*pairs, ("muted on gap", self.muted, self.gap))

    def mark_pairs(self) -> tuple[Pair, ...]:
        """Return every pair of a mark that must be seen and its ground."""
        marks = (
            ("corridor edge", self.corridor_edge),
            ("supply", self.supply),
            ("good", self.good),
            ("caution", self.caution),
            ("stop", self.stop),
            ("unknown", self.unknown),
        )
        grounds = (("paper", self.paper), ("card", self.card))
        pairs = [(f"{m} on {g}", front, back) for m, front in marks for g, back in grounds]
        crossing = (
            ("shown", self.shown),
            ("true", self.true),
            ("good", self.good),
            ("caution", self.caution),
            ("stop", self.stop),
            ("muted", self.muted),
        )
        for name, colour in crossing:
            pairs.append((f"{name} on corridor", colour, self.corridor))
        for name, colour in crossing[:2]:
            pairs.append((f"{name} on band", colour, self.band))
            pairs.append((f"{name} on likely", colour, self.likely))
        return tuple(pairs)


LIGHT = Palette(
    name="light",
    paper="#f6f4ee",
    card="#ffffff",
    line="#ddd8cc",
    ink="#24313f",
    muted="#5b6672",
    true="#1d4e89",
    shown="#b35000",
    corridor="#dce8f4",
    corridor_edge="#5f86b3",
    likely="#fbebdd",
    band="#f7dcc4",
    supply="#6b7280",
    gap="#eeebe3",
    good="#2f7d4f",
    caution="#9a6412",
    stop="#b3261e",
    unknown="#5b6672",
)

DARK = Palette(
    name="dark",
    paper="#14191f",
    card="#1c232b",
    line="#38434f",
    ink="#e8ecf0",
    muted="#a7b2bd",
    true="#86b8f2",
    shown="#f59b4c",
    corridor="#22364c",
    corridor_edge="#5f8cbd",
    likely="#382a1e",
    band="#4a3320",
    supply="#93a0ad",
    gap="#29323c",
    good="#62c08a",
    caution="#e3ad47",
    stop="#ff8378",
    unknown="#a7b2bd",
)

GREY = Palette(
    name="grey",
    paper="#ffffff",
    card="#ffffff",
    line="#bdbdbd",
    ink="#000000",
    muted="#484848",
    true="#000000",
    shown="#4a4a4a",
    corridor="#e6e6e6",
    corridor_edge="#767676",
    likely="#dedede",
    band="#cfcfcf",
    supply="#767676",
    gap="#f0f0f0",
    good="#555555",
    caution="#3a3a3a",
    stop="#000000",
    unknown="#555555",
)

PALETTES = (LIGHT, DARK, GREY)
