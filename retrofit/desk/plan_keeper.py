"""Which plan is open, which one is kept behind it, and what the user is told about files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from catalog.errors import UserError
from catalog.message import message
from retrofit.desk.files import demo_plan, recent_plans, remember_plan, start_session
from retrofit.desk.session import Session, open_session
from retrofit.desk.widgets.notice import Notice
from retrofit.desk.workplace import Workplace


class PlanKeeper(QObject):
    """Opens, saves and changes plans for the window.

    Parameters
    ----------
    place : Workplace
        The open plan.
    notice : Notice
        Where the user is told and asked.
    recent_menu : QMenu
        Filled with the plans opened last when it opens.
    window : QWidget
        Owner of the file dialogs.
    """

    settled = Signal()
    """Something was saved or taken over: whether the plan is saved may have changed."""

    def __init__(
        self, place: Workplace, notice: Notice, recent_menu: QMenu, window: QWidget
    ) -> None:
        super().__init__(window)
        self.place, self.notice = place, notice
        self._window = window
        self._kept: Session | None = None
        self._warned = self._closing = self._told = False
        self.recent_menu = recent_menu
        recent_menu.aboutToShow.connect(self._fill_recent)

    def _text(self, key: str, **values: str) -> str:
        return self.place.reader.text(key, **values)

    def say(self, problem: str) -> None:
        """Tell the user of a problem; nothing for an empty text."""
        if problem:
            self.notice.say(problem)

    def watch_journal(self) -> None:
        """Say once when unsaved work cannot be kept beside the plan."""
        problem = self.place.session.journal_problem
        if problem is None:
            self._warned = False
        elif not self._warned:
            self._warned = True
            self.say(self._not_kept(problem))

    def begin(self) -> None:
        """Say what has to be known of the plan that the window opened with."""
        if self.place.session.read_only:
            self.watch_hold()
        else:
            self.offer_recovery()

    def watch_hold(self) -> None:
        """Say once when the plan can only be looked at, and how it can be had."""
        session = self.place.session
        if session.read_only and not self._told:
            said = message("session.read_only", holder=session.holder)
            answer = (self._text("action.take_over").replace("&", ""), self.take_over)
            self.notice.say(self.place.reader.sentence(said), (answer,))
        self._told = session.read_only

    def _not_kept(self, problem: UserError) -> str:
        return self._text("window.not_kept", problem=self.place.reader.error(problem))

    def may_close(self) -> bool:
        """Return whether the window may close; if not, the user is asked."""
        problem = self.place.session.try_again()
        if problem is None or self._closing:
            return True
        answer = (self._text("window.close_anyway"), self._close_anyway)
        self.notice.say(self._not_kept(problem), (answer,))
        return False

    def _close_anyway(self) -> None:
        self._closing = True
        self._window.close()

    def close(self) -> None:
        """Let the plan that was kept go; its unsaved work stays in its journal."""
        if self._kept is not None:
            self._kept.close()
            self._kept = None

    def use(self, session: Session) -> None:
        """Show another plan; one that is worth keeping is kept and can be gone back to."""
        self.notice.dismiss()
        typing = self._window.focusWidget()
        if typing is not None:
            typing.clearFocus()  # what is typed there and not yet taken is of the old plan
        old = self.place.use(session)
        if typing is not None and typing.isVisible() and typing.isEnabled():
            typing.setFocus()
        if self._kept is not None and self._kept is not session:
            self._kept.close()
        self._kept = old if old.worth_keeping else None
        if self._kept is None:
            old.close()
        if session.path is not None:
            remember_plan(session.path)
        self._told = False
        if session.read_only:
            self.watch_hold()
        elif self._kept is not None:
            answer = (self._text("window.back"), self.go_back)
            self.notice.say(self._text("window.kept"), (answer,))
        self.offer_recovery()

    def go_back(self) -> None:
        """Go back to the plan that was open before, with all its steps of undo."""
        if self._kept is not None:
            self.use(self._kept)

    def offer_recovery(self) -> None:
        """Offer unsaved work that a crash left beside the plan, one piece after another."""
        session = self.place.session
        found = session.left_behind()
        for damaged in session.damaged_work:
            self.say(self.place.reader.error(damaged))
        if found is None:
            return
        answers = (
            (self._text("recovery.take"), self._recover),
            (self._text("recovery.drop"), self._drop_recovery),
        )
        self.notice.say(self._text("recovery.found"), answers)

    def _recover(self) -> None:
        self.place.session.recover()
        self.offer_recovery()

    def _drop_recovery(self) -> None:
        self.place.session.drop_recovery()
        self.offer_recovery()

    def discard(self) -> None:
        """Let the unsaved work of this plan go, and show the file's plan again, or the demo."""
        old = self.place.session
        path, lost = old.path, old.plan
        old.discard()
        if path is None:
            self.use(start_session(demo_plan()))
        else:
            self.place.use(start_session(demo_plan())).close()
            self.open_path(path)

        def again() -> None:
            self.use(start_session(lost))

        self.notice.say(self._text("window.discarded"), ((self._text("window.back"), again),))

    def open(self) -> None:
        """Ask for a plan file and open it."""
        name, _ = QFileDialog.getOpenFileName(
            self._window, self._text("action.open"), self._folder(), self._text("file.filter")
        )
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path) -> None:
        """Open a plan file; one that is open already is shown, with all that was done to it."""
        here = path.resolve()
        if self.place.session.path is not None and self.place.session.path.resolve() == here:
            return
        kept = None if self._kept is None else self._kept.path
        if kept is not None and kept.resolve() == here:
            self.go_back()
            return
        try:
            session = open_session(path)
        except UserError as error:
            self.say(self.place.reader.error(error))
            return
        self.use(session)

    def save(self) -> bool:
        """Save to the plan's own file; return whether it is saved."""
        if self.place.session.path is None:
            return self.save_as()
        return self._try(self.place.session.save)

    def save_as(self) -> bool:
        """Ask for a file and save to it; return whether it is saved."""
        name, _ = QFileDialog.getSaveFileName(
            self._window, self._text("action.save_as"), self._folder(), self._text("file.filter")
        )
        return bool(name) and self.save_to(Path(name))

    def save_to(self, path: Path) -> bool:
        """Save to a file, which becomes the plan's own; return whether it is saved."""
        whole = path if path.suffix else path.with_suffix(".json")

        def save() -> None:
            self.place.session.save_as(whole)
            remember_plan(whole)

        return self._try(save)

    def take_over(self) -> None:
        """Take the file from the other copy of the program."""
        self._try(self.place.session.take_over)

    def _try(self, do: Callable[[], None]) -> bool:
        try:
            do()
        except UserError as error:
            self.say(self.place.reader.error(error))
            return False
        self.notice.dismiss()
        self.settled.emit()
        return True

    def _folder(self) -> str:
        path = self.place.session.path
        return str(Path.home() if path is None else path.parent)

    def _fill_recent(self) -> None:
        self.recent_menu.clear()
        for path in recent_plans():
            action = self.recent_menu.addAction(str(path))
            action.setData(str(path))
            action.triggered.connect(self._open_recent)
        if self.recent_menu.isEmpty():
            self.recent_menu.addAction(self._text("menu.no_recent")).setEnabled(False)

    def _open_recent(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.open_path(Path(str(action.data())))
