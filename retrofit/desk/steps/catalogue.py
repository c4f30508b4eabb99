"""The catalogue: look through it, compare, edit, and what comes in and goes out."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from catalog.codec import Part
from catalog.library import PartKind
from catalog.message import Message, message
from catalog.parts.fields import QuantityName
from catalog.parts.gauge import Gauge
from catalog.shelf import Kept
from retrofit.desk.catalogue.compare_panel import SIGNS, ComparePanel
from retrofit.desk.catalogue.exchange_panel import ExchangePanel
from retrofit.desk.catalogue.history_panel import HistoryPanel
from retrofit.desk.catalogue.identify_panel import IdentifyPanel
from retrofit.desk.catalogue.new_parts import copied, new_part
from retrofit.desk.catalogue.part_form import PartForm
from retrofit.desk.catalogue.shelf_list import ShelfList
from retrofit.desk.edits import choose_gauge, choose_sender
from retrofit.desk.steps.page import Card, StepPage
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.notice import Notice
from retrofit.desk.widgets.part_tabs import PartTabs
from retrofit.desk.workplace import Workplace

PARTS, COMPARE, IDENTIFY, EXCHANGE = range(4)
"""Places of the tabs."""

NUMBERS, HISTORY = 0, 1
"""Places of the tabs of one part."""


class CataloguePage(StepPage):
    """All parts, shipped and the user's own."""

    used = Signal(str)
    """A part was put into the plan: the step where it stands."""

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("catalogue", place, parent)
        reader, shelves, executor = place.reader, place.shelves, place.executor
        self._shelves = shelves
        self._compared: list[str] = []
        self._wanted = ""
        self.notice = Notice(reader.text("notice.close"))
        self.parts = ShelfList(reader, theme)
        self.form = PartForm(reader, theme, executor)
        self.history = HistoryPanel(place.stock, shelves, executor, reader, theme)
        self.compare = ComparePanel(reader, theme)
        self.identify = IdentifyPanel(shelves, executor, reader, theme)
        self.exchange = ExchangePanel(place.stock, shelves, executor, reader, theme)
        self.title, self.status = QLabel(), QLabel()
        self.detail = Card("", columns=1)
        self.inner = PartTabs()
        self.tabs = PartTabs()
        self._arrange()
        self._connect()
        self._show_part()
        self._offer()

    def _arrange(self) -> None:
        self.title.setObjectName("card-title")
        self.status.setObjectName("muted")
        for label in (self.title, self.status):
            label.setWordWrap(True)
        self.inner.addTab(self.form, self.text("numbers"))
        self.inner.addTab(self.history, self.text("history"))
        self.inner.tabBar().setAccessibleName(self.text("inner"))
        head = QHBoxLayout()
        words = QVBoxLayout()
        words.addWidget(self.title)
        words.addWidget(self.status)
        head.addLayout(words, 1)
        self.detail.rows.insertLayout(0, head)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(12)
        column.addWidget(self.parts)
        column.addWidget(self.detail)
        column.addWidget(self.inner)
        column.addStretch(1)
        panels = (inside, self.compare, self.identify, self.exchange)
        for panel, name in zip(panels, ("parts", "compare", "identify", "exchange"), strict=True):
            self.tabs.addTab(panel, self.text(f"tab.{name}"))
        self.tabs.tabBar().setAccessibleName(self.text("tabs"))
        self.column.addWidget(self.notice)
        self.column.addWidget(self.tabs, 1)

    def _connect(self) -> None:
        shelves, parts = self._shelves, self.parts
        shelves.changed.connect(self.read)
        shelves.failed.connect(self._failed)
        shelves.made.connect(self._made)
        parts.looked_at.connect(self._looked)
        parts.listed.connect(self.exchange.show_listed)
        parts.list.taken.connect(self._into_form)
        for button, do in (
            (parts.new_sender, self._new_sender),
            (parts.new_gauge, self._new_gauge),
            (parts.compare, self._toggle_compared),
            (parts.copy, self._duplicate),
            (parts.retire, self._retire),
            (parts.use, self._use),
            (parts.take_back, shelves.take_back),
        ):
            button.clicked.connect(do)
        space = QShortcut(QKeySequence(Qt.Key.Key_Space), parts.list.view)
        space.setContext(Qt.ShortcutContext.WidgetShortcut)
        space.activated.connect(self._toggle_compared)
        back = QShortcut(QKeySequence("Ctrl+Alt+Z"), self)
        back.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        back.activated.connect(shelves.take_back)
        self.form.edited.connect(self._edited)
        self.compare.dropped.connect(self._drop)
        self.identify.use_wanted.connect(self._use_key)
        self.identify.show_wanted.connect(self.show_part)
        self.inner.currentChanged.connect(self._show_history)

    # --- what is asked of it --------------------------------------------------------------------

    def read(self) -> None:
        """List the parts as they are now; nothing is done while nobody looks."""
        if not self.isVisible():
            return
        if not self._shelves.loaded and self._shelves.loading is None:
            self._shelves.load()
            return
        self._compared = [key for key in self._compared if self._shelves.shelf.get(key)]
        self.parts.show_shelf(self._shelves.shelf, self._compared)
        if self._wanted and self._shelves.shelf.get(self._wanted):
            wanted, self._wanted = self._wanted, ""
            self.show_part(wanted)
        elif not self.parts.key and self.parts.found:
            present = self.place.view.pairing.sender.key
            listed = [one.key for one in self.parts.found]
            self.parts.look_at(present if present in listed else listed[0])
        self._show_part()
        self._show_compared()
        self._offer()

    def show_part(self, key: str) -> None:
        """Look at a part in the list, whatever the filters are."""
        self.tabs.setCurrentIndex(PARTS)
        self.parts.look_at(key)

    def take_back(self) -> None:
        """Take the last change of the catalogue back."""
        self._shelves.take_back()

    @property
    def part(self) -> Kept | None:
        """The part that is looked at."""
        return self._shelves.shelf.get(self.parts.key)

    # --- one part -------------------------------------------------------------------------------

    def _looked(self, key: str) -> None:
        del key
        self._show_part()
        self._offer()

    def _show_part(self) -> None:
        one = self.part
        for widget in (self.detail, self.inner):
            widget.setVisible(one is not None)
        if one is None:
            return
        self.title.setText(one.part.name)
        self.status.setText(self._status(one))
        same = self.form.part is not None and self.form.part.key == one.key
        if not (same and self._shelves.unsaved):  # what was typed since is newer
            self.form.show_part(one.part)
        self.form.setEnabled(self._shelves.can_save)
        self._show_history()
        self.inner.updateGeometry()
        self.tabs.updateGeometry()

    def _status(self, one: Kept) -> str:
        text = self.place.reader.text
        said = [text("catalogue.key", name=one.key)]
        whose = "catalogue.own" if one.own else "catalogue.shipped"
        said.append(text(whose, revision=one.revision))
        if one.retired:
            said.append(text("catalogue.is_retired"))
        if one.available is not None:
            said.append(text("catalogue.available", revision=one.available))
        if not self._shelves.can_save:
            said.append(text("catalogue.closed"))
        return "  ·  ".join(said)

    def _show_history(self, *_: object) -> None:
        if self.inner.currentIndex() == HISTORY:
            self.history.show_part(self.part)
        self.tabs.updateGeometry()

    def _into_form(self, key: str) -> None:
        """Go on from the list to the fields of a part."""
        del key
        self.inner.setCurrentIndex(NUMBERS)
        name = self.form.rows.get("name")
        if name is not None:
            self.ensureWidgetVisible(name)
            name.fields[0].go_there()

    # --- changes --------------------------------------------------------------------------------

    def _edited(self, part: Part, label: Message) -> None:
        self._shelves.save(part, label)

    def _new_sender(self) -> None:
        self._new("sender")

    def _new_gauge(self) -> None:
        self._new("gauge")

    def _new(self, kind: PartKind) -> None:
        duty = self.place.view.plan.duty
        chosen = self.parts.filters.choices["quantity"].word or duty.quantity
        quantity = cast(QuantityName, chosen)
        words = self.place.reader.text(f"catalogue.new.{kind}.{quantity}")
        scale = (duty.low, duty.high) if quantity == duty.quantity else None
        made = new_part(kind, quantity, words, self._taken, scale)
        self._add(made, message("shelves.add", part=made.name))

    def _duplicate(self) -> None:
        one = self.part
        if one is not None:
            name = self.place.reader.text("catalogue.copy_of", name=one.part.name)
            made = copied(one.part, name, self._taken)
            self._add(made, message("shelves.copy", part=one.part.name))

    def _add(self, made: Part, label: Message) -> None:
        self._wanted = made.key
        self.inner.setCurrentIndex(NUMBERS)
        self._shelves.save(made, label)

    def _taken(self, key: str) -> bool:
        return self._shelves.shelf.get(key) is not None

    def _retire(self) -> None:
        one = self.part
        if one is not None:
            self._shelves.retire(one.key, retired=not one.retired)

    def _made(self, keys: tuple[str, ...]) -> None:
        del keys
        self.notice.dismiss()

    def _failed(self, said: str) -> None:
        """Say what could not be saved; nothing that was typed is thrown away by itself."""
        self.ensureVisible(0, 0)
        if self._shelves.unsaved:
            text = self.place.reader.text
            again = (text("catalogue.again"), self._shelves.try_again)
            give_up = (text("catalogue.give_up"), self._shelves.give_up)
            self.notice.say(said, (again, give_up))
            return
        self.notice.say(said)

    def _offer(self) -> None:
        """Let the buttons do only what they can."""
        one, shelves, parts = self.part, self._shelves, self.parts
        can = shelves.can_save
        for button in (parts.new_sender, parts.new_gauge):
            button.setEnabled(can)
        parts.copy.setEnabled(can and one is not None)
        parts.retire.setEnabled(can and one is not None)
        retired = one is not None and one.retired
        parts.retire.setText(self.text("unretire" if retired else "retire"))
        listed = one is not None and one.key in self._compared
        room = len(self._compared) < len(SIGNS)
        parts.compare.setEnabled(one is not None and (listed or room))
        parts.compare.setText(self.text("uncompare" if listed else "compare"))
        quantity = self.place.view.plan.duty.quantity
        fits = one is not None and one.part.quantity == quantity and not one.retired
        parts.use.setEnabled(fits)
        last = shelves.last
        parts.take_back.setVisible(can)
        parts.take_back.setEnabled(last is not None and not shelves.unsaved)
        words = "" if last is None else self.place.reader.sentence(last.label)
        parts.take_back.setToolTip(f"{words} (Ctrl+Alt+Z)" if words else "")
        parts.take_back.setAccessibleDescription(words)

    # --- comparing ------------------------------------------------------------------------------

    def _toggle_compared(self) -> None:
        key = self.parts.key
        if key in self._compared:
            self._compared.remove(key)
        elif key and len(self._compared) < len(SIGNS):
            self._compared.append(key)
        self._compared_anew()

    def _drop(self, key: str) -> None:
        self._compared.remove(key)
        self._compared_anew()

    def _compared_anew(self) -> None:
        self.parts.show_shelf(self._shelves.shelf, self._compared)
        self._show_compared()
        self._offer()

    def _show_compared(self) -> None:
        found = [self._shelves.shelf.get(key) for key in self._compared]
        parts = [one for one in found if one is not None]
        self.compare.show_parts(parts)
        count = len(parts)
        words = self.text("tab.compare")
        if count:
            words = self.place.reader.text("catalogue.tab_count", tab=words, count=count)
        self.tabs.setTabText(COMPARE, words)
        self.tabs.updateGeometry()

    # --- into the plan --------------------------------------------------------------------------

    def _use(self) -> None:
        self._use_key(self.parts.key)

    def _use_key(self, key: str) -> None:
        one = self._shelves.shelf.get(key)
        if one is None:
            return
        view, text = self.place.view, self.place.reader.text
        if one.part.quantity != view.plan.duty.quantity:
            self.ensureVisible(0, 0)
            self.notice.say(text("catalogue.other_quantity", name=one.part.name))
            return
        if isinstance(one.part, Gauge):
            edit = choose_gauge(view.label, one.part, one.revision)
        else:
            edit = choose_sender(view.label, one.part, one.revision)
        problem = self.place.attempt(edit)
        self.ensureVisible(0, 0)
        self.notice.say(problem or text("catalogue.in_plan", name=one.part.name, label=view.label))
        if not problem:
            self.used.emit(one.facts.kind)

    # --- Qt -------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Get the parts at the first visit, and show what changed meanwhile."""
        super().showEvent(event)
        self.identify.begin_with(self.place.view.plan.duty.quantity)
        self.read()
