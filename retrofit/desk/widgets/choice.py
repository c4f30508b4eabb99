"""One of a few words, chosen by mouse or by typing."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox, QStyledItemDelegate, QWidget


class Choice(QComboBox):
    """A choice of words that keeps the word apart from its text.

    Parameters
    ----------
    words : sequence of (str, str)
        Word as the plan has it, and its text.
    name : str
        Accessible name.
    """

    chosen = Signal(str)
    """The user chose another word."""

    def __init__(
        self, words: Sequence[tuple[str, str]], name: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setItemDelegate(QStyledItemDelegate(self))  # the usual one ignores the style sheet
        self.setMaxVisibleItems(20)
        for word, text in words:
            self.addItem(text, word)
        self.activated.connect(self._chosen)

    @property
    def word(self) -> str:
        """The word that is chosen, empty for none."""
        return str(self.currentData() or "")

    def set_word(self, word: str) -> None:
        """Show a word."""
        index = self.findData(word)
        if index != self.currentIndex():
            self.setCurrentIndex(index)
        self.setAccessibleDescription(self.currentText())

    def _chosen(self, index: int) -> None:
        self.setAccessibleDescription(self.currentText())
        self.chosen.emit(str(self.itemData(index)))

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """Let the page scroll: a wheel must not change the plan unseen."""
        event.ignore()
