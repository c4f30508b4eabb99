"""Finds the best trims of the pairing that is shown, lists them and puts one in."""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QListView,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from catalog.errors import UserError
from retrofit.desk.edits import Area, set_trim
from retrofit.desk.jobs import CancelledError, Job, Progress
from retrofit.desk.models.part_list_model import PartListModel, PartRole, PartRow
from retrofit.desk.session import Change
from retrofit.desk.theme import Theme
from retrofit.desk.trim_rows import (
    PRESENT,
    proof_lines,
    proposed,
    resistor_lines,
    role_of,
    told,
    trim_row,
)
from retrofit.desk.widgets.part_list_delegate import PartListDelegate
from retrofit.desk.widgets.trim_wish_form import TrimWishForm
from retrofit.desk.workplace import Workplace
from retrofit.installation import Place
from retrofit.plan.document import Plan
from retrofit.plan.trim_wishes import TrimWishes
from retrofit.plan.trims import Proposal, TrimCandidate, judged_trim, propose
from retrofit.trim import search

_IRRELEVANT = frozenset({Area.NAME, Area.TRIM})
"""What may change without making proposals stale: they do not hang on the present trim."""

_STEPS = 100


class TrimFinder(QWidget):
    """Wishes, a button, the list of proposals and what is to know of the selected one.

    Parameters
    ----------
    place : Workplace
        The open plan.
    theme : Theme
        Colours.
    """

    looked_at = Signal(object)
    """The trim that is looked at, ohms by place; None: the one in the plan."""

    advanced = Signal(int)
    """How far the search is, in hundredths; comes from its thread."""

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = place
        self._run = 0
        self._progress: Progress | None = None
        self._found: Proposal | None = None
        self._rows: dict[str, TrimCandidate] = {}
        self._say = ""
        reader = place.reader
        self.form = TrimWishForm(reader)
        self.model = PartListModel(self)
        self.list = QListView()
        self._delegate = PartListDelegate(theme, reader.text("parts.own"), self.list)
        self.button = QPushButton(reader.text("trims.find"))
        self.halt = QPushButton(reader.text("parts.stop"))
        self.bar = QProgressBar()
        self.says, self.detail, self.proof = QLabel(), QLabel(), QLabel()
        self.apply = QPushButton(reader.text("trims.apply"))
        self._make()
        self._arrange()
        self._connect(theme)
        self._tell()

    # --- making -----------------------------------------------------------------------------

    def _make(self) -> None:
        text = self._place.reader.text
        self.button.setObjectName("primary")
        self.halt.setAccessibleName(text("trims.halt"))
        self.bar.setTextVisible(False)
        self.bar.setRange(0, _STEPS)
        self.bar.setFixedHeight(6)
        self.bar.setAccessibleName(text("trims.searching"))
        for label in (self.says, self.detail, self.proof):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.detail.setObjectName("muted")
        self.proof.setObjectName("notice")
        self.proof.setMargin(12)
        self.list.setModel(self.model)
        self.list.setItemDelegate(self._delegate)
        self.list.setAccessibleName(text("trims.list"))
        self.list.setAccessibleDescription(text("trims.list.description"))
        self.list.setUniformItemSizes(True)
        self.list.setMouseTracking(True)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)

    def _arrange(self) -> None:
        start = QHBoxLayout()
        start.setSpacing(10)
        start.addWidget(self.button)
        start.addWidget(self.halt)
        start.addWidget(self.bar, 1)
        start.addStretch(0)
        below = QHBoxLayout()
        below.addWidget(self.detail, 1)
        below.addWidget(self.apply, 0, Qt.AlignmentFlag.AlignTop)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(12)
        whole.addWidget(self.form)
        whole.addLayout(start)
        whole.addWidget(self.says)
        whole.addWidget(self.list)
        whole.addLayout(below)
        whole.addWidget(self.proof)

    def _connect(self, theme: Theme) -> None:
        self.button.clicked.connect(self.search)
        self.halt.clicked.connect(self.stop)
        self.apply.clicked.connect(self._apply)
        self.list.doubleClicked.connect(self._apply)
        self.list.selectionModel().currentChanged.connect(self._looked)
        self.form.changed.connect(self._wished)
        self.form.own.returnPressed.connect(self.search)
        self.advanced.connect(self.bar.setValue, Qt.ConnectionType.QueuedConnection)
        theme.changed.connect(self.list.viewport().update)
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            enter = QShortcut(QKeySequence(key), self.list)
            enter.setContext(Qt.ShortcutContext.WidgetShortcut)
            enter.activated.connect(self._apply)

    # --- what is asked of it ----------------------------------------------------------------

    @property
    def key(self) -> str:
        """Key of the row that is selected, empty for none."""
        return str(self.list.currentIndex().data(PartRole.KEY) or "")

    @property
    def searching(self) -> bool:
        """Whether a search runs."""
        return self._progress is not None

    def heard(self, change: Change) -> None:
        """Forget what was found for a plan that has changed since."""
        other = change.before.label != change.after.label
        if not (change.touches - _IRRELEVANT or other):
            return
        had = self._found is not None or self.searching
        self._forget("trims.changed" if had else "")

    def _wished(self) -> None:
        had = self._found is not None or self.searching
        self._forget("trims.other_wishes" if had else "")
        self.read()

    def _forget(self, why: str) -> None:
        self.stop()
        self._found, self._rows = None, {}
        self._say = why

    def read(self) -> None:
        """Show the present trim and what was found; not while nobody looks."""
        if not self.isVisible():
            return
        view, reader = self._place.view, self._place.reader
        self.form.offer_marks(view.plan.duty)
        now = judged_trim(view.plan, view.label, view.pairing.trim)
        rows = [trim_row(PRESENT, now, reader, "now")]
        for key, one in self._rows.items():
            role = "" if self._found is None else role_of(one, self._found)
            fitted = one.ohms == now.ohms
            if role or not fitted:
                rows.append(trim_row(key, one, reader, role, fitted=fitted))
        self._list(rows)
        self._tell()

    def _list(self, rows: list[PartRow]) -> None:
        before = self.key
        self.model.show_rows(rows)
        self._delegate.make_room_for(row.worst for row in rows)
        self._fit()
        self._select(before if before in {row.key for row in rows} else PRESENT)

    def _fit(self) -> None:
        """Let the list be as high as its rows: the page scrolls, not the list."""
        high = self.list.sizeHintForRow(0) * self.model.rowCount() + 2 * self.list.frameWidth() + 2
        if high != self.list.height():
            self.list.setFixedHeight(high)

    def _select(self, key: str) -> None:
        index = self.model.index(self.model.row_of(key))
        flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.list.selectionModel().setCurrentIndex(index, flag)
        self._show_selected()

    def _tell(self) -> None:
        reader, found = self._place.reader, self._found
        if found is None:
            self.says.setText(reader.text(self._say or "trims.nothing_yet"))
            self.proof.hide()
        else:
            self.says.setText("\n".join(told(found, reader)))
            why, cures = proof_lines(found, reader)
            lines = []
            if why:
                lines = [reader.text("trims.proof"), *(f"– {one}" for one in why)]
                lines += ["", reader.text("trims.cures"), *(f"– {one}" for one in cures)]
            self.proof.setText("\n".join(lines))
            self.proof.setVisible(bool(lines))
        running = self.searching
        self.button.setEnabled(not running)
        self.halt.setVisible(running)
        self.bar.setVisible(running)
        if running:
            self.says.setText(reader.text("trims.searching"))

    # --- searching --------------------------------------------------------------------------

    def search(self) -> None:
        """Look for the best trims of the plan as it is now."""
        wishes = self.form.wishes()
        if wishes is None:
            return
        self._forget("")
        view, run = self._place.view, self._run
        progress = Progress(self._advance)
        self._progress = progress
        self.bar.setValue(0)
        self.read()
        plan, label = view.plan, view.label

        def work(running: Progress) -> Proposal:
            return _proposal(plan, label, wishes, running)

        def succeed(found: Proposal) -> None:
            if run == self._run:
                self._take(found)

        def fail(error: Exception) -> None:
            if run == self._run:
                self._fail(error)

        self._place.executor.run(Job(work, succeed, fail, progress))

    def stop(self) -> None:
        """Stop a search that runs; what it would have found is dropped."""
        self._run += 1
        if self._progress is not None:
            self._progress.cancel()
            self._progress = None
            self._say = "trims.stopped"
            self._tell()

    def _advance(self, done: int, total: int) -> None:
        """Tell how far the search is; runs in its thread."""
        self.advanced.emit(_STEPS * done // max(total, 1))

    def _take(self, found: Proposal) -> None:
        self._progress = None
        self._found, self._rows = found, proposed(found)
        self.read()
        if found.lead is not None and found.lead.judged.key in self._rows:
            self._select(found.lead.judged.key)
            self.list.setFocus()

    def _fail(self, error: Exception) -> None:
        self._progress = None
        self._tell()
        if not isinstance(error, UserError):
            raise error
        self.says.setText(self._place.reader.error(error))

    # --- the user ---------------------------------------------------------------------------

    def _looked(self, now: QModelIndex, before: QModelIndex) -> None:
        del now, before
        self._show_selected()

    def _show_selected(self) -> None:
        one = self._rows.get(self.key)
        reader = self._place.reader
        lines: list[str] = []
        if one is not None:
            lines = [reader.sentence(one.judged.says), *resistor_lines(one, reader)]
        self.detail.setText("\n".join(lines))
        self.detail.setVisible(bool(lines))
        present = self._place.view.pairing.trim
        self.apply.setVisible(bool(self._rows))
        self.apply.setEnabled(one is not None and one.trim != present)
        ohms: dict[Place, float] | None = None if one is None else one.ohms
        self.looked_at.emit(ohms)

    def _apply(self) -> None:
        one = self._rows.get(self.key)
        view = self._place.view
        if one is None or one.trim == view.pairing.trim:
            return
        problem = self._place.attempt(set_trim(view.label, one.trim))
        if problem:
            self.says.setText(problem)

    # --- Qt -------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Show what has changed while nobody looked."""
        super().showEvent(event)
        self.read()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Rows may take more lines in a narrow window."""
        super().resizeEvent(event)
        self.list.doItemsLayout()
        self._fit()


def _proposal(plan: Plan, label: str, wishes: TrimWishes, running: Progress) -> Proposal:
    """Look for trims; runs in a thread."""
    last = -1

    def tell(done: int, total: int) -> None:
        nonlocal last
        part = _STEPS * done // max(total, 1)
        if part != last:
            last = part
            running.step(done, total)

    def cancelled() -> bool:
        return running.cancelled

    try:
        return propose(plan, label, wishes, search.Watch(tell, cancelled))
    except search.CancelledError:
        raise CancelledError from None
