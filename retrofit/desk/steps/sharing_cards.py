"""The warning lamp and the second gauge that share the sender."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from catalog.parts.fields import QuantityName
from catalog.parts.gauge import Gauge
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from retrofit.desk.edits import Edit
from retrofit.desk.steps.page import Card, StepPage
from retrofit.desk.steps.typed_figures import ENTERED, figure
from retrofit.installation import SecondGauge, WarningLamp

_NONE, _SAME, _KEPT, _PAIRING = "none", "same", "kept:", "pairing:"
_COMPARED = ("supply", "battery", "fixed", "unknown")
_EARTHS = ("own", "gauge earth", "unknown")
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
            [(word, text(f"lamp.follows.{word}")) for word in _COMPARED],
            lambda word: self._edit(trip_follows=word),
        )
        self._input = page.amount_field(
            "lamp.input", Kind.RESISTANCE, self._figure("input"), optional=True
        )
        self.card = Card(page.text("lamp.title"), columns=3)
        self._page = page
        self.card.add(page.fields["lamp"], wide=True)
        for names in (self._switched, self._tapped):
            self.card.begin_row()
            for name in names:
                self.card.add(page.fields[name])

    _switched = ("lamp.watts", "lamp.lit_by")
    _tapped = ("lamp.trips", "lamp.trip_follows", "lamp.input")

    def first_missing(self) -> str:
        """Return the field that is still to be filled in; that of the circuit if none."""
        lamp = self._lamp
        if lamp is not None and lamp.circuit == "switch in sender" and lamp.watts is None:
            return "lamp.watts"
        if lamp is not None and lamp.circuit == "tapped from signal":
            if lamp.trips is None:
                return "lamp.trips"
            if lamp.trip_follows == "unknown":
                return "lamp.trip_follows"
        return "lamp"

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
            return self._edit(**{part: figure(amount, ENTERED)})

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
            "second.powered", ("yes", "no", "unknown"), lambda word: self._edit(powered=word)
        )
        text = page.place.reader.text
        earths = [(word, text(f"second.earth.{word}")) for word in _EARTHS]
        self._earth = page.choice_field("second.earth", earths, lambda word: self._edit(earth=word))
        self.card = Card(page.text("second.title"), columns=2)
        self.card.add(page.fields["second"], wide=True)
        for name in self._shown:
            self.card.add(page.fields[name])
        self._offers: list[tuple[str, str]] = []
        self._listed: dict[str, str] = {}
        self._listed_for: QuantityName | None = None

    _shown = ("second.powered", "second.earth")

    def show(self, second: SecondGauge | None) -> None:
        """Show the second gauge as it is in the plan."""
        self._second = second
        self._offer(second)
        self._which.set_word(self._word_of(second))
        self._powered.set_word("yes" if second is None else second.powered)
        self._earth.set_word("unknown" if second is None else second.earth)
        for name in self._shown:
            self._page.fields[name].setVisible(second is not None)

    def first_missing(self) -> str:
        """Return the field that is still to be filled in; that of the gauge if none."""
        unsaid = self._second is not None and self._second.powered == "unknown"
        return "second.powered" if unsaid else "second"

    def look_again(self) -> None:
        """Read the catalogue's gauges again when next shown: it has changed, or is open now."""
        self._listed_for = None

    def _word_of(self, second: SecondGauge | None) -> str:
        if second is None:
            return _NONE
        view = self._page.place.view
        if second.gauge == view.pairing.gauge:
            return _SAME
        for one in view.plan.pairings:
            if one.gauge == second.gauge:
                return _PAIRING + one.label
        return second.gauge.key if second.gauge.key in self._listed else _KEPT

    def _offer(self, second: SecondGauge | None) -> None:
        """Offer none, one like the first, those of the plan's other pairings, the catalogue's.

        One that is nowhere else, or no longer, stays on offer while it is in the plan.
        """
        place, text = self._page.place, self._page.place.reader.text
        mine, quantity = place.view.pairing, place.view.plan.duty.quantity
        if quantity != self._listed_for:
            self._listed_for = quantity
            found = place.stock.listed("", quantity, "gauge")
            self._listed = {one.key: one.name for one in found}
        offers = [(_NONE, text("second.none")), (_SAME, text("second.same"))]
        offers += [
            (_PAIRING + one.label, text("second.of_pairing", label=one.label, name=one.gauge.name))
            for one in place.view.plan.pairings
            if one.label != mine.label and one.gauge != mine.gauge
        ]
        offers += self._listed.items()
        if second is not None and self._word_of(second) == _KEPT:
            offers.append((_KEPT, second.gauge.name))
        if offers != self._offers:
            self._offers = offers
            self._which.clear()
            for word, said in offers:
                self._which.addItem(said, word)

    def _chosen(self, word: str) -> Edit:
        if word == _NONE or (word == _KEPT and self._second is not None):
            return self._set(None if word == _NONE else self._second)
        gauge = self._gauge(word)
        there = SecondGauge(gauge) if self._second is None else self._second
        return self._set(replace(there, gauge=gauge))

    def _gauge(self, word: str) -> Gauge:
        view = self._page.place.view
        if word == _SAME:
            return view.pairing.gauge
        if word.startswith(_PAIRING):
            return view.plan.pairing(word.removeprefix(_PAIRING)).gauge
        part = self._page.place.stock.part(word).part
        assert isinstance(part, Gauge)
        return part

    def _edit(self, **changes: Any) -> Edit:
        assert self._second is not None
        return self._set(replace(self._second, **changes))
