"""What the steps of the gauge and of the sender share: what it is, and three ways to change it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from catalog.library import PartKind
from catalog.parts.laws import Point
from catalog.quantities.kinds import Kind
from catalog.tables import Wanted
from retrofit.desk.edits import Area, Edit
from retrofit.desk.finder_rows import short_name
from retrofit.desk.models.part_list_model import PartRow
from retrofit.desk.session import Change
from retrofit.desk.steps.page import Card, StepPage
from retrofit.desk.stock import Listed, Stocked
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.finder_tab import FinderTab
from retrofit.desk.widgets.part_picker import PartPicker, PickerWords
from retrofit.desk.widgets.part_tabs import PartTabs
from retrofit.desk.widgets.table_paste import TablePaste
from retrofit.desk.workplace import Workplace
from retrofit.plan.candidates import Candidate, rate

_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=[^\d\s])")
"""The space that no line may be broken at."""

CLASS, TABLE, KNOWN = 0, 1, 2
"""Places of the tabs: choose a class, paste a table, enter what is known."""


class PartStep(StepPage):
    """A step that chooses one of the two parts.

    Parameters
    ----------
    kind : str
        "gauge" or "sender"; its texts are ``step.<kind>.…``.
    words : PickerWords
        What the picker says.
    place : Workplace
        The open plan.
    theme : Theme
        Colours.
    """

    def __init__(
        self,
        kind: PartKind,
        words: PickerWords,
        place: Workplace,
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(kind, place, parent)
        self._kind: PartKind = kind
        self.name, self.facts = QLabel(), QLabel()
        self.name.setObjectName("card-title")
        self.facts.setObjectName("muted")
        for label in (self.name, self.facts):
            label.setWordWrap(True)
        self.problem = QLabel()
        self.problem.setObjectName("field-problem")
        self.problem.setWordWrap(True)
        self.problem.hide()
        self.picker = PartPicker(words, self._search, place.reader, theme, place.executor)
        self.picker.picked.connect(self._picked)
        self.paste = TablePaste(self._wanted(), place.reader, theme, place.executor)
        self.paste.accepted.connect(self._pasted)
        self.form = QWidget()
        self.form_column = QVBoxLayout(self.form)
        self.form_column.setContentsMargins(0, 10, 0, 0)
        self.form_column.setSpacing(14)
        self.tabs = PartTabs()
        self.finding = FinderTab(kind, self.picker, place, theme)
        for widget, tab in ((self.finding, "class"), (self.paste, "table"), (self.form, "known")):
            self.tabs.addTab(widget, place.reader.text(f"part.tab.{tab}"))
        self.tabs.tabBar().setAccessibleName(self.text("tabs"))
        now = Card("", columns=1)
        now.add(self.name)
        now.add(self.facts)
        now.add(self.problem)
        self.column.addWidget(now)
        self.column.addWidget(self.tabs, 1)
        place.stock.ready.connect(self.picker.search_again)
        place.changed.connect(self._plan_changed)

    # --- for the two steps ----------------------------------------------------------------------

    def present(self) -> str:
        """Return the key of the part that is in the plan."""
        raise NotImplementedError

    def choose(self, found: Stocked) -> Edit:
        """Return the edit that puts a part of the catalogue in."""
        raise NotImplementedError

    def from_table(self, points: tuple[Point, ...]) -> Edit:
        """Return the edit that puts in what a pasted table says."""
        raise NotImplementedError

    def fact_lines(self) -> Sequence[str]:
        """Return what is known of the present part, a line each."""
        raise NotImplementedError

    def show_form(self) -> None:
        """Show the present part in the form of what is known."""
        raise NotImplementedError

    # --- what both do ---------------------------------------------------------------------------

    def read(self) -> None:
        """Show the part as it is now."""
        pairing = self.place.view.pairing
        name = pairing.gauge.name if self._kind == "gauge" else pairing.sender.name
        self.name.setText(_NUMBER_AND_UNIT.sub("\N{NO-BREAK SPACE}", name))
        self.facts.setText("\n".join(self.fact_lines()))
        self._keep_height()
        self.say("")
        self.paste.want(self._wanted())
        self.picker.set_present(self.present())
        self.show_form()
        self.tabs.updateGeometry()

    def say(self, problem: str) -> None:
        """Show why a part could not be put in; nothing for an empty text."""
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))

    def go_to(self, field: str) -> None:
        """Go to a field of the form, or to the search where none has that name."""
        if field in self.fields:
            self.tabs.setCurrentIndex(KNOWN)
            super().go_to(field)
        else:
            self.tabs.setCurrentIndex(CLASS)
            self.ensureWidgetVisible(self.picker.words)
            self.picker.words.setFocus()

    def _keep_height(self) -> None:
        """Let the card grow but not shrink: the list under it must not jump at each choice."""
        for label in (self.name, self.facts):
            needed = label.heightForWidth(label.width()) if self.isVisible() else 0
            label.setMinimumHeight(max(label.minimumHeight(), needed))

    def _wanted(self) -> Wanted:
        return Wanted(self.place.view.plan.duty.quantity, decimal=self.place.reader.decimal)

    def _search(self, words: str) -> Sequence[PartRow]:
        quantity, here = self.place.view.plan.duty.quantity, self.present()
        found = self.place.stock.listed(words, quantity, self._kind)
        return [
            PartRow(one.key, self._row_name(one, here), one.notes, own=one.own) for one in found
        ]

    def _row_name(self, one: Listed, here: str) -> str:
        # All parts of a list measure the same, so the first word of a class says nothing there.
        name = one.name if one.own else short_name(one.name)
        reader, kind = self.place.reader, self.place.view.plan.duty.kind
        for at, ohms in one.like.inner:
            met = reader.value(ohms, Kind.RESISTANCE), reader.value(at, kind)
            name = reader.text("part.met", name=name, ohms=met[0], at=met[1])
        if one.key == here:
            return self.place.reader.text("part.present", name=name)
        return name

    def _rater(self) -> Callable[[str], Candidate]:
        plan, label, stock = self.place.view.plan, self.place.view.label, self.place.stock

        def rated(key: str) -> Candidate:
            return rate(plan, label, stock.part(key).part)

        return rated

    def _plan_changed(self, change: Change) -> None:
        if change.touches != {Area.NAME}:
            self.picker.rate_with(self._rater())

    def forget(self) -> None:
        """Drop what was searched, pasted and typed for another plan."""
        super().forget()
        self.say("")
        self.picker.begin_anew()
        self.finding.forget()
        self.paste.area.clear()
        self.tabs.setCurrentIndex(CLASS)

    def _picked(self, key: str) -> None:
        self.say(self.place.attempt(self.choose(self.place.stock.part(key))))
        self.picker.look_at(key)

    def _pasted(self, points: tuple[Point, ...]) -> None:
        problem = self.place.attempt(self.from_table(points))
        self.say(problem)
        if not problem:
            self.tabs.setCurrentIndex(KNOWN)

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Measure the card anew: another width breaks its lines elsewhere."""
        super().resizeEvent(event)
        for label in (self.name, self.facts):
            label.setMinimumHeight(0)
        self._keep_height()
