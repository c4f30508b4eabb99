"""Opening a widget as a user sees it, and reading it as a user does."""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListView, QWidget
from pytestqt.qtbot import QtBot

from retrofit.desk.widgets.words_edit import WordsEdit

AnyWidget = TypeVar("AnyWidget", bound=QWidget)


def opened(qtbot: QtBot, widget: AnyWidget, width: int = 640, height: int = 440) -> AnyWidget:
    """Show a widget as the active window, so that it can have the focus."""
    qtbot.addWidget(widget)
    widget.resize(width, height)
    widget.show()
    widget.activateWindow()
    qtbot.waitUntil(widget.isActiveWindow)
    return widget


def picked(qtbot: QtBot, editor: QWidget, typed: str, name: str, *, by_mouse: bool) -> None:
    """Type into a field and pick one of the names that it then offers."""
    assert isinstance(editor, WordsEdit)
    qtbot.mouseClick(editor, Qt.MouseButton.LeftButton)
    qtbot.keyClick(editor, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(editor, typed)
    completer = editor.completer()
    popup, model = completer.popup(), completer.completionModel()
    assert isinstance(popup, QListView)
    qtbot.waitUntil(popup.isVisible)
    rows = [str(model.index(row, 0).data()) for row in range(model.rowCount())]
    if by_mouse:
        place = popup.visualRect(model.index(rows.index(name), 0)).center()
        qtbot.mouseClick(popup.viewport(), Qt.MouseButton.LeftButton, pos=place)
    else:
        for _ in range(rows.index(name) + 1):
            qtbot.keyClick(popup, Qt.Key.Key_Down)
        qtbot.keyClick(popup, Qt.Key.Key_Return)


def plain(text: str) -> str:
    """A text with plain blanks, as one reads it; numbers and units are kept together on screen."""
    return text.replace("\N{NO-BREAK SPACE}", " ")
