"""What turns the pointer, and what is known of its windings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any

from catalog.codec import MOVEMENT_TAGS
from catalog.parts.gauge import Gauge, Movement
from catalog.provenance import Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Edit, set_gauge
from retrofit.desk.steps.page import AmountEdit, Card, StepPage
from retrofit.desk.steps.typed_figures import BENCH, figure

_FIGURES: dict[str, Kind] = {
    "supply_coil": Kind.RESISTANCE,
    "earth_coil": Kind.RESISTANCE,
    "pull_off": Kind.FRACTION,
    "copper": Kind.FRACTION,
    "heater": Kind.RESISTANCE,
    "coil": Kind.RESISTANCE,
    "pull_up": Kind.RESISTANCE,
    "reference": Kind.VOLTAGE,
    "feed": Kind.VOLTAGE,
    "burden": Kind.RESISTANCE,
}
"""Figures that some movement has, and what each is."""

_TYPES: dict[str, Callable[[], Movement]] = {tag: made for made, tag in MOVEMENT_TAGS.items()}


class MovementForm(Card):
    """A card with the movement and its figures.

    Parameters
    ----------
    step : StepPage
        The step of the gauge, which makes the fields.
    """

    def __init__(self, step: StepPage) -> None:
        super().__init__(step.text("movement"))
        self._step = step
        self._kind = step.word_field("kind", tuple(_TYPES), self._of_kind)
        self._rail = step.word_field("rail", ("reference", "supply", "unknown"), self._on_rail)
        self._figures = {
            name: step.amount_field(name, kind, self._figure(name), optional=True)
            for name, kind in _FIGURES.items()
        }
        for name in ("kind", "rail", *_FIGURES):
            self.add(step.fields[name])

    @property
    def _gauge(self) -> Gauge:
        return self._step.place.view.pairing.gauge

    def read(self) -> None:
        """Show the movement as it is now; only what it has."""
        movement = self._gauge.movement
        has = {field.name for field in fields(movement)}
        self._kind.set_word(MOVEMENT_TAGS[type(movement)])
        self._step.fields["rail"].setVisible("rail" in has)
        if "rail" in has:
            self._rail.set_word(str(getattr(movement, "rail")))  # noqa: B009
        for name, editor in self._figures.items():
            self._step.fields[name].setVisible(name in has)
            figure: Figure | None = getattr(movement, name, None)
            editor.set_amount(None if figure is None else figure.amount)

    def _edit(self, movement: Movement) -> Edit:
        return set_gauge(self._step.place.view.label, "movement", movement)

    def _of_kind(self, word: str) -> Edit:
        if word == MOVEMENT_TAGS[type(self._gauge.movement)]:
            return self._edit(self._gauge.movement)
        return self._edit(_TYPES[word]())

    def _on_rail(self, word: str) -> Edit:
        changes: Any = {"rail": word}
        return self._edit(replace(self._gauge.movement, **changes))

    def _figure(self, name: str) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            changes: Any = {name: figure(amount, BENCH)}
            return self._edit(replace(self._gauge.movement, **changes))

        return edit
