"""What the pairing hangs on: supply, stabiliser, wires, earths, and what shares them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QWidget

from catalog.message import SiValue, message
from catalog.parts.gauge import HeaterMovement
from catalog.provenance import Figure, Tolerance
from catalog.quantities.amounts import Amount
from catalog.quantities.kinds import Kind
from catalog.supplies import SUPPLY_CODES, supply_code
from retrofit.desk.edits import Area, Edit, set_installation
from retrofit.desk.files import ASSUMED_SUPPLY
from retrofit.desk.steps.advice_card import AdviceCard
from retrofit.desk.steps.contribution_card import ContributionCard
from retrofit.desk.steps.load_card import LoadCards
from retrofit.desk.steps.page import AmountEdit, Card, StepPage, WordEdit
from retrofit.desk.steps.run_card import RunCard
from retrofit.desk.steps.sharing_cards import LampCard, SecondCard
from retrofit.desk.steps.typed_figures import figure
from retrofit.desk.widgets.supply_slider import SupplySlider
from retrofit.desk.workplace import Workplace
from retrofit.installation import RUNS, Installation, Path, Run

_CODES = ("none", *(one.code for one in SUPPLY_CODES))
_OF_STABILISER = ("holds", "output", "output_tolerance", "state")
_EARTHED = ("negative", "positive", "unknown")


class WiringStep(StepPage):
    """Supply, stabiliser, earths, wires, loads, lamp and second gauge."""

    CAUTIONS = frozenset({"caution.battery"})

    AREAS = frozenset({Area.DOCUMENT, Area.INSTALLATION, Area.GAUGE, Area.PAIRINGS})

    def __init__(self, place: Workplace, parent: QWidget | None = None) -> None:
        super().__init__("wiring", place, parent)
        self._volts = {
            name: self.amount_field(
                name, Kind.VOLTAGE, self._supply(name), optional=name != "nominal"
            )
            for name in ("nominal", "low", "high")
        }
        self._fitted = self.word_field("fitted", ("yes", "no", "unknown"), self._word("fitted"))
        self._holds = self.word_field(
            "holds", ("heat-equivalent", "mean", "unknown"), self._word("holds")
        )
        self._output = self.amount_field("output", Kind.VOLTAGE, self._held, optional=True)
        self._off = self.amount_field(
            "output_tolerance", Kind.FRACTION, self._held_within, optional=True
        )
        self._earth = self.amount_field(
            "sender_earth", Kind.RESISTANCE, self._earth_path, optional=True
        )
        self._code = self.choice_field(
            "code", [(code, self._code_text(code)) for code in _CODES], self._supply_word("code")
        )
        self._earthed = self.choice_field(
            "earthed",
            [(word, self.place.reader.text(f"earthed.{word}")) for word in _EARTHED],
            self._supply_word("earthed"),
        )
        self._state = self.choice_field(
            "state",
            [(word, self.place.reader.text(f"stabiliser.{word}")) for word in ("sound", "stuck")],
            self._word("state"),
        )
        self._reversed = self.amount_field(
            "sender_earth_reversed", Kind.RESISTANCE, self._earth_other_way, optional=True
        )
        self._panel = {
            name: self.amount_field(name, Kind.TEMPERATURE, self._panel_edit(name), optional=True)
            for name in ("panel_low", "panel_high")
        }
        self._afloat = self.word_field("afloat", ("yes", "no", "unknown"), self._part("afloat"))
        self._arrange()
        self.read()
        place.stock.ready.connect(self._parts_changed)
        place.shelves.changed.connect(self._parts_changed)

    def _arrange(self) -> None:
        supply = Card(self.text("supply"), columns=3)
        for name in ("nominal", "low", "high", "code", "earthed"):
            supply.add(self.fields[name])
        self._try = SupplySlider(self.place)
        supply.add(self._try, wide=True)
        self._stabiliser = Card(self.text("stabiliser"), columns=3)
        for name in ("fitted", *_OF_STABILISER):
            self._stabiliser.add(self.fields[name])
        earth = Card(self.text("earth"), columns=2)
        for name in ("sender_earth", "sender_earth_reversed"):
            earth.add(self.fields[name])
        self._runs = [RunCard(self, run, self._path_of(run)) for run in RUNS]
        self._loads = LoadCards(self, self._part("loads"))
        loads = Card(self.text("loads"))
        loads.add(self._loads, wide=True)
        self._lamp = LampCard(self, self._part("lamp"))
        self._second = SecondCard(self, self._part("second"))
        panel = Card(self.text("panel"), columns=2)
        for name in ("panel_low", "panel_high"):
            panel.add(self.fields[name])
        self._advice = AdviceCard(self.place)
        self._made_of = ContributionCard(self.place)
        wires = Card(self.text("wires"), columns=1)
        wires.add(self.fields["afloat"])
        for run in self._runs:
            wires.add(run.card)
        cards = [supply, self._stabiliser, earth, wires, loads]
        cards += [self._lamp.card, self._second.card, panel, self._advice, self._made_of]
        for card in cards:
            self.column.addWidget(card)
        self.column.addWidget(self.caution_line())
        self.column.addStretch(1)

    def read(self) -> None:
        """Show the installation as it is now."""
        installation = self._installation
        for name, editor in self._volts.items():
            editor.set_amount(getattr(installation.supply, name))
        assumed = installation.supply.nominal == ASSUMED_SUPPLY
        self.fields["nominal"].show_hint(self.text("nominal.hint") if assumed else "")
        stabiliser = installation.stabiliser
        self._fitted.set_word(stabiliser.fitted)
        self._holds.set_word(stabiliser.holds)
        self._output.set_amount(None if stabiliser.output is None else stabiliser.output.amount)
        held = stabiliser.output
        within = None if held is None or held.tolerance is None else held.tolerance.half_width
        self._off.set_amount(within)
        for name in _OF_STABILISER:
            self.fields[name].setVisible(stabiliser.fitted != "no")
        if self._output_or_feed is None:
            self.fields["output_tolerance"].hide()
        earth = installation.sender_earth
        self._earth.set_amount(None if earth is None else earth.amount)
        other = installation.sender_earth_reversed
        self._reversed.set_amount(None if other is None else other.amount)
        self._code.set_word(installation.supply.code)
        self._earthed.set_word(installation.supply.earthed)
        self._state.set_word(stabiliser.state)
        self._afloat.set_word(installation.afloat)
        for name, editor in self._panel.items():
            editor.set_amount(getattr(installation, name))
        for run in self._runs:
            run.show(installation.path(run.run))
        self._loads.show_loads(installation.loads)
        self._lamp.show(installation.lamp)
        self._second.show(installation.second)
        self._try.read()
        self._made_of.read()
        self._advice.read()
        movement = self.place.view.pairing.gauge.movement
        self._stabiliser.setVisible(isinstance(movement, HeaterMovement))

    def go_to(self, field: str) -> None:
        """Go to a field; to the stabiliser where the supply's effect hangs on it."""
        if field == "supply":
            field = "fitted" if self._stabiliser.isVisibleTo(self) else "low"
        if field == "loads":
            there = self._loads.first_missing()
            self.bring_up(there)
            there.setFocus()
            return
        where = {"lamp": self._lamp.first_missing(), "second": self._second.first_missing()}
        field = {"panel": "panel_high", **where}.get(field, field)
        for run in self._runs:
            if field == run.run.replace(" ", "_"):
                run.card.open()
                field = f"{field}.size"
        super().go_to(field)

    def _parts_changed(self) -> None:
        self._second.look_again()
        self._second.show(self._installation.second)

    @property
    def _installation(self) -> Installation:
        return self.place.view.pairing.installation

    def _edit(self, field: str, installation: Installation) -> Edit:
        return set_installation(self.place.view.label, field, installation)

    def _supply(self, name: str) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            changes: Any = {name: amount}
            supply = replace(self._installation.supply, **changes)
            return self._edit(name, replace(self._installation, supply=supply))

        return edit

    def _word(self, name: str) -> WordEdit:
        def edit(word: str) -> Edit:
            changes: Any = {name: word}
            stabiliser = replace(self._installation.stabiliser, **changes)
            return self._edit("stabiliser", replace(self._installation, stabiliser=stabiliser))

        return edit

    def _supply_word(self, name: str) -> WordEdit:
        def edit(word: str) -> Edit:
            changes: Any = {name: word}
            supply = replace(self._installation.supply, **changes)
            return self._edit(name, replace(self._installation, supply=supply))

        return edit

    def _code_text(self, code: str) -> str:
        if code == "none":
            return self.text("code.none")
        found = supply_code(code)
        values = {
            "low": SiValue(found.low, Kind.VOLTAGE),
            "high": SiValue(found.high, Kind.VOLTAGE),
        }
        said = message("supply.code", code=code, system=found.system, **values)
        return self.place.reader.sentence(said)

    def _path_of(self, run: Run) -> Callable[[Path], Edit]:
        field = run.replace(" ", "_")

        def edit(path: Path) -> Edit:
            changes: Any = {field: path}
            return self._edit(field, replace(self._installation, **changes))

        return edit

    def _part(self, field: str) -> Callable[[Any], Edit]:
        def edit(value: Any) -> Edit:
            changes: Any = {field: value}
            return self._edit(field, replace(self._installation, **changes))

        return edit

    def _panel_edit(self, name: str) -> AmountEdit:
        def edit(amount: Amount | None) -> Edit:
            changes: Any = {name: amount}
            return self._edit(name, replace(self._installation, **changes))

        return edit

    def _earth_other_way(self, amount: Amount | None) -> Edit:
        changed = replace(self._installation, sender_earth_reversed=figure(amount))
        return self._edit("sender_earth", changed)

    def _held(self, amount: Amount | None) -> Edit:
        old = self._installation.stabiliser.output
        within = None if old is None or amount is None else old.tolerance
        told = figure(amount)
        return self._holding(None if told is None else replace(told, tolerance=within))

    def _held_within(self, amount: Amount | None) -> Edit:
        """Put in how far its output may be off; else that of what the gauge is made for."""
        output = self._output_or_feed
        assert output is not None  # else the field is hidden
        within = None if amount is None else Tolerance(amount)
        return self._holding(replace(output, tolerance=within))

    @property
    def _output_or_feed(self) -> Figure | None:
        """What the stabiliser holds, or else what the gauge is made for."""
        movement = self.place.view.pairing.gauge.movement
        made_for = movement.feed if isinstance(movement, HeaterMovement) else None
        return self._installation.stabiliser.output or made_for

    def _holding(self, output: Figure | None) -> Edit:
        stabiliser = replace(self._installation.stabiliser, output=output)
        return self._edit("stabiliser", replace(self._installation, stabiliser=stabiliser))

    def _earth_path(self, amount: Amount | None) -> Edit:
        changed = replace(self._installation, sender_earth=figure(amount))
        return self._edit("sender_earth", changed)
