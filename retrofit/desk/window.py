"""The window: rail, step, and at the right what never leaves the screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from importlib import import_module

from PySide6.QtCore import QByteArray, QSettings, Signal
from PySide6.QtGui import QAction, QCloseEvent, QIcon, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QMainWindow,
    QMenu,
    QVBoxLayout,
    QWidget,
)

from catalog.errors import UserError
from catalog.message import Message
from catalog.parts.fields import QuantityName
from retrofit.desk.edits import add_pairing, remove_pairing
from retrofit.desk.files import new_plan, start_session
from retrofit.desk.focus_keeper import FocusKeeper
from retrofit.desk.likely_bands import LikelyBands
from retrofit.desk.plan_keeper import PlanKeeper
from retrofit.desk.rail import Rail
from retrofit.desk.reading_panel import ReadingPanel
from retrofit.desk.session import Change
from retrofit.desk.step_stack import StepStack
from retrofit.desk.steps.duty import DutyStep
from retrofit.desk.steps.page import StepPage
from retrofit.desk.theme import Theme, Wanted, figures_of_one_width
from retrofit.desk.top_bar import TopBar
from retrofit.desk.widgets.notice import Notice
from retrofit.desk.widgets.sum_view import SumView
from retrofit.desk.widgets.units_menu import UnitsMenu
from retrofit.desk.workplace import Workplace
from retrofit.settings import Settings, save_settings
from retrofit.shipped import path as shipped

STEPS = ("duty", "gauge", "sender", "trim", "fit", "wiring", "sheet")
PAGES = ("compare", "catalogue")
QUANTITIES: tuple[QuantityName, ...] = ("temperature", "pressure", "level")
NARROW = 1180
"""Width of the window [logical pixels] below which rail and panel make themselves smaller."""

SMALLEST = (960, 540)
"""Least size [logical pixels]: a screen of 1920 × 1080 at 200 % holds it."""

PANEL_SHARE = 0.24
"""Share of a wide window that the panel takes: on a large screen the dial is large as well."""


class Window(QMainWindow):
    """The main window.

    Parameters
    ----------
    place : Workplace
        The open plan and the means to work on it.
    theme : Theme
        Light or dark.
    """

    closed = Signal()
    """The window is gone."""

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.place, self.theme = place, theme
        self.setWindowIcon(QIcon(str(shipped("icons", "retrofit.svg"))))
        self.setFont(figures_of_one_width(self.font()))
        self.setMinimumSize(*SMALLEST)
        self.resize(1440, 900)
        self.setAcceptDrops(False)
        self.notice = Notice(self._text("notice.close"))
        self.panel = ReadingPanel(place, theme)
        self.rail = Rail(STEPS, PAGES, place.reader)
        self.steps = StepStack(
            {
                "duty": partial(DutyStep, place),
                "gauge": partial(_first_visit, "gauge", "GaugeStep", place, theme),
                "sender": partial(_first_visit, "sender", "SenderStep", place, theme),
                "trim": partial(_first_visit, "trim", "TrimStep", place, theme),
                "fit": partial(_first_visit, "fit", "FitStep", place, theme),
                "wiring": partial(_first_visit, "wiring", "WiringStep", place),
                "sheet": partial(_first_visit, "sheet", "SheetStep", place),
                "compare": partial(_first_visit, "compare", "ComparePage", place, theme),
                "catalogue": partial(_first_visit, "catalogue", "CataloguePage", place, theme),
            }
        )
        self.sums = SumView(place)
        self.recent_menu = QMenu(self._text("menu.recent"), self)
        self.keeper = PlanKeeper(place, self.notice, self.recent_menu, self)
        self.keeper.settled.connect(self.read)
        self._make_actions()
        self.units = UnitsMenu(place.reader, self._use_settings)
        buttons = (self.undo_action, self.redo_action, self.save_action)
        self.top = TopBar(place, self.units, buttons, self.take_action)
        self._arrange()
        self._make_menus()
        self._connect()
        self.likely = LikelyBands(place, self)
        self.focus_keeper = FocusKeeper(self.steps, self.top.name, self)
        self.show_step("duty")
        self.rail.buttons["duty"].setFocus()
        self.read()
        self.likely.start()

    def _text(self, key: str, **values: str) -> str:
        return self.place.reader.text(key, **values)

    def _arrange(self) -> None:
        centre = QVBoxLayout()
        centre.setContentsMargins(0, 0, 0, 0)
        centre.setSpacing(0)
        holder = QVBoxLayout()
        holder.setContentsMargins(16, 8, 16, 0)
        holder.addWidget(self.notice)
        centre.addLayout(holder)
        centre.addWidget(self.steps, 3)
        centre.addWidget(self.sums, 2)
        middle = QHBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        middle.addWidget(self.rail)
        middle.addLayout(centre, 1)
        middle.addWidget(self.panel)
        whole = QVBoxLayout()
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.top)
        whole.addLayout(middle, 1)
        inside = QWidget()
        inside.setObjectName("step-inside")
        inside.setLayout(whole)
        self.setCentralWidget(inside)

    # --- actions --------------------------------------------------------------------------------

    def _action(
        self, key: str, do: Callable[[], object], keys: QKeySequence.StandardKey | str | None = None
    ) -> QAction:
        action = QAction(self._text(f"action.{key}"), self)
        action.triggered.connect(do)
        if keys is not None:
            action.setShortcut(QKeySequence(keys))
        self.addAction(action)
        return action

    def _make_actions(self) -> None:
        standard = QKeySequence.StandardKey
        self.undo_action = self._action("undo", self.undo, standard.Undo)
        self.redo_action = self._action("redo", self.redo, "Ctrl+Shift+Z")
        self.save_action = self._action("save", self.keeper.save, standard.Save)
        self.save_as_action = self._action("save_as", self.keeper.save_as, "Ctrl+Shift+S")
        self.new_action = self._action("offer_new", self.offer_new, standard.New)
        self.open_action = self._action("open", self.keeper.open, standard.Open)
        self.add_action = self._action("add_pairing", self.add_pairing, "Ctrl+T")
        self.remove_action = self._action("remove_pairing", self.remove_pairing)
        self.dial_action = self._action("go_slider", self.panel.slider.setFocus, "Ctrl+0")
        self.sums_action = self._action("sums", self.panel.ask_shown, "Ctrl+H")
        self.discard_action = self._action("discard", self.keeper.discard)
        self.take_action = self._action("take_over", self.keeper.take_over)
        self.quit_action = self._action("quit", self._quit, standard.Quit)
        self.light_action = self._action("light", self._wear_light)
        self.dark_action = self._action("dark", self._wear_dark)
        self.system_action = self._action("system", self._wear_system)
        for action in (self.light_action, self.dark_action, self.system_action):
            action.setCheckable(True)
        self.step_actions: dict[str, QAction] = {}
        for number, key in enumerate((*STEPS, *PAGES), 1):
            action = QAction(self._text(f"step.{key}.title"), self)
            action.setData(key)
            action.setShortcut(QKeySequence(f"Ctrl+{number}"))
            action.triggered.connect(self._step_wanted)
            self.addAction(action)
            self.step_actions[key] = action

    def _make_menus(self) -> None:
        plan = self.menuBar().addMenu(self._text("menu.plan"))
        self.new_menu = new = plan.addMenu(self._text("action.new"))
        self.new_actions: dict[str, QAction] = {}
        for quantity in QUANTITIES:
            action = new.addAction(self._text(f"quantity.{quantity}"))
            action.setData(quantity)
            action.triggered.connect(self._new)
            self.new_actions[quantity] = action
        plan.addAction(self.open_action)
        plan.addMenu(self.recent_menu)
        plan.addSeparator()
        plan.addActions([self.save_action, self.save_as_action])
        plan.addActions([self.discard_action, self.take_action])
        plan.addSeparator()
        plan.addAction(self.quit_action)
        edit = self.menuBar().addMenu(self._text("menu.edit"))
        edit.addActions([self.undo_action, self.redo_action])
        edit.addSeparator()
        edit.addActions([self.add_action, self.remove_action])
        view = self.menuBar().addMenu(self._text("menu.view"))
        view.addActions(list(self.step_actions.values()))
        view.addSeparator()
        view.addActions([self.light_action, self.dark_action, self.system_action])
        view.addSeparator()
        view.addActions([self.dial_action, self.sums_action])

    def _connect(self) -> None:
        self.rail.wanted.connect(self.show_step)
        self.panel.wanted.connect(self.mend)
        self.panel.sum_wanted.connect(self.sums.ask)
        self.top.pairing_wanted.connect(self._show_pairing)
        self.top.another_wanted.connect(self.add_pairing)
        self.place.changed.connect(self._heard)
        self.place.step_wanted.connect(self.show_step)
        self.place.field_wanted.connect(self.mend)
        self.theme.changed.connect(self._mark_theme)
        self._mark_theme()

    # --- steps ----------------------------------------------------------------------------------

    @property
    def step(self) -> str:
        """Key of the step that is shown."""
        return self.steps.key

    def show_step(self, key: str) -> None:
        """Show a step or page."""
        self.place.session.end_step()
        self.steps.show_step(key)
        focus = QApplication.focusWidget()
        in_rail = focus is not None and self.rail.isAncestorOf(focus)
        self.rail.mark(key)
        if in_rail:
            self.rail.buttons[key].setFocus()

    def _step_wanted(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.show_step(str(action.data()))
            self.steps.enter()

    def mend(self, step: str, field: str) -> None:
        """Go to the field that mends a check."""
        self.show_step(step)
        self.steps[step].go_to(field)

    def read(self) -> None:
        """Show what belongs to the whole plan: title, undo, pairings."""
        session = self.place.session
        name = session.plan.name or self._text("top.unnamed")
        self.setWindowTitle(self._text("window.title", name=name))
        self.setWindowModified(session.unsaved)
        for action, label in (
            (self.undo_action, session.undo_label),
            (self.redo_action, session.redo_label),
        ):
            action.setEnabled(label is not None and not session.read_only)
            words = "" if label is None else self.place.reader.sentence(label)
            action.setToolTip(f"{action.text().replace('&', '')}: {words}" if words else "")
        self.save_action.setEnabled(session.unsaved and not session.read_only)
        self.remove_action.setEnabled(len(session.plan.pairings) > 1)
        self.take_action.setEnabled(session.read_only)
        self.discard_action.setEnabled(session.worth_keeping)
        self.top.read()

    def _heard(self, change: Change) -> None:
        del change
        self.read()
        self.keeper.watch_journal()
        self.keeper.watch_hold()

    def _show_pairing(self, label: str) -> None:
        self.place.session.show_pairing(label)

    def add_pairing(self) -> None:
        """Add a pairing beside the others, a copy of the one that is shown."""
        view = self.place.view
        try:
            problem = self.place.attempt(add_pairing(view.plan, view.label))
        except UserError as error:
            problem = self.place.reader.error(error)
        self.keeper.say(problem)

    def remove_pairing(self) -> None:
        """Take the pairing that is shown away; undo brings it back."""
        view = self.place.view
        try:
            problem = self.place.attempt(remove_pairing(view.plan, view.label))
        except UserError as error:
            problem = self.place.reader.error(error)
        self.keeper.say(problem)

    def undo(self) -> None:
        """Take the last step back."""
        self.place.session.undo()

    def redo(self) -> None:
        """Do the next step again."""
        self.place.session.redo()

    # --- files ----------------------------------------------------------------------------------

    def offer_new(self) -> None:
        """Ask what the new plan is about, with what the present one is about to begin with."""
        self.new_menu.popup(self.top.mapToGlobal(self.top.rect().topLeft()))
        self.new_menu.setActiveAction(self.new_actions[self.place.view.plan.duty.quantity])

    def _new(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.keeper.use(start_session(new_plan(action.data(), self.place.reader.renderer)))
            self.show_step("duty")
            self.steps.enter()

    def open_stock(self) -> None:
        """Open the user's catalogue, now that the window is there."""
        self.place.stock.open(self.place.executor)

    def tell(self, said: object) -> None:
        """Say what has to be known about the catalogue."""
        if isinstance(said, Message):
            self.keeper.say(self.place.reader.sentence(said))

    # --- looks ----------------------------------------------------------------------------------

    def _use_settings(self, settings: Settings) -> None:
        self.place.reader.use(settings)
        try:
            save_settings(settings)
        except UserError as error:
            self.keeper.say(self.place.reader.error(error))

    def _wear_light(self) -> None:
        self._wear("light")

    def _wear_dark(self) -> None:
        self._wear("dark")

    def _wear_system(self) -> None:
        self._wear("system")

    def _wear(self, wanted: Wanted) -> None:
        self.theme.use(wanted)
        self._use_settings(replace(self.place.reader.settings, theme=wanted))
        self._mark_theme()

    def _mark_theme(self) -> None:
        wanted = self.theme.wanted
        for name, action in (
            ("light", self.light_action),
            ("dark", self.dark_action),
            ("system", self.system_action),
        ):
            action.setChecked(name == wanted)

    def keep_geometry(self) -> None:
        """Remember where the window stands."""
        QSettings().setValue("geometry", self.saveGeometry())

    def restore_geometry(self) -> None:
        """Stand where the window stood last time."""
        kept = QSettings().value("geometry", QByteArray(), type=QByteArray)
        if isinstance(kept, QByteArray) and not kept.isEmpty():
            self.restoreGeometry(kept)

    def _quit(self) -> None:
        self.close()

    # --- Qt -------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Make rail and panel smaller in a narrow window."""
        super().resizeEvent(event)
        narrow = self.width() < NARROW
        self.rail.setFixedWidth(118 if narrow else 150)
        share = round(PANEL_SHARE * self.width())
        tight = min(332, 332 - 1020 + self.width())
        self.panel.setFixedWidth(tight if narrow else min(max(380, share), 640))

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Let everything go; unsaved work stays in the journal and is offered next time."""
        typing = self.focusWidget()
        if typing is not None:
            typing.clearFocus()  # what is typed and not yet taken is taken now
        if not self.keeper.may_close():
            event.ignore()
            return
        self.keep_geometry()
        self.keeper.close()
        self.place.close()
        event.accept()
        self.closed.emit()


def _first_visit(module: str, name: str, *collaborators: object) -> StepPage:
    """Make a step or page; its modules are loaded at the first visit, not before."""
    found = import_module(f"retrofit.desk.steps.{module}")
    made: StepPage = getattr(found, name)(*collaborators)
    return made
