"""The warning lamp and the second gauge that share the sender."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from catalog.provenance import Basis, BasisKind, Figure
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Edit
from retrofit.desk.steps.page import Card, StepPage
from retrofit.installation import SecondGauge, WarningLamp

_MEASURED = Basis(BasisKind.MEASURED)
_NONE, _SAME = "none", "same"
_CIRCUITS = ("switch in sender", "tapped from signal")


class LampCard:
    """The fields of the warning lamp.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    set_lamp : callable
        Makes the edit from the changed lamp.
    """

    def __init__(self, page: StepPage, set_lamp: Callable[[WarningLamp | None], Edit]) -> None:
        self._set = set_lamp
        self._lamp: WarningLamp | None = None
        text = page.place.reader.text
        circuits = [(word, text(f"lamp.{word}")) for word in (_NONE, *_CIRCUITS)]
        self._circuit = page.choice_field("lamp", circuits, self._wired)
        self._watts = page.amount_field(
            "lamp.watts", Kind.POWER, lambda a: self._edit(watts=a), optional=True
        )
        self._lit = page.choice_field(
            "lamp.lit_by",
            [(word, text(f"lamp.{word}")) for word in ("bulb", "LED", "unknown")],
            lambda word: self._edit(lit_by=word),
        )
        self._trips = page.amount_field(
            "lamp.trips", Kind.VOLTAGE, self._figure("trips"), optional=True
        )
        self._follows = page.choice_field(
            "lamp.trip_follows",
            [(word, text(f"lamp.follows.{word}")) for word in ("supply", "fixed", "unknown")],
            lambda word: self._edit(trip_follows=word),
        )
        self._input = page.amount_field(
            "lamp.input", Kind.RESISTANCE, self._figure("input"), optional=True
        )
        self.card = Card(page.text("lamp.title"), columns=3)
        self._page = page
        for name in ("lamp", *self._switched, *self._tapped):
            self.card.add(page.fields[name])

    _switched = ("lamp.watts", "lamp.lit_by")
    _tapped = ("lamp.trips", "lamp.trip_follows", "lamp.input")

    def show(self, lamp: WarningLamp | None) -> None:
        """Show the lamp as it is in the plan."""
        self._lamp = lamp
        self._circuit.set_word(_NONE if lamp is None else lamp.circuit)
        there = lamp or WarningLamp()
        self._watts.set_amount(there.watts)
        self._lit.set_word(there.lit_by)
        self._trips.set_amount(None if there.trips is None else there.trips.amount)
        self._follows.set_word(there.trip_follows)
        self._input.set_amount(None if there.input is None else there.input.amount)
        tapped = lamp is not None and lamp.circuit == "tapped from signal"
        for name in self._switched:
            self._page.fields[name].setVisible(lamp is not None and not tapped)
        for name in self._tapped:
            self._page.fields[name].setVisible(tapped)

    def _wired(self, word: str) -> Edit:
        if word == _NONE:
            return self._set(None)
        return self._edit(circuit=word)

    def _edit(self, **changes: Any) -> Edit:
        return self._set(replace(self._lamp or WarningLamp(), **changes))

    def _figure(self, part: str) -> Callable[[Amount | None], Edit]:
        def edit(amount: Amount | None) -> Edit:
            figure = None if amount is None else Figure(amount, None, _MEASURED)
            return self._edit(**{part: figure})

        return edit


class SecondCard:
    """Which second gauge hangs on the same sender.

    Parameters
    ----------
    page : StepPage
        The step; it keeps the fields.
    set_second : callable
        Makes the edit from the changed second gauge.
    """

    def __init__(self, page: StepPage, set_second: Callable[[SecondGauge | None], Edit]) -> None:
        self._set, self._page = set_second, page
        self._second: SecondGauge | None = None
        self._which = page.choice_field("second", [], self._chosen)
        self._powered = page.word_field(
            "second.powered", ("yes", "no", "unknown"), lambda word: self._power(word)
        )
        self.card = Card(page.text("second.title"), columns=3)
        self.card.add(page.fields["second"], wide=True)
        self.card.add(page.fields["second.powered"])
        self._keys: tuple[str, ...] = ()

    def show(self, second: SecondGauge | None) -> None:
        """Show the second gauge as it is in the plan."""
        self._second = second
        self._offer()
        word = _NONE
        if second is not None:
            same = second.gauge == self._page.place.view.pairing.gauge
            word = _SAME if same else second.gauge.key
        self._which.set_word(word)
        self._powered.set_word("yes" if second is None else second.powered)
        self._page.fields["second.powered"].setVisible(second is not None)

    def _offer(self) -> None:
        """Offer none, one like the first, and every gauge of the catalogue for the quantity."""
        place = self._page.place
        found = place.stock.search("", place.view.plan.duty.quantity, "gauge")
        parts = {one.part.key: one.part.name for one in found}
        if self._second is not None:
            parts.setdefault(self._second.gauge.key, self._second.gauge.name)
        if tuple(parts) == self._keys:
            return
        self._keys = tuple(parts)
        text = place.reader.text
        self._which.clear()
        for word in (_NONE, _SAME):
            self._which.addItem(text(f"second.{word}"), word)
        for key, name in parts.items():
            self._which.addItem(name, key)

    def _chosen(self, word: str) -> Edit:
        if word == _NONE:
            return self._set(None)
        place = self._page.place
        gauge = place.view.pairing.gauge if word == _SAME else place.stock.part(word).part
        powered = "yes" if self._second is None else self._second.powered
        return self._set(SecondGauge(gauge, powered))  # type: ignore[arg-type]

    def _power(self, word: str) -> Edit:
        assert self._second is not None
        changes: Any = {"powered": word}
        return self._set(replace(self._second, **changes))
