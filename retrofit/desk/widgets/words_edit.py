"""The one line edit for words of the plan; it may offer names while somebody types.

Whether something waits to be taken is told by the words themselves: Qt's own flag for it is
cleared when a completer writes into the field, so a picked name would never reach the plan.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit, QWidget

MOST = 80
"""Most characters."""


class WordsEdit(QLineEdit):
    """A line edit that knows which words the plan holds, and which wait to be taken.

    Parameters
    ----------
    name : str
        Accessible name.
    parent : QWidget, optional
        Owner.
    """

    finished = Signal(str)
    """The user has finished typing, or has picked, other words than those that are held."""

    settled = Signal()
    """What was typed and refused is gone: other words are held, or Escape took it back."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setMaxLength(MOST)
        self._held = ""
        self._before = ""
        self.editingFinished.connect(self._finish)

    @property
    def held(self) -> str:
        """The words that the plan holds."""
        return self._held

    @property
    def waits(self) -> bool:
        """Whether other words stand here than those that are held."""
        return self.text().strip() != self._held

    def offer(self, names: Sequence[str]) -> None:
        """Offer names while somebody types; a picked one is taken at once."""
        completer = QCompleter(list(names), self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.activated.connect(self._pick)
        self.setCompleter(completer)

    def hold(self, words: str) -> None:
        """Show the words that the plan holds; what waits stays while these are the same."""
        other = words != self._held
        if self.waits and not other:
            return
        self._held = words
        if self.text() != words:
            self.setText(words)
            if not self.hasFocus():
                self.setCursorPosition(0)
        if other:
            self.settled.emit()

    def refuse(self) -> None:
        """Let the words that were just finished wait: the plan does not take them."""
        self._held = self._before

    def forget(self) -> None:
        """Show the words that are held again, whatever waits."""
        self.setText(self._held)
        self.settled.emit()

    def _finish(self) -> None:
        if self.waits:
            words = self.text().strip()
            self._before, self._held = self._held, words
            self.finished.emit(words)

    def _pick(self, words: str) -> None:
        self.setText(words)
        self._finish()

    def _lists(self) -> bool:
        """Return whether names are listed just now."""
        completer = self.completer()
        popup = None if completer is None else completer.popup()
        return popup is not None and popup.isVisible()

    # --- Qt -------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Take back on Escape what waits; the first one only closes the list of names."""
        if event.key() == Qt.Key.Key_Escape and self.waits and not self._lists():
            self.forget()
        else:
            super().keyPressEvent(event)
