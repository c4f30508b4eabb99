"""Opening the whole window and working in it as its user does."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from retrofit.desk.app import make_application, open_window
from retrofit.desk.jobs import InlineExecutor
from retrofit.desk.session import Session
from retrofit.desk.window import Window
from retrofit.settings import Settings

Key = Qt.Key


def shown(qtbot: QtBot, session: Session, settings: Settings | None = None) -> Window:
    """Open a window and give it the focus."""
    make_application(["retrofit"])
    window = open_window(session, settings or Settings(theme="light"), InlineExecutor())
    window.resize(1440, 900)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window


def shut(window: Window) -> None:
    """Close a window and let Qt take it away."""
    window.close()
    window.deleteLater()


def type_into(qtbot: QtBot, editor: QWidget, text: str) -> None:
    """Replace what is in a field by typing, and leave it with Enter."""
    assert isinstance(editor, QLineEdit)
    qtbot.mouseClick(editor, Qt.MouseButton.LeftButton)
    qtbot.keyClick(editor, Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    if text:
        qtbot.keyClicks(editor, text)
    else:
        qtbot.keyClick(editor, Key.Key_Delete)
    qtbot.keyClick(editor, Key.Key_Return)


def field(window: Window, step: str, name: str) -> QWidget:
    return window.steps[step].fields[name].editor
