"""Opening a widget as a user sees it, and reading it as a user does."""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

AnyWidget = TypeVar("AnyWidget", bound=QWidget)


def opened(qtbot: QtBot, widget: AnyWidget, width: int = 640, height: int = 440) -> AnyWidget:
    """Show a widget as the active window, so that it can have the focus."""
    qtbot.addWidget(widget)
    widget.resize(width, height)
    widget.show()
    widget.activateWindow()
    qtbot.waitUntil(widget.isActiveWindow)
    return widget


def plain(text: str) -> str:
    """A text with plain blanks, as one reads it; numbers and units are kept together on screen."""
    return text.replace("\N{NO-BREAK SPACE}", " ")
