"""A text area that takes what a spreadsheet gives: pasted or dropped text, or a file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData, Signal
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from retrofit.desk.pasted import too_long


class PasteArea(QPlainTextEdit):
    """A plain text area; Tab leaves it, since tabs come with what is pasted."""

    file_dropped = Signal(object)
    """A file was dropped or pasted: its Path."""

    refused = Signal()
    """A text was longer than any table that is taken; what was there stays."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTabChangesFocus(True)
        self.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.setAcceptDrops(True)

    def take_text(self, text: str) -> None:
        """Put a text in place of what is there, as one step of undo; refuse one too long."""
        if too_long(text):
            self.refused.emit()
            return
        cursor = self.textCursor()
        cursor.select(cursor.SelectionType.Document)
        cursor.insertText(text)

    # --- Qt -------------------------------------------------------------------------------------

    def canInsertFromMimeData(self, source: QMimeData) -> bool:  # noqa: N802
        """Return whether it is a text or a file."""
        return source.hasText() or _file(source) is not None

    def insertFromMimeData(self, source: QMimeData) -> None:  # noqa: N802
        """Take a text or a file."""
        file = _file(source)
        if file is not None:
            self.file_dropped.emit(file)
        elif too_long(source.text()):
            self.refused.emit()
        else:
            super().insertFromMimeData(source)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:  # noqa: N802
        """Let a text or a file come in."""
        if self.canInsertFromMimeData(event.mimeData()):
            event.acceptProposedAction()
        else:
            super().dragEnterEvent(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:  # noqa: N802
        """Let a file move over the area, text where it may be put in."""
        if _file(event.mimeData()) is not None:
            event.acceptProposedAction()
        else:
            super().dragMoveEvent(event)

    def dropEvent(self, event: QDropEvent) -> None:  # noqa: N802
        """Take what is dropped; a file is never moved away by it."""
        file = _file(event.mimeData())
        if file is None:
            super().dropEvent(event)
            return
        event.acceptProposedAction()
        self.file_dropped.emit(file)


def _file(source: QMimeData) -> Path | None:
    """Return the first local file among what is dropped, or None."""
    for url in source.urls():
        if url.isLocalFile():
            return Path(url.toLocalFile())
    return None
