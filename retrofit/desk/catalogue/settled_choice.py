"""A choice whose consequence is large: going through the words by the keys changes nothing yet."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent

from retrofit.desk.widgets.choice import Choice


class SettledChoice(Choice):
    """Takes a word from its open list at once, and one gone to by the keys with Return or Tab.

    Escape goes back to the word that holds.
    """

    _by_key = False
    _held: str | None = None

    def _chosen(self, index: int) -> None:
        if not self._by_key:
            self._held = None
            super()._chosen(index)

    def _settle(self) -> None:
        """Take the word that the keys went to."""
        before, self._held = self._held, None
        if before is not None and before != self.word:
            super()._chosen(self.currentIndex())

    # --- Qt -------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Go through the words, take one, or go back."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._settle()
        elif key == Qt.Key.Key_Escape and self._held is not None:
            self.set_word(self._held)
            self._held = None
        else:
            before = self.word
            self._by_key = True
            super().keyPressEvent(event)
            self._by_key = False
            if self.word != before and self._held is None:
                self._held = before

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Take the word that the keys went to."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self._settle()
