"""Every part with its best trim: searched, filtered, looked at, tried, compared, put in."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QWidget

from catalog.codec import Part
from catalog.errors import UserError
from catalog.library import PartKind
from retrofit.desk.finder_edits import only_put_in, put, use, use_beside
from retrofit.desk.finder_order import in_order, starred
from retrofit.desk.finder_rows import FinderRows, detail_lines, out_words, shown_name
from retrofit.desk.finder_run import Asked
from retrofit.desk.finder_wishes import chips_for, filters_of
from retrofit.desk.models.part_list_model import PartRole, PartRow
from retrofit.desk.session import Change
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.chip_row import ChipWords
from retrofit.desk.widgets.finder_form import FinderForm
from retrofit.desk.widgets.finder_judging import FinderJudging
from retrofit.desk.widgets.finder_search import FinderSearch
from retrofit.desk.widgets.part_matching import PartMatching
from retrofit.desk.workplace import Workplace
from retrofit.finder.judged import JudgedRow
from retrofit.finder.notes import Note
from retrofit.finder.rank import FindWishes
from retrofit.finder.rows import Row, Way
from retrofit.plan.document import Plan
from retrofit.plan.trim_wishes import TrimWishes
from retrofit.plan.trim_words import trim_words

MOST_ROWS = 200
"""Rows that are listed: those whose rank is proven first."""

MOST_BANDED = 60
"""Rows up to which each gets its likely band, which takes longer than finding it."""


class FinderList(FinderForm):
    """The finder of one step.

    Parameters
    ----------
    kind : str
        "gauge" or "sender": what the step chooses.
    place : Workplace
        The open plan.
    theme : Theme
        Colours.
    """

    def __init__(
        self, kind: PartKind, place: Workplace, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(kind, place.reader, theme, parent)
        self._place, self._kind = place, kind
        self._most = 1
        self._stale = True
        self._listed: dict[str, Row] = {}
        self._ranked: list[Row] = []
        self._best: frozenset[str] = frozenset()
        self._matching = PartMatching()
        self._arranging = False
        self.search = FinderSearch(place.stock, place.executor, self)
        self.judging = FinderJudging(place.executor, self)
        self._connect()
        self._offer_chips()
        self._tell()

    def _connect(self) -> None:
        self.search.begun.connect(self._begun)
        self.search.arrived.connect(self._rank)
        self.search.ended.connect(self._ended)
        self.search.moved.connect(self._moved)
        self.judging.judged.connect(self._rank)
        self.words.textChanged.connect(self._show_rows)
        self.words.returnPressed.connect(self.into_list)
        self.ways.changed.connect(self._other_way)
        self.chips.changed.connect(self.search_again)
        self.halt.clicked.connect(self._halt)
        self.mend.clicked.connect(self._mend)
        self.fold.toggled.connect(self._unfold)
        self.trial.toggled.connect(self._try)
        self.beside.clicked.connect(self._compare)
        self.take.clicked.connect(self._take)
        self.list.doubleClicked.connect(self._take)
        self.list.selectionModel().currentChanged.connect(self._looked)
        self._place.changed.connect(self._heard)
        self._place.reader.changed.connect(self._show_rows)
        self._place.stock.ready.connect(self.search_again)
        self._place.tried.connect(self._trial_over)
        down = QShortcut(QKeySequence(Qt.Key.Key_Down), self.words)
        down.setContext(Qt.ShortcutContext.WidgetShortcut)
        down.activated.connect(self.into_list)
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            enter = QShortcut(QKeySequence(key), self.list)
            enter.setContext(Qt.ShortcutContext.WidgetShortcut)
            enter.activated.connect(self._take)

    # --- what is asked of it ----------------------------------------------------------------

    @property
    def way(self) -> Way:
        """What is looked for."""
        return cast(Way, self.ways.checked[0])

    @property
    def key(self) -> str:
        """Key of the row that is selected, empty for none."""
        return str(self.list.currentIndex().data(PartRole.KEY) or "")

    @property
    def rows(self) -> tuple[PartRow, ...]:
        """The rows that are listed."""
        return tuple(self.model.rows)

    def use_most(self, most: int) -> None:
        """Look for trims of so many resistors at most."""
        if most != self._most:
            self._most = most
            self.search_again()

    def search_again(self) -> None:
        """Search anew; not before somebody looks."""
        self._stale = True
        if not self.isVisible():
            self.search.stop(quiet=True)
            self.judging.stop()
            return
        self._stale = False
        self._offer_chips()
        asked = self._asked()
        self.search.start(asked)
        self._rank()

    def _asked(self) -> Asked:
        view = self._place.view
        chips = chips_for(view.plan, view.label, self.way)
        wishes = FindWishes(TrimWishes(most=self._most), filters_of(chips, self.chips.checked))
        return Asked(view.plan, view.label, self.way, wishes)

    def _offer_chips(self) -> None:
        view, reader = self._place.view, self._place.reader
        offered = chips_for(view.plan, view.label, self.way)
        self.chips.offer(
            [ChipWords(one.key, reader.sentence(one.text), one.group) for one in offered]
        )

    def _heard(self, change: Change) -> None:
        """Search anew where the answer may be another one now."""
        self._trial_over()
        if not change.touches:
            return
        asked = self.search.asked
        if asked is not None and only_put_in(change, asked, self.search.basket):
            self._show_rows()
        else:
            self.search_again()

    # --- rows -------------------------------------------------------------------------------

    def _maker(self) -> FinderRows:
        pairing = self._place.view.pairing
        part = pairing.gauge if self.way == "gauges" else pairing.sender
        pair = f"{pairing.gauge.key} + {pairing.sender.key}"
        present = pair if self.way == "pairs" else part.key
        return FinderRows(self._place.reader, self._place.view.plan.duty, self.way, present)

    def _show_rows(self) -> None:
        """List what is found and answers the words, best first; the selected row stays so."""
        ranked = self._ranked
        words = self._matching.words(self.words.text())
        answering = [row for row in ranked if self._answers(row, words)] if words else ranked
        listed = answering[:MOST_ROWS]
        self._listed = {row.key: row for row in listed}
        maker, own = self._maker(), self._own
        before = self.key
        self._arranging = True
        self.model.show_rows(
            [
                maker.row(
                    row,
                    self.judging.of(row.key),
                    unbeaten=row.key in self._best,
                    own=own(row),
                )
                for row in listed
            ]
        )
        self.make_room()
        self.look_at(before)
        self._arranging = False
        self._found = len(answering)
        self._show_out()
        self._tell()
        self._show_selected()

    def _answers(self, row: Row, words: tuple[str, ...]) -> bool:
        parts: list[Part] = []
        if self.way != "senders":
            parts.append(row.candidate.gauge)
        if self.way != "gauges":
            parts.append(row.candidate.sender)
        return self._matching.answers(parts, words)

    def _rank(self) -> None:
        """Put all rows in order with what is known of them, and list the first.

        What was judged and stars wait for the end of the search: with thousands of rows they take
        longer than may be between two looks.
        """
        judged = {} if self.search.running else self.judging.found
        self._ranked = in_order(self.search.ranking.rows, judged)
        self._best = frozenset() if self.search.running else starred(self._ranked, judged)
        self._show_rows()

    def _own(self, row: Row) -> bool:
        stocked = self.search.basket.stocked
        found = (stocked.get(part.key) for part in (row.candidate.gauge, row.candidate.sender))
        return any(one is not None and one.own for one in found)

    def _show_out(self) -> None:
        out = self.search.ranking.excluded
        opened = bool(out) and self.fold.isChecked()
        self.fold.setVisible(bool(out))
        self.fold.setText(self._place.reader.text("finder.left_out", count=len(out)))
        self.fold.setAccessibleName(self.fold.text())
        self.reasons.setVisible(opened)
        self.reasons.setText(out_words(out, self._place.reader) if opened else "")
        maker = self._maker()
        shown = [maker.out(one) for one in out[:MOST_ROWS]] if opened else []
        self.out_model.show_rows(shown)
        self.fit_out()

    def _unfold(self, opened: bool) -> None:
        arrow = Qt.ArrowType.DownArrow if opened else Qt.ArrowType.RightArrow
        self.fold.setArrowType(arrow)
        self._show_out()

    def _tell(self) -> None:
        """Say how many there are, and what is known of their order."""
        self.show_progress(running=self.search.running)
        self.count.setText(self._count())
        self._show_note()
        trouble = self.search.trouble
        empty = "" if trouble is None else self._place.reader.error(trouble)
        self.show_empty(empty or self._nothing(), nothing=not self._listed)

    def _note(self) -> Note | None:
        return next(iter(self.search.basket.notes), None)

    def _show_note(self) -> None:
        """Say what stands in the way of all parts, and offer to go where that is mended."""
        one, reader = self._note(), self._place.reader
        if one is None:
            self.show_note("", "")
            return
        step = reader.text(f"step.{one.step}.title")
        self.show_note(reader.sentence(one.says), reader.text("finder.mend", step=step))

    def _mend(self) -> None:
        one = self._note()
        if one is not None:
            self._place.field_wanted.emit(one.step, one.field)

    def _count(self) -> str:
        text, shown = self._place.reader.text, len(self._listed)
        if not shown:
            return ""
        ranked = len(self.search.ranking.rows)
        key = "finder.count" if self._found == shown else "finder.count_cut"
        said = [text(key, shown=shown, total=self._found)]
        if self.search.running:
            said.append(text("finder.proven", proven=self.search.ranking.proven))
        elif not self.search.complete:
            said.append(text("finder.stopped"))
        banded = len(self.judging.bands) >= ranked
        said.append(text("finder.star_band" if banded else "finder.star"))
        return " ".join(said)

    def _nothing(self) -> str:
        text = self._place.reader.text
        if self.search.running:
            return text("finder.searching")
        out = self.search.ranking.excluded
        if out and out[0].kind in ("controller", "tests"):
            return self._place.reader.sentence(out[0].why)
        if self.search.ranking.rows:
            return text("parts.none", words=self.words.text().strip())
        return text("finder.none") if out else text("finder.nothing")

    def _begun(self) -> None:
        assert self.search.asked is not None
        self.judging.begin(self.search.asked, self.search.basket)

    def _moved(self, share: float) -> None:
        self.bar.setValue(round(100.0 * share))

    def _ended(self) -> None:
        self._rank()
        rows = list(self._listed.values())
        every = self.search.ranking.rows
        self.judging.want(rows, every if len(every) <= MOST_BANDED else ())

    def _halt(self) -> None:
        self.search.stop()

    def _other_way(self) -> None:
        self.search_again()

    # --- the row that is looked at ----------------------------------------------------------

    def look_at(self, key: str) -> None:
        """Select a row; nothing is selected where it is not listed."""
        row = self.model.row_of(key)
        if row < 0:
            self.list.selectionModel().clear()
            return
        index = self.model.index(row)
        flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.list.selectionModel().setCurrentIndex(index, flag)

    def into_list(self) -> None:
        """Go from the words to the list."""
        if self.model.rowCount():
            # Before the focus comes, for Qt would make the first row current without selecting it.
            self.look_at(self.key or self.model.rows[0].key)
            self.list.setFocus()

    def _looked(self, now: QModelIndex, before: QModelIndex) -> None:
        del now, before
        if not self._arranging:
            self._show_selected()

    def _judged(self) -> JudgedRow | None:
        row = self._listed.get(self.key)
        return None if row is None else self.judging.at_once(row)

    def _show_selected(self) -> None:
        one, view = self._judged(), self._place.view
        lines = [] if one is None else detail_lines(one, view.plan.duty, self._place.reader)
        self.show_detail(lines)
        for button in (self.trial, self.beside, self.take):
            button.setEnabled(one is not None)
        if one is not None:
            self.take.setEnabled(self._put(one.row) != view.plan)
        if self.trial.isChecked():
            self._try(on=one is not None)

    def _put(self, row: Row) -> Plan:
        assert self.search.asked is not None
        view = self._place.view
        return put(view.plan, view.label, row, self.search.asked, self.search.basket)

    def _name(self, row: Row) -> str:
        return shown_name(row.candidate, self.way, self._place.reader)

    # --- the user ---------------------------------------------------------------------------

    def _try(self, on: bool) -> None:
        """Show on the dial what the row would do; the plan does not change."""
        one = self._judged()
        if not on or one is None:
            self._place.try_plan(None)
            return
        trim = trim_words(dict(one.row.lead.trim.resistors))
        words = self._place.reader.text("finder.on_trial", name=self._name(one.row), trim=trim)
        self._place.try_plan(one.plan, words)

    def _trial_over(self) -> None:
        if self._place.trial is None and self.trial.isChecked():
            self.trial.setChecked(False)

    def _compare(self) -> None:
        """Put the row beside the present pairing, as another one, and show both."""
        one, view, asked = self._judged(), self._place.view, self.search.asked
        if one is None or asked is None:
            return
        try:
            edit = use_beside(view.plan, view.label, one.row, asked, self.search.basket)
        except UserError as error:
            self.say(self._place.reader.error(error))
            return
        problem = self._place.attempt(edit)
        self.say(problem)
        if not problem:
            self._place.step_wanted.emit("compare")

    def _take(self) -> None:
        """Put parts and trim of the row into the plan, one step of undo."""
        one, asked = self._judged(), self.search.asked
        if one is None or asked is None or not self.take.isEnabled():
            return
        edit = use(self._place.view.label, one.row, asked, self.search.basket)
        self.trial.setChecked(False)
        self.say(self._place.attempt(edit))
        self._show_selected()

    # --- Qt -------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Search where that has waited for being seen."""
        super().showEvent(event)
        if self._stale:
            self.search_again()

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802
        """Search nothing that nobody sees, and give the dial back to the plan."""
        super().hideEvent(event)
        self.trial.setChecked(False)
        if self.search.running:
            self.search.stop(quiet=True)
            self._stale = True
        self.judging.stop()
