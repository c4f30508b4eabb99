"""The way from port to sender: adapters chosen or found, the seal of each joint, the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from PySide6.QtWidgets import QLabel

from catalog.fittings.adapters import adapters
from catalog.parts.fitting import Seal
from retrofit.desk.edits import Edit, set_fit
from retrofit.desk.steps.fit_answers import FitAnswers
from retrofit.desk.steps.page import Card, StepPage, WordEdit
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.sized_view import SizedView
from retrofit.drawing.chain import Mounted, chain_drawing
from retrofit.drawing.look import Look
from retrofit.fit.adapters import MOST_PIECES, piece_says
from retrofit.plan.fit_document import Fit, Through
from retrofit.plan.fits import Fitted

SEALS: tuple[Seal, ...] = (
    "unknown", "compound", "tape", "bonded washer", "crush washer", "O-ring face", "metal",
)  # fmt: skip
JOINTS = MOST_PIECES + 1
FIELDS = (
    "adapters", "through", "body_mass_grams", "body_length", "supported", "adapter_thread",
    "beside_grams", *(f"piece{n}" for n in range(MOST_PIECES)), "seal",
    *(f"seal{n}" for n in range(JOINTS)),
)  # fmt: skip

_SHORTEST, _STRAIGHT, _OWN, _NONE = "shortest", "straight", "own", ""


class ChainCard:
    """Which pieces stand between port and sender, and what seals each joint.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    theme : Theme
        Light or dark, for the drawing.
    answers : FitAnswers
        Shows the verdicts.
    """

    def __init__(self, page: StepPage, theme: Theme, answers: FitAnswers) -> None:
        self._page, self._theme = page, theme
        text = page.place.reader.text
        ways = [(way, text(f"fit.chain.{way}")) for way in (_SHORTEST, _STRAIGHT, _OWN)]
        self._way = page.choice_field("adapters", ways, self._taken)
        self._through = page.choice_field(
            "through",
            [(word, text(f"fit.through.{word}")) for word in ("none", "tee", "hose")],
            self._must_hold,
        )
        say = page.place.reader.sentence
        names = [(_NONE, text("fit.piece.none"))]
        names += [(one.key, say(piece_says(one))) for one in adapters()]
        self._pieces = [
            page.choice_field(
                f"piece{n}", names, self._piece(n), label=text("fit.piece", number=n + 1)
            )
            for n in range(MOST_PIECES)
        ]
        self._seals = [
            page.choice_field(
                f"seal{n}",
                [(seal, as_entry(text(_seal_key(seal)))) for seal in SEALS],
                self._seal(n),
                label=text("fit.seal", number=n + 1),
            )
            for n in range(JOINTS)
        ]
        self.view = SizedView()
        self.says = QLabel()
        self.says.setObjectName("muted")
        self.says.setWordWrap(True)
        self.card = Card(text("fit.chain.title"))
        answers.add_to(self.card, FIELDS, self.view)
        self.card.add(self.says, wide=True)
        for name in ("adapters", "through"):
            self.card.add(page.fields[name])
        for n in range(MOST_PIECES):
            self.card.add(page.fields[f"piece{n}"], wide=True)
        for n in range(JOINTS):
            self.card.add(page.fields[f"seal{n}"])

    def show(self, fit: Fit, found: Fitted, mounted: Mounted) -> None:
        """Show the chain as it is in the plan."""
        own = bool(fit.adapters)
        way = _SHORTEST if fit.adapters is None else (_OWN if own else _STRAIGHT)
        self._way.set_word(way)
        self._through.set_word(fit.through)
        self._page.fields["through"].setVisible(fit.adapters is None)
        keys = fit.adapters or ()
        for n, choice in enumerate(self._pieces):
            choice.set_word(keys[n] if n < len(keys) else _NONE)
            self._page.fields[f"piece{n}"].setVisible(own and n <= len(keys))
        joints = 0 if found.chain is None else len(found.chain.joints)
        for n, choice in enumerate(self._seals):
            seal = found.seals[n] if n < len(found.seals) else None
            choice.set_word(seal or "unknown")
            self._page.fields[f"seal{n}"].setVisible(n < joints)
        self._draw(found, mounted)

    def _draw(self, found: Fitted, mounted: Mounted) -> None:
        self.view.setVisible(found.chain is not None)
        place = self._page.place
        self.says.setVisible(found.direct is None)
        if found.chain is None:
            self.says.setText(place.reader.text("fit.chain.later"))
            return
        look = Look(self._theme.palette, place.reader.renderer)
        chain, seals = found.chain, found.seals
        self.view.draw_with(lambda across: chain_drawing(chain, seals, mounted, look, across))

    # --- edits ----------------------------------------------------------------------------------

    def _set(self, name: str, keys: tuple[str, ...] | None) -> Edit:
        return set_fit(
            self._page.place.view.label, name, lambda fit: replace(fit, adapters=keys, seals=())
        )

    def _taken(self, word: str) -> Edit:
        if word == _OWN:
            return self._set("adapters", self._present() or (self._first(),))
        return self._set("adapters", None if word == _SHORTEST else ())

    def _present(self) -> tuple[str, ...]:
        chain = self._page.place.assessment().fit.chain
        return () if chain is None else tuple(piece.key for piece in chain.pieces)

    def _first(self) -> str:
        """Return a piece to begin with: the first of the stock that goes into the port."""
        port = self._page.place.assessment().fit.port
        stock = adapters()
        if port is not None:
            stock = tuple(one for one in stock if one.male.key == port.key) or stock
        return stock[0].key

    def _must_hold(self, word: str) -> Edit:
        label = self._page.place.view.label
        return set_fit(
            label, "through", lambda fit: replace(fit, through=cast(Through, word), seals=())
        )

    def _piece(self, number: int) -> WordEdit:
        def edit(word: str) -> Edit:
            fit = self._page.place.view.pairing.fit
            keys = list((fit.adapters if fit is not None else None) or ())
            keys[number : number + 1] = [word] if word else []
            return self._set("adapters", tuple(keys))

        return edit

    def _seal(self, number: int) -> WordEdit:
        def edit(word: str) -> Edit:
            def changed(fit: Fit) -> Fit:
                seals: list[Seal] = [*fit.seals]
                seals += ["unknown"] * (number + 1 - len(seals))
                seals[number] = cast(Seal, word)
                return replace(fit, seals=_trimmed(seals))

            return set_fit(self._page.place.view.label, "seal", changed)

        return edit


def as_entry(words: str) -> str:
    """Return words of a sentence as an entry of a list, which begins with a capital."""
    return words[:1].upper() + words[1:]


def _trimmed(seals: Sequence[Seal]) -> tuple[Seal, ...]:
    kept = list(seals)
    while kept and kept[-1] == "unknown":
        kept.pop()
    return tuple(kept)


def _seal_key(seal: Seal) -> str:
    if seal == "unknown":
        return "word.unknown"
    return f"seal.{seal.replace(' ', '_').replace('-', '_').lower()}"
