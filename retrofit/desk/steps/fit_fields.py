"""Fields of the fit step, each bound to one attribute of a record of the plan.

A record that the plan does not hold yet (a switch, a charge lamp) begins with the attribute that
it cannot be without.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from catalog.errors import user_error
from catalog.parts.fitting import SenderFitting, WarningSwitch
from catalog.provenance import Basis, BasisKind, Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind, difference
from catalog.quantities.numerals import DecimalMark, read, shown
from retrofit.desk.edits import Edit, set_fit, set_fitting
from retrofit.desk.steps.page import StepPage
from retrofit.desk.widgets.choice import Choice
from retrofit.desk.widgets.quantity_edit import QuantityEdit
from retrofit.desk.widgets.words_edit import WordsEdit
from retrofit.plan.document import Pairing
from retrofit.plan.fit_document import ChargeLamp, Fit, SwitchTrial

Owner = Literal["fit", "port", "panel", "charge", "trial", "fitting", "switch"]
Wrap = Literal["amount", "figure", "tolerance"]
Measured = Literal["reading", "difference"]
"""Kinds that hang on what the duty reads."""

STATED = Basis(BasisKind.UNSTATED)

_BEGINS: dict[str, tuple[str, Callable[[Amount], Any]]] = {
    "charge_lamp": ("bulb", ChargeLamp),
    "trial": ("at", SwitchTrial),
    "switch": ("operates", WarningSwitch),
}
_RECORD = {"charge": "charge_lamp", "trial": "trial", "port": "port", "panel": "panel"}


@dataclass(frozen=True)
class Bound:
    """Where a field's value stands."""

    owner: Owner
    attribute: str

    def value(self, pairing: Pairing) -> Any:
        """Return the value in a pairing, None where its record is not there."""
        record = _record(pairing, self.owner)
        return None if record is None else getattr(record, self.attribute)


def _record(pairing: Pairing, owner: Owner) -> Any:
    if owner in ("fitting", "switch"):
        fitting = pairing.sender.fitting or SenderFitting()
        return fitting if owner == "fitting" else fitting.switch
    fit = pairing.fit or Fit()
    return fit if owner == "fit" else getattr(fit, _RECORD[owner])


def _changed(record: Any, name: str, attribute: str, value: Any) -> Any:
    """Return a record with another value; begun by the value that it cannot be without."""
    if name in _BEGINS and _BEGINS[name][0] == attribute:
        if value is None:
            return None
        return _BEGINS[name][1](value) if record is None else replace(record, **{attribute: value})
    if record is None:
        raise user_error(f"fit.first.{name}")
    return replace(record, **{attribute: value})


def edit_of(label: str, name: str, bound: Bound, make: Callable[[], Any]) -> Edit:
    """Return the edit that sets a bound value; `make` may refuse what was typed."""
    owner, attribute = bound.owner, bound.attribute
    if owner in ("fitting", "switch"):

        def fitted(fitting: SenderFitting) -> SenderFitting:
            if owner == "fitting":
                changes: dict[str, Any] = {attribute: make()}
                return replace(fitting, **changes)
            return replace(fitting, switch=_changed(fitting.switch, "switch", attribute, make()))

        return set_fitting(label, name, fitted)

    def fit(present: Fit) -> Fit:
        if owner == "fit":
            changes: dict[str, Any] = {attribute: make()}
        else:
            part = _RECORD[owner]
            changes = {part: _changed(getattr(present, part), part, attribute, make())}
        return replace(present, **changes)

    return set_fit(label, name, fit)


class FitFields:
    """Makes the fields of the fit step and keeps them up to date.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    """

    def __init__(self, page: StepPage) -> None:
        self._page = page
        self._amounts: list[tuple[QuantityEdit, Bound, Kind | Measured]] = []
        self._words: list[tuple[Choice, Bound]] = []
        self._lines: list[tuple[WordsEdit, Bound, Callable[[Any], str]]] = []

    @property
    def _label(self) -> str:
        return self._page.place.view.label

    def amount(
        self, name: str, bound: Bound, kind: Kind | Measured, wrap: Wrap = "amount"
    ) -> QuantityEdit:
        """Add a field for an amount that may be left out."""

        def edit(amount: Amount | None) -> Edit:
            return edit_of(self._label, name, bound, lambda: _wrapped(amount, wrap))

        editor = self._page.amount_field(name, self._kind(kind), edit, optional=True)
        self._amounts.append((editor, bound, kind))
        return editor

    def word(self, name: str, bound: Bound, texts: list[tuple[str, str]]) -> Choice:
        """Add a field for one of a few words, each with its text."""

        def edit(word: str) -> Edit:
            return edit_of(self._label, name, bound, lambda: word)

        editor = self._page.choice_field(name, texts, edit)
        self._words.append((editor, bound))
        return editor

    def yes_no(self, name: str, bound: Bound) -> Choice:
        """Add a field for yes, no or unknown."""
        text = self._page.place.reader.text
        return self.word(name, bound, [(w, text(f"word.{w}")) for w in ("yes", "no", "unknown")])

    def line(
        self,
        name: str,
        bound: Bound,
        understood: Callable[[str, DecimalMark], Any],
        as_text: Callable[[Any], str],
    ) -> WordsEdit:
        """Add a field for typed text; `understood` may refuse it with UserError."""
        decimal = self._page.place.reader.decimal

        def edit(words: str) -> Edit:
            return edit_of(
                self._label, name, bound, lambda: understood(words, decimal) if words else None
            )

        editor = self._page.line_field(name, edit)
        self._lines.append((editor, bound, as_text))
        return editor

    def read(self) -> None:
        """Show what the plan says now."""
        pairing = self._page.place.view.pairing
        for editor, bound, kind in self._amounts:
            editor.set_kind(self._kind(kind))
            value = bound.value(pairing)
            editor.set_amount(_unwrapped(value))
        for choice, bound in self._words:
            value = bound.value(pairing)
            choice.set_word("unknown" if value is None else str(value))
        for line, bound, as_text in self._lines:
            value = bound.value(pairing)
            line.hold("" if value is None else as_text(value))

    def _kind(self, kind: Kind | Measured) -> Kind:
        if isinstance(kind, Kind):
            return kind
        measured = self._page.place.view.plan.duty.kind
        return measured if kind == "reading" else difference(measured)


def _wrapped(amount: Amount | None, wrap: Wrap) -> Any:
    if amount is None or wrap == "amount":
        return amount
    return Tolerance(amount) if wrap == "tolerance" else Figure(amount, None, STATED)


def _unwrapped(value: Any) -> Amount | None:
    if isinstance(value, Figure):
        return value.amount
    return value.half_width if isinstance(value, Tolerance) else value


def grams(words: str, decimal: DecimalMark) -> float:
    """Return a mass in grams as typed: "250", "250 g", "0.25 kg".

    Raises
    ------
    UserError
        For what is no mass.
    """
    found = read(words, decimal=decimal)
    factor = {"": 1.0, "g": 1.0, "kg": 1000.0}.get(found.unit.casefold())
    if factor is None:
        raise user_error("fit.no_mass", text=shown(words))
    return found.value * factor


def whole(words: str, decimal: DecimalMark) -> int:
    """Return a whole number as typed.

    Raises
    ------
    UserError
        For what is none.
    """
    found = read(words, decimal=decimal)
    if found.unit or found.value != int(found.value):
        raise user_error("fit.no_count", text=shown(words))
    return int(found.value)
