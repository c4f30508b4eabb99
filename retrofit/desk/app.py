"""Starts the window: application, looks, catalogue, first plan, and what happens on a bug."""

from __future__ import annotations

import logging
import sys
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QApplication

from catalog.errors import UserError
from catalog.message import Message, message
from retrofit.desk.files import demo_plan, recent_plans, start_session
from retrofit.desk.jobs import Executor
from retrofit.desk.journal import left_behind
from retrofit.desk.reader import Reader
from retrofit.desk.session import Session, open_session
from retrofit.desk.stock import Stock
from retrofit.desk.theme import Theme, Wanted, load_font
from retrofit.desk.threads import ThreadExecutor
from retrofit.desk.window import Window
from retrofit.desk.workplace import Workplace
from retrofit.settings import Settings, load_settings

log = logging.getLogger(__name__)


def make_application(argv: Sequence[str]) -> QApplication:
    """Return the application object, made once, with the shipped font."""
    existing = QApplication.instance()
    app = existing if isinstance(existing, QApplication) else QApplication(list(argv))
    QCoreApplication.setOrganizationName("retrofit")
    QCoreApplication.setApplicationName("retrofit")
    app.setStyle("Fusion")
    if not load_font(app):
        log.warning("the shipped font cannot be loaded; the system's is used")
    return app


def open_window(
    session: Session, settings: Settings, executor: Executor, said: Sequence[Message] = ()
) -> Window:
    """Return a window on a session, not yet shown.

    Parameters
    ----------
    session : Session
        The plan to show.
    settings : Settings
        Units, decimal mark, language, theme.
    executor : Executor
        Runs long work.
    said : sequence of Message
        What the user has to be told first.
    """
    reader = Reader(settings)
    wanted: Wanted = "system"
    if settings.theme in ("light", "dark"):
        wanted = "light" if settings.theme == "light" else "dark"
    theme = Theme(wanted)
    theme.wear()
    stock = Stock()
    place = Workplace(session, reader, stock, executor)
    window = Window(place, theme)
    for owned in (reader, theme, place, stock):
        owned.setParent(window)
    stock.told.connect(window.tell)
    text = "\n".join(reader.sentence(m) for m in said)
    if text:
        window.notice.say(text)
    else:
        window.keeper.begin()
    return window


def first_session(path: Path | None, *, demo: bool) -> tuple[Session, tuple[Message, ...]]:
    """Return what to show at the start, and what to say about it.

    A plan that was named, else work that a crash left behind, else the plan opened last, else
    the demo; a plan that cannot be read gives way to the demo with its sentence.
    """
    if demo:
        return start_session(demo_plan()), ()
    if path is not None:
        try:
            return open_session(path), ()
        except UserError as error:
            return start_session(demo_plan()), error.messages
    for journal in left_behind():
        plan = journal.recovered()
        if plan is not None:
            return Session(plan, journal=journal), (message("recovery.new_plan"),)
    for recent in recent_plans()[:1]:
        try:
            return open_session(recent), ()
        except UserError as error:
            return start_session(demo_plan()), error.messages
    return start_session(demo_plan()), ()


def run(argv: Sequence[str], path: Path | None = None, *, demo: bool = False) -> int:
    """Open the window and stay until it is closed; return the exit code."""
    app = make_application(argv)
    logging.basicConfig(format="%(name)s: %(message)s")
    sys.excepthook = _report_bug
    loaded = load_settings()
    session, said = first_session(path, demo=demo)
    window = open_window(session, loaded.settings, ThreadExecutor(), (*loaded.messages, *said))
    window.restore_geometry()
    window.show()
    QTimer.singleShot(0, window.open_stock)
    code = app.exec()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return int(code)


def _report_bug(
    kind: type[BaseException], problem: BaseException, trace: TracebackType | None
) -> None:
    """Log a mistake of ours and go on: the journal holds the user's work."""
    log.error("a mistake of the program", exc_info=(kind, problem, trace))
