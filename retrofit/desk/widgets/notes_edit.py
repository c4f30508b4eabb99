"""Free text of several lines, kept in the plan while it is being written."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, QTimer, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

MOST = 20_000
"""Most characters that a paste may make of it: some ten pages."""

PAUSE_MS = 800
"""How long writing has to rest until the plan holds it [ms]."""

LINES = 4
"""Lines that are seen at once."""


class NotesEdit(QPlainTextEdit):
    """A text area whose words the plan holds; Tab leaves it.

    Parameters
    ----------
    name : str
        Accessible name.
    """

    written = Signal(str, bool)
    """Other words stand here than the plan holds; whether more follows."""

    refused = Signal()
    """A paste would have made it longer than `MOST`; what was there stays."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        line = self.fontMetrics().lineSpacing()
        self.setFixedHeight(LINES * line + 24)
        self._held = ""
        self._unfinished = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._rested)
        self.textChanged.connect(self._changed)

    def hold(self, words: str) -> None:
        """Show the words that the plan holds; what is being written stays while these are."""
        if words == self._held:
            return
        self._held = words
        self._pause.stop()
        if words != self.toPlainText():
            self.setPlainText(words)

    def _changed(self) -> None:
        if self.toPlainText() != self._held:
            self._pause.start()

    def _rested(self) -> None:
        self._take(more=True)

    def _take(self, *, more: bool) -> None:
        self._pause.stop()
        words = self.toPlainText()
        if words != self._held or (self._unfinished and not more):
            self._held, self._unfinished = words, more
            self.written.emit(words, more)

    # --- Qt -------------------------------------------------------------------------------------

    def insertFromMimeData(self, source: QMimeData) -> None:  # noqa: N802
        """Take a pasted text unless it is too long."""
        if len(source.text()) + len(self.toPlainText()) > MOST:
            self.refused.emit()
        else:
            super().insertFromMimeData(source)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Take what was written."""
        super().focusOutEvent(event)
        self._take(more=False)
