"""What the sender meets at its worst, from where on a warning is due, and where all that is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, get_args

from catalog.parts.fitting import MountedAt
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from retrofit.desk.edits import Edit, set_duty
from retrofit.desk.steps.page import FoldCard, StepPage
from retrofit.plan.document import Duty
from retrofit.plan.fit_document import Warn, WarnSide

_LIMITS = ("highest_pressure", "highest_temperature", "point")
_WARNING = ("warning_at", "warning_side", "warning_tolerance", "warning_normal")


class LimitsCard:
    """Fields of the duty that the fit and the warning switch are judged by.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    """

    def __init__(self, page: StepPage) -> None:
        self._page = page
        text = page.place.reader.text
        kinds = {"highest_pressure": Kind.PRESSURE, "highest_temperature": Kind.TEMPERATURE}
        self._limits = {
            name: page.amount_field(name, kind, _limit(name), optional=True)
            for name, kind in kinds.items()
        }
        places = [
            (word, text(f"place.at.{word.replace(' ', '_')}")) for word in get_args(MountedAt)
        ]
        self._point = page.choice_field("point", places, lambda word: set_duty("point", word))
        kind = self._duty.kind
        self._at = page.amount_field("warning_at", kind, self._begun, optional=True)
        self._side = page.choice_field(
            "warning_side",
            [(word, text(f"warning.side.{word}")) for word in get_args(WarnSide)],
            lambda word: self._warn(side=word),
        )
        self._tolerance = page.amount_field(
            "warning_tolerance", difference(kind), self._part("tolerance"), optional=True
        )
        self._normal = page.amount_field(
            "warning_normal", kind, self._part("normal"), optional=True
        )
        self.card = FoldCard(page.text("limits"))
        for name in (*_LIMITS, *_WARNING):
            self.card.add(page.fields[name])

    def read(self) -> None:
        """Show the limits as they are now."""
        duty = self._duty
        for name, editor in self._limits.items():
            editor.set_amount(getattr(duty, name))
        self._point.set_word(duty.point)
        warn = duty.warning
        for field, editor in (("at", self._at), ("normal", self._normal)):
            editor.set_kind(duty.kind)
            editor.set_amount(None if warn is None else getattr(warn, field))
        self._tolerance.set_kind(difference(duty.kind))
        self._tolerance.set_amount(None if warn is None else warn.tolerance)
        self._side.set_word("unknown" if warn is None else warn.side)
        for name in _WARNING[1:]:
            self._page.fields[name].setVisible(warn is not None)
        said = duty.highest_pressure, duty.highest_temperature, warn
        self.card.open(opened=any(one is not None for one in said) or duty.point != "unknown")

    def unfold(self, field: str) -> None:
        """Unfold the card where it holds the field."""
        if field in (*_LIMITS, *_WARNING):
            self.card.open()

    @property
    def _duty(self) -> Duty:
        return self._page.place.view.plan.duty

    def _begun(self, amount: Amount | None) -> Edit:
        if amount is None:
            return set_duty("warning", None)
        warn = self._duty.warning
        return set_duty("warning", Warn(amount) if warn is None else replace(warn, at=amount))

    def _warn(self, **changes: Any) -> Edit:
        warn = self._duty.warning
        return set_duty("warning", None if warn is None else replace(warn, **changes))

    def _part(self, name: str) -> Callable[[Amount | None], Edit]:
        return lambda amount: self._warn(**{name: amount})


def _limit(name: str) -> Callable[[Amount | None], Edit]:
    return lambda amount: set_duty(name, amount)
